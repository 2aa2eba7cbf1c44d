package chart

import (
	"fmt"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// mountKinds are the sizes and kinds in which every mounting must be readable.
var mountKinds = map[string]MountOptions{
	"plain": {Title: "Holding down"}, "phone": {Small: true}, "page": {Width: 170}, "framed": {Frame: &sheet.TitleBlock{Title: "Holding down"}, Title: "Holding down"}, "too small": {Width: 3},
}

func mounting(t *testing.T, text string) (*report.Mount, *bank.Bank) {
	t.Helper()
	j, err := assess.Load("job.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	m, err := j.Mount("")
	if err != nil || m == nil {
		t.Fatal(m, err)
	}
	return m, j.Bank
}

// randomMounting is a made-up job: up to four by two batteries a little apart,
// each row under its own choice of hold-downs, some of them too weak, some
// batteries held by nothing.
func randomMounting(rng *rand.Rand) string {
	var batteries, holds []string
	nx, ny := 1+rng.IntN(4), 1+rng.IntN(2)
	l, w := 150+rng.IntN(200), 120+rng.IntN(120)
	for y := range ny {
		var row []string
		for x := range nx {
			id := fmt.Sprintf("B%d", y*nx+x+1)
			batteries = append(batteries, fmt.Sprintf("  - {id: %s, type: b, at: [%d mm, %d mm, 0 mm]}", id, x*(l+10), y*(w+40)))
			row = append(row, id)
		}
		if ny > 1 && y == 1 && rng.IntN(3) == 0 {
			continue
		}
		a, z, mid, foot := y*(w+40), y*(w+40)+w, y*(w+40)+w/2, nx*(l+10)-10
		of := strings.Join(row, ", ")
		add := func(kind, more string) {
			holds = append(holds, fmt.Sprintf("    - {id: K%d, kind: %s, holds: [%s], %s}", len(holds)+1, kind, of, more))
		}
		bar := fmt.Sprintf("bar: {shape: tube, width: %d mm, wall: 1 mm, alloy: 6063-T5}", 6+rng.IntN(20))
		for _, kind := range rng.Perm(6)[:1+rng.IntN(4)] {
			switch kind {
			case 0:
				add("rods_and_bar", fmt.Sprintf("at: [[-12 mm, %d mm, 0 mm], [%d mm, %d mm, 0 mm]], thread: M6, grade: A2-70, %s", mid, foot+12, mid, bar))
			case 1:
				add("tray", "lip: 30 mm, strength: "+fmt.Sprint(100+rng.IntN(2000))+" N")
			case 2:
				x := rng.IntN(foot)
				add("strap", fmt.Sprintf("at: [[%d mm, %d mm, 0 mm], [%d mm, %d mm, 0 mm]], rated: 300 N", x, a-15, x, z+15))
			case 3:
				add("bracket", fmt.Sprintf("at: [[-5 mm, %d mm, 20 mm], [%d mm, %d mm, 20 mm]], thread: M8", mid, foot+5, mid))
			case 4:
				add("shelf", "strength: 2 kN")
			case 5:
				add("pin", fmt.Sprintf("at: [[%d mm, %d mm, 40 mm]], axis: y, diameter: 6 mm, grade: 4.8", foot/2, a))
			}
		}
	}
	held := "[]"
	if holds != nil {
		held = "\n" + strings.Join(holds, "\n")
	}
	return fmt.Sprintf("bankwright: 1\nbattery_types: {b: {chemistry: agm, nominal: 12 V, capacity: 90 Ah, mass: %d kg, size: {length: %d mm, width: %d mm, height: %d mm}, posts: {positive: [20 mm, 20 mm], negative: [%d mm, 20 mm]}}}\nbatteries:\n%s\ntakeoff: {positive: B1+, negative: B1-}\nmounting:\n  forward: %s\n  loads: {forward: 4 g, aft: 2 g, side: 1 g, up: 0.5 g, down: 3 g}\n  hold_downs: %s\n",
		5+rng.IntN(40), l, w, 150+rng.IntN(100), l-20, strings.Join(batteries, "\n"), []string{"+x", "-x", "+y", "-y"}[rng.IntN(4)], held)
}

func TestLetteringOfMountings(t *testing.T) {
	texts := map[string]string{}
	for _, name := range []string{"../../read/job/testdata/good/mount.yaml", "../../../examples/library-trailer.yaml"} {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		texts[name] = string(b)
	}
	rng := rand.New(rand.NewPCG(42, 1))
	for i := range 12 {
		texts[fmt.Sprintf("random %d", i)] = randomMounting(rng)
	}
	for name, text := range texts {
		m, b := mounting(t, text)
		for kind, opt := range mountKinds {
			t.Run(name+" "+kind, func(t *testing.T) {
				drawn := Mount(m, b, opt)
				right(t, drawn)
				if bytesOf(t, drawn) != bytesOf(t, Mount(m, b, opt)) {
					t.Error("drawn twice, the bytes differ")
				}
				for _, one := range b.Batteries {
					if len(names(drawn, one.ID)) == 0 {
						t.Errorf("battery %s is not drawn", one.ID)
					}
				}
				for i := range m.Groups {
					for _, p := range m.Groups[i].Worst() {
						if len(names(drawn, p.Of)) == 0 {
							t.Errorf("%s is not drawn", p.Of)
						}
					}
				}
			})
		}
	}
}

// TestMountShows: a direction that is not held and a part that is too weak stand
// out in words, an unknown strength has its sign, the loads their arrows.
func TestMountShows(t *testing.T) {
	b, err := os.ReadFile("../../read/job/testdata/good/mount.yaml")
	if err != nil {
		t.Fatal(err)
	}
	text := strings.Replace(string(b), "width: 40 mm, height: 8 mm", "width: 40 mm, height: 4 mm", 1)
	m, bank := mounting(t, text)
	drawn := Mount(m, bank, MountOptions{})
	for id, want := range map[string]string{"load-forward": "4 g", "load-up": "up 1.5 g", "load-down": "down 3 g", "K1": "×0.5", "K3": "K3, ×11"} {
		if !slices.ContainsFunc(texts(drawn, id), func(s string) bool { return strings.Contains(s, want) }) {
			t.Errorf("%s says %q, not %q", id, texts(drawn, id), want)
		}
	}
	if all := strings.Join(texts(drawn, "*"), " "); !strings.Contains(all, "not known") || !strings.Contains(all, "from the front") {
		t.Error(all)
	}
	m, bank = mounting(t, "bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 9 Ah, mass: 9 kg, size: {length: 200 mm, width: 100 mm, height: 100 mm}}}\nbatteries: [{id: B1, type: b, at: [0 mm, 0 mm, 0 mm]}]\ntakeoff: {positive: B1+, negative: B1-}\nmounting: {forward: +x, hold_downs: [{id: K1, kind: shelf, holds: [B1], strength: 9 kN}]}\n")
	drawn = Mount(m, bank, MountOptions{})
	if got := strings.Join(texts(drawn, "load-forward"), " "); !strings.Contains(got, "not held") {
		t.Errorf("forward under a shelf alone: %q", got)
	}
	m, bank = mounting(t, "bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 9 Ah}}\nbatteries: [{id: B1, type: b}]\ntakeoff: {positive: B1+, negative: B1-}\nmounting: {forward: +x}\n")
	drawn = Mount(m, bank, MountOptions{Title: "Holding down"})
	if all := strings.Join(texts(drawn, "*"), " "); !strings.Contains(all, "Nothing to draw") {
		t.Error(all)
	}
}
