package catalog

import (
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

func TestFusesSecondEntry(t *testing.T) {
	second(t, "fuses.txt", map[string]func(*testing.T, section){
		"bands 135 200":       func(t *testing.T, s section) { compareTimes(t, s, "class_t", source.Memory) },
		"bands supplementary": func(t *testing.T, s section) { compareTimes(t, s, "supplementary", source.Read) },
		"bands 110":           func(t *testing.T, s section) { compareHeld(t, s, "class_c"); compareHeld(t, s, "class_k") },
		"bands class c 160":   compareClassC, "bands vehicle": compareVehicle, "let-through": compareThrough,
		"classes": compareClasses, "a.c. kA": compareAC, "standard": compareStandard, "preferred kA": comparePreferred,
		"required interrupt": compareNeed, "reaches in": compareReaches, "limits": compareLimits, "rv": compareTrailer, "fuse limits": compareFuseLimits,
	})
}

// bandsAt gives the bands of a rating at a multiple.
func bandsAt(f *rating.FuseClass, amps quantity.Current, percent float64) (all []rating.Band) {
	for _, b := range f.BandsFor(amps) {
		if float64(b.Multiple)*100 > percent-1e-6 && float64(b.Multiple)*100 < percent+1e-6 {
			all = append(all, b)
		}
	}
	return all
}

// ends gives both printed ends of a range of ratings, 1 A for a printed 0.
func ends(t *testing.T, line []string) []quantity.Current {
	return []quantity.Current{max(1, quantity.Current(num(t, line[0]))), quantity.Current(num(t, line[1]))}
}

func compareTimes(t *testing.T, s section, id string, how source.How) {
	f := Default().FuseClass(id)
	for _, line := range s {
		for _, amps := range ends(t, line) {
			for i, percent := range []float64{135, 200} {
				b := bandsAt(f, amps, percent)
				if len(b) != 1 || b[0].Ref.How != how || b[0].Least != 0 {
					t.Fatalf("%v A at %v %%: %+v", amps, percent, b)
				}
				same(t, line[1]+" A", b[0].Most, num(t, line[2+i])*60)
			}
		}
	}
	top := quantity.Current(num(t, s[len(s)-1][1]))
	if b := f.BandsFor(top + 1); len(b) != 0 {
		t.Errorf("above the last rating: %+v", b)
	}
}

func compareHeld(t *testing.T, s section, id string) {
	for _, line := range s {
		for _, amps := range ends(t, line) {
			b := bandsAt(Default().FuseClass(id), amps, 110)
			if len(b) != 1 || b[0].Most != 0 || b[0].Ref.How != source.Read {
				t.Fatalf("%v A: %+v", amps, b)
			}
			same(t, line[1]+" A", b[0].Least, num(t, line[2])*60)
		}
	}
	for _, b := range Default().FuseClass(id).BandsFor(20) {
		if b.Multiple == 5 {
			t.Error("the time of time-delay fuses only stands among all fuses'")
		}
	}
}

func compareClassC(t *testing.T, s section) {
	f := Default().FuseClass("class_c")
	for _, line := range s {
		for _, amps := range ends(t, line) {
			b := bandsAt(f, amps, 160)
			if len(b) != 1 {
				t.Fatalf("%v A: %+v", amps, b)
			}
			same(t, line[1]+" A", b[0].Most, num(t, line[2])*60)
		}
	}
	delayed := 0
	for _, b := range f.Bands {
		if b.Only != "" && b.Multiple == 5 && b.Least == 8 && b.UpTo == 30 { // 8 s at 500 %, up to 30 A
			delayed++
		}
	}
	if delayed != 1 || len(bandsAt(f, 60, 160)) != 0 {
		t.Errorf("%d bands of time-delay fuses", delayed)
	}
	if r := f.Rises; len(r) != 2 || r[0].Kelvin != 55 || r[0].UpTo != 100 || r[1].Kelvin != 75 || r[1].Over != 100 {
		t.Errorf("rises %+v", r)
	}
}

func compareVehicle(t *testing.T, s section) {
	ids := []string{"blade", "blade_high", "bolt_30", "bolt_51"}
	count := map[string]int{}
	for _, line := range s {
		for i, id := range ids {
			least, most := num(t, line[1+2*i]), num(t, line[2+2*i])
			b := bandsAt(Default().FuseClass(id), 40, num(t, line[0]))
			if least == 0 && most == 0 {
				if len(b) != 0 {
					t.Errorf("%s at %s %%: %+v", id, line[0], b)
				}
				continue
			}
			if len(b) != 1 || b[0].Ref.How != source.Memory {
				t.Fatalf("%s at %s %%: %+v", id, line[0], b)
			}
			count[id]++
			same(t, id+" least at "+line[0], b[0].Least, least)
			same(t, id+" most at "+line[0], b[0].Most, most)
		}
	}
	for _, id := range ids {
		f := Default().FuseClass(id)
		if len(f.Bands) != count[id] {
			t.Errorf("%s has %d bands, the second entry %d", id, len(f.Bands), count[id])
		}
		for i := 2; i < len(f.Bands); i++ { // the first only holds
			if !(f.Bands[i].Multiple > f.Bands[i-1].Multiple) || !(f.Bands[i].Least < f.Bands[i-1].Least) || !(f.Bands[i].Most < f.Bands[i-1].Most) {
				t.Errorf("%s: more current does not open it sooner: %+v", id, f.Bands[i])
			}
		}
	}
	if b := Default().FuseClass("blade").BandsFor(2); len(b) != 0 {
		t.Errorf("blade fuses up to 2 A have times: %+v", b)
	}
}

func compareThrough(t *testing.T, s section) {
	f := Default().FuseClass("class_t")
	if len(f.LetThrough) != len(s) {
		t.Fatalf("%d rows", len(f.LetThrough))
	}
	for _, line := range s {
		row, ok := f.LetThroughFor(quantity.Current(num(t, line[0])))
		if !ok || row.Rating != quantity.Current(num(t, line[0])) || row.Ref.How != source.Memory || len(row.Peaks) != 3 {
			t.Fatalf("%s A: %+v", line[0], row)
		}
		same(t, line[0]+" A", row.I2t, num(t, line[1])*1e3)
		for i, available := range []quantity.Current{50e3, 100e3, 200e3} {
			if row.Peaks[i].Available != available || float64(row.Peaks[i].Peak) != num(t, line[2+i])*1e3 {
				t.Errorf("%s A: %+v", line[0], row.Peaks[i])
			}
		}
	}
}

func compareClasses(t *testing.T, s section) {
	if len(Default().FuseClasses()) != len(s) {
		t.Errorf("%d classes, the second entry has %d", len(Default().FuseClasses()), len(s))
	}
	for _, line := range s {
		f := Default().FuseClass(line[0])
		if f == nil {
			t.Fatalf("no class %s", line[0])
		}
		same(t, line[0]+" least", f.Ratings.Least, num(t, line[1]))
		same(t, line[0]+" most", f.Ratings.Most, num(t, line[2]))
		var marks []string
		if line[3] != "-" {
			marks = strings.FieldsFunc(line[3], func(r rune) bool { return r == ',' || r == '.' })
		}
		if len(marks) != len(f.Volts.List) || f.Volts.Range != strings.Contains(line[3], "..") {
			t.Fatalf("%s: %+v", line[0], f.Volts)
		}
		for i, m := range marks {
			same(t, line[0]+" mark", f.Volts.List[i], num(t, m))
		}
		compareBreaks(t, f, line[4], strings.TrimPrefix(line[5], "dc:"))
	}
}

// compareBreaks compares the d.c. interrupting ratings, volts:least:most kA.
func compareBreaks(t *testing.T, f *rating.FuseClass, cell, how string) {
	var have []rating.Interrupt
	for _, in := range f.Interrupts {
		if !in.AC {
			have = append(have, in)
		}
	}
	if cell == "-" {
		if len(have) != 0 {
			t.Errorf("%s: %+v", f.ID, have)
		}
		return
	}
	want := strings.Split(cell, "/")
	if len(have) != len(want) {
		t.Fatalf("%s: %+v", f.ID, have)
	}
	for i, w := range want {
		part := strings.Split(w, ":")
		same(t, f.ID+" volts", have[i].Volts, num(t, part[0]))
		same(t, f.ID+" least", have[i].Least, num(t, part[1])*1e3)
		same(t, f.ID+" most", have[i].Most, num(t, part[2])*1e3)
		known(t, f.ID, have[i].Ref, how)
	}
}

func compareAC(t *testing.T, s section) {
	seen := 0
	for _, f := range Default().FuseClasses() {
		for _, in := range f.Interrupts {
			for _, line := range s {
				if in.AC && line[0] == f.ID {
					same(t, f.ID, in.Least, num(t, line[1])*1e3)
					known(t, f.ID, in.Ref, "read")
					seen++
				}
			}
			if in.AC && in.Most != in.Least {
				t.Errorf("%s: %+v", f.ID, in)
			}
		}
	}
	if seen != len(s)+1 { // class T stands at 300 V and at 600 V
		t.Errorf("%d a.c. ratings compared", seen)
	}
}

func compareStandard(t *testing.T, s section) {
	std := Default().StandardRatings()
	i, sum := 0, 0.0
	for _, line := range s {
		for k, cell := range line {
			if cell == "=" {
				same(t, "sum", sum, num(t, line[k+1]))
				break
			}
			same(t, "rating", std.List[i], num(t, cell))
			sum += float64(std.List[i])
			i++
		}
	}
	if i != len(std.List) || std.Ref.How != source.Read {
		t.Errorf("%d ratings, %v", i, std.Ref)
	}
}

func comparePreferred(t *testing.T, s section) {
	p := Default().PreferredInterrupts()
	if len(p.List) != len(s[0]) || p.Ref.How != source.Read {
		t.Fatalf("%+v", p)
	}
	for i, cell := range s[0] {
		same(t, "step", p.List[i], num(t, cell)*1e3)
	}
}

func compareNeed(t *testing.T, s section) {
	need := Default().RequiredInterrupt()
	if len(need.Rows) != len(s) {
		t.Fatalf("%d rows", len(need.Rows))
	}
	for _, line := range s {
		for _, volts := range line[:2] {
			cranking := []quantity.Current{max(1, quantity.Current(num(t, line[2]))), quantity.Current(num(t, line[3]))}
			if line[3] == "-" {
				cranking[1] = 1e5
			}
			for _, cca := range cranking {
				row, ok := need.Need(quantity.Voltage(num(t, volts)), cca)
				if !ok {
					t.Fatalf("%s V, %v A: no row", volts, cca)
				}
				same(t, "main", row.Main, num(t, line[4]))
				same(t, "branch", row.Branch, num(t, line[5]))
				known(t, "row", row.Ref, line[6])
			}
		}
	}
	// 2200 CCA or 500 Ah; 20 kA at 125 V where the short exceeds 10 kA.
	if l := need.Large; l.Cranking != 2200 || l.Capacity != 500*3600 || l.Exceeds != 10e3 || l.Interrupt != 20e3 || l.Volts != 125 || l.Ref.How != source.Read {
		t.Errorf("%+v", l)
	}
}

func compareReaches(t *testing.T, s section) {
	all := Default().Reaches()
	if len(all) != len(s) {
		t.Fatalf("%d reaches", len(all))
	}
	for i, line := range s {
		r := all[i]
		same(t, r.ID, r.Length, num(t, line[1])*0.0254)
		known(t, r.ID, r.Ref, line[2])
		if r.ID != line[0] || r.Sheathed != (r.Length == 40*0.0254 || r.ID == "e11_battery") || r.Battery != (r.Length == 72*0.0254) {
			t.Errorf("%+v", r)
		}
	}
}

func compareLimits(t *testing.T, s section) {
	if len(Default().ProtectionLimits()) != len(s) {
		t.Errorf("%d limits", len(Default().ProtectionLimits()))
	}
	for _, line := range s {
		l := Default().ProtectionLimit(line[0])
		if l == nil {
			t.Fatalf("no limit %s", line[0])
		}
		same(t, l.ID, l.Ratio, num(t, line[1])/100)
		same(t, l.ID, l.Next, num(t, line[2])/100)
		same(t, l.ID, l.From, num(t, line[3]))
		same(t, l.ID, l.Below, num(t, line[4]))
		known(t, l.ID, l.Ref, line[5])
		if (l.Of == rating.OfOutput) != (l.ID == "cfr_183_460") {
			t.Errorf("%+v", l)
		}
	}
}

func compareTrailer(t *testing.T, s section) {
	all := Default().DeviceLimits()
	if len(all) != 1 || len(all[0].Rows) != len(s) || all[0].Regime != rating.Vehicle || all[0].Unit != "A" {
		t.Fatalf("%+v", all)
	}
	for _, line := range s {
		row, ok := all[0].Find(awg(line[0]))
		if !ok {
			t.Errorf("no row for %s", line[0])
		}
		same(t, line[0], row.Value, num(t, line[1]))
		known(t, line[0], row.Ref, "memory")
	}
}

func compareFuseLimits(t *testing.T, s section) {
	all := Default().FuseLimits()
	if len(all) != len(s) {
		t.Fatalf("%d limits", len(all))
	}
	for i, line := range s {
		same(t, line[0], all[i].Value.Least, num(t, line[1]))
		same(t, line[0], all[i].Value.Most, num(t, line[2]))
		if all[i].ID != line[0] {
			t.Errorf("%s is not %s", all[i].ID, line[0])
		}
	}
}

// Traits and sizes that name a class, typed a second time.
func TestFuseTraits(t *testing.T) {
	for _, f := range Default().FuseClasses() {
		centres, stud := 0.0, ""
		switch f.ID {
		case "bolt_30":
			centres, stud = 0.030, "M5"
		case "bolt_51":
			centres, stud = 0.051, "M8"
		case "strip":
			centres = 0.061
		}
		same(t, f.ID, f.Centres, centres)
		if f.Stud != stud || f.CurrentLimiting != (f.ID == "class_t") || f.FastActing != (f.ID == "class_t") || f.IgnitionProtected != (f.ID == "post_cube") || f.OpenLink != (f.ID == "strip") {
			t.Errorf("%+v", f)
		}
	}
	if Default().FuseClass("no such") != nil || Default().ProtectionLimit("no such") != nil {
		t.Error("a row for an unknown ID")
	}
}

// What can be counted on at the voltages of a bank, from the rows above: the
// lowest mark bounds a row without volts, and a row for 32 V says nothing at
// 48 V.
func TestInterruptOfClasses(t *testing.T) {
	for _, row := range []struct {
		id    string
		volts quantity.Voltage
		want  quantity.Current // 0: not known
	}{
		{"class_t", 12, 20e3}, {"class_t", 58, 20e3}, {"class_t", 130, 0}, {"class_j", 12, 0}, {"blade", 29, 1e3}, {"blade", 48, 0},
		{"bolt_30", 32, 1.5e3}, {"bolt_30", 48, 0}, {"strip", 14, 2.7e3}, {"post_cube", 14, 10e3}, {"post_cube", 14.6, 5e3}, {"post_cube", 58, 2e3}, {"supplementary", 12, 0},
	} {
		if in, ok := Default().FuseClass(row.id).InterruptAt(row.volts); in.Least != row.want || ok != (row.want > 0) {
			t.Errorf("%s at %v V: %+v", row.id, row.volts, in)
		}
	}
	// 250 A lets through no more than the 400 A fuse, whose row is the next.
	if r, ok := Default().FuseClass("class_t").LetThroughFor(250); !ok || r.Rating != 400 {
		t.Errorf("%+v", r)
	}
}
