// Package assemble turns a job and the catalogue into a bank, saying of each
// value whether it was given, looked up or assumed. Lengths of cables without
// one are filled later, from routes.
package assemble

import (
	"fmt"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/catalog"
	"bankwright/internal/read/job"
)

// Read reads a job file and assembles its bank. The error holds every fault of
// the file, those that only the catalogue can find included.
func Read(name string, src []byte, cat *catalog.Catalog) (*bank.Bank, *job.Document, error) {
	return readBy(job.Read, name, src, cat)
}

// ReadUnsized is Read of a job whose cables may have neither size nor
// resistance: such a cable's PerLength is not known, and its Resistance means
// nothing until it has a size.
func ReadUnsized(name string, src []byte, cat *catalog.Catalog) (*bank.Bank, *job.Document, error) {
	return readBy(job.ReadUnsized, name, src, cat)
}

type reader func(name string, src []byte, more ...func(*job.Collector, *job.Document)) (*job.Document, error)

func readBy(as reader, name string, src []byte, cat *catalog.Catalog) (*bank.Bank, *job.Document, error) {
	doc, err := as(name, src, func(c *job.Collector, d *job.Document) {
		checkSizes(c, d, cat)
		checkClasses(c, d, cat)
		checkHeat(c, d, cat)
	})
	if err != nil {
		return nil, nil, err
	}
	return Assemble(doc, cat), doc, nil
}

// checkSizes notes cable sizes that the catalogue has no row for.
func checkSizes(c *job.Collector, d *job.Document, cat *catalog.Catalog) {
	check := func(f job.Field[quantity.Size]) {
		if !f.Set {
			return
		}
		if _, err := cat.PerLength(f.V); err != nil {
			c.Add(f.Pos, "%v", err)
		}
	}
	for i := range d.Cables {
		check(d.Cables[i].Size)
	}
	check(d.Wirings.Cable.Positive)
	check(d.Wirings.Cable.Negative)
}

// checkClasses notes classes of fuses and breakers that the catalogue has not.
func checkClasses(c *job.Collector, d *job.Document, cat *catalog.Catalog) {
	for i := range d.Parts {
		f := d.Parts[i].Class
		if !f.Set || cat.FuseClass(f.V) != nil {
			continue
		}
		var have []string
		for _, one := range cat.FuseClasses() {
			have = append(have, one.ID)
		}
		c.Add(f.Pos, "%s is no class of the catalogue; there are %s; leave it out where the part has none", f.V, strings.Join(have, ", "))
	}
}

// builder holds what every step needs.
type builder struct {
	doc  *job.Document
	cat  *catalog.Catalog
	bank *bank.Bank
}

// Assemble builds the bank of a document that job.Read accepted.
func Assemble(doc *job.Document, cat *catalog.Catalog) *bank.Bank {
	b := &builder{doc, cat, &bank.Bank{Title: doc.Title.V}}
	if b.bank.Title == "" {
		b.bank.Title = "untitled"
	}
	b.bank.Show = quantity.Show{Length: doc.Show.Length.V, Wire: doc.Show.Wire.V, Temperature: doc.Show.Temperature.V}
	b.bank.Takeoff = bank.Takeoff{Positive: doc.Takeoff.Positive.V, Negative: doc.Takeoff.Negative.V}
	b.bank.Inlet = bank.Inlet{Current: doc.Inlet.Current.V, Voltage: doc.Inlet.Voltage.V}
	b.places()
	b.batteries()
	b.parts()
	b.routing()
	b.practice()
	b.place()
	b.heatThings()
	b.cables()
	b.mounting()
	b.question()
	b.cases()
	b.sequences()
	b.readings()
	b.days()
	return b.bank
}

// or gives the job's value, else the catalogue's constant, assumed.
func or[Q ~float64](b *builder, f job.Field[Q], constant string, scale float64) source.Value[Q] {
	if f.Set {
		return source.Of(f.V)
	}
	k := b.cat.Constant(constant)
	return source.Assume(Q(k.Value*scale), k.Source, "")
}

func (b *builder) places() {
	for i := range b.doc.Compartments {
		c := &b.doc.Compartments[i]
		size, _ := job.SizeOf(c.Size)
		b.bank.Compartments = append(b.bank.Compartments, bank.Compartment{ID: c.ID.V, Box: bank.Body{At: job.PointOf(c.At), Size: size}.Box()})
	}
	for i := range b.doc.Passages {
		p := &b.doc.Passages[i]
		b.bank.Passages = append(b.bank.Passages, bank.Passage{ID: p.ID.V, At: job.PointOf(p.At), Diameter: float64(p.Diameter.V)})
	}
	for i := range b.doc.Runs {
		r := &b.doc.Runs[i]
		run := bank.Run{ID: r.ID.V}
		for _, p := range r.Path {
			run.Path = append(run.Path, job.PointOf(p))
		}
		b.bank.Runs = append(b.bank.Runs, run)
	}
}

func (b *builder) batteries() {
	types := map[string]*job.BatteryType{}
	for i := range b.doc.Types {
		types[b.doc.Types[i].Name] = &b.doc.Types[i].V
	}
	for i := range b.doc.Batteries {
		b.bank.Batteries = append(b.bank.Batteries, b.battery(&b.doc.Batteries[i], types[b.doc.Batteries[i].Type.V]))
	}
}

func (b *builder) battery(d *job.Battery, t *job.BatteryType) bank.Battery {
	chem := b.cat.Chemistry(t.Chemistry.V)
	one := bank.Battery{
		ID: d.ID.V, Type: d.Type.V, Chemistry: t.Chemistry.V, Nominal: t.Nominal.V,
		Start: or(b, d.Start, "start", 0.01), Off: d.Off.V, Mass: t.Mass.V, Stud: t.Stud.V, StudLength: t.StudLength.V, Torque: t.Torque.V,
		Limits: bank.Limits{Discharge: t.Limits.Discharge.V, Charge: t.Limits.Charge.V, Trip: t.Limits.Trip.V, ChargeTrip: t.Limits.ChargeTrip.V,
			Floor: t.Limits.Floor.V, Series: t.Limits.Series.V, Parallel: t.Limits.Parallel.V},
	}
	one.Label = t.Capacity.V
	one.Capacity = source.Of(first(d.Capacity, t.Capacity).V)
	one.Resistance = b.resistance(first(d.Resistance, t.Resistance), one.Capacity.V, t.Nominal.V, chem)
	for _, p := range t.Curve {
		one.Curve = append(one.Curve, bank.CurvePoint{Charge: p.Charge, Voltage: p.Voltage})
	}
	emf := first(d.EMF, t.EMF)
	one.EMF = b.emf(emf, &one, chem)
	one.FaultResistance = b.faultResistance(t, &one, emf.Set)
	size, sized := job.SizeOf(t.Size)
	if sized {
		one.Outside = size
	}
	one.Age, one.Covered = d.Age.V, d.Covered.V
	one.Model = b.model(&one, d, t, chem)
	if sized && d.At.Set {
		one.Placed, one.Body = true, bank.Body{At: job.PointOf(d.At), Size: size, Turn: d.Turn.V}
	}
	for _, c := range t.Caps {
		one.Caps = append(one.Caps, [2]float64{float64(c.V[0]), float64(c.V[1])})
	}
	if p := t.Posts; p.Positive.Set && p.Negative.Set {
		one.HasPosts = true
		one.Posts = [2][2]float64{
			{float64(p.Positive.V[0]), float64(p.Positive.V[1])},
			{float64(p.Negative.V[0]), float64(p.Negative.V[1])},
		}
	}
	return one
}

// first gives the battery's own value where it has one, else its type's.
func first[T any](own, shared job.Field[T]) job.Field[T] {
	if own.Set {
		return own
	}
	return shared
}

// resistance scales the chemistry's typical battery: with the voltage up,
// with the capacity down.
func (b *builder) resistance(f job.Field[quantity.Resistance], c quantity.Charge, nominal quantity.Voltage, chem *catalog.Chemistry) source.Value[quantity.Resistance] {
	if f.Set {
		return source.Of(f.V)
	}
	r := chem.Resistance / float64(c) * float64(nominal/chem.At)
	return source.Assume(quantity.Resistance(r), chem.Ref, fmt.Sprintf("%s, scaled by capacity and voltage; measure yours", chem.Name))
}

// faultResistance is the given one; else the resistance itself where both it
// and the EMF are given; else a fraction of it, assumed.
func (b *builder) faultResistance(t *job.BatteryType, one *bank.Battery, emfGiven bool) source.Value[quantity.Resistance] {
	switch k := b.cat.Constant("fault_fraction"); {
	case t.FaultResistance.Set:
		return source.Of(t.FaultResistance.V)
	case one.Resistance.Origin == source.Given && emfGiven:
		return one.Resistance
	default:
		return source.Assume(quantity.Resistance(float64(one.Resistance.V)*k.Value), k.Source, k.Meaning)
	}
}

// emf is the given one; else from the job's curve; else from the chemistry's,
// scaled by the number of cells.
func (b *builder) emf(f job.Field[quantity.Voltage], one *bank.Battery, chem *catalog.Chemistry) source.Value[quantity.Voltage] {
	switch {
	case f.Set:
		return source.Of(f.V)
	case one.Curve != nil:
		v := source.Of(Interpolate(one.Curve, one.Start.V))
		v.Note = "from the job's curve at the state of charge"
		if one.Start.Origin == source.Assumed {
			v.Origin, v.Note = source.Assumed, v.Note+", which is assumed"
		}
		return v
	}
	cells := math.Max(1, math.Round(float64(one.Nominal/chem.Cell.V)))
	v := quantity.Voltage(cells * float64(Interpolate(chem.Curve, one.Start.V)))
	note := fmt.Sprintf("%s at %s, %.0f cells", chem.Name, quantity.Format(one.Start.V, 3), cells)
	if chem.CurveNote != "" {
		note += "; " + chem.CurveNote
	}
	return source.Assume(v, chem.CurveRef, note)
}

// Interpolate gives a curve's voltage at a state of charge, straight between
// points and flat beyond them.
func Interpolate(curve []bank.CurvePoint, at quantity.Ratio) quantity.Voltage {
	for i, p := range curve {
		if at <= p.Charge {
			if i == 0 {
				return p.Voltage
			}
			a := curve[i-1]
			part := float64((at - a.Charge) / (p.Charge - a.Charge))
			return a.Voltage + quantity.Voltage(float64(part*float64(p.Voltage-a.Voltage)))
		}
	}
	return curve[len(curve)-1].Voltage
}
