package job

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

var sizeKeys = &objectShape[Size]{
	name: "size", title: "size",
	intro: "Of a battery, a compartment, or a part with a body. Outside of a case, inside of a compartment, at turn 0.",
	place: func(s *Size, p Pos) { s.Pos = p },
	props: []property[Size]{
		prop("length", func(s *Size) *Field[quantity.Length] { return &s.Length }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "along x at turn 0", Example: "length: 13 in"}).need(),
		prop("width", func(s *Size) *Field[quantity.Length] { return &s.Width }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "along y at turn 0", Example: "width: 6.8 in"}).need(),
		prop("height", func(s *Size) *Field[quantity.Length] { return &s.Height }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "up, without the posts", Mistake: "measuring to the top of the posts", Example: "height: 8.5 in"}).need(),
	},
}

var postKeys = &objectShape[Posts]{
	name: "set of posts", title: "posts",
	intro: "Where the posts are on the top face, each as [along the length, along the width] from the corner at the origin at turn 0.",
	place: func(s *Posts, p Pos) { s.Pos = p },
	props: []property[Posts]{
		prop("positive", func(s *Posts) *Field[[]quantity.Length] { return &s.Positive },
			shape[Field[[]quantity.Length]](tupleShape[quantity.Length]{lengths, 2, "[along length, along width]"}),
			doc{Meaning: "centre of the positive post", Example: "positive: [1.2 in, 1 in]"}).need(),
		prop("negative", func(s *Posts) *Field[[]quantity.Length] { return &s.Negative },
			shape[Field[[]quantity.Length]](tupleShape[quantity.Length]{lengths, 2, "[along length, along width]"}),
			doc{Meaning: "centre of the negative post", Example: "negative: [11.8 in, 1 in]"}).need(),
	},
}

var limitKeys = &objectShape[Limits]{
	name: "set of limits", title: "limits",
	intro: "What the battery's maker allows. Never taken from a table.",
	props: []property[Limits]{
		prop("discharge", func(l *Limits) *Field[quantity.Current] { return &l.Discharge }, shape[Field[quantity.Current]](currents),
			doc{Meaning: "largest lasting discharge current", Default: "not checked", Example: "discharge: 150 A"}),
		prop("charge", func(l *Limits) *Field[quantity.Current] { return &l.Charge }, shape[Field[quantity.Current]](currents),
			doc{Meaning: "largest lasting charge current", Default: "not checked", Example: "charge: 75 A"}),
		prop("trip", func(l *Limits) *Field[quantity.Current] { return &l.Trip }, shape[Field[quantity.Current]](currents),
			doc{Meaning: "current at which the battery's own protection opens", Default: "discharge, assumed, where a trip is needed", Example: "trip: 300 A"}),
		prop("floor", func(l *Limits) *Field[quantity.Ratio] { return &l.Floor }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "state of charge below which it counts as empty", Default: "0 %", Example: "floor: 10 %"}),
		prop("series", func(l *Limits) *Field[int] { return &l.Series }, shape[Field[int]](whole("count", 1, 400)),
			doc{Meaning: "most of them in series", Default: "not checked", Example: "series: 4"}),
		prop("parallel", func(l *Limits) *Field[int] { return &l.Parallel }, shape[Field[int]](whole("count", 1, 400)),
			doc{Meaning: "most of them in parallel", Default: "not checked", Example: "parallel: 4"}),
	},
}

var typeKeys = &objectShape[BatteryType]{
	name: "battery type", title: "battery_types",
	intro: "What batteries of one kind share. The name is yours; it is not an ID and may be any ID-like word.",
	place: func(s *BatteryType, p Pos) { s.Pos = p },
	props: []property[BatteryType]{
		prop("chemistry", func(t *BatteryType) *Field[bank.Chemistry] { return &t.Chemistry },
			shape[Field[bank.Chemistry]](oneOf("chemistry", bank.LFP, bank.AGM, bank.Gel, bank.Flooded)),
			doc{Meaning: "lithium iron phosphate, absorbed glass mat, gel, or flooded lead-acid", Example: "chemistry: lfp"}).need(),
		prop("nominal", func(t *BatteryType) *Field[quantity.Voltage] { return &t.Nominal }, shape[Field[quantity.Voltage]](nominals),
			doc{Meaning: "nominal voltage; tells how many cells there are", Mistake: "12 V for a lithium battery of 12.8 V", Example: "nominal: 12.8 V"}).need(),
		prop("capacity", func(t *BatteryType) *Field[quantity.Charge] { return &t.Capacity }, shape[Field[quantity.Charge]](capacities),
			doc{Meaning: "rated capacity", Example: "capacity: 150 Ah"}).need(),
		prop("resistance", func(t *BatteryType) *Field[quantity.Resistance] { return &t.Resistance }, shape[Field[quantity.Resistance]](resistances),
			doc{Meaning: "inner resistance, warm, half charged, after 10 s", Default: "from chemistry and capacity, assumed",
				Mistake: "a data sheet's upper limit, which is many times too high for sharing", Example: "resistance: 4 mΩ"}),
		prop("emf", func(t *BatteryType) *Field[quantity.Voltage] { return &t.EMF }, shape[Field[quantity.Voltage]](voltages),
			doc{Meaning: "fixes the open-circuit voltage for a snapshot instead of the curve", Default: "from the curve at the state of charge", Example: "emf: 13.2 V"}),
		prop("curve", func(t *BatteryType) *[]CurvePoint { return &t.Curve }, shape[[]CurvePoint](listOf[CurvePoint](curvePoints{}, 2, maxItems)),
			doc{Meaning: "your own open-circuit voltage over state of charge, straight between points, rising in charge", Default: "the chemistry's curve, scaled, assumed",
				Example: "curve: [[0 %, 11.8 V], [50 %, 13.2 V], [100 %, 13.6 V]]"}),
		prop("fault_resistance", func(t *BatteryType) *Field[quantity.Resistance] { return &t.FaultResistance }, shape[Field[quantity.Resistance]](resistances),
			doc{Meaning: "resistance for dead shorts", Default: "0.6 of resistance, assumed", Example: "fault_resistance: 2.4 mΩ"}),
		prop("size", func(t *BatteryType) *Size { return &t.Size }, shape[Size](sizeKeys),
			doc{Meaning: "outside of the case", Default: "not drawn and not routed", Example: "size: {length: 13 in, width: 6.8 in, height: 8.5 in}"}),
		prop("mass", func(t *BatteryType) *Field[quantity.Mass] { return &t.Mass }, shape[Field[quantity.Mass]](masses),
			doc{Meaning: "mass of one", Default: "not known", Example: "mass: 34 lb"}),
		prop("posts", func(t *BatteryType) *Posts { return &t.Posts }, shape[Posts](postKeys),
			doc{Meaning: "where the posts are", Default: "cables need given lengths", Example: "posts: {positive: [1.2 in, 1 in], negative: [11.8 in, 1 in]}"}),
		prop("stud", func(t *BatteryType) *Field[string] { return &t.Stud }, shape[Field[string]](text("thread", 16)),
			doc{Meaning: "thread of the posts", Default: "not known", Example: "stud: M8"}),
		prop("limits", func(t *BatteryType) *Limits { return &t.Limits }, shape[Limits](limitKeys),
			doc{Meaning: "the maker's limits", Default: "not checked", Example: "limits: {discharge: 150 A, trip: 300 A}"}),
	},
}

var batteryKeys = &objectShape[Battery]{
	name: "battery", title: "batteries",
	intro: "One battery where it stands. A value here wins over the type's.",
	place: func(s *Battery, p Pos) { s.Pos = p },
	props: []property[Battery]{
		prop("id", func(b *Battery) *Field[string] { return &b.ID }, shape[Field[string]](ids),
			doc{Meaning: "its name; its posts are then B1+ and B1-", Mistake: "one name twice", Example: "id: B1"}).need(),
		prop("type", func(b *Battery) *Field[string] { return &b.Type }, shape[Field[string]](ids),
			doc{Meaning: "a name from battery_types", Example: "type: block150"}).need(),
		prop("at", func(b *Battery) *Field[[]quantity.Length] { return &b.At }, shape[Field[[]quantity.Length]](position("[x, y, z]")),
			doc{Meaning: "least x, y, z of the turned case", Default: "not placed; cables at it need given lengths", Mistake: "the centre instead of the corner", Example: "at: [2 in, 3 in, 0 in]"}),
		prop("turn", func(b *Battery) *Field[int] { return &b.Turn }, shape[Field[int]](turns),
			doc{Meaning: "degrees counter-clockwise from above: 0, 90, 180, 270", Default: "0", Example: "turn: 180"}),
		prop("start", func(b *Battery) *Field[quantity.Ratio] { return &b.Start }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "state of charge", Default: "100 %, assumed", Example: "start: 90 %"}),
		prop("emf", func(b *Battery) *Field[quantity.Voltage] { return &b.EMF }, shape[Field[quantity.Voltage]](voltages),
			doc{Meaning: "its open-circuit voltage", Default: "the type's", Example: "emf: 13.18 V"}),
		prop("resistance", func(b *Battery) *Field[quantity.Resistance] { return &b.Resistance }, shape[Field[quantity.Resistance]](resistances),
			doc{Meaning: "its inner resistance, best measured", Default: "the type's", Example: "resistance: 4.3 mΩ"}),
		prop("capacity", func(b *Battery) *Field[quantity.Charge] { return &b.Capacity }, shape[Field[quantity.Charge]](capacities),
			doc{Meaning: "its capacity, best measured", Default: "the type's", Example: "capacity: 138 Ah"}),
		prop("off", func(b *Battery) *Field[bool] { return &b.Off }, shape[Field[bool]](yesNo{}),
			doc{Meaning: "its protection has opened: no current, its posts stay as joints; in series it opens its string", Default: "false", Example: "off: true"}),
	},
}
