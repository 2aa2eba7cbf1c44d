package quantity

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
)

func TestParseSize(t *testing.T) {
	for _, row := range []struct {
		text string
		want Size
	}{
		{"4/0 AWG", AWG(-3)}, {"0000 AWG", AWG(-3)}, {"3/0 AWG", AWG(-2)}, {"000 AWG", AWG(-2)}, {"2/0 AWG", AWG(-1)}, {"00 AWG", AWG(-1)},
		{"1/0 AWG", AWG(0)}, {"0 AWG", AWG(0)}, {"1 AWG", AWG(1)}, {"2 AWG", AWG(2)}, {"40 AWG", AWG(40)}, {"AWG 2", AWG(2)}, {"awg 2/0", AWG(-1)},
		{"2awg", AWG(2)}, {"2/0awg", AWG(-1)}, {"AWG2/0", AWG(-1)}, {" 2\u00a0AWG ", AWG(2)}, {"2\u20440 AWG", AWG(-1)},
		{"70 mm2", SquareMM(70)}, {"70 mm²", SquareMM(70)}, {"70mm^2", SquareMM(70)}, {"2.5 mm2", SquareMM(2.5)},
		{"0.05 mm2", SquareMM(0.05)}, {"1000 mm2", SquareMM(1000)}, {"1e2 mm2", SquareMM(100)},
	} {
		t.Run(row.text, func(t *testing.T) {
			got, err := ParseSize(row.text)
			if err != nil || got != row.want || got.IsZero() {
				t.Errorf("got %v, %v, want %v", got, err, row.want)
			}
		})
	}
}

func TestParseSizeRefused(t *testing.T) {
	const gauges = "write 4/0, 3/0, 2/0 or 1/0 AWG, or a whole number from 1 to 40"
	const bare = "a bare number where a conductor size is due; write a unit: AWG, mm2"
	for _, row := range []struct{ text, want string }{
		{"70", "70: " + bare}, {"2", bare}, {"2/0", bare}, {"00", bare}, {"2.5", bare}, {"-2", bare},
		{"5/0 AWG", gauges}, {"00000 AWG", gauges}, {"41 AWG", gauges}, {"-1 AWG", gauges}, {"2.5 AWG", gauges}, {"02 AWG", gauges}, {"AWG", gauges},
		{"2/1 AWG", gauges}, {"0/0 AWG", gauges}, {"2/00 AWG", gauges}, {"２ AWG", gauges}, {"99999999999999999999 AWG", gauges}, {"AWG 2 AWG", gauges},
		{"0.049 mm2", "write 0.05 to 1000 mm2"}, {"1000.1 mm2", "write 0.05 to 1000 mm2"}, {"-70 mm2", "write 0.05 to 1000 mm2"}, {"0 mm2", "write 0.05 to 1000 mm2"}, {"1e400 mm2", "write 0.05 to 1000 mm2"},
		{"70 mm", "70 mm is a length in mm, not a conductor size; units that fit: AWG, mm2"},
		{"0.7 cm2", "0.7 cm2 is an area in cm², not a conductor size"}, {"1 in2", "not a conductor size"},
		{"250 kcmil", "kcmil is no unit of a conductor size; units that fit: AWG, mm2"}, {"2 ga", "ga is no unit"},
		{"2,5 mm2", "write 2.5"}, {"1/2 mm2", "a fraction"}, {"2/0 mm2", "a fraction over 0"}, {"mm2", "no number at the start"},
		{"", "empty where a conductor size is due"}, {strings.Repeat("0", 65), "write at most 64"}, {"\xff", "not valid UTF-8"},
	} {
		t.Run(row.text, func(t *testing.T) {
			got, err := ParseSize(row.text)
			if err == nil {
				t.Fatalf("read as %v", got)
			}
			if !got.IsZero() || !strings.Contains(err.Error(), row.want) {
				t.Errorf("got %v and %q, want %q", got, err, row.want)
			}
		})
	}
}

func TestSizeText(t *testing.T) {
	for _, row := range []struct {
		size          Size
		printed, text string
	}{
		{AWG(-3), "4/0 AWG", "4/0 AWG"}, {AWG(-1), "2/0 AWG", "2/0 AWG"}, {AWG(0), "1/0 AWG", "1/0 AWG"}, {AWG(1), "1 AWG", "1 AWG"},
		{AWG(40), "40 AWG", "40 AWG"}, {SquareMM(70), "70 mm²", "70 mm2"}, {SquareMM(2.5), "2.5 mm²", "2.5 mm2"}, {Size{}, "–", ""},
	} {
		if row.size.String() != row.printed || row.size.ASCII() != row.text {
			t.Errorf("got %q and %q, want %q and %q", row.size.String(), row.size.ASCII(), row.printed, row.text)
		}
	}
}

// Every gauge and random sections survive being written, both ways and as JSON.
func TestSizeReadBack(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	sizes := []Size{SquareMM(minMM2), SquareMM(maxMM2)}
	for n := minGauge; n <= maxGauge; n++ {
		if s := AWG(n); !s.IsAWG() || s.Gauge() != n || s.MM2() != 0 {
			t.Errorf("AWG(%d) is gauge %d, %v mm2", n, s.Gauge(), s.MM2())
		}
		sizes = append(sizes, AWG(n))
	}
	for range 1000 {
		a := math.Pow(10, -1.3+4.3*random.Float64())
		if s := SquareMM(a); s.IsAWG() || s.Gauge() != NoGauge || s.MM2() != a {
			t.Errorf("%v mm2 is gauge %d, %v mm2", a, s.Gauge(), s.MM2())
		}
		sizes = append(sizes, SquareMM(a))
	}
	for _, s := range sizes {
		for _, text := range []string{s.String(), s.ASCII(), strings.ReplaceAll(strings.ToLower(s.ASCII()), " ", "")} {
			if back, err := ParseSize(text); err != nil || back != s {
				t.Errorf("%q reads as %v, %v, want %v", text, back, err, s)
			}
		}
		checkSizeJSON(t, s)
	}
	checkSizeJSON(t, Size{})
}

func checkSizeJSON(t *testing.T, s Size) {
	t.Helper()
	text, err := json.Marshal(s)
	var back Size
	if err != nil || json.Unmarshal(text, &back) != nil || back != s {
		t.Errorf("%v as JSON is %s, %v, and reads as %v", s, text, err, back)
	}
}

func TestSizeOutOfRange(t *testing.T) {
	for _, s := range []Size{AWG(-4), AWG(41), AWG(300), SquareMM(0), SquareMM(-70), SquareMM(0.0499), SquareMM(1001), SquareMM(math.NaN()), SquareMM(math.Inf(1))} {
		if !s.IsZero() || s.IsAWG() || s.Gauge() != NoGauge || s.MM2() != 0 || s != (Size{}) {
			t.Errorf("got %v", s)
		}
	}
}

// No gauge is any metric size: 1/0 AWG is 53.49 mm² (ASTM B258, computed).
func TestMetricIsNoGauge(t *testing.T) {
	if AWG(0) == SquareMM(53.49) || SquareMM(53.49).IsAWG() {
		t.Error("a section was taken for a gauge")
	}
	var s Size
	if err := s.UnmarshalText([]byte("70")); err == nil || !s.IsZero() {
		t.Errorf("a bare number was read as %v", s)
	}
}

func FuzzParseSize(f *testing.F) {
	for _, text := range []string{"4/0 AWG", "0000 AWG", "AWG 2", "2awg", "70 mm2", "2.5 mm²", "70", "2/0", "250 kcmil", "-1 AWG", "1e999 mm2", "", "\xff", "AWGAWG", "½ mm2"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ParseSize(text)
		if err != nil {
			checkError(t, text, err)
			return
		}
		if s.IsZero() {
			t.Errorf("%q is no size", text)
		}
		if back, err := ParseSize(s.ASCII()); err != nil || back != s {
			t.Errorf("%q is %v, which reads as %v, %v", text, s, back, err)
		}
	})
}
