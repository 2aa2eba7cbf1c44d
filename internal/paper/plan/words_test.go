package plan

import (
	"math"
	"slices"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

func TestErrorsNameTheBattery(t *testing.T) {
	change := func(f func(*bank.Bank)) *report.Report {
		r := row(3)
		f(r.Bank)
		return r
	}
	for name, row := range map[string]struct {
		r    *report.Report
		opt  Options
		want []string
	}{
		"no report":  {nil, Options{}, []string{"no battery"}},
		"no battery": {change(func(b *bank.Bank) { b.Batteries = nil }), Options{}, []string{"no battery"}},
		"no place":   {change(func(b *bank.Bank) { b.Batteries[1].Placed = false }), Options{}, []string{"B2", "at:", "size:"}},
		"no posts":   {change(func(b *bank.Bank) { b.Batteries[2].HasPosts = false }), Options{}, []string{"B3", "posts:"}},
		"not finite": {change(func(b *bank.Bank) { b.Batteries[0].Body.At.X = math.NaN() }), Options{}, []string{"finite", "at:"}},
		"huge":       {change(func(b *bank.Bank) { b.Batteries[0].Body.At.X = 1e9 }), Options{}, []string{"does not fit"}},
		"tiny sheet": {row(3), Options{Width: 50, Height: 50}, []string{"no room"}},
		"no sheet":   {row(3), Options{Width: math.NaN(), Height: 100}, []string{"no room"}},
	} {
		for _, draw := range []func(*report.Report, Options) (*sheet.Sheet, error){Draw, Front} {
			_, err := draw(row.r, row.opt)
			if err == nil {
				t.Errorf("%s: no error", name)
				continue
			}
			for _, w := range row.want {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("%s: %q lacks %q", name, err, w)
				}
			}
		}
	}
}

// says reports whether any text of the sheet contains the words.
func says(s *sheet.Sheet, words string) bool {
	return slices.ContainsFunc(s.Texts(), func(x sheet.Text) bool { return strings.Contains(x.S, words) })
}

func TestWhatTheDrawingSays(t *testing.T) {
	r := row(3)
	wire(r, "W1", "B1+", "S1", 35.1)
	wire(r, "W2", "B1-", "S2", -35.1)
	r.Routes = r.Routes[:1]
	b := r.Bank
	b.Show.Length = "in"
	b.Compartments = []bank.Compartment{{ID: "C1", Box: bank.Box{Min: bank.Point{X: -0.15}, Max: bank.Point{X: -0.15 + 38.5*0.0254, Y: 19.75 * 0.0254, Z: 0.4}}}}
	b.Batteries[1].Off = true
	b.Batteries[2].Resistance = source.Assume(quantity.Resistance(0.0038), source.Ref{}, "")
	b.Parts = append(b.Parts, bank.Part{ID: "F1", Kind: bank.Fuse})
	r.Sharing.Current = 35.1
	r.Sharing.Batteries[0].Share = 1.053
	r.Routes[0].Close = true
	s, err := Draw(r, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for _, words := range []string{"W1 35.1 A", "W2 35.1 A, not routed", "38 1/2 in", "19 3/4 in", "off", "+5.3 %", "take-off +", "take-off −",
		"assumed: resistance 3.8 mΩ of B3", "place not given", "nearer to a case or wall", "welds itself on", "draw of 35.1 A", "width is current"} {
		if !says(s, words) {
			t.Errorf("%q is not said", words)
		}
	}
	names := map[string]string{}
	for _, it := range s.Items {
		if it.Name != "" {
			names[it.ID] = it.Name
		}
	}
	for id, want := range map[string]string{
		"B1": "battery B1, 30.0 A, share 1.053", "B2": "battery B2, off", "B1+": "post B1+, positive", "S1": "stud S1, positive", "F1": "fuse F1",
		"W1": "cable W1, B1+ to S1, positive, 35.1 A from B1+ to S1", "W2": "cable W2, B1- to S2, negative, 35.1 A from S2 to B1-, not routed",
	} {
		if names[id] != want {
			t.Errorf("%s is named %q, want %q", id, names[id], want)
		}
	}
	if wrong := s.Misplaced(); wrong != nil {
		t.Error(strings.Join(wrong, "\n"))
	}
}

func TestWithoutCurrents(t *testing.T) {
	r := row(3)
	wire(r, "W1", "B1+", "S1", 35.1)
	r.Sharing = report.Sharing{}
	s, err := Draw(r, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !says(s, "no currents yet") || says(s, " A") || says(s, "%") {
		t.Errorf("currents are said though there are none: %v", s.Texts())
	}
}

func TestHostileWords(t *testing.T) {
	bad := `</text><script>x</script>"&` + "\u202e" + strings.Repeat("long ", 200)
	r := row(2)
	wire(r, "W1", "B1+", "S1", 35.1)
	r.Bank.Title, r.Sharing.Case.ID = bad, bad
	for _, opt := range []Options{{}, {Title: bad}, {Small: true}, {Height: 210, Frame: &sheet.TitleBlock{Title: bad, Scale: bad}}} {
		s, err := Draw(r, opt)
		if err != nil {
			t.Fatal(err)
		}
		dataIDs(t, written(t, s))
		if wrong := s.Misplaced(); wrong != nil {
			t.Error(strings.Join(wrong, "\n"))
		}
	}
}
