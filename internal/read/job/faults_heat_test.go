package job

import (
	"errors"
	"os"
	"strings"
	"testing"
)

// TestHeatFaults: what is wrong with place, walls, heaters, fans and sensors is
// told with its line. Each row breaks the good sample in one place; the line is
// that of the text put in.
func TestHeatFaults(t *testing.T) {
	b, err := os.ReadFile("testdata/good/warm.yaml")
	if err != nil {
		t.Fatal(err)
	}
	good := string(b)
	for _, row := range []struct{ name, old, now, says string }{
		{"a wall without layers", "floor: {layers: [[plywood, 12 mm], [xps, 30 mm]], outside: ground}", "floor: {outside: ground}", "a wall needs layers"},
		{"a layer alone", "[[plywood, 9 mm]]", "[plywood, 9 mm]", "a layer is [material, thickness]"},
		{"no layer", "[[plywood, 9 mm]]", "[]", "the list has 0 items"},
		{"negative thickness", "[[plywood, 9 mm]]", "[[plywood, -9 mm]]", "0 to 100 m"},
		{"no thickness", "[[plywood, 9 mm]]", "[[plywood, 0 mm]]", "the thickness is zero"},
		{"thermostat upside down", "power: 30 W, on: 3 °C, off: 6 °C", "power: 30 W, on: 7 °C, off: 6 °C", "off is not above on"},
		{"thermostat of one temperature", "power: 30 W, on: 3 °C, off: 6 °C", "power: 30 W, on: 6 °C, off: 6 °C", "off is not above on"},
		{"fan upside down", "on: 35 °C, off: 30 °C", "on: 25 °C, off: 30 °C", "on is not above off"},
		{"eleven months", "    - {high: 9 °C, low: 1 °C, sun: 2.6 kWh/m2}\n", "", "the list has 11 items; 12 are due"},
		{"low above high", "{high: 9 °C, low: 1 °C,", "{high: 1 °C, low: 9 °C,", "the month's low is above its high"},
		{"sun of some months", "{high: 9 °C, low: 1 °C, sun: 2.6 kWh/m2}", "{high: 9 °C, low: 1 °C}", "11 of the months have sun"},
		{"months without a latitude", "  latitude: 46.5 °\n", "", "months need the latitude"},
		{"climate and months", "  latitude: 46.5 °\n", "  latitude: 46.5 °\n  climate: golden\n", "give one of the two"},
		{"beyond the pole", "latitude: 46.5 °", "latitude: 91 °", "-90 ° to 90 °"},
		{"hottest below coldest", "hottest: 29 °C", "hottest: -30 °C", "not above the coldest"},
		{"behind no wall", "outside: desk}", "outside: dusk}", "is behind no wall"},
		{"the wall given twice", "floor: {layers: [[plywood, 12 mm]], outside: ground}", "left: {layers: [[plywood, 9 mm]], outside: bay}", "given in both"},
		{"a side without a wall", "      all: {layers: [[plywood, 12 mm], [xps, 30 mm]], framed: 8 %, frame: softwood}\n", "", "has no wall lid, left, front"},
		{"a cabin of no temperature", "  cabin: 14 °C\n", "", "the cabin's temperature is not given"},
		{"all frame", "framed: 8 %", "framed: 100 %", "all frame"},
		{"a frame of no part", "framed: 8 %, frame", "frame", "frame needs framed"},
		{"a heater on nothing", "{id: T2, at: B2,", "{id: T2, at: B9,", "there is no battery B9"},
		{"a mat without a thermostat's place", ", sensor: B1}\n  - {id: T2", "}\n  - {id: T2", "needs the place of its thermostat"},
		{"which compartment", "{id: V1, compartment: desk,", "{id: V1,", "say which one"},
		{"a sensor nowhere", "at: B2+, source: C1", "at: B7+, source: C1", "is no place of a sensor"},
		{"a sensor of a stud", "at: B2+, source: C1", "at: B2+, source: S1", "charges nothing"},
		{"a part in no compartment", "in: desk}", "in: attic}", "there is no compartment attic"},
		{"a name twice", "{id: K2,", "{id: T1,", "used twice"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if !strings.Contains(good, row.old) {
				t.Fatalf("the sample has no %q", row.old)
			}
			_, err := Read("job.yaml", []byte(strings.Replace(good, row.old, row.now, 1)))
			var faults *Faults
			if !errors.As(err, &faults) {
				t.Fatalf("no fault: %v", err)
			}
			for _, f := range faults.List {
				if strings.Contains(f.Message, row.says) && f.Line > 1 {
					return
				}
			}
			t.Errorf("none says %q: %v", row.says, faults)
		})
	}
}

// TestUnitsAtTheEnd: the schema lets an area and a day's sun pass, whose unit
// ends in a digit.
func TestUnitsAtTheEnd(t *testing.T) {
	s := compileSchema(t, Schema())
	src := add("place: {climate: golden}\nvents: [{id: O1, area: 30 cm2, height: 10 mm}]\ncompartments: [{id: bay, at: [-1 m, -1 m, 0 m], size: {length: 4 m, width: 3 m, height: 1 m}}]\n")
	if err := s.Validate(anyOf(t, []byte(src))); err != nil {
		t.Error(err)
	}
	if err := s.Validate(anyOf(t, []byte(strings.Replace(src, "30 cm2", "30", 1)))); err == nil {
		t.Error("an area without a unit passes")
	}
}
