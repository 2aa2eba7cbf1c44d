package job

import (
	"bankwright/internal/base/quantity"

	"go.yaml.in/yaml/v4"
)

// The shapes that only parts and cable ends have.

// efficiencyShape reads one ratio, or a list of [load, efficiency].
type efficiencyShape struct{}

var efficiencies = listOf[EfficiencyPoint](efficiencyPoints{}, 2, 40)

func (efficiencyShape) words() string { return "ratio, or list: [load, efficiency]" }
func (efficiencyShape) schema() schemaValue {
	return schemaValue{"oneOf": []any{ratios.schema(), efficiencies.schema()}}
}
func (efficiencyShape) read(w *walk, n *yaml.Node, into *Efficiency) {
	into.Pos = posOf(n)
	if n.Kind == yaml.SequenceNode {
		efficiencies.read(w, n, &into.Curve)
		return
	}
	ratios.read(w, n, &into.One)
}

// efficiencyPoints reads one [load, efficiency].
type efficiencyPoints struct{}

func (efficiencyPoints) words() string       { return "[load, efficiency]" }
func (efficiencyPoints) schema() schemaValue { return pointSchema(2) }
func (efficiencyPoints) read(w *walk, n *yaml.Node, into *EfficiencyPoint) {
	into.Pos = posOf(n)
	if !w.point(n, 2, "a point here is [load, efficiency], as in [50 %, 91 %]") {
		return
	}
	load := ratios.readV(w, n.Content[0], &into.Load)
	into.ok = ratios.readV(w, n.Content[1], &into.Efficiency) && load
}

// timePoints reads one [current, at least, at most].
type timePoints struct{}

func (timePoints) words() string       { return "[current, opens after at least, at most]" }
func (timePoints) schema() schemaValue { return pointSchema(3) }
func (timePoints) read(w *walk, n *yaml.Node, into *TimePoint) {
	into.Pos = posOf(n)
	if !w.point(n, 3, "a point here is [current, opens after at least, at most], as in [400 A, 10 s, 200 s]") {
		return
	}
	current := currents.readV(w, n.Content[0], &into.Current)
	least := durations.readV(w, n.Content[1], &into.Least)
	into.ok = durations.readV(w, n.Content[2], &into.Most) && least && current
}

var lugKeys = &objectShape[Lug]{
	name: "lug", title: "lug",
	intro: "What a cable end carries: the same on both ends, or {from: …, to: …} with these keys in each.",
	place: func(l *Lug, p Pos) { l.Pos = p },
	props: []property[Lug]{
		prop("barrel", func(l *Lug) *Field[quantity.Size] { return &l.Barrel }, shape[Field[quantity.Size]](sizes),
			doc{Meaning: "conductor that its barrel is made for", Default: "not checked", Mistake: "a metric lug on a gauge, or the other way round", Example: "barrel: 70 mm2"}),
		prop("hole", func(l *Lug) *Field[string] { return &l.Hole }, shape[Field[string]](text("thread", 16)),
			doc{Meaning: "thread that its hole is for", Default: "not checked", Example: "hole: M8"}),
		prop("thickness", func(l *Lug) *Field[quantity.Length] { return &l.Thickness }, shape[Field[quantity.Length]](lengths),
			doc{Meaning: "of its tongue", Default: "not checked", Example: "thickness: 3.5 mm"}),
	},
}

var lugEnds = &objectShape[Lugs]{
	name: "pair of lugs", title: "lug",
	intro: "The lugs of a cable's two ends.",
	props: []property[Lugs]{
		prop("from", func(l *Lugs) *Lug { return &l.From }, shape[Lug](lugKeys), doc{Meaning: "at the from end", Default: "not known", Example: "from: {hole: M8}"}),
		prop("to", func(l *Lugs) *Lug { return &l.To }, shape[Lug](lugKeys), doc{Meaning: "at the to end", Default: "not known", Example: "to: {hole: M10}"}),
	},
}

// lugShape reads one lug for both ends, or {from, to}.
type lugShape struct{}

func (lugShape) words() string { return "lug, or {from: …, to: …}" }
func (lugShape) schema() schemaValue {
	return schemaValue{"oneOf": []any{lugKeys.schema(), lugEnds.schema()}}
}
func (lugShape) read(w *walk, n *yaml.Node, into *Lugs) {
	into.Pos = posOf(n)
	if n.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(n.Content); i += 2 {
			if key := n.Content[i].Value; key == "from" || key == "to" {
				lugEnds.read(w, n, into)
				return
			}
		}
	}
	lugKeys.read(w, n, &into.Both)
}

var inletKeys = &objectShape[Inlet]{
	name: "mains inlet", title: "inlet",
	intro: "Where mains comes in, as far as it bounds what the chargers can take. The mains side itself is outside of this tool.",
	place: func(i *Inlet, p Pos) { i.Pos = p },
	props: []property[Inlet]{
		prop("current", func(i *Inlet) *Field[quantity.Current] { return &i.Current }, shape[Field[quantity.Current]](currents),
			doc{Meaning: "what the inlet, or the post it is plugged into, gives at most", Example: "current: 10 A"}).need(),
		prop("voltage", func(i *Inlet) *Field[quantity.Voltage] { return &i.Voltage }, shape[Field[quantity.Voltage]](nominals),
			doc{Meaning: "its a.c. voltage", Example: "voltage: 230 V"}).need(),
	},
}
