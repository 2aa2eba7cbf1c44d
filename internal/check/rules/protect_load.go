package rules

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

var steadyLoad = Rule{
	ID:       "PRO-04",
	Title:    "A device is loaded too much for long",
	Text:     "A fuse or breaker carries its rating for good in the air it is rated for. Vehicle fuses (blade, bolt-in, strip, post) should carry no more than 75 to 80 % of it for long; the same is a good habit for all others, as they sit in warm air.",
	Source:   source.Ref{Title: "steady load of a fuse at most 75 to 80 % of its rating", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("class: class_t, rating: 200 A", "class: class_t, rating: 100 A"),
	Passing:  dcJob,
	check:    checkSteadyLoad,
}

// vehicleFuses are the classes that are rated in a cool room.
var vehicleFuses = []string{"blade", "blade_high", "bolt_30", "bolt_51", "strip", "post_cube"}

// continuousPart is how much of its rating a device may carry for long.
func continuousPart() (least, most float64, ref source.Ref) {
	for _, one := range catalog.Default().FuseLimits() {
		if one.ID == "continuous" {
			return one.Value.Least, one.Value.Most, one.Ref
		}
	}
	panic("rules: the catalogue lacks the continuous load of a fuse")
}

func checkSteadyLoad(r *report.Report, say *speaker) {
	least, most, ref := continuousPart()
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		p := partOf(r, g)
		rated, load := float64(p.Rated.Current), g.Steady
		if rated == 0 || load.Amps == 0 {
			continue
		}
		const mend = "take a larger device, and a conductor that allows it"
		words := fmt.Sprintf("%s of %s carries %s %s (%s)", g.Part, amps(rated), amps(load.Amps), span(load.Seconds), load.In)
		part := func(severity finding.Severity, limit float64) {
			say.hold(severity, g.Part, fmt.Sprintf("%s: %.0f %% of its rating, more than the %.0f %% it should carry for long", words, 100*load.Amps/rated, 100*limit), mend,
				number{value: load.Amps, limit: limit * rated, unit: "A"}, ref)
		}
		vehicle := slices.Contains(vehicleFuses, p.Rated.Class)
		switch pass := protect.Passes(device(r, g), []protect.Step{{Current: load.Amps, Seconds: load.Seconds}}, protect.LoadOptions{}); {
		case over(load.Amps, rated) && pass.Verdict != protect.Within:
			say.hold(finding.Fault, g.Part, words+", more than its rating", mend, number{value: load.Amps, limit: rated, unit: "A"}, source.Ref{})
		case vehicle && over(load.Amps, most*rated):
			part(finding.Warning, most)
		case vehicle && over(load.Amps, least*rated):
			part(finding.Note, least)
		case over(load.Amps, most*rated):
			part(finding.Note, most)
		}
	}
}

// over reports whether a value passes a limit, rounding aside.
func over(value, limit float64) bool { return value > limit*(1+1e-9) }

var surgeLoad = Rule{
	ID:       "PRO-05",
	Title:    "A device may open in a starting surge",
	Text:     "A surge over the rating is carried only for as long as the device's time-current band tells at the least. Most bands here are from memory; where none tells it, the part's own curve must.",
	Source:   source.Ref{Title: "time-current band of the device's class", At: "the finding names the one", Edition: "not at hand", How: source.Memory},
	Severity: finding.Warning,
	Failing:  dcWith("class: class_t, rating: 200 A", "class: bolt_51, rating: 105 A", "surge_for: 5 s", "surge_for: 15 s"),
	Passing:  dcJob,
	check:    checkSurgeLoad,
}

func checkSurgeLoad(r *report.Report, say *speaker) {
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		p := partOf(r, g)
		rated, load := float64(p.Rated.Current), g.Surge
		if rated == 0 || !over(load.Amps, rated) {
			continue
		}
		d := device(r, g)
		got := protect.Passes(d, []protect.Step{{Current: load.Amps, Seconds: load.Seconds}}, protect.LoadOptions{})
		words := fmt.Sprintf("%s of %s meets %s %s (%s)", g.Part, amps(rated), amps(load.Amps), span(load.Seconds), load.In)
		switch got.Verdict {
		case protect.NotChecked:
			say.pass(g.Part, words+"; how long it carries that is not told: look at its own time-current curve")
		case protect.Outside:
			n := number{}
			if sure := got.Steps[0].Earliest; !math.IsNaN(sure) {
				words += "; it is sure to carry that only " + span(sure)
				n = number{value: load.Seconds, limit: sure, unit: "s"}
			}
			say.hold(finding.Warning, g.Part, words, "take a slower or larger device, or start the load alone", n, bandRef(d))
		}
	}
}

// bandRef is where a device's times come from, zero where nothing is told.
func bandRef(d protect.Device) source.Ref {
	if refs := d.Band.Refs(); len(refs) > 0 {
		return refs[0]
	}
	return source.Ref{}
}

var untold = Rule{
	ID:       "PRO-14",
	Title:    "A device lacks the numbers it is judged by",
	Text:     "Without a rating nothing about a fuse or breaker can be checked: not its conductor, not its load. A fuse without a class may be any fuse: its times are then not known.",
	Source:   source.Ref{Title: "what is printed on the device", How: source.Practice},
	Severity: finding.Warning,
	Failing:  dcWith("class: class_t, rating: 60 A, interrupt", "class: class_t, interrupt"),
	Passing:  dcJob,
	check:    checkUntold,
}

func checkUntold(r *report.Report, say *speaker) {
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		p := partOf(r, g)
		if p.Rated.Current == 0 {
			say.find(g.Part, fmt.Sprintf("not checked: %s has no rating, so neither its load nor its conductors can be judged", g.Part), "read the rating off the device and add it to the job")
		}
		if p.Kind == bank.Fuse && p.Rated.Class == "" {
			say.pass(g.Part, "it has no class: its times and what it lets through are not known")
		}
		class := catalog.Default().FuseClass(p.Rated.Class)
		if class != nil && p.Rated.Current > 0 && class.Ratings.Most > 0 && !class.Ratings.Holds(p.Rated.Current) {
			say.hold(finding.Warning, g.Part, fmt.Sprintf("%s of %s is outside the ratings that %s comes in: %s to %s", g.Part, amps(float64(p.Rated.Current)), class.Name, amps(float64(class.Ratings.Least)), amps(float64(class.Ratings.Most))),
				"look at the mark on the fuse: class or rating is wrong", number{value: float64(p.Rated.Current), limit: float64(class.Ratings.Most), unit: "A"}, class.Ratings.Ref)
		}
	}
}

var misplaced = Rule{
	ID:       "PRO-17",
	Title:    "A device stands where it saves nothing",
	Text:     "A fuse or breaker that copper leads round, one that no battery feeds anything through, and one in the negative alone do not save the live conductors. In a bonded negative a short to the frame goes past the device. A spare way with nothing behind it is named as a note, a loop that comes back to its own place as a warning.",
	Source:   source.Ref{Title: "a device must stand in the way of the current, in the ungrounded conductor", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("support: 12 in}\ntakeoff:", "support: 12 in}\n  - {id: W17, from: F1.a, to: F1.b, size: 2/0 AWG, length: 6 in, insulation: 105 °C, support: 12 in}\ntakeoff:"),
	Passing:  dcJob,
	check:    checkMisplaced,
}

func checkMisplaced(r *report.Report, say *speaker) {
	for i := range r.Side.Guards {
		g := &r.Side.Guards[i]
		p := partOf(r, g)
		a := look(r.Bank, p.Ends()[0], -1)
		side := sideOf(r, g.Part)
		switch {
		case a.ends[p.Ends()[1]]:
			say.find(g.Part, fmt.Sprintf("copper leads round %s from one end to the other without a device: it never carries a fault alone and saves nothing", g.Part), "take out the cable that leads round it")
		case side == "negative":
			say.find(g.Part, fmt.Sprintf("%s stands in the negative: a short from the positive to the frame or to another negative goes past it", g.Part), "put it in the positive conductor")
		case len(g.Feeds) == 0:
			say.find(g.Part, fmt.Sprintf("%s saves no conductor: nothing is fed through it", g.Part), "wire it between a battery and what it should save, or leave it out")
		default:
			sayHanging(r, say, p)
		}
	}
}

// sayHanging names a device behind which nothing hangs: a spare way is a note, a
// loop that comes back to its own place a warning.
func sayHanging(r *report.Report, say *speaker, p *bank.Part) {
	at, loop, ok := hanging(r.Bank, p)
	if !ok {
		return
	}
	severity, words := finding.Note, fmt.Sprintf("nothing hangs behind %s: no battery, no device, no take-off", p.ID)
	if loop {
		severity, words = finding.Warning, fmt.Sprintf("%s stands in a loop that comes back to %s: no current need go through it, and it saves nothing beyond the loop", p.ID, at)
	}
	say.hold(severity, p.ID, words, "wire what it should save behind it, or leave it out", number{}, source.Ref{})
}

var switchRating = Rule{
	ID:       "PRO-16",
	Title:    "A switch or contactor carries or opens more than it is made for",
	Text:     "Its rating must hold for the largest lasting current, and what it may have to open for the largest surge. A dead short is the fuse's to open: a contactor's contacts may weld in it.",
	Source:   source.Ref{Title: "the rating of the switch in the job", How: source.Practice},
	Severity: finding.Fault,
	Failing:  dcWith("kind: switch, rating: 300 A", "kind: switch, rating: 80 A"),
	Passing:  dcJob,
	check:    checkSwitch,
}

func checkSwitch(r *report.Report, say *speaker) {
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if !p.Kind.Opens() {
			continue
		}
		steady, surge := flowsOf(r, p.ID)
		rated, opens := float64(p.Rated.Current), float64(p.Rated.Interrupt)
		const mend = "take a larger one"
		switch {
		case rated == 0 && steady.Amps > 0:
			say.pass(p.ID, "the job gives no rating for it")
		case over(steady.Amps, rated):
			say.hold(finding.Fault, p.ID, fmt.Sprintf("%s of %s carries %s %s (%s)", p.ID, amps(rated), amps(steady.Amps), span(steady.Seconds), steady.In), mend,
				number{value: steady.Amps, limit: rated, unit: "A"}, source.Ref{})
		case over(surge.Amps, rated):
			say.hold(finding.Note, p.ID, fmt.Sprintf("%s of %s carries %s %s (%s): its short-time rating is not in the job", p.ID, amps(rated), amps(surge.Amps), span(surge.Seconds), surge.In), "look up its rating for some seconds",
				number{value: surge.Amps, limit: rated, unit: "A"}, source.Ref{})
		}
		if most := math.Max(steady.Amps, surge.Amps); opens > 0 && over(most, opens) {
			say.hold(finding.Fault, p.ID, fmt.Sprintf("%s opens at most %s; it may have to open %s", p.ID, amps(opens), amps(most)), mend, number{value: most, limit: opens, unit: "A"}, source.Ref{})
		} else if opens == 0 && p.Kind == bank.Contactor && most > 0 {
			say.pass(p.ID, "the job does not say what current it can open")
		}
		if v := float64(p.Rated.Voltage); v > 0 && over(r.Side.Highest, v) {
			say.hold(finding.Fault, p.ID, fmt.Sprintf("%s is made to open %s; the system may reach %s", p.ID, volt(v), volt(r.Side.Highest)), "take one for more volts d.c.", number{value: r.Side.Highest, limit: v, unit: "V"}, source.Ref{})
		}
	}
}

// flowsOf gives the largest lasting and the largest brief current of a part;
// brief is what lasts less than ten minutes, as for conductors.
func flowsOf(r *report.Report, id string) (steady, surge report.WorstFlow) {
	const lasting = 600
	for i := range r.Side.Scenarios {
		s := &r.Side.Scenarios[i]
		into := &steady
		if s.Seconds < lasting {
			into = &surge
		}
		if a := s.Parts[id]; a > into.Amps {
			*into = report.WorstFlow{Amps: a, Seconds: s.Seconds, In: s.Name, Assumed: s.Assumed}
		}
	}
	return steady, surge
}

// listed joins names for a sentence.
func listed(names []string) string { return strings.Join(names, ", ") }
