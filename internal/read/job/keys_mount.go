package job

import (
	"bankwright/internal/base/quantity"
)

// What the tables of strengths know. The strengths themselves are the engine's;
// a test holds that these are the same names.
var (
	mountRules  = oneOf("rule", "road_us_break", "road_us_working", "road_eu", "boat_us", "boat_iso", "least", "recommended", "cabin", "container_car", "container_bus", "container_heavy", "ambulance")
	holdKinds   = oneOf("kind of hold-down", "rods_and_bar", "strap", "bracket", "tray", "pin", "shelf")
	holdThreads = oneOf("thread", "M5", "M6", "M8", "M10", "M12", "M16", "10-24", "1/4-20", "5/16-18", "3/8-16", "7/16-14", "1/2-13")
	holdGrades  = likeNumbers(oneOf("grade", "SAE 2", "SAE 5", "SAE 8", "4.8", "8.8", "10.9", "A2-50", "A2-70", "A4-70", "A2-80", "A4-80"))
	holdAlloys  = oneOf("known alloy", "6061-T6", "6005A-T61", "6063-T5", "6063-T6", "6061-T6 welded", "5052-H32")
	holdMetals  = oneOf("metal", "gold", "silver", "nickel", "copper", "brass", "stainless", "tin", "lead", "steel", "aluminium", "zinc")
	barShapes   = oneOf("shape of a bar", "tube", "flat", "angle", "round")
	holdAxes    = oneOf("main axis", "x", "y", "z")
	headings    = oneOf("direction on the plan", "+x", "-x", "+y", "-y")
	pressures   = physical[quantity.Pressure](1e3, 1e10, "1 kPa to 10 GPa")
	twists      = physical[quantity.Angle](0, 2.36, "0 ° to 135 °")
)

var mountingKeys = &objectShape[Mounting]{
	name: "mounting", title: "mounting",
	intro: "How the batteries are held down in a vehicle or boat: what is asked, what holds them, how they come out, what they do to the balance.",
	place: func(m *Mounting, p Pos) { m.Pos = p },
	props: []property[Mounting]{
		prop("rule", func(m *Mounting) *Field[string] { return &m.Rule }, shape[Field[string]](mountRules),
			doc{Meaning: "whose loads are asked: road_us_break, road_us_working and road_eu are for goods on a road; boat_us and boat_iso for boats; least and recommended are common practice for any bank that moves; cabin is for one beside people; the rest for what its name says", Default: "recommended, assumed; not with loads", Mistake: "a rule for goods as the basis of a tray that is a part of the vehicle", Example: "rule: recommended"}),
		prop("loads", func(m *Mounting) *MountLoads { return &m.Loads }, shape[MountLoads](mountLoadKeys),
			doc{Meaning: "loads of your own instead of a rule's", Default: "the rule's", Example: "loads: {forward: 4 g, aft: 2 g, side: 2 g, up: 1 g}"}),
		prop("forward", func(m *Mounting) *Field[string] { return &m.Forward }, shape[Field[string]](headings),
			doc{Meaning: "which way the vehicle goes on the plan", Example: "forward: +x"}).need(),
		prop("friction", func(m *Mounting) *Field[float64] { return &m.Friction }, shape[Field[float64]](plainNumbers("friction coefficient", 0.01, 1)),
			doc{Meaning: "friction coefficient under the cases that is counted as a help", Default: "none is counted", Mistake: "counting on carpet or rubber, for which no figure is known", Example: "friction: 0.3"}),
		prop("surroundings", func(m *Mounting) *Field[string] { return &m.Surroundings }, shape[Field[string]](oneOf("kind of surroundings", "wet", "damp", "indoor")),
			doc{Meaning: "for metals that touch: wet (salt or spray), damp (not controlled), indoor (dry)", Default: "wet with the marine book, else damp, assumed", Example: "surroundings: damp"}),
		prop("hold_downs", func(m *Mounting) *[]HoldDown { return &m.HoldDowns }, shape[[]HoldDown](listOf[HoldDown](holdDownKeys, 0, 64)),
			doc{Meaning: "what holds them", Default: "nothing does, which is found", Example: "hold_downs: [{id: K1, kind: strap, holds: [B1], at: [[0 in, -1 in, 0 in], [0 in, 8 in, 0 in]], rated: 500 lbf}]"}),
		prop("service", func(m *Mounting) *Service { return &m.Service }, shape[Service](serviceKeys),
			doc{Meaning: "how the batteries are taken out", Default: "up, under a lid that does not open, assumed", Example: "service: {lid: opens}"}),
		prop("lifting", func(m *Mounting) *Lifting { return &m.Lifting }, shape[Lifting](liftingKeys),
			doc{Meaning: "how one is lifted by hand", Default: "as in its keys, assumed", Example: "lifting: {people: 2}"}),
		prop("vehicle", func(m *Mounting) *Vehicle { return &m.Vehicle }, shape[Vehicle](vehicleKeys),
			doc{Meaning: "what the masses are balanced on", Default: "the balance is not looked at", Example: "vehicle: {axle: [1 m, 0.5 m], hitch: [4 m, 0.5 m]}"}),
	},
}

func loadProp(key string, at func(*MountLoads) *Field[float64], meaning, example string) property[MountLoads] {
	return prop(key, at, shape[Field[float64]](gees), doc{Meaning: meaning, Default: "not asked", Example: example})
}

var mountLoadKeys = &objectShape[MountLoads]{
	name: "set of loads", title: "loads",
	intro: "Loads of your own, each in multiples of the weight, as in 2 g.",
	place: func(l *MountLoads, p Pos) { l.Pos = p },
	props: []property[MountLoads]{
		loadProp("forward", func(l *MountLoads) *Field[float64] { return &l.Forward }, "when it brakes", "forward: 4 g"),
		loadProp("aft", func(l *MountLoads) *Field[float64] { return &l.Aft }, "when it is hit from behind or pulls away", "aft: 2 g"),
		loadProp("side", func(l *MountLoads) *Field[float64] { return &l.Side }, "to either side", "side: 2 g"),
		loadProp("up", func(l *MountLoads) *Field[float64] { return &l.Up }, "upward, against which the weight helps", "up: 2 g"),
		loadProp("down", func(l *MountLoads) *Field[float64] { return &l.Down }, "onto the floor, the weight itself included, so 1 g or more", "down: 3 g"),
		prop("against", func(l *MountLoads) *Field[string] { return &l.Against }, shape[Field[string]](oneOf("kind of strength", "working", "yield", "breaking")),
			doc{Meaning: "the strength they are held against: working load limit, yield or breaking", Default: "yield", Example: "against: yield"}),
		prop("factor", func(l *MountLoads) *Field[float64] { return &l.Factor }, shape[Field[float64]](plainNumbers("factor", 1, 20)),
			doc{Meaning: "that the strength is divided by", Default: "1", Example: "factor: 2"}),
	},
}

var holdBarKeys = &objectShape[HoldBar]{
	name: "bar", title: "bar",
	intro: "A bar over the cases, between two rods.",
	place: func(b *HoldBar, p Pos) { b.Pos = p },
	props: []property[HoldBar]{
		prop("shape", func(b *HoldBar) *Field[string] { return &b.Shape }, shape[Field[string]](barShapes), doc{Meaning: "tube, flat, angle or round", Example: "shape: tube"}).need(),
		prop("width", func(b *HoldBar) *Field[quantity.Length] { return &b.Width }, shape[Field[quantity.Length]](lengths), doc{Meaning: "level; of an angle its leg, of a round bar its diameter", Example: "width: 1 in"}).need(),
		prop("height", func(b *HoldBar) *Field[quantity.Length] { return &b.Height }, shape[Field[quantity.Length]](lengths), doc{Meaning: "upright: of a tube, or the thickness of a flat bar", Default: "of a tube its width; a flat bar needs it", Mistake: "a flat bar given on edge but laid flat", Example: "height: 1 in"}),
		prop("wall", func(b *HoldBar) *Field[quantity.Length] { return &b.Wall }, shape[Field[quantity.Length]](lengths), doc{Meaning: "thickness of a tube's wall or an angle's leg", Default: "needed by those two", Example: "wall: 1/8 in"}),
		prop("alloy", func(b *HoldBar) *Field[string] { return &b.Alloy }, shape[Field[string]](holdAlloys), doc{Meaning: "aluminium alloy with its temper", Default: "not known, so that its strength is not checked", Mistake: "an alloy without temper: 6063-T5 has half the strength of 6061-T6", Example: "alloy: 6061-T6"}),
		prop("bears", func(b *HoldBar) *Field[quantity.Length] { return &b.Bears }, shape[Field[quantity.Length]](lengths), doc{Meaning: "length in its middle that lies on the cases", Default: "from the plan, 0 (at one point) where that is not known", Example: "bears: 12 in"}),
	},
}

var holdPlateKeys = &objectShape[HoldPlate]{
	name: "plate", title: "plate",
	intro: "The aluminium whose hole a bolt bears in.",
	place: func(b *HoldPlate, p Pos) { b.Pos = p },
	props: []property[HoldPlate]{
		prop("alloy", func(b *HoldPlate) *Field[string] { return &b.Alloy }, shape[Field[string]](holdAlloys), doc{Meaning: "aluminium alloy with its temper", Example: "alloy: 5052-H32"}).need(),
		prop("thickness", func(b *HoldPlate) *Field[quantity.Length] { return &b.Thickness }, shape[Field[quantity.Length]](lengths), doc{Meaning: "of the plate", Example: "thickness: 3 mm"}).need(),
		prop("edge", func(b *HoldPlate) *Field[quantity.Length] { return &b.Edge }, shape[Field[quantity.Length]](lengths), doc{Meaning: "from the hole's middle to the nearest edge", Example: "edge: 20 mm"}).need(),
	},
}

var holdFloorKeys = &objectShape[HoldFloor]{
	name: "floor", title: "floor",
	intro: "What a rod, bolt or anchor pulls on. Its strengths are not in any table here: give them, or it is not checked.",
	place: func(b *HoldFloor, p Pos) { b.Pos = p },
	props: []property[HoldFloor]{
		prop("material", func(b *HoldFloor) *Field[string] { return &b.Material }, shape[Field[string]](text("material", 40)), doc{Meaning: "what it is made of, for people", Default: "not said", Example: "material: birch plywood"}),
		prop("metal", func(b *HoldFloor) *Field[string] { return &b.Metal }, shape[Field[string]](holdMetals), doc{Meaning: "its metal, where it is one", Default: "none that the hold-down touches", Example: "metal: aluminium"}),
		prop("washer", func(b *HoldFloor) *Field[quantity.Length] { return &b.Washer }, shape[Field[quantity.Length]](lengths), doc{Meaning: "outer diameter of the washer or plate under it", Default: "not checked", Example: "washer: 30 mm"}),
		prop("thickness", func(b *HoldFloor) *Field[quantity.Length] { return &b.Thickness }, shape[Field[quantity.Length]](lengths), doc{Meaning: "of the floor", Default: "not checked", Example: "thickness: 12 mm"}),
		prop("crush", func(b *HoldFloor) *Field[quantity.Pressure] { return &b.Crush }, shape[Field[quantity.Pressure]](pressures), doc{Meaning: "pressure at which it gives under the washer", Default: "not checked", Example: "crush: 5 MPa"}),
		prop("shear", func(b *HoldFloor) *Field[quantity.Pressure] { return &b.Shear }, shape[Field[quantity.Pressure]](pressures), doc{Meaning: "shear strength through its thickness", Default: "not checked", Example: "shear: 4 MPa"}),
	},
}
