package catalog

import (
	"math"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

func TestCablesSecondEntry(t *testing.T) {
	second(t, "cables.txt", map[string]func(*testing.T, section){
		"resistivity": compareMaterials, "short circuit": compareInsulations, "bends": compareBends, "supports mm": compareSupports,
		"least sizes": compareLeast, "grounding": compareGrounding, "outside diameter mm": compareOutside,
	})
}

func compareMaterials(t *testing.T, s section) {
	all := Default().Materials()
	if len(all) != len(s) {
		t.Fatalf("%d materials", len(all))
	}
	for i, line := range s {
		same(t, line[0], all[i].Resistivity.Least, num(t, line[1]))
		same(t, line[0], all[i].Resistivity.Most, num(t, line[2]))
		known(t, line[0], all[i].Ref, line[3])
		if all[i].ID != line[0] || all[i].Resistivity.One() != (line[0] != "pp") {
			t.Errorf("%+v", all[i])
		}
	}
}

// compareInsulations also works k out by the law, once with the published 226
// and once with the computed 225.67, to the two digits printed.
func compareInsulations(t *testing.T, s section) {
	c := Default()
	if len(c.Insulations()) != len(s) {
		t.Errorf("%d insulations", len(c.Insulations()))
	}
	law := c.Adiabatic()
	for _, line := range s {
		one := c.Insulation(line[0])
		if one == nil {
			t.Fatalf("no insulation %s", line[0])
		}
		start, end := celsius(num(t, line[1])), celsius(num(t, line[2]))
		if one.Start != start || one.Limit != end || (one.Rated == 0) != (one.ID == "pvc_from_40") || one.Rated != 0 && one.Rated != start {
			t.Errorf("%+v", one)
		}
		published, how := num(t, line[3]), source.Memory
		if published == 0 {
			published, how = num(t, line[4]), source.Derived
		}
		same(t, one.ID, one.K, published)
		known(t, one.ID, one.Ref, string(how))
		computed := law
		computed.K = law.Computed
		if k := law.Factor(start, end); math.Abs(k-num(t, line[4])) > 0.0051 {
			t.Errorf("%s: k %v", one.ID, k)
		}
		if k := computed.Factor(start, end); math.Abs(k-num(t, line[5])) > 0.0051 {
			t.Errorf("%s: k %v with the computed constant", one.ID, k)
		}
	}
}

// √(Qc·(β + 20)/ρ20) with 3.45e-3 J/(K·mm³) and 17.241e-6 Ω·mm is 225.67
// (IEC 60949). And a short: k 115, 35 mm², 3000 A lasts 1.800 s; k 143, 50 mm²,
// 6000 A 1.420 s.
func TestAdiabatic(t *testing.T) {
	a := Default().Adiabatic()
	if k := math.Sqrt(a.Heat * 1e-9 * (a.Beta + 20) / 17.241e-6); math.Abs(k-a.Computed) > 0.005 || a.K != 226 || a.Beta != 234.5 || a.Most != 5 || a.Ref.How != source.Read || a.Ground.How != source.Memory {
		t.Errorf("%v, %+v", k, a)
	}
	for _, row := range []struct {
		id                  string
		section, amps, want float64
	}{{"pvc_70", 35, 3000, 1.800}, {"xlpe_90", 50, 6000, 1.420}} {
		if s := math.Pow(Default().Insulation(row.id).K*row.section/row.amps, 2); math.Abs(s-row.want) > 0.0005 {
			t.Errorf("%s: %v s, not %v", row.id, s, row.want)
		}
	}
	for id, material := range map[string]float64{"pvc_70": 5.0, "xlpe_90": 3.5, "pvc_105": 5.0, "rubber_60": 0, "hot_105": 0} {
		if one := Default().Insulation(id); one.Resistivity.Known() != (material > 0) || one.Resistivity.V.Least != material {
			t.Errorf("%s: %+v", id, one.Resistivity)
		}
	}
	large, small := Default().Insulation("pvc_70_large"), Default().Insulation("pvc_70")
	if small.UpTo != large.Over || math.Abs(float64(small.UpTo)-300e-6) > 1e-15 || small.Over != 0 || large.UpTo != 0 {
		t.Errorf("PVC up to %v and over %v", small.UpTo, large.Over)
	}
}

func compareBends(t *testing.T, s section) {
	all := Default().Bends()
	if len(all) != len(s) {
		t.Fatalf("%d bends", len(all))
	}
	for i, line := range s {
		same(t, line[0], all[i].Diameters, num(t, line[1]))
		known(t, line[0], all[i].Ref, "memory")
		if all[i].ID != line[0] {
			t.Errorf("%+v", all[i])
		}
	}
	// The bands by diameter, with their edges: 12 mm and 20 mm belong below.
	for _, row := range []struct {
		laid rating.Laid
		mm   float64
		want float64
	}{{rating.Fixed, 12, 3}, {rating.Fixed, 12.1, 4}, {rating.Moving, 12, 4}, {rating.Moving, 20, 5}, {rating.Moving, 20.1, 6}, {rating.Bundled, 50, 10}, {rating.AtStrip, 5, 3}} {
		found := 0.0
		for i := range all {
			if all[i].Holds(row.laid, quantity.Length(row.mm/1e3)) {
				found += all[i].Diameters
			}
		}
		if found != row.want {
			t.Errorf("%s, %v mm: %v diameters", row.laid, row.mm, found)
		}
	}
}

func compareSupports(t *testing.T, s section) {
	all := Default().Supports()
	if len(all) != len(s) {
		t.Fatalf("%d supports", len(all))
	}
	for i, line := range s {
		same(t, line[0], all[i].Spacing, num(t, line[1])/1e3)
		same(t, line[0], all[i].First, num(t, line[2])/1e3)
		known(t, line[0], all[i].Ref, line[3])
		if all[i].ID != line[0] || all[i].Battery != (line[0] == "iso_10133_battery") {
			t.Errorf("%+v", all[i])
		}
	}
}

func compareLeast(t *testing.T, s section) {
	all := Default().LeastSizes()
	if len(all) != len(s) {
		t.Fatalf("%d sizes", len(all))
	}
	for i, line := range s {
		size, err := quantity.ParseSize(line[1])
		if err != nil || all[i].ID != line[0] || all[i].Size != size || all[i].Sheathed != (num(t, line[3]) > 0) || all[i].Ref.How != source.Read {
			t.Errorf("%+v, %v", all[i], err)
		}
		same(t, line[0], all[i].Over, num(t, line[2])/1e3)
		same(t, line[0], all[i].OutOf, num(t, line[3])/1e3)
	}
}

func compareGrounding(t *testing.T, s section) {
	all := Default().Grounding()
	if len(all) != 1 || len(all[0].Rows) != len(s) || all[0].Ref.How != source.Read {
		t.Fatalf("%+v", all)
	}
	for i, line := range s {
		device := quantity.Current(num(t, line[0]))
		below := quantity.Current(1)
		if i > 0 {
			below = all[0].Rows[i-1].Device + 1
		}
		for _, amps := range []quantity.Current{device, below} {
			if size, ok := all[0].For(amps); !ok || size != awg(line[1]) {
				t.Errorf("%v A: %v, %v", amps, size, ok)
			}
		}
	}
}

// compareOutside holds the catalogue's own model of a flexible battery cable
// to the printed tenth of a millimetre: the table is of the same model.
func compareOutside(t *testing.T, s section) {
	for _, line := range s {
		if d := float64(Default().Conductor(awg(line[0])).Diameter.V) * 1e3; math.Abs(d-num(t, line[1])) > 0.051 {
			t.Errorf("%s: %.2f mm", line[0], d)
		}
	}
}

// One gauge number under the largest positive conductor, never under 16 AWG;
// 8 AWG to the chassis beside any (both from memory).
func TestBonding(t *testing.T) {
	all := Default().Bonding()
	if len(all) != 2 || all[0].ID != "abyc_e11" || all[1].ID != "nec_551_56" || all[0].Ref.How != source.Memory || all[1].Ref.How != source.Memory {
		t.Fatalf("%+v", all)
	}
	for _, row := range []struct {
		rule     int
		positive quantity.Size
		want     quantity.Size
	}{
		{0, quantity.AWG(-1), quantity.AWG(0)}, {0, quantity.AWG(0), quantity.AWG(1)}, {0, quantity.AWG(15), quantity.AWG(16)}, {0, quantity.AWG(18), quantity.AWG(16)},
		{0, quantity.SquareMM(70), quantity.Size{}}, {0, quantity.Size{}, quantity.Size{}}, {1, quantity.SquareMM(70), quantity.AWG(8)}, {1, quantity.AWG(-3), quantity.AWG(8)},
	} {
		if size, ok := all[row.rule].For(row.positive); size != row.want || ok != !row.want.IsZero() {
			t.Errorf("%s beside %v: %v, %v", all[row.rule].ID, row.positive, size, ok)
		}
	}
}

func TestCableTypes(t *testing.T) {
	want := map[string]string{"sgr": "", "sgt": "pvc", "sgx": "pe", "stx": "pe"} // SAE J1127
	for _, c := range Default().CableTypes() {
		if material, ok := want[c.ID]; !ok || c.Material != material || c.Volts != 60 || c.Ref.How != source.Read {
			t.Errorf("%+v", c)
		}
		delete(want, c.ID)
	}
	if len(want) != 0 {
		t.Errorf("missing: %v", want)
	}
}
