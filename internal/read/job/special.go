package job

import (
	"fmt"
	"strconv"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"

	"go.yaml.in/yaml/v4"
)

// The shapes that are neither a plain value nor a fixed set of keys.

// demands reads a current or a power.
var demands = plain[Demand]{scalarShape[Demand]{name: "current or power", pattern: unitPattern, parse: parseDemand}}

func parseDemand(s string) (Demand, error) {
	if strings.HasSuffix(strings.TrimSpace(s), "W") {
		p, err := quantity.Parse[quantity.Power](s)
		if err == nil && !(p >= 0 && p <= 1e7) {
			err = outside(s, "10 MW", p < 0)
		}
		return Demand{ByPower: true, Power: p}, err
	}
	i, err := quantity.Parse[quantity.Current](s)
	if err == nil && !(i >= 0 && i <= 1e5) {
		err = outside(s, "100 kA", i < 0)
	}
	return Demand{Current: i}, err
}

// outside tells that a demand is negative, or more than any bank gives.
func outside(s, most string, negative bool) error {
	if negative {
		return fmt.Errorf("%s is below zero; write charging with charge: instead of a minus", s)
	}
	return fmt.Errorf("%s is more than any battery bank gives; a job holds up to %s: look at the unit", s, most)
}

// pointSchema is a list of so many quantities.
func pointSchema(size int) schemaValue {
	return schemaValue{"type": "array", "items": schemaValue{"type": "string", "pattern": unitPattern}, "minItems": size, "maxItems": size}
}

// point notes a node that is no list of so many values, in the words given.
func (w *walk) point(n *yaml.Node, size int, words string) bool {
	if n.Kind == yaml.SequenceNode && len(n.Content) == size {
		return true
	}
	w.Add(posOf(n), "%s", words)
	return false
}

// curvePoints reads one [state of charge, voltage].
type curvePoints struct{}

func (curvePoints) words() string       { return "[state of charge, voltage]" }
func (curvePoints) schema() schemaValue { return pointSchema(2) }
func (curvePoints) read(w *walk, n *yaml.Node, into *CurvePoint) {
	into.Pos = posOf(n)
	if !w.point(n, 2, "a point of the curve is [state of charge, voltage], as in [50 %, 13.2 V]") {
		return
	}
	charge := ratios.readV(w, n.Content[0], &into.Charge)
	into.ok = voltages.readV(w, n.Content[1], &into.Voltage) && charge
}

// factorPoints reads one [temperature or state of charge, factor].
type factorPoints[Q any] struct {
	axis plain[Q]
	name string
}

func (f factorPoints[Q]) words() string { return "[" + f.name + ", factor]" }
func (f factorPoints[Q]) schema() schemaValue {
	return schemaValue{"type": "array", "items": schemaValue{"type": []string{"string", "number"}}, "minItems": 2, "maxItems": 2}
}
func (f factorPoints[Q]) read(w *walk, n *yaml.Node, into *FactorPoint[Q]) {
	into.Pos = posOf(n)
	if !w.point(n, 2, "here "+f.words()+" is due, as in [0 °C, 2.2] or [20 %, 1.3]") {
		return
	}
	at := f.axis.readV(w, n.Content[0], &into.At)
	into.ok = plainNumbers("factor", 0.01, 100).readV(w, n.Content[1], &into.Factor) && at
}

// plainNumbers reads a plain number that has no unit.
func plainNumbers(name string, least, most float64) plain[float64] {
	return plain[float64]{scalarShape[float64]{name: name, types: []string{"number", "string"}, parse: func(s string) (float64, error) {
		v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
		if err != nil || !(v >= least && v <= most) {
			return 0, fmt.Errorf("%s %q: a plain number from %g to %g is due, without a unit", name, clip(s), least, most)
		}
		return v, nil
	}}}
}

// jointShape reads one resistance for both ends, or {from, to}.
type jointShape struct{}

func (jointShape) words() string { return "resistance, or {from: …, to: …}" }
func (jointShape) schema() schemaValue {
	return schemaValue{"oneOf": []any{joints.schema(), jointEnds.schema()}}
}
func (jointShape) read(w *walk, n *yaml.Node, into *Joints) {
	into.Pos = posOf(n)
	if n.Kind == yaml.MappingNode {
		jointEnds.read(w, n, into)
		return
	}
	joints.read(w, n, &into.Both)
}

// readingNames says what may stand as a name in a reading's current or voltage.
func checkReadingName(s string) error {
	if s == "takeoff" {
		return nil
	}
	return bank.CheckID(s)
}

// checkDropName allows a cable, or one end of it as in W1@B2+.
func checkDropName(s string) error {
	id, end, at := strings.Cut(s, "@")
	if err := bank.CheckID(id); err != nil {
		return err
	}
	if !at {
		return nil
	}
	_, err := bank.ParseEnd(end)
	return err
}

// position reads [x, y, z].
func position(name string) tupleShape[quantity.Length] {
	return tupleShape[quantity.Length]{places, 3, name}
}

var turns = turnShape{whole("turn in degrees", 0, 270)}

// turnShape reads 0, 90, 180 or 270, without a unit as the format settles it.
type turnShape struct{ integerShape }

func (t turnShape) schema() schemaValue { return schemaValue{"enum": []int{0, 90, 180, 270}} }
func (t turnShape) read(w *walk, n *yaml.Node, into *Field[int]) {
	into.Pos = posOf(n)
	text, ok := w.scalar(n, "turn in degrees")
	if !ok {
		return
	}
	for _, v := range []int{0, 90, 180, 270} {
		if text == fmt.Sprint(v) {
			into.V, into.Set = v, true
			return
		}
	}
	w.Add(posOf(n), "turn %q: 0, 90, 180 or 270 is due, counter-clockwise from above, without a unit", clip(text))
}
