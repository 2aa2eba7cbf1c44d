package job

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

var jointEnds = &objectShape[Joints]{
	name: "pair of joints", title: "joint",
	intro: "Resistance of one cable end, crimp and contact together: one value for both ends, or one for each.",
	props: []property[Joints]{
		prop("from", func(j *Joints) *Field[quantity.Resistance] { return &j.From }, shape[Field[quantity.Resistance]](joints),
			doc{Meaning: "at the from end", Default: "the job's joint", Example: "from: 0.05 mΩ"}),
		prop("to", func(j *Joints) *Field[quantity.Resistance] { return &j.To }, shape[Field[quantity.Resistance]](joints),
			doc{Meaning: "at the to end", Default: "the job's joint", Example: "to: 0.3 mΩ"}),
	},
}

var cableKeys = &objectShape[Cable]{
	name: "cable", title: "cables",
	intro: "A cable from lug to lug. Series strings are made by cables from B1+ to B2-, as on the bench.",
	place: func(s *Cable, p Pos) { s.Pos = p },
	props: []property[Cable]{
		prop("id", func(c *Cable) *Field[string] { return &c.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: W1"}).need(),
		prop("from", func(c *Cable) *Field[bank.End] { return &c.From }, shape[Field[bank.End]](ends), doc{Meaning: "one end; its current counts positive away from it", Example: "from: B1+"}).need(),
		prop("to", func(c *Cable) *Field[bank.End] { return &c.To }, shape[Field[bank.End]](ends), doc{Meaning: "the other end", Mistake: "the same end twice", Example: "to: B2+"}).need(),
		prop("size", func(c *Cable) *Field[quantity.Size] { return &c.Size }, shape[Field[quantity.Size]](sizes),
			doc{Meaning: "conductor size, gauge or section; the one is never taken for the other", Default: "needed unless resistance is given; choose proposes one", Mistake: "2 AWG for 2/0 AWG", Example: "size: 2/0 AWG"}),
		prop("length", func(c *Cable) *Field[quantity.Length] { return &c.Length }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "lug-hole centre to lug-hole centre", Default: "routed from the geometry", Example: "length: 11 in"}),
		prop("resistance", func(c *Cable) *Field[quantity.Resistance] { return &c.Resistance }, shape[Field[quantity.Resistance]](resistances),
			doc{Meaning: "the whole of it: size, length, joints", Default: "from size, length and joints", Mistake: "giving it and expecting joints to be added", Example: "resistance: 0.35 mohm"}),
		prop("joint", func(c *Cable) *Joints { return &c.Joint }, shape[Joints](jointShape{}),
			doc{Meaning: "resistance of each cable end", Default: "the job's joint", Example: "joint: {from: 0.05 mΩ, to: 0.3 mΩ}"}),
		prop("lug", func(c *Cable) *Lugs { return &c.Lug }, shape[Lugs](lugShape{}),
			doc{Meaning: "the lug on each cable end", Default: "not known", Example: "lug: {barrel: 2/0 AWG, hole: M8, thickness: 3.5 mm}"}),
		prop("along", func(c *Cable) *[]Field[string] { return &c.Along }, shape[[]Field[string]](listOf[Field[string]](ids, 1, 8)),
			doc{Meaning: "runs it follows, in order", Default: "the shortest way", Example: "along: [rail]"}),
		prop("insulation", func(c *Cable) *Field[quantity.Temperature] { return &c.Insulation }, shape[Field[quantity.Temperature]](temperatures),
			doc{Meaning: "temperature its insulation bears", Default: "75 °C, assumed", Mistake: "the highest figure printed on it, where that holds dry only", Example: "insulation: 105 °C"}),
		prop("material", func(c *Cable) *Field[string] { return &c.Material }, shape[Field[string]](text("material", 16)),
			doc{Meaning: "what its insulation is: pvc, rubber, xlpe or another of the catalogue's", Default: "pvc, assumed", Example: "material: xlpe"}),
		prop("diameter", func(c *Cable) *Field[quantity.Length] { return &c.Diameter }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "outside, as measured", Default: "a model good to 1 mm, assumed", Example: "diameter: 15.5 mm"}),
		prop("sheath", func(c *Cable) *Field[bool] { return &c.Sheath }, shape[Field[bool]](yesNo{}),
			doc{Meaning: "within a sheath, conduit or enclosed panel for its whole length", Default: "false", Example: "sheath: true"}),
		prop("bundled", func(c *Cable) *Field[int] { return &c.Bundled }, shape[Field[int]](whole("count", 1, 100)),
			doc{Meaning: "loaded cables in its bundle, itself included", Default: "1", Example: "bundled: 3"}),
		prop("engine", func(c *Cable) *Field[bool] { return &c.Engine }, shape[Field[bool]](yesNo{}),
			doc{Meaning: "it runs in an engine space", Default: "false", Example: "engine: true"}),
		prop("support", func(c *Cable) *Field[quantity.Length] { return &c.Support }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "largest distance between its supports", Default: "not checked", Example: "support: 300 mm"}),
	},
}

var takeoffKeys = &objectShape[Takeoff]{
	name: "take-off", title: "takeoff",
	intro: "Where the bank ends and the rest begins.",
	place: func(s *Takeoff, p Pos) { s.Pos = p },
	props: []property[Takeoff]{
		prop("positive", func(c *Takeoff) *Field[bank.End] { return &c.Positive }, shape[Field[bank.End]](ends), doc{Meaning: "positive end", Example: "positive: B1+"}).need(),
		prop("negative", func(c *Takeoff) *Field[bank.End] { return &c.Negative }, shape[Field[bank.End]](ends), doc{Meaning: "negative end", Example: "negative: B2-"}).need(),
	},
}

var railSizeKeys = &objectShape[RailSizes]{
	name: "pair of rail sizes", title: "cable", intro: "The size that the search wires each rail with.",
	props: []property[RailSizes]{
		prop("positive", func(c *RailSizes) *Field[quantity.Size] { return &c.Positive }, shape[Field[quantity.Size]](sizes), doc{Meaning: "of the positive rail", Example: "positive: 2/0 AWG"}).need(),
		prop("negative", func(c *RailSizes) *Field[quantity.Size] { return &c.Negative }, shape[Field[quantity.Size]](sizes), doc{Meaning: "of the negative rail", Example: "negative: 2/0 AWG"}).need(),
	},
}

var pairKeys = &objectShape[Pair]{
	name: "pair", title: "pairs", intro: "A place for a cable on a rail, with its length or its way by hand. A length given for a cable of the job between the same two ends wins; any other gives way to this.",
	place: func(s *Pair, p Pos) { s.Pos = p },
	props: []property[Pair]{
		prop("from", func(c *Pair) *Field[bank.End] { return &c.From }, shape[Field[bank.End]](ends), doc{Meaning: "one end", Example: "from: B1+"}).need(),
		prop("to", func(c *Pair) *Field[bank.End] { return &c.To }, shape[Field[bank.End]](ends), doc{Meaning: "the other end", Example: "to: B2+"}).need(),
		prop("length", func(c *Pair) *Field[quantity.Length] { return &c.Length }, shape[Field[quantity.Length]](lengths), doc{Meaning: "lug-hole centre to lug-hole centre", Default: "routed, along the runs named", Example: "length: 14 in"}),
		prop("along", func(c *Pair) *[]Field[string] { return &c.Along }, shape[[]Field[string]](listOf[Field[string]](ids, 1, 8)), doc{Meaning: "runs it follows", Default: "the shortest way", Example: "along: [rail]"}),
	},
}

var wiringsKeys = &objectShape[Wirings]{
	name: "question for the search", title: "wirings", intro: "What the search over all wirings is asked. A rail is a tree of cables over its take-off and its posts.",
	place: func(s *Wirings, p Pos) { s.Pos = p },
	props: []property[Wirings]{
		prop("cable", func(c *Wirings) *RailSizes { return &c.Cable }, shape[RailSizes](railSizeKeys),
			doc{Meaning: "size of each rail's cables", Default: "the size most of the job's own rail cables have, assumed", Example: "cable: {positive: 2/0 AWG, negative: 2/0 AWG}"}),
		prop("lugs", func(c *Wirings) *Field[int] { return &c.Lugs }, shape[Field[int]](whole("count", 1, 64)),
			doc{Meaning: "most of the searched rail's cable ends on one post or stud", Default: "no limit", Example: "lugs: 4"}),
		prop("takeoff", func(c *Wirings) *Field[string] { return &c.Takeoff }, shape[Field[string]](oneOf("take-off rule", "any")),
			doc{Meaning: "any: every post in turn is the take-off", Default: "the job's take-off", Example: "takeoff: any"}),
		prop("pairs", func(c *Wirings) *[]Pair { return &c.Pairs }, shape[[]Pair](listOf[Pair](pairKeys, 0, maxItems)),
			doc{Meaning: "lengths or ways by hand", Default: "routed", Example: "pairs: [{from: B1+, to: B3+, length: 28 in}]"}),
	},
}

var caseKeys = &objectShape[Case]{
	name: "case", title: "cases", intro: "What is asked of the bank at the take-off.",
	place: func(s *Case, p Pos) { s.Pos = p },
	props: []property[Case]{
		prop("id", func(c *Case) *Field[string] { return &c.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: evening"}).need(),
		prop("draw", func(c *Case) *Field[Demand] { return &c.Draw }, shape[Field[Demand]](demands), doc{Meaning: "current or power drawn; 0 A gives equalising currents", Default: "either draw or charge is needed", Example: "draw: 100 A"}),
		prop("charge", func(c *Case) *Field[Demand] { return &c.Charge }, shape[Field[Demand]](demands), doc{Meaning: "current or power put in", Default: "either draw or charge is needed", Mistake: "a minus sign", Example: "charge: 60 A"}),
		prop("for", func(c *Case) *Field[quantity.Duration] { return &c.For }, shape[Field[quantity.Duration]](durations), doc{Meaning: "how long, for a run through time", Default: "until the bank is out, the charge has ended, or 24 h at rest; a snapshot does not need it", Example: "for: 3 h"}),
		prop("voltage", func(c *Case) *Field[quantity.Voltage] { return &c.Voltage }, shape[Field[quantity.Voltage]](voltages),
			doc{Meaning: "of a charge: what the charger holds at the take-off once it is reached", Default: "no limit: it pushes until the batteries' own protection opens", Mistake: "on a case that draws", Example: "voltage: 14.2 V"}),
		prop("tail", func(c *Case) *Field[quantity.Current] { return &c.Tail }, shape[Field[quantity.Current]](currents),
			doc{Meaning: "of a charge with voltage: it ends when the current has fallen to this", Default: "it goes on for its time", Example: "tail: 8 A"}),
		prop("cable_temperature", func(c *Case) *Field[quantity.Temperature] { return &c.CableTemperature }, shape[Field[quantity.Temperature]](temperatures),
			doc{Meaning: "of all cables, for their resistance", Default: "20 °C, assumed", Example: "cable_temperature: 45 °C"}),
	},
}

var sequenceKeys = &objectShape[Sequence]{
	name: "sequence", title: "sequences", intro: "Cases one after the other, for a run through time. Its ID may stand wherever a run asks for a case.",
	place: func(s *Sequence, p Pos) { s.Pos = p },
	props: []property[Sequence]{
		prop("id", func(s *Sequence) *Field[string] { return &s.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: day"}).need(),
		prop("cases", func(s *Sequence) *[]Field[string] { return &s.Cases }, shape[[]Field[string]](listOf[Field[string]](ids, 1, 64)),
			doc{Meaning: "IDs of cases, in order; one may stand more than once", Example: "cases: [evening, rest, shore]"}).need(),
		prop("times", func(s *Sequence) *Field[int] { return &s.Times }, shape[Field[int]](whole("count", 1, 366)), doc{Meaning: "how often the whole is done", Default: "1", Example: "times: 3"}),
	},
}

var readingKeys = &objectShape[Reading]{
	name: "reading", title: "readings", intro: "What a meter said, for one case. Readings without a sign are magnitudes.",
	place: func(s *Reading, p Pos) { s.Pos = p },
	props: []property[Reading]{
		prop("id", func(c *Reading) *Field[string] { return &c.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: R1"}).need(),
		prop("case", func(c *Reading) *Field[string] { return &c.Case }, shape[Field[string]](ids), doc{Meaning: "the case it was taken in", Example: "case: evening"}).need(),
		prop("current", func(c *Reading) *[]Named[Field[quantity.Current]] { return &c.Current },
			shape[[]Named[Field[quantity.Current]]](mapShape[Field[quantity.Current]]{"battery, cable or takeoff", checkReadingName, anyCurrents}),
			doc{Meaning: "by battery or cable", Default: "none", Example: "current: {B1: 31.2 A, W1: 24 A}"}),
		prop("drop", func(c *Reading) *[]Named[Field[quantity.Voltage]] { return &c.Drop },
			shape[[]Named[Field[quantity.Voltage]]](mapShape[Field[quantity.Voltage]]{"cable, or cable@end", checkDropName, anyVoltages}),
			doc{Meaning: "across a cable, or across one end of it", Default: "none", Example: "drop: {W1: 24 mV, W1@B2+: 6 mV}"}),
		prop("voltage", func(c *Reading) *[]Named[Field[quantity.Voltage]] { return &c.Voltage },
			shape[[]Named[Field[quantity.Voltage]]](mapShape[Field[quantity.Voltage]]{"battery or takeoff", checkReadingName, anyVoltages}),
			doc{Meaning: "across a battery's posts or the take-off", Default: "none", Example: "voltage: {B1: 13.02 V, takeoff: 12.95 V}"}),
	},
}

var showKeys = &objectShape[Show]{
	name: "way of printing", title: "show", intro: "How numbers are printed, never how they are read.",
	props: []property[Show]{
		prop("length", func(s *Show) *Field[string] { return &s.Length }, shape[Field[string]](oneOf("unit of length", "mm", "cm", "m", "in", "ft")), doc{Meaning: "unit of lengths; inches as fractions to 1/16", Default: "mm", Example: "length: in"}),
		prop("wire", func(s *Show) *Field[string] { return &s.Wire }, shape[Field[string]](oneOf("kind of wire size", "AWG", "mm2")), doc{Meaning: "which wire sizes are offered first", Default: "mm2", Example: "wire: AWG"}),
		prop("temperature", func(s *Show) *Field[string] { return &s.Temperature }, shape[Field[string]](oneOf("unit of temperature", "°C", "°F", "K")), doc{Meaning: "unit of temperatures", Default: "°C", Example: "temperature: °F"}),
	},
}

var jobKeys = &objectShape[Document]{
	name: "job", title: "the job", intro: "The keys of the file. The first is bankwright, the version of the format.",
	place: func(s *Document, p Pos) { s.Pos = p },
	props: []property[Document]{
		prop("bankwright", func(d *Document) *Field[int] { return &d.Version }, shape[Field[int]](whole("format version", 1, Version)), doc{Meaning: "version of the format; stands first", Example: "bankwright: 1"}).need(),
		prop("title", func(d *Document) *Field[string] { return &d.Title }, shape[Field[string]](text("title", 80)), doc{Meaning: "what it is", Default: "untitled", Example: "title: Library trailer"}),
		prop("note", func(d *Document) *Field[string] { return &d.Note }, shape[Field[string]](text("note", 400)), doc{Meaning: "one line about the job, for people", Default: "none", Example: "note: invented example"}),
		prop("show", func(d *Document) *Show { return &d.Show }, shape[Show](showKeys), doc{Meaning: "how numbers are printed", Default: "mm, mm2, °C", Example: "show: {length: in, wire: AWG, temperature: °F}"}),
		prop("battery_types", func(d *Document) *[]Named[BatteryType] { return &d.Types },
			shape[[]Named[BatteryType]](mapShape[BatteryType]{"type", bank.CheckID, typeKeys}), doc{Meaning: "kinds of battery", Example: "battery_types: {block150: {chemistry: lfp, nominal: 12.8 V, capacity: 150 Ah}}"}).need(),
		prop("batteries", func(d *Document) *[]Battery { return &d.Batteries }, shape[[]Battery](listOf[Battery](batteryKeys, 1, maxItems)), doc{Meaning: "the batteries", Example: "batteries: [{id: B1, type: block150}]"}).need(),
		prop("compartments", func(d *Document) *[]Compartment { return &d.Compartments }, shape[[]Compartment](listOf[Compartment](compartmentKeys, 0, 16)), doc{Meaning: "where things stand", Default: "all space is free", Example: "compartments: [{id: bay, at: [0 in, 0 in, 0 in], size: {length: 40 in, width: 20 in, height: 14 in}}]"}),
		prop("passages", func(d *Document) *[]Passage { return &d.Passages }, shape[[]Passage](listOf[Passage](passageKeys, 0, 64)), doc{Meaning: "holes in walls", Default: "none", Example: "passages: [{id: G1, at: [40.5 in, 10 in, 9 in], diameter: 1.5 in}]"}),
		prop("parts", func(d *Document) *[]Part { return &d.Parts }, shape[[]Part](listOf[Part](partKeys, 0, maxItems)), doc{Meaning: "studs, bars, fuses, switches, shunts", Default: "none", Example: "parts: [{id: S1, kind: stud, at: [-8 in, 12 in, 6 in]}]"}),
		prop("runs", func(d *Document) *[]Run { return &d.Runs }, shape[[]Run](listOf[Run](runKeys, 0, 64)), doc{Meaning: "ways that cables follow", Default: "none", Example: "runs: [{id: rail, path: [[2 in, 1 in, 10 in], [36 in, 1 in, 10 in]]}]"}),
		prop("routing", func(d *Document) *Routing { return &d.Routing }, shape[Routing](routingKeys), doc{Meaning: "how cables are laid", Default: "as in its keys, assumed", Example: "routing: {rise: 1.5 in}"}),
		prop("practice", func(d *Document) *Practice { return &d.Practice }, shape[Practice](practiceKeys), doc{Meaning: "which rules it is compared with, and the place", Default: "as in its keys, assumed", Example: "practice: {book: marine}"}),
		prop("place", func(d *Document) *Place { return &d.Place }, shape[Place](placeKeys), doc{Meaning: "where it stands, and its weather", Default: "heat and days are not looked at", Example: "place: {latitude: 46.5 °, climate: golden}"}),
		prop("heaters", func(d *Document) *[]Heater { return &d.Heaters }, shape[[]Heater](listOf[Heater](heaterKeys, 0, 16)), doc{Meaning: "heaters with their thermostats", Default: "none", Example: "heaters: [{id: T1, at: floor, power: 40 W, on: 3 °C, off: 6 °C, sensor: B1}]"}),
		prop("fans", func(d *Document) *[]Fan { return &d.Fans }, shape[[]Fan](listOf[Fan](fanKeys, 0, 16)), doc{Meaning: "fans with their thermostats", Default: "none", Example: "fans: [{id: V1, flow: 40 m3/h, on: 35 °C, off: 30 °C}]"}),
		prop("vents", func(d *Document) *[]Vent { return &d.Vents }, shape[[]Vent](listOf[Vent](ventKeys, 0, 32)), doc{Meaning: "openings to the outside air", Default: "none", Example: "vents: [{id: O1, area: 30 cm2, height: 300 mm}]"}),
		prop("sensors", func(d *Document) *[]Sensor { return &d.Sensors }, shape[[]Sensor](listOf[Sensor](sensorKeys, 0, 64)), doc{Meaning: "temperature sensors", Default: "none", Example: "sensors: [{id: K1, at: B1, source: C1}]"}),
		prop("mounting", func(d *Document) *Mounting { return &d.Mounting }, shape[Mounting](mountingKeys), doc{Meaning: "how the batteries are held down, taken out and balanced", Default: "not looked at", Example: "mounting: {forward: +x, hold_downs: [{id: K1, kind: tray, holds: [B1], lip: 2 in}]}"}),
		prop("inlet", func(d *Document) *Inlet { return &d.Inlet }, shape[Inlet](inletKeys), doc{Meaning: "where mains comes in", Default: "none, or not known", Example: "inlet: {current: 10 A, voltage: 230 V}"}),
		prop("loads", func(d *Document) *[]DayLoad { return &d.Loads }, shape[[]DayLoad](listOf[DayLoad](loadKeys, 0, 200)), doc{Meaning: "what is used of a day", Default: "no balance of days", Example: "loads: [{id: fridge, power: 55 W, duty: 35 %}]"}),
		prop("sun", func(d *Document) *[]SunField { return &d.Sun }, shape[[]SunField](listOf[SunField](sunKeys, 0, 32)), doc{Meaning: "solar panels, for the balance of days", Default: "none", Example: "sun: [{id: roof, part: C2, peak: 400 W}]"}),
		prop("mains", func(d *Document) *Mains { return &d.Mains }, shape[Mains](mainsKeys), doc{Meaning: "when it is plugged in, for the balance of days", Default: "never", Example: "mains: {from: 20:00, to: 07:00, days: 2}"}),
		prop("drive", func(d *Document) *Drive { return &d.Drive }, shape[Drive](driveKeys), doc{Meaning: "when an engine turns an alternator, for the balance of days", Default: "never", Example: "drive: {part: A1, hours: 2 h}"}),
		prop("days", func(d *Document) *DaysAsk { return &d.Days }, shape[DaysAsk](daysKeys), doc{Meaning: "what the balance of days is held against", Default: "as in its keys, assumed", Example: "days: {floor: 20 %, wish: 4 d}"}),
		prop("joint", func(d *Document) *Field[quantity.Resistance] { return &d.Joint }, shape[Field[quantity.Resistance]](joints), doc{Meaning: "resistance of every cable end, crimp and contact together", Default: "0.05 mΩ at every size, assumed", Example: "joint: 0.04 mΩ"}),
		prop("cables", func(d *Document) *[]Cable { return &d.Cables }, shape[[]Cable](listOf[Cable](cableKeys, 0, maxItems)), doc{Meaning: "the cables", Default: "none; then only the search has something to do", Example: "cables: [{id: W1, from: B1+, to: B2+, size: 2/0 AWG}]"}),
		prop("takeoff", func(d *Document) *Takeoff { return &d.Takeoff }, shape[Takeoff](takeoffKeys), doc{Meaning: "where the bank ends", Example: "takeoff: {positive: B1+, negative: B2-}"}).need(),
		prop("wirings", func(d *Document) *Wirings { return &d.Wirings }, shape[Wirings](wiringsKeys), doc{Meaning: "the question for the search", Default: "as in its keys", Example: "wirings: {lugs: 4}"}),
		prop("cases", func(d *Document) *[]Case { return &d.Cases }, shape[[]Case](listOf[Case](caseKeys, 0, 200)), doc{Meaning: "what is asked of the bank", Default: "at rest", Example: "cases: [{id: evening, draw: 100 A, for: 3 h}]"}),
		prop("sequences", func(d *Document) *[]Sequence { return &d.Sequences }, shape[[]Sequence](listOf[Sequence](sequenceKeys, 0, 64)), doc{Meaning: "cases one after the other, for a run", Default: "none", Example: "sequences: [{id: day, cases: [evening, rest]}]"}),
		prop("readings", func(d *Document) *[]Reading { return &d.Readings }, shape[[]Reading](listOf[Reading](readingKeys, 0, maxItems)), doc{Meaning: "what a meter said", Default: "none", Example: "readings: [{id: R1, case: evening, current: {B1: 31.2 A}}]"}),
	},
}
