package assemble_test

import (
	"os"
	"slices"
	"testing"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/read/assemble"
	"bankwright/internal/read/catalog"
)

func mountingOf(t *testing.T, name string) *bank.Bank {
	t.Helper()
	src, err := os.ReadFile("../job/testdata/good/" + name)
	if err != nil {
		t.Fatal(err)
	}
	b, _, err := assemble.Read(name, src, catalog.Default())
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// What the job gives stands as given, in SI; what it leaves out of a tube or a
// tray follows from the rest.
func TestMountingGiven(t *testing.T) {
	b := mountingOf(t, "mount.yaml")
	m := b.Mounting
	if m.Rule.V != bank.OwnLoads || m.Rule.Origin != source.Given || m.Loads != (bank.Loads{Forward: 4, Aft: 2, Side: 2, Up: 1.5, Down: 3, Against: "yield", Factor: 1.5}) || m.Ahead != (bank.Point{Y: -1}) || m.Friction != 0.3 {
		t.Errorf("%+v", m)
	}
	k := m.HoldDown("K1")
	if k.Kind != bank.RodsAndBar || k.Grade != "8.8" || k.Nut != "zinc" || !k.Isolated || !slices.Equal(k.Holds, []string{"B1", "B2"}) || k.Bar != (bank.HoldBar{Shape: "flat", Alloy: "6061-T6", Width: 0.04, Height: 0.008, Bears: 0.35, BearsGiven: true}) {
		t.Errorf("%+v", k)
	}
	if f := k.Floor; !f.Given || f.Metal != "aluminium" || f.Washer != 0.03 || f.Crush != 5e6 || f.Shear != 4e6 {
		t.Errorf("%+v", f)
	}
	if k := m.HoldDown("K7"); k.Bar.Height != 0.02 || k.Bar.BearsGiven || k.Floor.Given {
		t.Errorf("%+v", k)
	}
	if k := m.HoldDown("K3"); k.Rated != 250*9.80665 || k.Width != source.Of(k.Width.V) {
		t.Errorf("%+v", k)
	}
	if k := m.HoldDown("K5"); k.Planes != source.Of(2) {
		t.Errorf("%+v", k)
	}
	if v := m.Vehicle; !v.HasHitch || !v.HasCentre || v.Mass != 1900 || v.Track != 1.6 || len(v.Also) != 1 || v.Also[0].What != "inverter" || v.Hitch != (bank.Point{X: 0.4, Y: -2.5}) {
		t.Errorf("%+v", v)
	}
	if caps := b.Batteries[0].Caps; len(caps) != 3 || caps[1] != [2]float64{0.165, 0.085} {
		t.Errorf("%v", caps)
	}
	if m.HoldDown("K9") != nil {
		t.Error("there is no K9")
	}
}

// What nobody gave is assumed, each with its ground.
func TestMountingAssumed(t *testing.T) {
	m := mountingOf(t, "mount_rule.yaml").Mounting
	if m.Rule != source.Of("boat_iso") || m.HoldDowns != nil || m.Vehicle != nil || m.Surroundings.V != "damp" {
		t.Errorf("%+v", m)
	}
	for what, mark := range map[string]string{"surroundings": m.Surroundings.Mark(), "way": m.Service.Way.Mark(), "lid": m.Service.Lid.Mark(), "hand": m.Service.Hand.Mark(),
		"people": m.Lifting.People.Mark(), "travel": m.Lifting.Travel.Mark(), "twist": m.Lifting.Twist.Mark(), "grip": m.Lifting.Grip.Mark()} {
		if mark != "assumed" {
			t.Errorf("%s is %q", what, mark)
		}
	}
	if m.Lifting.Reach.Known() || m.Lifting.Height.Known() {
		t.Errorf("reach and height follow from the case: %+v", m.Lifting)
	}
	if b := mountingOf(t, "least.yaml"); b.Mounting != nil {
		t.Errorf("%+v", b.Mounting)
	}
}
