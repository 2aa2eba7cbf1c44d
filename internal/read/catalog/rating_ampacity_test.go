package catalog

import (
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

func TestAmpacitySecondEntry(t *testing.T) {
	amps := func(id string) func(*testing.T, section) {
		return func(t *testing.T, s section) { compareAmps(t, Default().Ampacity(id), s) }
	}
	wires := func(id string) func(*testing.T, section) {
		return func(t *testing.T, s section) { compareWires(t, Default().Wires(id), s) }
	}
	second(t, "ampacity.txt", map[string]func(*testing.T, section){
		"cfr_183_425": amps("cfr_183_425"), "nec_310_16": amps("nec_310_16"), "nec_310_17": amps("nec_310_17"),
		"nec_400_5": amps("nec_400_5"), "ac_43_13": amps("ac_43_13"),
		"wires aircraft_tinned": wires("aircraft_tinned"), "wires sae_least": wires("sae_least"), "wires awg_boat": wires("awg_boat"),
		"cfr_183_425 engine": compareEngine, "cfr_183_425 bundle": compareLawBundle, "nec ambient": compareAmbient, "nec bundle": compareBundle,
	})
	if n := len(Default().Ampacities()); n != 5 {
		t.Errorf("%d tables, the second entry has 5", n)
	}
}

// compareAmps compares a table whose columns stand in lines: insulation, the
// sizes' amperes, "=", their sum.
func compareAmps(t *testing.T, table *rating.AmpacityTable, s section) {
	sizes := s[0][1:]
	if len(table.Rows) != len(sizes) || len(table.Insulation) != len(s)-1 {
		t.Fatalf("%d rows, %d columns", len(table.Rows), len(table.Insulation))
	}
	for c, line := range s[1:] {
		same(t, "insulation", table.Insulation[c]-273.15, num(t, line[0]))
		sum := 0.0
		for i, cell := range line[1 : 1+len(sizes)] {
			row := table.Rows[i]
			want := num(t, cell)
			same(t, row.Name+" "+line[0], row.Amps[c], want)
			sum += float64(row.Amps[c])
			have, ok := table.Amps(awg(sizes[i]), celsius(num(t, line[0])))
			if row.Size != awg(sizes[i]) || ok != (want > 0 && !row.Size.IsZero()) || ok && float64(have) != want {
				t.Errorf("%s at %s °C: looked up %v, %v", sizes[i], line[0], have, ok)
			}
		}
		same(t, "sum at "+line[0], sum, num(t, line[len(line)-1]))
	}
}

func compareWires(t *testing.T, w *rating.Wires, s section) {
	sizes := s[0][1:]
	if len(w.Rows) != len(sizes) {
		t.Fatalf("%d rows", len(w.Rows))
	}
	for _, line := range s[1:] {
		sum := 0.0
		for i, size := range sizes {
			row, ok := w.Find(awg(size))
			v := float64(row.Section) / 5.0670747909749778e-10 // m² of a circular mil, NIST SP 811 (2008), appendix B: 5.067 075 E-10
			if line[0] == "ohm" {
				v = float64(row.R20) * 304.8 // ohm per 1000 ft
			}
			if !ok || math.Abs(v-num(t, line[1+i])) > 1e-9*v {
				t.Errorf("%s %s: %v, %v", size, line[0], v, ok)
			}
			sum += v
		}
		if want := num(t, line[len(line)-1]); math.Abs(sum-want) > 1e-9*want {
			t.Errorf("%s: sum %v, not %v", line[0], sum, want)
		}
	}
}

func compareEngine(t *testing.T, s section) {
	table := Default().Ampacity("cfr_183_425")
	if len(table.Engine) != 2 || table.Engine[0].Ref.How != source.Memory || table.Engine[1].Ref.How != source.Derived {
		t.Fatalf("engine factors: %+v", table.Engine)
	}
	for i, c := range s[0][1:] {
		insulation := num(t, c)
		f, ref, ok := table.EngineSpace(celsius(insulation))
		if !ok || ref.How != source.Memory {
			t.Errorf("%s: %v, %v", c, ref, ok)
		}
		same(t, "note at "+c, f, num(t, s[1][1+i]))
		same(t, "formula at "+c, table.Engine[1].Factors[i], num(t, s[2][1+i]))
		// √((T-50)/(T-30)), half of the last printed digit.
		formula := math.Sqrt((insulation - 50) / (insulation - 30))
		if math.Abs(table.Engine[1].Factors[i]-formula) > 0.0005 {
			t.Errorf("formula at %s is %v", c, formula)
		}
		// The note rounds the formula to two digits but at 200 °C.
		if math.Abs(f-formula) > 0.01 != (insulation == 200) {
			t.Errorf("note at %s: %v, formula %v", c, f, formula)
		}
	}
}

// A band of the second entry runs over whole numbers of conductors.
func compareLawBundle(t *testing.T, s section) { compareBands(t, "cfr_183_425", 50, 1, s) }

func compareBundle(t *testing.T, s section) {
	compareBands(t, "nec_310_16", 12, 100, s)
	compareBands(t, "nec_310_17", 12, 100, s)
}

func compareBands(t *testing.T, id string, volts quantity.Voltage, scale float64, s section) {
	table := Default().Ampacity(id)
	if len(table.Bundles.Bands) != len(s) {
		t.Fatalf("%d bands", len(table.Bundles.Bands))
	}
	for _, line := range s {
		from, to := int(num(t, line[0])), int(num(t, line[1]))
		if line[1] == "-" {
			to = 1000
		}
		for _, n := range []int{from, to} {
			if f, ok := table.Bundle(n, volts); !ok || math.Abs(f*scale-num(t, line[2])) > 1e-9 {
				t.Errorf("%s: %d conductors: %v, %v", id, n, f, ok)
			}
		}
	}
	if f, ok := table.Bundle(int(num(t, s[0][0]))-1, volts); !ok || f != 1 {
		t.Errorf("%s: below the first band: %v, %v", id, f, ok)
	}
}

func compareAmbient(t *testing.T, s section) {
	for _, id := range []string{"nec_310_16", "nec_310_17", "nec_400_5"} {
		table := Default().Ampacity(id)
		if len(table.Bands.Bands) != len(s) {
			t.Fatalf("%s: %d bands", id, len(table.Bands.Bands))
		}
		for k, line := range s {
			// Both printed ends of the band, and just above the one below it.
			places := []float64{num(t, line[1])}
			if line[0] != "-" {
				places = append(places, num(t, line[0]), num(t, line[0])-0.99)
			}
			for c, insulation := range []float64{60, 75, 90} {
				want := num(t, line[2+c])
				same(t, "band", table.Bands.Bands[k].Factors[c], want)
				for _, at := range places {
					f, ok := table.Ambient(celsius(insulation), celsius(at))
					if ok != (want > 0) || ok && f != want {
						t.Errorf("%s: %v °C in %v °C: %v, %v, not %v", id, insulation, at, f, ok, want)
					}
				}
				// The formula behind the table, at the top of the band: √((T-top)/(T-30)),
				// to its two printed digits.
				formula := math.Sqrt((insulation - num(t, line[1])) / (insulation - 30))
				if want > 0 && math.Abs(want-formula) > 0.0051 {
					t.Errorf("%v °C up to %s °C: %v, the formula gives %v", insulation, line[1], want, formula)
				}
			}
		}
	}
}

// More copper and hotter insulation never carry less; no table of ours breaks
// that.
func TestAmpacityRises(t *testing.T) {
	for _, table := range Default().Ampacities() {
		for i, row := range table.Rows {
			for c, a := range row.Amps {
				if i > 0 && !(a > table.Rows[i-1].Amps[c]) && a+table.Rows[i-1].Amps[c] > 0 {
					t.Errorf("%s: %s in column %d carries no more than the size before it", table.ID, row.Name, c)
				}
				if c > 0 && a < row.Amps[c-1] {
					t.Errorf("%s: %s carries less in column %d", table.ID, row.Name, c)
				}
			}
		}
	}
}

// 33 CFR Table 5 and NFPA 70 Table 310.17 agree from 6 AWG to 4/0 at 60 and
// 75 °C and differ at 8 AWG and at 90 °C; Table 400.5 column D is 310.17's.
func TestTablesAgainstEachOther(t *testing.T) {
	law, free, cord := Default().Ampacity("cfr_183_425"), Default().Ampacity("nec_310_17"), Default().Ampacity("nec_400_5")
	for _, row := range law.Rows {
		if row.Size.Gauge() > 8 {
			continue
		}
		for _, insulation := range []float64{60, 75} {
			a, _ := law.Amps(row.Size, celsius(insulation))
			b, _ := free.Amps(row.Size, celsius(insulation))
			if (a == b) != (row.Size.Gauge() <= 6) {
				t.Errorf("%s at %v: %v and %v", row.Name, insulation, a, b)
			}
		}
	}
	for _, row := range cord.Rows {
		if other := free.Row(row.Size); other == nil || other.Amps[0] != row.Amps[0] || other.Amps[1] != row.Amps[1] || other.Amps[2] != row.Amps[2] {
			t.Errorf("%s: %v, free air %+v", row.Name, row.Amps, other)
		}
	}
	for size, want := range map[int]float64{4: 125, 8: 70, 6: 95, 2: 170, 0: 230, -1: 265, -3: 360} { // UL 486A-B static test: the 75 °C column
		row, ok := Default().ConnectorStatic().Find(quantity.AWG(size))
		a, _ := free.Amps(quantity.AWG(size), celsius(75))
		if !ok || row.Value != want || float64(a) != want {
			t.Errorf("%v: %v, %v", quantity.AWG(size), row, a)
		}
	}
}

// Worked from the law: 2/0 AWG of 105 °C carries 330 A, in an engine space
// 330·0.85 = 280.5 A; its largest fuse under 50 V is 150 % of 330 = 495 A, so
// 450 A of the standard ratings. And 10 AWG of 90 °C at 48.9 °C: 40 A times
// 0.82 (a published training article takes 40 A, the table's own 90 °C row).
func TestWorkedAmpacity(t *testing.T) {
	c := Default()
	law := c.Ampacity("cfr_183_425")
	amps, ok := law.Amps(quantity.AWG(-1), celsius(105))
	factor, ref, in := law.EngineSpace(celsius(105))
	if !ok || !in || amps != 330 || math.Abs(float64(amps)*factor-280.5) > 1e-9 || ref.How != source.Memory {
		t.Errorf("%v A, factor %v (%v)", amps, factor, ref)
	}
	limit := c.ProtectionLimit("cfr_183_455_low")
	if r, ok := limit.Largest(amps, c.StandardRatings()); !ok || r != 450 || !limit.Applies(48) || limit.Applies(50) {
		t.Errorf("largest rating %v, %v", r, ok)
	}
	nec := c.Ampacity("nec_310_16")
	a, _ := nec.Amps(quantity.AWG(10), celsius(90))
	f, ok := nec.Ambient(celsius(90), celsius(48.9))
	if !ok || math.Abs(float64(a)*f-32.8) > 1e-9 {
		t.Errorf("%v A times %v", a, f)
	}
	base := law.Base
	if base.V != celsius(30) || base.Ref == law.Ref || c.Ampacity("ac_43_13").Base.V != celsius(70) || nec.UpTo.V != 2000 || nec.UpTo.Ref.How != source.Memory || law.UpTo.Known() {
		t.Errorf("ambients %+v", base)
	}
}
