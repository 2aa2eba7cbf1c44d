package assemble

import (
	"math"
	"os"
	"strings"
	"testing"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/catalog"
)

func sample(t *testing.T, name string, pairs ...string) (*bank.Bank, error) {
	t.Helper()
	b, err := os.ReadFile("../job/testdata/good/" + name)
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := Read(name, []byte(strings.NewReplacer(pairs...).Replace(string(b))), catalog.Default())
	return got, err
}

// TestPlace: given wins over looked up wins over assumed, each marked so.
func TestPlace(t *testing.T) {
	b, err := sample(t, "climate.yaml")
	if err != nil {
		t.Fatal(err)
	}
	p := b.Place
	if !p.Known || p.Name != "Phoenix" || math.Abs(p.Latitude-33.45*math.Pi/180) > 1e-12 || p.Zone != -7*3600 || p.Sundial || !p.HasSun {
		t.Errorf("%+v", p)
	}
	if p.Coldest.Origin != source.LookedUp || math.Abs(float64(p.Coldest.V)-275.35) > 1e-9 || p.Hottest.Origin != source.Given || math.Abs(float64(p.Hottest.V)-320.15) > 1e-9 {
		t.Errorf("coldest %+v, hottest %+v", p.Coldest, p.Hottest)
	}
	if b, err = sample(t, "warm.yaml", "  coldest: -24 °C\n", "", "  zone: 1 h\n", "", "  longitude: 9.8 °\n", "  longitude: 31 °\n"); err != nil {
		t.Fatal(err)
	}
	// 15 K under the coldest month's low of -9 °C; 31° east is nearest to 2 h.
	if p = b.Place; p.Coldest.Origin != source.Assumed || math.Abs(float64(p.Coldest.V)-249.15) > 1e-9 || p.Zone != 7200 || p.Clock.Origin != source.Assumed {
		t.Errorf("%+v", p)
	}
	if b, err = sample(t, "warm.yaml", "  zone: 1 h\n", "", "  longitude: 9.8 °\n", ""); err != nil || !b.Place.Sundial {
		t.Errorf("without a longitude: %+v, %v", b.Place, err)
	}
}

// TestWalls: each side has its own wall or all's; the side against the other
// compartment has that one's; areas come from the size unless given.
func TestWalls(t *testing.T) {
	b, err := sample(t, "warm.yaml")
	if err != nil {
		t.Fatal(err)
	}
	w := &b.Warmth
	if n := len(w.Walls); n != 11 {
		t.Errorf("%d walls, of six and five sides", n)
	}
	if w.Wall("desk", bank.LeftSide) != nil || w.Wall("bay", bank.RightSide).Outside != "desk" {
		t.Error("the wall between the two is not one")
	}
	for _, row := range []struct {
		side, outside, surface string
		area                   float64
	}{
		{bank.FloorSide, "ground", bank.Shade, 0.5 * 0.4}, {bank.BackSide, "driving", "white", 0.15}, {bank.LeftSide, "air", "coloured", 0.4 * 0.35},
		{bank.FrontSide, "air", "coloured", 0.5 * 0.35}, {bank.LidSide, "air", "coloured", 0.5 * 0.4},
	} {
		d := w.Wall("bay", row.side)
		if d.Outside != row.outside || d.Surface.V != row.surface || math.Abs(d.Area.V-row.area) > 1e-12 {
			t.Errorf("%s: %+v", row.side, d)
		}
	}
	lid := w.Wall("bay", bank.LidSide)
	if lid.Surface.Origin != source.Assumed || lid.Frame[1].Material != "softwood" || lid.Frame[0].Material != "plywood" || lid.FrameFrom.Origin != source.Given {
		t.Errorf("%+v", lid)
	}
	if w.Parts["C1"] != "desk" || w.Heaters[1].Compartment != "bay" || w.Heaters[1].Sensor != "B2" || w.Sensors[1].Compartment != "bay" {
		t.Errorf("%+v", w)
	}
}

func TestHeatRefuses(t *testing.T) {
	for _, row := range []struct{ from, to, says string }{
		{"[plywood, 9 mm]", "[cheese, 9 mm]", "cheese is no material of the catalogue"},
		{"frame: softwood", "frame: hope", "hope is no material"},
		{"surface: white", "surface: plaid", "plaid is no surface"},
	} {
		if _, err := sample(t, "warm.yaml", row.from, row.to); err == nil || !strings.Contains(err.Error(), row.says) {
			t.Errorf("%s: %v", row.to, err)
		}
	}
	if _, err := sample(t, "climate.yaml", "climate: phoenix", "climate: mars"); err == nil || !strings.Contains(err.Error(), "mars is no climate of the catalogue; there are fairbanks") {
		t.Errorf("%v", err)
	}
}
