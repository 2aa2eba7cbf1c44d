package job

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

var compartmentKeys = &objectShape[Compartment]{
	name: "compartment", title: "compartments",
	intro: "The inside of a box that holds batteries and parts. Where there is one, everything placed lies inside one. Without any, all space is free.",
	place: func(s *Compartment, p Pos) { s.Pos = p },
	props: []property[Compartment]{
		prop("id", func(c *Compartment) *Field[string] { return &c.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: bay"}).need(),
		prop("at", func(c *Compartment) *Field[[]quantity.Length] { return &c.At }, shape[Field[[]quantity.Length]](position("[x, y, z]")),
			doc{Meaning: "least x, y, z of the inside", Example: "at: [0 in, 0 in, 0 in]"}).need(),
		prop("size", func(c *Compartment) *Size { return &c.Size }, shape[Size](sizeKeys),
			doc{Meaning: "of the inside; height up to the lid", Example: "size: {length: 40 in, width: 20 in, height: 14 in}"}).need(),
	},
}

var passageKeys = &objectShape[Passage]{
	name: "passage", title: "passages",
	intro: "A hole in the wall between two compartments. Cables cross walls nowhere else. The wall is the gap between the two insides.",
	place: func(s *Passage, p Pos) { s.Pos = p },
	props: []property[Passage]{
		prop("id", func(c *Passage) *Field[string] { return &c.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: G1"}).need(),
		prop("at", func(c *Passage) *Field[[]quantity.Length] { return &c.At }, shape[Field[[]quantity.Length]](position("[x, y, z]")),
			doc{Meaning: "centre of the hole, in the wall", Example: "at: [40.5 in, 10 in, 9 in]"}).need(),
		prop("diameter", func(c *Passage) *Field[quantity.Length] { return &c.Diameter }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "clear width inside the grommet", Mistake: "the drill's diameter without the grommet", Example: "diameter: 1.5 in"}).need(),
	},
}

var partKeys = &objectShape[Part]{
	name: "part", title: "parts",
	intro: "Everything that is neither a battery nor a cable. A stud's end is its ID, so is the frame's; fuse, breaker, switch, contactor and shunt have the ends F1.a and F1.b; a bar has N1.1 to N1.k along it, and with its branch fuses it is a distribution panel. A device (load, inverter, inverter_charger, charger, solar, alternator) has a for its positive terminal and b for its negative one.",
	place: func(s *Part, p Pos) { s.Pos = p },
	props: []property[Part]{
		prop("id", func(c *Part) *Field[string] { return &c.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: S1"}).need(),
		prop("kind", func(c *Part) *Field[bank.PartKind] { return &c.Kind },
			shape[Field[bank.PartKind]](oneOf("kind of part", bank.Stud, bank.Frame, bank.Bar, bank.Fuse, bank.Breaker, bank.Switch, bank.Contactor, bank.Shunt,
				bank.Load, bank.Inverter, bank.InverterCharger, bank.Charger, bank.Solar, bank.Alternator)),
			doc{Meaning: "what it is", Example: "kind: stud"}).need(),
		prop("at", func(c *Part) *Field[[]quantity.Length] { return &c.At }, shape[Field[[]quantity.Length]](position("[x, y, z]")),
			doc{Meaning: "least x, y, z of the turned body; of a stud without size, the stud itself", Default: "not placed; cables at it need given lengths", Example: "at: [-8 in, 12 in, 6 in]"}),
		prop("turn", func(c *Part) *Field[int] { return &c.Turn }, shape[Field[int]](turns), doc{Meaning: "as of a battery", Default: "0", Example: "turn: 90"}),
		prop("size", func(c *Part) *Size { return &c.Size }, shape[Size](sizeKeys),
			doc{Meaning: "its body; ends a and b are at the two ends of its length, a bar's studs spread along it, all on top", Default: "a point for a stud; needed to route cables to the others",
				Example: "size: {length: 8 in, width: 2 in, height: 2 in}"}),
		prop("resistance", func(c *Part) *Field[quantity.Resistance] { return &c.Resistance }, shape[Field[quantity.Resistance]](resistances),
			doc{Meaning: "a to b; of a bar from its first to its last stud", Default: "of a bar from section and pitch, copper; needed for fuse, breaker, switch, contactor and shunt", Example: "resistance: 0.1 mΩ"}),
		prop("studs", func(c *Part) *Field[int] { return &c.Studs }, shape[Field[int]](whole("count", 2, bank.MaxBarStuds)),
			doc{Meaning: "of a bar: how many studs", Default: "needed for a bar", Example: "studs: 6"}),
		prop("pitch", func(c *Part) *Field[quantity.Length] { return &c.Pitch }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "of a bar: stud to stud", Default: "needed for a bar that is placed or has no given resistance", Example: "pitch: 40 mm"}),
		prop("section", func(c *Part) *Field[[]quantity.Length] { return &c.Section },
			shape[Field[[]quantity.Length]](tupleShape[quantity.Length]{lengths, 2, "[width, thickness]"}),
			doc{Meaning: "of a bar: its cross-section, solid copper", Default: "needed where no resistance is given", Example: "section: [25 mm, 6 mm]"}),
		prop("open", func(c *Part) *Field[bool] { return &c.Open }, shape[Field[bool]](yesNo{}), doc{Meaning: "of a switch or contactor: it is open", Default: "false", Example: "open: true"}),
		prop("class", func(c *Part) *Field[string] { return &c.Class }, shape[Field[string]](text("class", 24)),
			doc{Meaning: "of a fuse or breaker: its class, one of the catalogue's", Default: "not checked", Example: "class: class_t"}),
		prop("rating", func(c *Part) *Field[quantity.Current] { return &c.Rating }, shape[Field[quantity.Current]](currents),
			doc{Meaning: "lasting current it is made for", Default: "not checked", Example: "rating: 300 A"}),
		prop("interrupt", func(c *Part) *Field[quantity.Current] { return &c.Interrupt }, shape[Field[quantity.Current]](currents),
			doc{Meaning: "current it can break, from its own sheet", Default: "its class's, where the catalogue has one", Mistake: "the a.c. figure", Example: "interrupt: 20 kA"}),
		prop("volts", func(c *Part) *Field[quantity.Voltage] { return &c.Volts }, shape[Field[quantity.Voltage]](voltages),
			doc{Meaning: "d.c. voltage it can break", Default: "its class's, where the catalogue has one", Example: "volts: 125 V"}),
		prop("thread", func(c *Part) *Field[string] { return &c.Thread }, shape[Field[string]](text("thread", 16)),
			doc{Meaning: "thread of its terminals or of the stud", Default: "not known", Example: "thread: M8"}),
		prop("power", func(c *Part) *Field[quantity.Power] { return &c.Power }, shape[Field[quantity.Power]](powers),
			doc{Meaning: "of a load or inverter: lasting power it gives", Default: "not checked", Example: "power: 2 kW"}),
		prop("surge", func(c *Part) *Field[quantity.Power] { return &c.Surge }, shape[Field[quantity.Power]](powers),
			doc{Meaning: "power for a short while", Default: "as power", Example: "surge: 4 kW"}),
		prop("surge_for", func(c *Part) *Field[quantity.Duration] { return &c.SurgeFor }, shape[Field[quantity.Duration]](durations),
			doc{Meaning: "how long the surge lasts", Default: "5 s, assumed", Example: "surge_for: 5 s"}),
		prop("efficiency", func(c *Part) *Field[quantity.Ratio] { return &c.Efficiency }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "of an inverter", Default: "85 %, assumed", Example: "efficiency: 90 %"}),
		prop("cutout", func(c *Part) *Field[quantity.Voltage] { return &c.Cutout }, shape[Field[quantity.Voltage]](voltages),
			doc{Meaning: "it stops below this, at its terminals", Default: "not checked", Example: "cutout: 10.8 V"}),
		prop("capacitance", func(c *Part) *Field[quantity.Capacitance] { return &c.Capacitance }, shape[Field[quantity.Capacitance]](capacitances),
			doc{Meaning: "of its input", Default: "not known", Example: "capacitance: 12 mF"}),
		prop("current", func(c *Part) *Field[quantity.Current] { return &c.Current }, shape[Field[quantity.Current]](currents),
			doc{Meaning: "of a load: what it takes; of a source: what it gives at most", Default: "not checked", Example: "current: 60 A"}),
		prop("voltage", func(c *Part) *Field[quantity.Voltage] { return &c.Voltage }, shape[Field[quantity.Voltage]](voltages),
			doc{Meaning: "of a source: what it holds when the battery is nearly full", Default: "not checked", Example: "voltage: 14.2 V"}),
		prop("float", func(c *Part) *Field[quantity.Voltage] { return &c.Float }, shape[Field[quantity.Voltage]](voltages),
			doc{Meaning: "of a source: what it holds afterwards", Default: "none", Example: "float: 13.5 V"}),
		prop("cold_lockout", func(c *Part) *Field[quantity.Temperature] { return &c.ColdLockout }, shape[Field[quantity.Temperature]](temperatures),
			doc{Meaning: "of a source: its own sensor on the batteries stops it below this", Default: "it has none", Example: "cold_lockout: 2 °C"}),
		prop("on_open", func(c *Part) *Field[string] { return &c.OnOpen }, shape[Field[string]](oneOf("answer to an open battery", bank.OpenStops, bank.OpenKeeps, bank.OpenSurges)),
			doc{Meaning: "of a source: what it does when the battery opens under it", Default: "not known", Example: "on_open: stops"}),
	},
}

var practiceKeys = &objectShape[Practice]{
	name: "practice", title: "practice",
	intro: "Which published rules the job is compared with, and what the place is like.",
	props: []property[Practice]{
		prop("book", func(c *Practice) *Field[string] { return &c.Book }, shape[Field[string]](oneOf("book of rules", bank.Marine, bank.Vehicle, bank.General)),
			doc{Meaning: "marine: US small craft law and its neighbours; vehicle: caravans and road vehicles; general: the general electrical code", Default: "vehicle, assumed", Example: "book: marine"}),
		prop("ambient", func(c *Practice) *Field[quantity.Temperature] { return &c.Ambient }, shape[Field[quantity.Temperature]](temperatures),
			doc{Meaning: "the warmest air round the cables", Default: "40 °C, assumed", Example: "ambient: 45 °C"}),
		prop("petrol", func(c *Practice) *Field[bool] { return &c.Petrol }, shape[Field[bool]](yesNo{}),
			doc{Meaning: "vapour of petrol or cooking gas may gather where the bank is", Default: "false", Example: "petrol: true"}),
		prop("sleeping", func(c *Practice) *Field[bool] { return &c.Sleeping }, shape[Field[bool]](yesNo{}),
			doc{Meaning: "people sleep in the air that the bank is in", Default: "false", Example: "sleeping: true"}),
	},
}

var runKeys = &objectShape[Run]{
	name: "run", title: "runs",
	intro: "A way that cables shall follow, corner by corner. A cable follows it by naming it under along.",
	place: func(s *Run, p Pos) { s.Pos = p },
	props: []property[Run]{
		prop("id", func(c *Run) *Field[string] { return &c.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: rail"}).need(),
		prop("path", func(c *Run) *[]Field[[]quantity.Length] { return &c.Path },
			shape[[]Field[[]quantity.Length]](listOf[Field[[]quantity.Length]](position("[x, y, z]"), 1, 50)),
			doc{Meaning: "its corners in order", Example: "path: [[2 in, 1 in, 10 in], [36 in, 1 in, 10 in]]"}).need(),
	},
}

var routingKeys = &objectShape[Routing]{
	name: "set of routing rules", title: "routing",
	intro: "How cables are laid where the job gives no length: up from the post, along, down, never through a case.",
	props: []property[Routing]{
		prop("rise", func(c *Routing) *Field[quantity.Length] { return &c.Rise }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "straight up from a post before it turns", Default: "30 mm, assumed", Example: "rise: 1.5 in"}),
		prop("clearance", func(c *Routing) *Field[quantity.Length] { return &c.Clearance }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "from the cable's outside to cases and walls", Default: "5 mm, assumed", Example: "clearance: 1/2 in"}),
		prop("allowance", func(c *Routing) *Field[quantity.Length] { return &c.Allowance }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "added at each end for the lug's turn and slack", Default: "10 mm, assumed", Example: "allowance: 1/2 in"}),
		prop("bend", func(c *Routing) *Field[int] { return &c.Bend }, shape[Field[int]](whole("count of diameters", 1, 20)),
			doc{Meaning: "inside bend radius in cable diameters", Default: "4, assumed", Example: "bend: 4"}),
	},
}
