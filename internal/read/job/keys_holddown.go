package job

import (
	"bankwright/internal/base/quantity"
)

var holdDownKeys = &objectShape[HoldDown]{
	name: "hold-down", title: "hold_downs",
	intro: "One hold-down. rods_and_bar: rods in pairs, a bar over the cases between each. strap: over the top from anchor to anchor. bracket: each stops the cases at its side, or grips their feet. tray: a lip round them. pin: across its axis. shelf: rests on them.",
	place: func(h *HoldDown, p Pos) { h.Pos = p },
	props: []property[HoldDown]{
		prop("id", func(h *HoldDown) *Field[string] { return &h.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: K1"}).need(),
		prop("kind", func(h *HoldDown) *Field[string] { return &h.Kind }, shape[Field[string]](holdKinds), doc{Meaning: "what it is", Example: "kind: rods_and_bar"}).need(),
		prop("holds", func(h *HoldDown) *[]Field[string] { return &h.Holds }, shape[[]Field[string]](listOf[Field[string]](ids, 1, maxItems)), doc{Meaning: "the batteries it holds; those of one hold-down count as one block, and so do those of hold-downs that share a battery", Mistake: "a battery that merely stands beside", Example: "holds: [B1, B2]"}).need(),
		prop("at", func(h *HoldDown) *[]Field[[]quantity.Length] { return &h.At }, shape[[]Field[[]quantity.Length]](listOf[Field[[]quantity.Length]](position("[x, y, z]"), 1, 32)),
			doc{Meaning: "places: of the rods, two for each bar; of a strap's anchors, two for each strap; of brackets, bolts of a tray, pins, bolts of a shelf", Default: "needed by all but tray and shelf; a shelf without it rests on the corners", Example: "at: [[1 in, -1 in, 0 in], [1 in, 14 in, 0 in]]"}),
		prop("thread", func(h *HoldDown) *Field[string] { return &h.Thread }, shape[Field[string]](holdThreads), doc{Meaning: "of its rods or bolts", Default: "rods need it; bolts without it are not checked", Example: "thread: M8"}),
		prop("grade", func(h *HoldDown) *Field[string] { return &h.Grade }, shape[Field[string]](holdGrades), doc{Meaning: "strength class of its rods, bolts or pins", Default: "not known, so that their strength is not checked", Mistake: "threaded rod from the builders' shelf is 4.8 at most", Example: "grade: A2-70"}),
		prop("torque", func(h *HoldDown) *Field[quantity.Torque] { return &h.Torque }, shape[Field[quantity.Torque]](torques), doc{Meaning: "that its nuts are tightened to", Default: "the preload is not looked at", Example: "torque: 3 N·m"}),
		prop("nut", func(h *HoldDown) *Field[string] { return &h.Nut }, shape[Field[string]](oneOf("state of a nut", "dry", "zinc", "oiled")), doc{Meaning: "how the thread is: dry, zinc (plated, dry) or oiled", Default: "oiled for stainless, which galls dry, else dry; assumed", Example: "nut: oiled"}),
		prop("bar", func(h *HoldDown) *HoldBar { return &h.Bar }, shape[HoldBar](holdBarKeys), doc{Meaning: "the bar of each pair of rods", Default: "needed by rods_and_bar", Example: "bar: {shape: tube, width: 1 in, wall: 1/8 in, alloy: 6061-T6}"}),
		prop("plate", func(h *HoldDown) *HoldPlate { return &h.Plate }, shape[HoldPlate](holdPlateKeys), doc{Meaning: "aluminium whose holes the bolts bear in", Default: "not checked", Example: "plate: {alloy: 5052-H32, thickness: 3 mm, edge: 20 mm}"}),
		prop("floor", func(h *HoldDown) *HoldFloor { return &h.Floor }, shape[HoldFloor](holdFloorKeys), doc{Meaning: "what it pulls on", Default: "not checked", Example: "floor: {material: plywood, washer: 30 mm, thickness: 12 mm, crush: 5 MPa, shear: 4 MPa}"}),
		prop("rated", func(h *HoldDown) *Field[quantity.Force] { return &h.Rated }, shape[Field[quantity.Force]](pulls), doc{Meaning: "working load limit of a strap, pulled straight", Default: "not known, so that it is not checked", Mistake: "the breaking strength, or the limit of a loop", Example: "rated: 500 lbf"}),
		prop("strength", func(h *HoldDown) *Field[quantity.Force] { return &h.Strength }, shape[Field[quantity.Force]](pulls), doc{Meaning: "yield of a bracket, a tray's lip or a shelf where it bears, as tested or calculated", Default: "not known, so that it is not checked", Example: "strength: 4 kN"}),
		prop("width", func(h *HoldDown) *Field[quantity.Length] { return &h.Width }, shape[Field[quantity.Length]](lengths), doc{Meaning: "of a strap", Default: "25 mm, assumed", Example: "width: 1 in"}),
		prop("lip", func(h *HoldDown) *Field[quantity.Length] { return &h.Lip }, shape[Field[quantity.Length]](lengths), doc{Meaning: "height of a tray's lip over the floor the cases stand on", Default: "needed by a tray", Example: "lip: 2 in"}),
		prop("sides", func(h *HoldDown) *[]Field[string] { return &h.Sides }, shape[[]Field[string]](listOf[Field[string]](oneOf("side", "left", "right", "front", "back"), 1, 4)), doc{Meaning: "sides of a tray that have the lip: left is the least x, front the least y", Default: "all four", Example: "sides: [left, right]"}),
		prop("grips", func(h *HoldDown) *Field[bool] { return &h.Grips }, shape[Field[bool]](yesNo{}), doc{Meaning: "the bracket holds the case's foot down as well", Default: "false", Example: "grips: true"}),
		prop("isolated", func(h *HoldDown) *Field[bool] { return &h.Isolated }, shape[Field[bool]](yesNo{}), doc{Meaning: "sleeves and washers keep its metals apart", Default: "false", Example: "isolated: true"}),
		prop("axis", func(h *HoldDown) *Field[string] { return &h.Axis }, shape[Field[string]](holdAxes), doc{Meaning: "of a pin", Default: "needed by a pin", Example: "axis: x"}),
		prop("diameter", func(h *HoldDown) *Field[quantity.Length] { return &h.Diameter }, shape[Field[quantity.Length]](lengths), doc{Meaning: "of a pin", Default: "needed by a pin", Example: "diameter: 1/4 in"}),
		prop("planes", func(h *HoldDown) *Field[int] { return &h.Planes }, shape[Field[int]](whole("count", 1, 2)), doc{Meaning: "planes in which a pin is sheared: 2 where it is held on both sides", Default: "1, assumed", Example: "planes: 2"}),
		prop("metal", func(h *HoldDown) *Field[string] { return &h.Metal }, shape[Field[string]](holdMetals), doc{Meaning: "of the bracket, tray or shelf itself", Default: "that of its plate, else not known", Example: "metal: steel"}),
	},
}

var serviceKeys = &objectShape[Service]{
	name: "way out", title: "service",
	intro: "How the batteries are taken out, with the hold-downs taken off.",
	place: func(s *Service, p Pos) { s.Pos = p },
	props: []property[Service]{
		prop("way", func(s *Service) *Field[string] { return &s.Way }, shape[Field[string]](oneOf("way out", "up", "+x", "-x", "+y", "-y")), doc{Meaning: "which way they come out; a compartment is taken to be open there, but for up", Default: "up, assumed", Example: "way: -y"}),
		prop("lid", func(s *Service) *Field[string] { return &s.Lid }, shape[Field[string]](oneOf("kind of lid", "opens", "fixed")), doc{Meaning: "whether the top of the compartment opens over them", Default: "fixed, assumed", Example: "lid: opens"}),
		prop("hand", func(s *Service) *Field[quantity.Length] { return &s.Hand }, shape[Field[quantity.Length]](lengths), doc{Meaning: "room that hand or lifting strap needs over the case", Default: "50 mm, assumed", Example: "hand: 3 in"}),
	},
}

var liftingKeys = &objectShape[Lifting]{
	name: "lift", title: "lifting",
	intro: "One rare lift by hand, for the published lifting equation.",
	place: func(l *Lifting, p Pos) { l.Pos = p },
	props: []property[Lifting]{
		prop("people", func(l *Lifting) *Field[int] { return &l.People }, shape[Field[int]](whole("count", 1, 8)), doc{Meaning: "who share the load", Default: "1, assumed", Example: "people: 2"}),
		prop("reach", func(l *Lifting) *Field[quantity.Length] { return &l.Reach }, shape[Field[quantity.Length]](lengths), doc{Meaning: "from the ankles forward to the hands", Default: "20 cm and half of the case's lesser side, assumed", Mistake: "leaving it out where one leans over a wall", Example: "reach: 15 in"}),
		prop("height", func(l *Lifting) *Field[quantity.Length] { return &l.Height }, shape[Field[quantity.Length]](lengths), doc{Meaning: "of the hands over the ground where the lift begins", Default: "the height of the case, as though it stood on the ground, assumed", Example: "height: 30 in"}),
		prop("travel", func(l *Lifting) *Field[quantity.Length] { return &l.Travel }, shape[Field[quantity.Length]](lengths), doc{Meaning: "how far up or down it is carried", Default: "75 cm, assumed", Example: "travel: 18 in"}),
		prop("twist", func(l *Lifting) *Field[quantity.Angle] { return &l.Twist }, shape[Field[quantity.Angle]](twists), doc{Meaning: "how far the body twists", Default: "0 °, assumed", Example: "twist: 45 °"}),
		prop("grip", func(l *Lifting) *Field[string] { return &l.Grip }, shape[Field[string]](oneOf("grip", "good", "fair", "poor")), doc{Meaning: "good with handles, fair with a strap, poor with neither", Default: "fair, assumed", Example: "grip: good"}),
	},
}

var vehicleKeys = &objectShape[Vehicle]{
	name: "vehicle", title: "vehicle",
	intro: "Where the vehicle stands on the ground, on the same plan as the batteries.",
	place: func(v *Vehicle, p Pos) { v.Pos = p },
	props: []property[Vehicle]{
		prop("axle", func(v *Vehicle) *Field[[]quantity.Length] { return &v.Axle }, shape[Field[[]quantity.Length]](flatPlaces), doc{Meaning: "middle of the axle, the rear one where there are two", Example: "axle: [30 in, 24 in]"}).need(),
		prop("hitch", func(v *Vehicle) *Field[[]quantity.Length] { return &v.Hitch }, shape[Field[[]quantity.Length]](flatPlaces), doc{Meaning: "the hitch, or the middle of the front axle", Default: "what falls on it is not told", Example: "hitch: [130 in, 24 in]"}),
		prop("track", func(v *Vehicle) *Field[quantity.Length] { return &v.Track }, shape[Field[quantity.Length]](lengths), doc{Meaning: "between the wheels of the axle", Default: "left and right are not told", Example: "track: 66 in"}),
		prop("mass", func(v *Vehicle) *Field[quantity.Mass] { return &v.Mass }, shape[Field[quantity.Mass]](masses), doc{Meaning: "of the vehicle without what is put in", Default: "only the change is told", Example: "mass: 1800 lb"}),
		prop("centre", func(v *Vehicle) *Field[[]quantity.Length] { return &v.Centre }, shape[Field[[]quantity.Length]](flatPlaces), doc{Meaning: "its centre of mass", Default: "only the change is told", Example: "centre: [40 in, 24 in]"}),
		prop("also", func(v *Vehicle) *[]AlsoMass { return &v.Also }, shape[[]AlsoMass](listOf[AlsoMass](alsoKeys, 0, 64)), doc{Meaning: "what else is put in with the bank", Default: "the batteries alone", Example: "also: [{what: inverter, mass: 22 lb, at: [30 in, 32 in]}]"}),
	},
}

var alsoKeys = &objectShape[AlsoMass]{
	name: "mass", title: "also",
	intro: "Something else that is put in.",
	place: func(a *AlsoMass, p Pos) { a.Pos = p },
	props: []property[AlsoMass]{
		prop("what", func(a *AlsoMass) *Field[string] { return &a.What }, shape[Field[string]](text("name", 40)), doc{Meaning: "what it is", Example: "what: inverter"}).need(),
		prop("mass", func(a *AlsoMass) *Field[quantity.Mass] { return &a.Mass }, shape[Field[quantity.Mass]](masses), doc{Meaning: "how heavy", Example: "mass: 22 lb"}).need(),
		prop("at", func(a *AlsoMass) *Field[[]quantity.Length] { return &a.At }, shape[Field[[]quantity.Length]](flatPlaces), doc{Meaning: "its middle on the plan", Example: "at: [30 in, 32 in]"}).need(),
	},
}
