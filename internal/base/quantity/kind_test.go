package quantity

import (
	"strings"
	"testing"
)

// every lists all kinds as the types give them, so that a wrong Kind method
// shows as a kind met twice.
var every = []Kind{
	Current(0).Kind(), Voltage(0).Kind(), Resistance(0).Kind(), Length(0).Kind(), Area(0).Kind(),
	Temperature(0).Kind(), Charge(0).Kind(), Energy(0).Kind(), Power(0).Kind(), Duration(0).Kind(),
	Mass(0).Kind(), Torque(0).Kind(), Ratio(0).Kind(), Capacitance(0).Kind(), ResistancePerLength(0).Kind(),
	JouleIntegral(0).Kind(), Angle(0).Kind(), Exposure(0).Kind(), Flow(0).Kind(),
	Force(0).Kind(), Pressure(0).Kind(),
}

func TestKindsAreDistinct(t *testing.T) {
	names := make(map[string]bool)
	for i, k := range every {
		if k != Kind(i+1) {
			t.Errorf("type %d has kind %v, want %v", i, k, Kind(i+1))
		}
		names[k.String()] = true
	}
	if len(names) != len(every) || len(every) != len(kinds)-1 {
		t.Errorf("%d names for %d types and %d kinds", len(names), len(every), len(kinds)-1)
	}
}

func TestKindWords(t *testing.T) {
	for k, want := range map[Kind]string{
		KindCurrent: "a current", KindArea: "an area", KindEnergy: "an energy",
		KindResistancePerLength: "a resistance per length", 0: "a Kind(0)", 99: "a Kind(99)", -1: "a Kind(-1)",
	} {
		if got := k.article(); got != want {
			t.Errorf("article of %d is %q, want %q", int(k), got, want)
		}
	}
}

// A person does what the error offers; it must then work.
func TestOfferedUnitsAreRead(t *testing.T) {
	for _, k := range every {
		units := k.Units()
		if len(units) == 0 {
			t.Errorf("%v offers no unit", k)
		}
		for _, u := range units {
			for _, text := range []string{"2 " + u, "2" + u, "2\u00a0" + u} {
				if v, err := ParseKind(k, text); err != nil || v <= 0 {
					t.Errorf("%v offers %s, but %q gives %v, %v", k, u, text, v, err)
				}
			}
		}
	}
}

func TestUnitsIsACopy(t *testing.T) {
	KindCurrent.Units()[0] = "changed"
	if got := strings.Join(KindCurrent.Units(), ", "); got != "A, mA, kA" {
		t.Errorf("units of a current are %s", got)
	}
	if got := Kind(0).Units(); got != nil {
		t.Errorf("no kind offers %v", got)
	}
}

func TestUnknownKind(t *testing.T) {
	if v, err := ParseKind(0, "1 m"); err == nil || v != 0 {
		t.Errorf("kind 0 read 1 m as %v", v)
	}
	if got := formatKind(0, 12.5, 3); got != "12.5" {
		t.Errorf("kind 0 prints 12.5 as %q", got)
	}
	if got, err := formatIn(0, 12.5, "m", 3); err == nil {
		t.Errorf("kind 0 prints 12.5 m as %q", got)
	}
}
