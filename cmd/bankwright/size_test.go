package main

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
)

// The JSON of a size: the settled keys, SI numbers, null where there is none.
func TestSizeJSON(t *testing.T) {
	out, errs, code := command(t, "size", "--current", "200A", "--length", "3ft", "--voltage", "12V", "--drop", "3%", "--ambient", "30degC", "--insulation", "105degC", "--rule", "marine", "--json")
	if code != 0 || errs != "" {
		t.Fatal(code, errs)
	}
	var got struct {
		Choices []struct {
			Size                        string
			Ampacity, Drop, Temperature *float64
			Melts, Within               bool
			Rule, Source                string
		}
		Smallest string
		Assumed  []string
	}
	if err := json.Unmarshal([]byte(out), &got); err != nil {
		t.Fatal(err)
	}
	if got.Smallest != "2 AWG" || len(got.Assumed) != 0 || len(got.Choices) < 30 {
		t.Errorf("smallest %s, assumed %v, %d choices", got.Smallest, got.Assumed, len(got.Choices))
	}
	seen := 0
	for _, c := range got.Choices {
		if c.Melts != (c.Temperature == nil) {
			t.Errorf("%+v", c)
		}
		switch c.Size {
		case "2 AWG": // Table 5: 210 A; 200 A over 6 ft of 0.523 mΩ/m, warmed, lose 0.19 to 0.25 V
			seen++
			if *c.Ampacity != 210 || !c.Within || *c.Drop < 0.19 || *c.Drop > 0.25 || *c.Temperature < 330 || *c.Temperature > 378.15 || !strings.Contains(c.Source, "33 CFR 183.425") {
				t.Errorf("%+v", c)
			}
		case "3 AWG": // 180 A
			seen++
			if *c.Ampacity != 180 || c.Within {
				t.Errorf("%+v", c)
			}
		case "35 mm2": // no table has it
			seen++
			if math.Mod(*c.Ampacity, 5) == 0 || !strings.Contains(c.Rule, "not checked by table") {
				t.Errorf("%+v", c)
			}
		case "18 AWG": // melts at 200 A
			seen++
			if !c.Melts || c.Temperature != nil || c.Drop != nil || c.Within {
				t.Errorf("%+v", c)
			}
		}
	}
	if seen != 4 {
		t.Errorf("%d of 4 sizes", seen)
	}
}

// Text names both verdicts, what was assumed, and warns where the heat balance
// refuses what the table allows.
func TestSizeText(t *testing.T) {
	for _, row := range []struct {
		args []string
		says []string
	}{
		{[]string{"--current", "200A", "--length", "1m"}, []string{"table A", "heat A", "assumed: 12.8 V", "smallest by table and drop: 1/0 AWG", "smallest metric size by heat balance and drop, not checked by table", "has no ampacity table of its own"}},
		{[]string{"--current", "200A", "--length", "1m", "--rule", "marine", "--bundled", "6", "--enclosed", "--insulation", "105degC"},
			[]string{"caution: by the heat balance 1 AWG does not stay", "no factor for 6 together", "no factor for 40 °C", "no difference between free and enclosed"}},
		{[]string{"--current", "3000A", "--length", "1m"}, []string{"smallest by table and drop: none of these sizes"}},
	} {
		out, errs, code := command(t, append([]string{"size"}, row.args...)...)
		flat := strings.Join(strings.Fields(out), " ")
		for _, want := range row.says {
			if code != 0 || !strings.Contains(flat, want) {
				t.Errorf("%v: %d %s lacks %q:\n%s", row.args, code, errs, want, out)
			}
		}
		if again, _, _ := command(t, append([]string{"size"}, row.args...)...); again != out {
			t.Errorf("%v: other bytes", row.args)
		}
	}
}

// Whatever is wrong with the question is on the command line.
func TestSizeBadFlags(t *testing.T) {
	good := []string{"size", "--current", "10A", "--length", "2m"}
	for _, row := range []struct {
		args []string
		says string
	}{
		{[]string{"size", "--length", "2m"}, "--current is missing"},
		{[]string{"size", "--current", "10A"}, "--length is missing"},
		{[]string{"size", "--current", "10", "--length", "2m"}, "--current"},
		{[]string{"size", "--current", "-10A", "--length", "2m"}, "more than zero"},
		{append(good, "--length", "0m"), "more than zero"},
		{append(good, "--voltage", "12A"), "--voltage"},
		{append(good, "--drop", "100%"), "--drop: 100 % is out of range; give 0.01 % to less than 100 %"},
		{append(good, "--drop", "0%"), "--drop 0%"},
		{append(good, "--voltage", "0V"), "--voltage 0V"},
		{append(good, "--current", "1000MA"), "--current"},
		{append(good, "--current", "30kA"), "--current: 30.00 kA is out of range; give 1 mA to 20 kA"},
		{append(good, "--length", "2000000m"), "--length: "},
		{append(good, "--ambient", "80degC"), "--ambient: air of 80 °C is as warm as"},
		{append(good, "--engine", "--insulation", "45degC"), "--insulation: an engine space of 50 °C"},
		{append(good, "--bundled", "0"), "--bundled 0"},
		{append(good, "--bundled", "x"), "bundled"},
		{append(good, "--rule", "boat"), "marine, vehicle, general"},
		{append(good, "--rule", ""), "--rule is empty"},
		{append(good, "--insulation", "2000degC"), "--insulation: 2000 °C is out of range; give -60 °C to 300 °C"},
		{append(good, "job.yaml"), "takes no"},
		{append(good, "--width", "3"), "flags of this command"},
	} {
		out, errs, code := command(t, row.args...)
		if code != exitUsage || out != "" || !strings.Contains(errs, row.says) {
			t.Errorf("%v: %d %q", row.args, code, errs)
		}
	}
}
