package job

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// pair is a good job of two batteries; the rows below break it in one place.
const pair = `bankwright: 1
battery_types:
  b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, size: {length: 300 mm, width: 200 mm, height: 200 mm}}
batteries:
  - {id: B1, type: b, at: [0 mm, 0 mm, 0 mm]}
  - {id: B2, type: b, at: [400 mm, 0 mm, 0 mm]}
parts:
  - {id: F1, kind: fuse, resistance: 0.1 mΩ}
  - {id: N1, kind: bar, studs: 4, resistance: 0.1 mΩ}
  - {id: Q1, kind: switch, resistance: 0.1 mΩ}
  - {id: S1, kind: stud}
takeoff: {positive: B1+, negative: B2-}
cases:
  - {id: day, draw: 10 A}
cables:
  - {id: W1, from: B1+, to: B2+, size: 2/0 AWG, length: 11 in}
  - {id: W2, from: B1-, to: B2-, resistance: 0.35 mΩ}
`

// swap replaces one text of the good job, which must be there once.
func swap(old, now string) string {
	if strings.Count(pair, old) != 1 {
		panic("faults_test: not there once: " + old)
	}
	return strings.Replace(pair, old, now, 1)
}

// add puts lines at the end; they are more cables unless they begin a key.
func add(lines string) string { return pair + lines }

// faultTable holds bad jobs. Each § stands where a fault must be told, and is
// taken out before reading; words are what the message must say, one entry a
// fault, parts separated by "…".
var faultTable = []struct {
	name, src string
	words     []string
}{
	// What a run needs.
	{"voltage of a draw", swap("{id: day, draw: 10 A}", "{id: day, draw: 10 A, voltage: §14 V}"), []string{"voltage belongs to a charge"}},
	{"tail without voltage", swap("{id: day, draw: 10 A}", "{id: day, charge: 10 A, tail: §1 A}"), []string{"tail needs the charger's voltage beside it"}},
	{"sequence of an unknown case", add("sequences: [{id: week, cases: [day, §dey]}]\n"), []string{"there is no case dey; did you mean day"}},
	{"sequence named as a case", add("sequences: [{id: §day, cases: [day]}]\n"), []string{"the ID day is used twice"}},
	{"factor with a unit", swap("chemistry: lfp,", "chemistry: lfp, resistance_by_temperature: [[0 °C, 2], [25 °C, §1 Ω]],"), []string{"a plain number from 0.01 to 100 is due, without a unit"}},
	{"factors that fall", swap("chemistry: lfp,", "chemistry: lfp, resistance_by_charge: [[50 %, 2], §[20 %, 1]],"), []string{"the points do not rise"}},
	{"factor alone", swap("chemistry: lfp,", "chemistry: lfp, capacity_by_temperature: [§[0 °C], [25 °C, 1]],"), []string{"here [temperature, factor] is due"}},
	{"exponent below one", swap("chemistry: lfp,", "chemistry: lfp, peukert: §0.9,"), []string{"a plain number from 1 to 2 is due"}},
	{"three branches", swap("chemistry: lfp,", "chemistry: lfp, branches: §[{resistance: 1 mΩ, time: 9 s}, {resistance: 1 mΩ, time: 90 s}, {resistance: 1 mΩ, time: 900 s}],"), []string{"the list has 3 items"}},
	{"low above high", swap("chemistry: lfp,", "chemistry: lfp, limits: {low: 15 V, high: §14 V},"), []string{"high is not above low"}},
	{"release above high", swap("chemistry: lfp,", "chemistry: lfp, limits: {high_release: 15 V, high: §14 V},"), []string{"high_release is not below high"}},
	{"reconnect below low", swap("chemistry: lfp,", "chemistry: lfp, limits: {low: 12 V, reconnect: §11 V},"), []string{"reconnect is not above low"}},
	{"cold above hot", swap("chemistry: lfp,", "chemistry: lfp, limits: {cold_charge: 40 °C, hot_charge: §0 °C},"), []string{"the upper temperature is not above"}},
	{"age in years", swap("{id: B1, type: b,", "{id: B1, type: b, age: §2 y,"), []string{"y"}},

	// The d.c. side.
	{"power of a fuse", swap("{id: F1, kind: fuse,", "{id: F1, kind: fuse, power: §1 kW,"), []string{"power means nothing for a fuse"}},
	{"class of a switch", swap("{id: Q1, kind: switch,", "{id: Q1, kind: switch, class: §class_t,"), []string{"class means nothing for a switch"}},
	{"resistance of a load", swap("{id: Q1, kind: switch, resistance: 0.1 mΩ}", "{id: L1, kind: load, resistance: §1 Ω}"), []string{"resistance means nothing for a load"}},
	{"rating in watts", swap("{id: F1, kind: fuse,", "{id: F1, kind: fuse, rating: §100 W,"), []string{"W"}},
	{"unknown book", add("practice: {book: §ships}\n"), []string{"is not a book of rules: marine, vehicle, general"}},
	{"a contactor needs its resistance", swap("{id: Q1, kind: switch, resistance: 0.1 mΩ}", "§{id: K1, kind: contactor}"), []string{"a contactor needs its resistance"}},

	// The file as a whole.
	{"empty", "§", []string{"the file is empty; a job begins with bankwright: 1"}},
	{"comment only", "§# nothing\n", []string{"the file is empty"}},
	{"not UTF-8", "bankwright: 1\ntitle: na§\xefve\n", []string{"not UTF-8 text; save it as UTF-8"}},
	{"NUL", "bankwright: 1\ntitle: a§\x00\n", []string{"NUL character"}},
	{"control character", "bankwright: 1\ntitle: a§\x07\n", []string{"a control character stands here"}},
	{"first key not bankwright", "§title: x\n" + pair, []string{`the first key is "title"; a job begins with bankwright: 1`}},
	{"version 2", swap("bankwright: 1", "bankwright: §2"), []string{`"2": a whole number from 1 to 1 is due`}},
	{"version with quotes and unit", swap("bankwright: 1", "bankwright: §1 V"), []string{"whole number"}},
	{"version 01", swap("bankwright: 1", "bankwright: §01"), []string{`"01": a whole number`}},
	{"no version", "§" + strings.TrimPrefix(pair, "bankwright: 1\n"), []string{"the first key is", "a job needs bankwright"}},
	{"two documents", add("§---\nbankwright: 1\n"), []string{"a second document begins here"}},
	{"text after the end mark", add("§...\nbankwright: 1\n"), []string{"a second document begins here"}},
	{"list at the top", "§- bankwright: 1\n", []string{"here a job (bankwright, title,…is due, not a list"}},
	{"text at the top", "§hello\n", []string{"here a job…is due, not a plain value"}},
	{"needs all", "§bankwright: 1\n", []string{"a job needs battery_types", "a job needs batteries", "a job needs takeoff…as in takeoff: {positive: B1+, negative: B2-}"}},

	// YAML that is not strict, or no YAML.
	{"tab", "bankwright: 1\n§\ttitle: x\n", []string{"a tab stands where spaces are due"}},
	{"quote open", add("title: §\"x\n"), []string{"the quote that opens here is not closed"}},
	{"bracket open", "bankwright: 1\ntakeoff: [B1+\ntitle§: x\n", []string{"a list in [ ] is not closed"}},
	{"brace open", "bankwright: 1\ntakeoff: {positive: B1+\n§", []string{"keys in { } are not closed"}},
	{"colon in a text", "bankwright: 1\ntitle: Hut§: north\n", []string{"a colon cannot stand here; put a text that holds a colon in quotes"}},
	{"indent", "bankwright: 1\nshow:\n  length: in\n §wire: AWG\n", []string{"the indent of this line fits none of the lines above"}},
	{"list goes on as keys", "bankwright: 1\ncables:\n  - id: W1\n  §size: 2 AWG\n", []string{"a list goes on here with something else"}},
	{"sign at the start", "bankwright: 1\ntitle: §@home\n", []string{"a value cannot begin with this character; put it in quotes"}},
	{"backslash", "bankwright: 1\ntitle: \"a§\\q\"\n", []string{`write \\ for a plain \`}},
	{"anchor", add("title: §&x y\n"), []string{"an anchor (&x) is not read here"}},
	{"alias", "bankwright: 1\ntitle: §&x y\nnote: §*x\n", []string{"an anchor", "an alias (*x) is not read here"}},
	{"alias to nothing", "bankwright: 1\nnote: §*x\n", []string{"an alias"}},
	{"merge key", add("§<<: {title: x}\n"), []string{"the merge key << is not read here"}},
	{"tag", add("title: §!!str x\n"), []string{"a tag (!!str) is not read here"}},
	{"key twice", add("title: a\n§title: b\n"), []string{`the key "title" stands twice; the first is on line 18`}},
	{"key that is a list", add("? §[a]\n: b\n"), []string{"a key is one plain word, not a list"}},
	{"nested too deep", "note: [[[[[[[[[[[[§[]]]]]]]]]]]]]\n", []string{"nested deeper than 12"}},

	// Keys and kinds of value.
	{"unknown key", swap("size: 2/0 AWG", "§sise: 2/0 AWG, size: 2/0 AWG"), []string{`a cable has no key "sise"; did you mean size?; it has id, from, to`}},
	{"unknown key at the top", add("§battery: 1\n"), []string{`a job has no key "battery"`}},
	{"key missing", swap("{id: B1, type: b,", "§{id: B1,"), []string{"a battery needs type (ID), as in type: block150"}},
	{"list where keys are due", swap("{positive: B1+, negative: B2-}", "§[B1+, B2-]"), []string{"here a take-off (positive, negative) is due, not a list"}},
	{"keys where a list is due", add("runs: §{id: r}\n"), []string{"here a list is due (run), not a set of keys"}},
	{"list where a value is due", add("title: §[x]\n"), []string{"here title is due, not a list"}},
	{"value missing", add("title:§\n"), []string{"the value is missing: title is due; leave the key out if there is none"}},
	{"null", add("joint: §null\n"), []string{"the value is missing: resistance is due"}},
	{"two coordinates", swap("[400 mm, 0 mm, 0 mm]", "§[400 mm, 0 mm]"), []string{"the list has 2 items; 3 are due"}},
	{"no batteries", "bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}}\nbatteries: §[]\ntakeoff: {positive: §B1+, negative: §B1-}\n",
		[]string{"the list has 0 items; 1 to 1000 are due", "there is no end B1+", "there is no end B1-"}},
	{"empty title", add("title: §\"\"\n"), []string{"title is empty"}},
	{"text that turns round", add("title: §\"a\\u202eb\"\n"), []string{"control character"}},
	{"true or false", swap("kind: switch,", "kind: switch, open: §yes,"), []string{`"yes": true or false is due`}},
	{"turn", swap("at: [400 mm, 0 mm, 0 mm]", "at: [400 mm, 0 mm, 0 mm], turn: §45"), []string{`turn "45": 0, 90, 180 or 270 is due`}},
	{"turn with a unit", swap("at: [400 mm, 0 mm, 0 mm]", "at: [400 mm, 0 mm, 0 mm], turn: §90 deg"), []string{"without a unit"}},
	{"chemistry", swap("chemistry: lfp", "chemistry: §lpf"), []string{`"lpf" is not a chemistry: lfp, agm, gel, flooded; did you mean lfp?`}},
	{"kind of part", swap("kind: stud", "kind: §studs"), []string{`"studs" is not a kind of part: stud, frame, bar, fuse, breaker, switch, contactor, shunt, load, inverter, inverter_charger, charger, solar, alternator; did you mean stud?`}},
	{"unit to print in", add("show: {length: §inch}\n"), []string{`"inch" is not a unit of length: mm, cm, m, in, ft`}},
	{"ID with a space", swap("id: S1", "id: §S 1"), []string{`"S 1" is no ID: an ID has letters, digits, _ and inner - only`}},
	{"ID reserved", swap("id: S1", "id: §takeoff"), []string{"the name takeoff is reserved"}},
	{"ID too long", swap("id: S1", "id: §abcdefghijklmnopqrstuvwxy"), []string{"an ID has at most 24 characters"}},
	{"end that is none", swap("positive: B1+", "positive: §F1.c"), []string{"after the point comes a, b or a place number"}},
	{"end far too long", swap("positive: B1+", "positive: §"+strings.Repeat("x", 70)), []string{"is too long for a name"}},

	// Quantities.
	{"bare number", swap("length: 11 in", "length: §11"), []string{"11: a bare number where a length is due; write a unit: mm, cm, m, in, ft"}},
	{"wrong unit", swap("length: 11 in", "length: §11 V"), []string{"11 V is a voltage, not a length; units that fit: mm"}},
	{"unknown unit", swap("length: 11 in", "length: §11 inches"), []string{"unknown unit inches, perhaps in"}},
	{"no number", swap("length: 11 in", "length: §.nan"), []string{"a number that begins with a point"}},
	{"infinity", swap("length: 11 in", "length: §.inf"), []string{"a number that begins with a point"}},
	{"NaN in words", swap("length: 11 in", "length: §NaN mm"), []string{"no number at the start"}},
	{"comma", swap("length: 11 in", `length: §"11,5 in"`), []string{"a comma in the number; write 11.5"}},
	{"leading zero", swap("length: 11 in", "length: §010 in"), []string{"begins with 0"}},
	{"underscore", swap("length: 11 in", "length: §1_000 mm"), []string{"a mark between digits"}},
	{"hexadecimal", swap("length: 11 in", "length: §0x10 in"), []string{"hexadecimal"}},
	{"too large for a number", swap("length: 11 in", "length: §1e999 m"), []string{"too large a number"}},
	{"absurd length", swap("length: 11 in", "length: §101 m"), []string{"101 m is outside what a job can hold: 0 to 100 m"}},
	{"negative length", swap("length: 11 in", "length: §-11 in"), []string{"-11 in is outside what a job can hold: 0 to 100 m"}},
	{"zero length", swap("length: 11 in", "length: §0 in"), []string{"the length is zero; it needs to be more"}},
	{"zero resistance", swap("resistance: 0.35 mΩ", "resistance: §0 mΩ"), []string{"outside what a job can hold: 1 nΩ to 1 kΩ"}},
	{"megohm for milliohm", swap("resistance: 0.35 mΩ", "resistance: §0.35 MΩ"), []string{"outside what a job can hold"}},
	{"capacity in amps", swap("capacity: 100 Ah", "capacity: §100 A"), []string{"100 A is a current, not a charge; units that fit: Ah, mAh"}},
	{"state of charge over full", swap("type: b, at: [0 mm", "type: b, start: §110 %, at: [0 mm"), []string{"110 % is outside what a job can hold: 0 % to 100 %"}},
	{"negative draw", swap("draw: 10 A", "draw: §-10 A"), []string{"write charging with charge: instead of a minus"}},
	{"negative power", swap("draw: 10 A", "draw: §-10 W"), []string{"below zero; write charging with charge:"}},
	{"farad for fahrenheit", swap("draw: 10 A", "draw: 10 A, cable_temperature: §20 F"), []string{"F alone is the farad"}},
	{"too cold", swap("draw: 10 A", "draw: 10 A, cable_temperature: §-300 °C"), []string{"below absolute zero"}},
	{"bare size", swap("size: 2/0 AWG", "size: §2/0"), []string{"a bare number where a conductor size is due; write a unit: AWG, mm2"}},
	{"no such gauge", swap("size: 2/0 AWG", "size: §5/0 AWG"), []string{"no such gauge"}},
	{"no such section", swap("size: 2/0 AWG", "size: §0.01 mm2"), []string{"no such section"}},

	// Names.
	{"ID twice", swap("id: S1", "id: §B1"), []string{"the ID B1 is used twice; line 5 gives it to a battery; all IDs of a job share one name space"}},
	{"no such type", swap("type: b, at: [0 mm", "type: §c, at: [0 mm"), []string{"there is no battery type c; battery_types has b"}},
	{"post missing", swap("to: B2+", "to: §B2"), []string{"there is no end B2: B2 is a battery; its ends are B2+ and B2-"}},
	{"no such battery", swap("to: B2+", "to: §B3+"), []string{"there is no end B3+: there is no battery or part B3"}},
	{"end of a cable", swap("to: B2+", "to: §W2"), []string{"W2 is a cable, which has no ends a lug can go on"}},
	{"end of a bar", swap("to: B2+", "to: §N1.5"), []string{"the ends of N1 are N1.1, N1.2, N1.3, N1.4"}},
	{"end of a fuse", swap("to: B2+", "to: §F1"), []string{"the ends of F1 are F1.a, F1.b"}},
	{"no such run", swap("length: 11 in", "length: 11 in, along: [§rail]"), []string{"there is no run rail"}},
	{"not a run", swap("length: 11 in", "length: 11 in, along: [§S1]"), []string{"S1 is a part, not a run"}},
	{"no such case", add("readings: [{id: R1, case: §dax, voltage: {B1: 13 V}}]\n"), []string{"there is no case dax; did you mean day?"}},
	{"current of a part", add("readings: [{id: R1, case: day, current: {§S1: 1 A}}]\n"), []string{"S1 is no battery of this job; a name here is a battery, a cable or takeoff"}},
	{"voltage of a cable", add("readings: [{id: R1, case: day, voltage: {§W1: 1 V}}]\n"), []string{"a name here is a battery or takeoff"}},
	{"drop of a battery", add("readings: [{id: R1, case: day, drop: {§B1: 1 mV}}]\n"), []string{"B1 is no cable of this job"}},
	{"drop at an end the cable has not", add("readings: [{id: R1, case: day, drop: {§W1@B2-: 1 mV}}]\n"), []string{"cable W1 has the ends B1+ and B2+, not B2-"}},
	{"drop with a wrong name", add("readings: [{id: R1, case: day, drop: {§W 1: 1 mV}}]\n"), []string{`"W 1" is no cable, or cable@end`}},
	{"reading of nothing", add("readings: [§{id: R1, case: day}]\n"), []string{"the reading holds no values"}},

	// Things that contradict each other.
	{"cable to itself", swap("to: B2+", "to: §B1+"), []string{"cable W1 goes from B1+ to itself"}},
	{"cable without a size", swap("{id: W1, from: B1+, to: B2+, size: 2/0 AWG,", "§{id: W1, from: B1+, to: B2+,"), []string{"cable W1 needs a size"}},
	{"take-off on one end", swap("negative: B2-", "negative: §B1+"), []string{"the take-off's two ends are the same"}},
	{"neither draw nor charge", swap("{id: day, draw: 10 A}", "§{id: day}"), []string{"a case needs either draw or charge"}},
	{"draw and charge", swap("{id: day, draw: 10 A}", "§{id: day, draw: 10 A, charge: 10 A}"), []string{"a case needs either draw or charge"}},
	{"zero power", swap("{id: day, draw: 10 A}", "§{id: day, draw: 0 W}"), []string{"zero power; at rest is draw: 0 A"}},
	{"fuse without resistance", swap("{id: F1, kind: fuse, resistance: 0.1 mΩ}", "§{id: F1, kind: fuse}"), []string{"a fuse needs its resistance from a to b"}},
	{"bar without studs", swap("{id: N1, kind: bar, studs: 4, resistance: 0.1 mΩ}", "§{id: N1, kind: bar, resistance: 0.1 mΩ}"), []string{"a bar needs studs"}},
	{"bar without resistance", swap("{id: N1, kind: bar, studs: 4, resistance: 0.1 mΩ}", "§{id: N1, kind: bar, studs: 4}"), []string{"a bar needs its resistance from first to last stud, or section and pitch"}},
	{"studs of a fuse", swap("kind: fuse,", "kind: fuse, studs: §3,"), []string{"studs means nothing for a fuse; leave it out"}},
	{"open fuse", swap("kind: fuse,", "kind: fuse, open: §true,"), []string{"open means nothing for a fuse"}},
	{"resistance of a stud", swap("kind: stud", "kind: stud, resistance: §1 mΩ"), []string{"resistance means nothing for a stud"}},
	{"pair to itself", add("wirings: {pairs: [{from: B1+, to: §B1+, length: 1 m}]}\n"), []string{"the pair goes from B1+ to itself"}},
	{"pair that says nothing", add("wirings: {pairs: [§{from: B1+, to: B2+}]}\n"), []string{"the pair says nothing"}},
	{"curve falls", swap("capacity: 100 Ah", "capacity: 100 Ah, curve: [[0 %, 12 V], §[100 %, 11 V]]"), []string{"the voltage falls as the charge rises"}},
	{"curve not in order", swap("capacity: 100 Ah", "capacity: 100 Ah, curve: [[0 %, 12 V], [60 %, 13 V], §[60 %, 13 V], [100 %, 14 V]]"), []string{"the state of charge does not rise"}},
	{"curve too short", swap("capacity: 100 Ah", "capacity: 100 Ah, curve: [§[10 %, 12 V], [100 %, 13 V]]"), []string{"the curve runs from 10.0 % to 100 %; it needs points at 0 % and 100 %"}},
	{"curve the wrong way round", swap("capacity: 100 Ah", "capacity: 100 Ah, curve: [[§12 V, §0 %], [100 %, 13 V]]"), []string{"12 V is a voltage, not a ratio", "0 % is a ratio, not a voltage"}},
	{"point of a curve", swap("capacity: 100 Ah", "capacity: 100 Ah, curve: [[0 %, 12 V], §[100 %]]"), []string{"a point of the curve is [state of charge, voltage]"}},

	// Geometry.
	{"batteries overlap", swap("[400 mm, 0 mm, 0 mm]", "§[290 mm, 0 mm, 0 mm]"), []string{"battery B1 and battery B2 overlap by 10…move or turn one"}},
	{"battery and part overlap", swap("kind: stud", "kind: stud, at: §[450 mm, 100 mm, 100 mm], size: {length: 10 mm, width: 10 mm, height: 10 mm}"), []string{"battery B2 and part S1 overlap"}},
	{"battery turned into its neighbour", strings.Replace(swap("at: [0 mm, 0 mm, 0 mm]", "at: [0 mm, 0 mm, 0 mm], turn: 90"), "[400 mm, 0 mm, 0 mm]", "§[0 mm, 250 mm, 0 mm]", 1), []string{"overlap by 50"}},
	{"battery outside its compartment", strings.Replace(add("compartments: [{id: bay, at: [0 mm, 0 mm, 0 mm], size: {length: 690 mm, width: 300 mm, height: 300 mm}}]\n"), "[400 mm", "§[400 mm", 1), []string{"battery B2 sticks out of compartment bay by 10"}},
	{"battery in no compartment", strings.Replace(add("compartments: [{id: bay, at: [0 mm, 0 mm, 0 mm], size: {length: 350 mm, width: 300 mm, height: 300 mm}}]\n"), "[400 mm", "§[400 mm", 1), []string{"battery B2 stands in no compartment"}},
	{"compartments overlap", add("compartments:\n  - {id: C1, at: [0 mm, 0 mm, 0 mm], size: {length: 900 mm, width: 300 mm, height: 300 mm}}\n  - {id: C2, at: §[890 mm, 0 mm, 0 mm], size: {length: 900 mm, width: 300 mm, height: 300 mm}}\n"), []string{"compartments C1 and C2 overlap by 10"}},
	{"flat battery", swap("height: 200 mm}", "height: §0 mm}"), []string{"the height is zero"}},
	{"flat compartment", strings.NewReplacer("[400 mm", "§[400 mm", "[0 mm, 0 mm, 0 mm]}\n  - {id: B2", "§[0 mm, 0 mm, 0 mm]}\n  - {id: B2").Replace(
		add("compartments: [{id: bay, at: [0 mm, 0 mm, 0 mm], size: {length: 900 mm, width: 300 mm, height: §0 mm}}]\n")),
		[]string{"battery B1 stands in no compartment", "battery B2 stands in no compartment", "the height is zero"}},
	{"passage in no wall", add("compartments:\n  - {id: C1, at: [0 mm, 0 mm, 0 mm], size: {length: 900 mm, width: 300 mm, height: 300 mm}}\n  - {id: C2, at: [910 mm, 0 mm, 0 mm], size: {length: 90 mm, width: 300 mm, height: 300 mm}}\n" +
		"passages: [{id: G1, at: [905 mm, 100 mm, 100 mm], diameter: 40 mm}, {id: G2, at: §[800 mm, 100 mm, 100 mm], diameter: 40 mm}]\n"), []string{"passage G2 is in no wall between two compartments"}},
	{"passage without a width", add("passages: [{id: G1, at: [0 mm, 0 mm, 0 mm], diameter: §0 mm}]\n"), []string{"the diameter is zero"}},
	{"post outside the case", swap("capacity: 100 Ah", "capacity: 100 Ah, posts: {positive: [30 mm, 30 mm], negative: §[301 mm, 30 mm]}"), []string{"the post lies outside the case"}},
	{"posts in one place", swap("capacity: 100 Ah", "capacity: 100 Ah, posts: {positive: [30 mm, 30 mm], negative: §[30 mm, 30 mm]}"), []string{"both posts are at the same place"}},
	{"bar too short for its studs", swap("studs: 4, resistance: 0.1 mΩ", "studs: 4, pitch: §40 mm, size: {length: 100 mm, width: 20 mm, height: 20 mm}, resistance: 0.1 mΩ"), []string{"4 studs at this pitch do not fit on the bar's length"}},

	// Dead shorts.
	{"cables join the take-off", add("  - §{id: W3, from: B1+, to: B2-, size: 2 AWG, length: 1 m}\n"), []string{"with cable W3, cables and bars alone join the take-off's ends B1+ and B2-: a dead short", "B1+ and B1-: a dead short of battery B1", "B2+ and B2-: a dead short of battery B2"}},
	{"cable over one battery", strings.Replace(swap("{id: W1, from: B1+, to: B2+, size", "§{id: W1, from: B1+, to: B1-, size"), "{id: W2", "§{id: W2", 1), []string{"with cable W1…a dead short of battery B1", "with cable W2…take-off's ends"}},
	{"short by way of a bar", add("  - {id: W3, from: B1+, to: N1.1, size: 2 AWG, length: 1 m}\n  - §{id: W4, from: N1.4, to: B1-, size: 2 AWG, length: 1 m}\n"), []string{"with cable W4…the take-off's ends", "battery B1", "battery B2"}},
	{"short by way of a closed switch", add("  - {id: W3, from: B1+, to: Q1.a, size: 2 AWG, length: 1 m}\n  - §{id: W4, from: Q1.b, to: B1-, size: 2 AWG, length: 1 m}\n"), []string{"with cable W4", "battery B1", "battery B2"}},
	{"short by way of a fuse", add("  - {id: W3, from: B1+, to: F1.a, size: 2 AWG, length: 1 m}\n  - §{id: W4, from: F1.b, to: B1-, size: 2 AWG, length: 1 m}\n"), []string{"with cable W4", "battery B1", "battery B2"}},
}

// unmark takes the marks out and gives the places they stood at.
func unmark(src string) (string, []Pos) {
	var places []Pos
	for {
		i := strings.Index(src, "§")
		if i < 0 {
			return src, places
		}
		places = append(places, placeOf([]byte(strings.ToValidUTF8(src[:i], "?")), i))
		src = src[:i] + src[i+len("§"):]
	}
}

func TestFaults(t *testing.T) {
	if len(faultTable) < 60 {
		t.Fatalf("only %d rows", len(faultTable))
	}
	for _, tc := range faultTable {
		t.Run(tc.name, func(t *testing.T) {
			src, places := unmark(tc.src)
			checkFaults(t, src, places, tc.words)
			checkRead(t, []byte(src))
		})
	}
}

// checkFaults reads a job and compares every fault. Several faults may share
// the last place.
func checkFaults(t *testing.T, src string, places []Pos, words []string) {
	t.Helper()
	_, err := Read("job.yaml", []byte(src))
	var faults *Faults
	if !errors.As(err, &faults) {
		t.Fatalf("read without a fault, %v:\n%s", err, src)
	}
	if len(faults.List) != len(words) {
		t.Fatalf("%d faults, not %d:\n%v", len(faults.List), len(words), err)
	}
	for i, f := range faults.List {
		if want := places[min(i, len(places)-1)]; f.Pos != want {
			t.Errorf("told at %d:%d, not %d:%d: %s", f.Line, f.Column, want.Line, want.Column, f.Message)
		}
		for _, part := range strings.Split(words[i], "…") {
			if !strings.Contains(f.Message, part) {
				t.Errorf("%q should say %q", f.Message, part)
			}
		}
		if line := fmt.Sprintf("job.yaml:%d:%d: %s", f.Line, f.Column, f.Message); !strings.Contains(err.Error(), line) {
			t.Errorf("the error does not hold the line %q", line)
		}
	}
}

func TestGoodPair(t *testing.T) {
	if _, err := Read("job.yaml", []byte(pair)); err != nil {
		t.Fatal(err)
	}
}

// All faults of a file are told at once, in the order of the file.
func TestManyFaultsAtOnce(t *testing.T) {
	src, places := unmark(`bankwright: 1
show: {length: §inch}
battery_types:
  b: {chemistry: lfp, nominal: §12.8, capacity: 100 Ah, size: {length: 300 mm, width: 200 mm, height: 200 mm}}
batteries:
  - {id: B1, type: b, at: [0 mm, 0 mm, 0 mm]}
  - {id: §B1, type: §c}
  - {id: B3, type: b, at: §[10 mm, 0 mm, 0 mm]}
cables:
  - {id: W1, from: B1+, to: §B9+, size: 2 AWG}
  - {id: W2, from: B1-, to: §B1-, §sise: 2 AWG, size: 2 AWG}
takeoff: {positive: B1+, negative: §B3}
cases:
  - §{id: day}
`)
	checkFaults(t, src, places, []string{"is not a unit of length", "a bare number", "the ID B1 is used twice", "there is no battery type c",
		"battery B1 and battery B3 overlap", "there is no end B9+", "to itself", `has no key "sise"`, "there is no end B3", "either draw or charge"})
	if len(places) != 10 {
		t.Errorf("%d faults in the file", len(places))
	}
}

func TestCheckWired(t *testing.T) {
	const lone = "  - {id: B3, type: b, at: [800 mm, 0 mm, 0 mm]}\n"
	three := strings.Replace(pair, "parts:\n", strings.Replace(lone, "B3", "§B3", 1)+"parts:\n", 1)
	for _, tc := range []struct {
		name, src string
		words     []string
	}{
		{"wired", pair, nil},
		{"post without a cable", three, []string{"post B3+ has no cable; wire it, or take the battery out of the job", "post B3- has no cable"}},
		{"one post without a cable", three + "  - {id: W3, from: B2+, to: B3+, size: 2 AWG, length: 1 m}\n", []string{"post B3- has no cable"}},
		{"island", three + "  - {id: W3, from: B3+, to: S1, size: 2 AWG, length: 1 m}\n  - {id: W4, from: B3-, to: N1.1, size: 2 AWG, length: 1 m}\n",
			[]string{"battery B3 is not joined to the take-off; wire it, or take it out of the job"}},
		{"island by an open switch", strings.Replace(three, "kind: switch,", "kind: switch, open: true,", 1) +
			"  - {id: W3, from: B3+, to: Q1.a, size: 2 AWG, length: 1 m}\n  - {id: W4, from: Q1.b, to: B1+, size: 2 AWG, length: 1 m}\n  - {id: W5, from: B3-, to: S1, size: 2 AWG, length: 1 m}\n",
			[]string{"battery B3 is not joined to the take-off…(switch Q1 is open)"}},
		{"the same with the switch closed", strings.ReplaceAll(three, "§", "") +
			"  - {id: W3, from: B3+, to: Q1.a, size: 2 AWG, length: 1 m}\n  - {id: W4, from: Q1.b, to: B1+, size: 2 AWG, length: 1 m}\n  - {id: W5, from: B3-, to: S1, size: 2 AWG, length: 1 m}\n", nil},
		{"nothing joins the take-off", swap("takeoff: {positive: B1+, negative: B2-}", "takeoff: §{positive: B1+, negative: S1}"),
			[]string{"nothing joins the take-off's ends B1+ and S1; wire both to the bank"}},
		{"take-off behind an open switch", strings.Replace(swap("takeoff: {positive: B1+, negative: B2-}", "takeoff: §{positive: Q1.b, negative: B2-}"), "kind: switch,", "kind: switch, open: true,", 1) +
			"  - {id: W3, from: B1+, to: Q1.a, size: 2 AWG, length: 1 m}\n",
			[]string{"nothing joins the take-off's ends Q1.b and B2-…(switch Q1 is open)"}},
		{"in series", strings.NewReplacer("from: B1+, to: B2+", "from: B1-, to: B2+", "{id: W2, from: B1-, to: B2-,", "{id: W2, from: N1.1, to: B2-,").Replace(pair), nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			src, places := unmark(tc.src)
			doc, err := Read("job.yaml", []byte(src))
			if err != nil {
				t.Fatal(err)
			}
			err = CheckWired(doc)
			if tc.words == nil {
				if err != nil {
					t.Fatal(err)
				}
				return
			}
			var faults *Faults
			if !errors.As(err, &faults) || len(faults.List) < len(tc.words) {
				t.Fatalf("error %v", err)
			}
			for i, words := range tc.words {
				for _, part := range strings.Split(words, "…") {
					if f := faults.List[i]; f.Pos != places[0] || !strings.Contains(f.Message, part) {
						t.Errorf("%v, not at %v with %q", f, places[0], part)
					}
				}
			}
		})
	}
}
