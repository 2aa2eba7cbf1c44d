package job

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"

	"go.yaml.in/yaml/v4"
)

var (
	areas = physical[quantity.Area](1e-6, 1000, "1 mm2 to 1000 m2")
	flows = physical[quantity.Flow](1e-6, 10, "0.004 to 36 000 m3/h")
)

// layers reads one [material, thickness].
type layerShape struct{}

func (layerShape) words() string { return "[material, thickness]" }
func (layerShape) schema() schemaValue {
	return schemaValue{"type": "array", "items": schemaValue{"type": "string"}, "minItems": 2, "maxItems": 2}
}
func (layerShape) read(w *walk, n *yaml.Node, into *Layer) {
	into.Pos = posOf(n)
	if n.Kind != yaml.SequenceNode || len(n.Content) != 2 {
		w.Add(posOf(n), "a layer is [material, thickness], as in [plywood, 12 mm]")
		return
	}
	text("material", 24).read(w, n.Content[0], &into.Material)
	lengths.read(w, n.Content[1], &into.Thickness)
}

var wallKeys = &objectShape[Wall]{
	name: "wall", title: "a wall",
	intro: "One side of a compartment: what it is made of, from the inside out, and what is outside of it.",
	place: func(w *Wall, p Pos) { w.Pos = p },
	props: []property[Wall]{
		prop("layers", func(w *Wall) *[]Layer { return &w.Layers }, shape[[]Layer](listOf[Layer](layerShape{}, 1, 12)),
			doc{Meaning: "sheets from the inside out, of the catalogue's materials (xps, eps, pir, plywood, softwood, aluminium, steel, stainless, glassfibre, pvc, carpet, rubber)", Mistake: "listing them from the outside in", Example: "layers: [[plywood, 12 mm], [xps, 50 mm]]"}).need(),
		prop("outside", func(w *Wall) *Field[string] { return &w.Outside }, shape[Field[string]](text("outside", 40)),
			doc{Meaning: "what is behind it: air, ground, cabin, driving (air on a body that drives), or the ID of another compartment", Default: "air", Mistake: "giving the wall between two compartments in both of them", Example: "outside: ground"}),
		prop("surface", func(w *Wall) *Field[string] { return &w.Surface }, shape[Field[string]](text("surface", 24)),
			doc{Meaning: "how it takes sun: white, old_white, coloured, grey, black, bare_aluminium, or shade where no sun falls on it", Default: "coloured, assumed", Example: "surface: white"}),
		prop("area", func(w *Wall) *Field[quantity.Area] { return &w.Area }, shape[Field[quantity.Area]](areas),
			doc{Meaning: "its area inside", Default: "from the compartment's size", Example: "area: 0.4 m2"}),
		prop("framed", func(w *Wall) *Field[quantity.Ratio] { return &w.Framed }, shape[Field[quantity.Ratio]](ratios),
			doc{Meaning: "part of its area in which a frame stands in place of the thickest layer", Default: "0 %", Example: "framed: 10 %"}),
		prop("frame", func(w *Wall) *Field[string] { return &w.Frame }, shape[Field[string]](text("material", 24)),
			doc{Meaning: "what the frame is made of", Default: "softwood, assumed", Example: "frame: aluminium"}),
	},
}

func wallProp(key string, at func(*Walls) *Wall, meaning, otherwise string) property[Walls] {
	return prop(key, at, shape[Wall](wallKeys), doc{Meaning: meaning, Default: otherwise, Example: key + ": {layers: [[plywood, 12 mm], [xps, 50 mm]]}"})
}

const asAll = "as all, or as the other compartment's wall against it"

var wallsKeys = &objectShape[Walls]{
	name: "set of walls", title: "walls",
	intro: "The sides of a compartment, for how warm it gets. Seen from above: left is the least x, right the most, front the least y, back the most.",
	place: func(w *Walls, p Pos) { w.Pos = p },
	props: []property[Walls]{
		wallProp("floor", func(w *Walls) *Wall { return &w.Floor }, "under it", asAll),
		wallProp("lid", func(w *Walls) *Wall { return &w.Lid }, "over it", asAll),
		wallProp("left", func(w *Walls) *Wall { return &w.Left }, "at the least x", asAll),
		wallProp("right", func(w *Walls) *Wall { return &w.Right }, "at the most x", asAll),
		wallProp("front", func(w *Walls) *Wall { return &w.Front }, "at the least y", asAll),
		wallProp("back", func(w *Walls) *Wall { return &w.Back }, "at the most y", asAll),
		wallProp("all", func(w *Walls) *Wall { return &w.All }, "the sides not named", "each side is named"),
	},
}

var heaterKeys = &objectShape[Heater]{
	name: "heater", title: "heaters",
	intro: "A heater on the bank, with its thermostat.",
	place: func(h *Heater, p Pos) { h.Pos = p },
	props: []property[Heater]{
		prop("id", func(h *Heater) *Field[string] { return &h.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: T1"}).need(),
		prop("compartment", func(h *Heater) *Field[string] { return &h.Compartment }, shape[Field[string]](ids), doc{Meaning: "where it is", Default: "that of its battery; needed else where there are several", Example: "compartment: bay"}),
		prop("at", func(h *Heater) *Field[string] { return &h.At }, shape[Field[string]](ids), doc{Meaning: "what it warms: air, floor (a mat under the batteries), or a battery by its ID", Example: "at: floor"}).need(),
		prop("power", func(h *Heater) *Field[quantity.Power] { return &h.Power }, shape[Field[quantity.Power]](powers), doc{Meaning: "what it gives", Example: "power: 40 W"}).need(),
		prop("on", func(h *Heater) *Field[quantity.Temperature] { return &h.On }, shape[Field[quantity.Temperature]](temperatures), doc{Meaning: "its thermostat switches it on at or below this", Example: "on: 3 °C"}).need(),
		prop("off", func(h *Heater) *Field[quantity.Temperature] { return &h.Off }, shape[Field[quantity.Temperature]](temperatures), doc{Meaning: "and off at or above this", Mistake: "off below on", Example: "off: 6 °C"}).need(),
		prop("sensor", func(h *Heater) *Field[string] { return &h.Sensor }, shape[Field[string]](ids), doc{Meaning: "where its thermostat feels: air, or a battery's case by its ID", Default: "what it warms; needed with floor", Example: "sensor: B1"}),
	},
}

var fanKeys = &objectShape[Fan]{
	name: "fan", title: "fans",
	intro: "A fan that blows outside air through a compartment, with its thermostat in the air there.",
	place: func(f *Fan, p Pos) { f.Pos = p },
	props: []property[Fan]{
		prop("id", func(f *Fan) *Field[string] { return &f.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: V1"}).need(),
		prop("compartment", func(f *Fan) *Field[string] { return &f.Compartment }, shape[Field[string]](ids), doc{Meaning: "where it is", Default: "the only one", Example: "compartment: bay"}),
		prop("flow", func(f *Fan) *Field[quantity.Flow] { return &f.Flow }, shape[Field[quantity.Flow]](flows), doc{Meaning: "air it moves as it is built in", Mistake: "the free-air figure of its box", Example: "flow: 40 m3/h"}).need(),
		prop("on", func(f *Fan) *Field[quantity.Temperature] { return &f.On }, shape[Field[quantity.Temperature]](temperatures), doc{Meaning: "it runs at or above this", Example: "on: 35 °C"}).need(),
		prop("off", func(f *Fan) *Field[quantity.Temperature] { return &f.Off }, shape[Field[quantity.Temperature]](temperatures), doc{Meaning: "and stops at or below this", Mistake: "off above on", Example: "off: 30 °C"}).need(),
		prop("power", func(f *Fan) *Field[quantity.Power] { return &f.Power }, shape[Field[quantity.Power]](powers), doc{Meaning: "what it takes", Default: "not counted", Example: "power: 3 W"}),
	},
}

var ventKeys = &objectShape[Vent]{
	name: "vent", title: "vents",
	intro: "An opening from a compartment to the outside air.",
	place: func(v *Vent, p Pos) { v.Pos = p },
	props: []property[Vent]{
		prop("id", func(v *Vent) *Field[string] { return &v.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: O1"}).need(),
		prop("compartment", func(v *Vent) *Field[string] { return &v.Compartment }, shape[Field[string]](ids), doc{Meaning: "where it is", Default: "the only one", Example: "compartment: bay"}),
		prop("area", func(v *Vent) *Field[quantity.Area] { return &v.Area }, shape[Field[quantity.Area]](areas), doc{Meaning: "free area, grille and screen taken off", Mistake: "the hole's area; a screen leaves about half", Example: "area: 30 cm2"}).need(),
		prop("height", func(v *Vent) *Field[quantity.Length] { return &v.Height }, shape[Field[quantity.Length]](lengths), doc{Meaning: "of its middle over the floor", Example: "height: 300 mm"}).need(),
	},
}

var sensorKeys = &objectShape[Sensor]{
	name: "sensor", title: "sensors",
	intro: "A temperature sensor, and which charger heeds it.",
	place: func(s *Sensor, p Pos) { s.Pos = p },
	props: []property[Sensor]{
		prop("id", func(s *Sensor) *Field[string] { return &s.ID }, shape[Field[string]](ids), doc{Meaning: "its name", Example: "id: K1"}).need(),
		prop("at", func(s *Sensor) *Field[string] { return &s.At }, shape[Field[string]](sensorPlaces), doc{Meaning: "where it is: B2 a battery's case, B2+ a post, air, a side of the compartment (floor, lid, left, right, front, back), or a heater by its ID", Example: "at: B2+"}).need(),
		prop("compartment", func(s *Sensor) *Field[string] { return &s.Compartment }, shape[Field[string]](ids), doc{Meaning: "where it is, for air and sides", Default: "the only one", Example: "compartment: bay"}),
		prop("source", func(s *Sensor) *Field[string] { return &s.Source }, shape[Field[string]](ids), doc{Meaning: "the charging source whose lockout it serves", Default: "none", Example: "source: C1"}),
	},
}

// sensorPlaces reads where a sensor is: an ID, or a post.
var sensorPlaces = plain[string]{scalarShape[string]{name: "place of a sensor", types: []string{"string", "number"}, pattern: `^[A-Za-z0-9_-]+[+-]?$`,
	parse: func(s string) (string, error) {
		err := notLong(s, func(s string) error { _, err := bank.ParseEnd(s); return err })
		return s, err
	}}}
