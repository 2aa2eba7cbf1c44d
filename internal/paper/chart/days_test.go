package chart

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// someDays makes a balance of so many loads and sources with random numbers.
func someDays(loads, sources int, seed uint64) *report.Days {
	random := rand.New(rand.NewPCG(seed, 43))
	d := &report.Days{Nominal: 12.8, Capacity: 720e3, Floor: 0.2, Start: 0.9, Wish: 3 * 86400, HasSun: true}
	for n := range loads {
		d.Loads = append(d.Loads, report.DayLoad{ID: fmt.Sprintf("l%d", n), Name: fmt.Sprintf("load number %d", n)})
	}
	for n := range sources {
		d.Sources = append(d.Sources, report.DaySource{ID: fmt.Sprintf("s%d", n), Kind: report.BySun})
	}
	for m := range d.Months {
		one := &d.Months[m]
		one.NoSun, one.Alone = math.Inf(1), 3e5
		for _, k := range []*report.DayKind{&one.Typical, &one.Bad} {
			for range loads {
				k.ByLoad = append(k.ByLoad, 3.6e6*random.Float64())
			}
			for range sources {
				k.Given = append(k.Given, 3.6e6*random.Float64())
				k.Offered = append(k.Offered, 7.2e6)
			}
			k.Inverters, k.Idle, k.Wiring, k.Reaches = 1e5, 1e6, 1e4, 4e5*random.Float64()
			for range 169 {
				k.Charge = append(k.Charge, 0.2+0.8*random.Float64())
			}
		}
	}
	return d
}

func TestLetteringOfDays(t *testing.T) {
	for loads := range 9 {
		for kind, opt := range map[string]DaysOptions{"plain": {Title: "Days", Month: -1}, "phone": {Small: true, Month: 3}, "framed": {Frame: &sheet.TitleBlock{Title: "Days"}, Title: "Days", Month: 11},
			"too small": {Width: 3, Height: 3}, "wide": {Width: 300, Height: 200, Title: "Days"}, "no month": {Month: 99}} {
			t.Run(fmt.Sprintf("%d, %s", loads, kind), func(t *testing.T) {
				d := someDays(loads+1, loads%4, uint64(loads))
				drawn := Days(d, opt)
				right(t, drawn)
				if bytesOf(t, drawn) != bytesOf(t, Days(d, opt)) {
					t.Error("drawn twice, the bytes differ")
				}
				for _, id := range []string{"typical", "bad", "floor", "Jan-typical-asks", "Dec-bad-asks"} {
					if len(names(drawn, id)) != 1 {
						t.Errorf("%s has names %q", id, names(drawn, id))
					}
				}
			})
		}
	}
}

// A bar is as high as its energy: each segment, read off the paper and the axis.
func TestBarsOfDays(t *testing.T) {
	d := someDays(3, 1, 5)
	s := Days(d, DaysOptions{Month: 0})
	scale := 0.0 // mm a joule
	for m := range d.Months {
		for id, k := range map[string]*report.DayKind{"typical": &d.Months[m].Typical, "bad": &d.Months[m].Bad} {
			id := report.MonthWords[m][:3] + "-" + id + "-asks"
			high := 0.0
			for _, it := range s.Items {
				if it.ID != id {
					continue
				}
				box := it.Marks[0].Box()
				for _, mark := range it.Marks {
					box = box.Union(mark.Box())
				}
				high = box.Height()
			}
			if per := high / askedOf(k); scale == 0 {
				scale = per
			} else if math.Abs(per/scale-1) > 0.01 { // a segment thinner than a line is left out
				t.Errorf("%s: %g mm for %g J, elsewhere %g mm a joule", id, high, askedOf(k), scale)
			}
		}
	}
	if !(scale > 0) {
		t.Error("no bars")
	}
}

// askedOf adds up what the bars are made of.
func askedOf(k *report.DayKind) float64 {
	sum := k.Inverters + k.Idle + k.Wiring
	for _, v := range k.ByLoad {
		sum += v
	}
	return sum
}

func TestNoDays(t *testing.T) {
	for _, d := range []*report.Days{nil, {Missing: "no loads"}} {
		s := Days(d, DaysOptions{Title: "Days"})
		right(t, s)
		if !strings.Contains(words(s), "no loads of the day") {
			t.Errorf("%q", words(s))
		}
	}
}

func words(s *sheet.Sheet) string {
	var all []string
	for _, t := range s.Texts() {
		all = append(all, t.S)
	}
	return strings.Join(all, " ")
}
