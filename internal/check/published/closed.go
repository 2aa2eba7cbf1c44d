package published

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/check/assess"
	"bankwright/internal/engine/wiring"
)

// worstOver is the largest current over the mean by links over battery, for 2,
// 3, 4, 5, 6 and 8 equal batteries, taken off at one end and at opposite ends.
var worstOver = []struct {
	rho         float64
	one, across [6]float64
}{
	{0.01, [6]float64{1.005, 1.017, 1.034, 1.059, 1.089, 1.167}, [6]float64{1.000, 1.002, 1.005, 1.010, 1.017, 1.034}},
	{0.02, [6]float64{1.010, 1.033, 1.068, 1.115, 1.173, 1.318}, [6]float64{1.000, 1.003, 1.010, 1.020, 1.033, 1.068}},
	{0.05, [6]float64{1.024, 1.080, 1.163, 1.271, 1.399, 1.704}, [6]float64{1.000, 1.008, 1.024, 1.048, 1.080, 1.163}},
	{0.10, [6]float64{1.048, 1.152, 1.305, 1.494, 1.711, 2.195}, [6]float64{1.000, 1.016, 1.048, 1.093, 1.152, 1.305}},
	{0.15, [6]float64{1.070, 1.219, 1.430, 1.683, 1.964, 2.569}, [6]float64{1.000, 1.024, 1.070, 1.136, 1.219, 1.430}},
	{0.20, [6]float64{1.091, 1.281, 1.542, 1.846, 2.177, 2.872}, [6]float64{1.000, 1.031, 1.091, 1.175, 1.281, 1.542}},
	{0.40, [6]float64{1.167, 1.487, 1.890, 2.330, 2.784, 3.707}, [6]float64{1.000, 1.059, 1.167, 1.313, 1.487, 1.890}},
}

// tableRows: the closed form of equal batteries on two chains of links.
func tableRows() []Row {
	ref := source.Ref{Title: "closed form of equal batteries on two chains of links", At: "cosh((n−k+½)θ) and cosh((k−(n+1)/2)θ) over their sums, cosh θ = 1 + ρ/2", Edition: "derived, not published", How: source.Derived}
	half := within(0.0006, "half of the last digit given, and a little")
	const battery = 5.0 // mΩ, any will do
	ohm := func(part, rho float64) string { return fmt.Sprintf("%.12g mΩ", part*rho*battery) }
	var rows []Row
	for _, t := range worstOver {
		for i, n := range []int{2, 3, 4, 5, 6, 8} {
			// At one end only the sum of the rails counts, so they differ here.
			one := chain{n: n, emf: "12.8 V", ohm: "5 mΩ", plus: ohm(0.3, t.rho), minus: ohm(0.7, t.rho), positive: 1, negative: 1, demand: "draw: 200 A"}
			across := chain{n: n, emf: "12.8 V", ohm: "5 mΩ", plus: ohm(0.5, t.rho), minus: ohm(0.5, t.rho), positive: 1, negative: n, demand: "draw: 200 A"}
			rows = append(rows,
				Row{fmt.Sprintf("CHAIN-ONE-%d-%.2f", n, t.rho), fmt.Sprintf("largest over mean, %d at one end, a link of both rails together %.2f of a battery", n, t.rho), ref, Computed, t.one[i], "", half, solve(one.job()).bank(worst)},
				Row{fmt.Sprintf("CHAIN-ACROSS-%d-%.2f", n, t.rho), fmt.Sprintf("largest over mean, %d at opposite ends, a link of both rails together %.2f of a battery", n, t.rho), ref, Computed, t.across[i], "", half, solve(across.job()).bank(worst)})
		}
	}
	return rows
}

// exampleRows: five and six batteries of 3 mΩ on links of 0.3 mΩ, largest over
// least current, evaluated as the search does it.
func exampleRows() []Row {
	ref := source.Ref{Title: "public example of five and six batteries of 3 mΩ on links of 0.3 mΩ", At: "as quoted in notes on what practitioners ask", Edition: "not at hand", How: source.Memory}
	half := within(0.005, "half of the last digit given")
	return []Row{
		{"SECOND-5", "largest over least, five, second from each end", ref, Memory, 1.20, "", half, spread(5, 1, 3)},
		{"OPPOSITE-5", "largest over least, five, opposite ends", ref, Memory, 1.42, "", half, spread(5, 0, 4)},
		{"OPPOSITE-6", "largest over least, six, opposite ends", ref, Memory, 1.64, "", half, spread(6, 0, 5)},
		{"ONE-END-6", "largest over least, six, one end", ref, Memory, 5.64, "", half, spread(6, 0, 0)},
	}
}

// spread evaluates a chain of n with the take-offs at two of its places.
func spread(n, positive, negative int) getter {
	return func() (float64, error) {
		q := wiring.Question{Current: 100}
		for i := range n {
			q.Strings = append(q.Strings, wiring.String{Resistance: 3e-3, EMF: 13.2, Capacity: 1})
			for _, r := range []*wiring.Rail{&q.Positive, &q.Negative} {
				r.Names, r.String = append(r.Names, strconv.Itoa(i)), append(r.String, i)
				if i > 0 {
					r.Pairs = append(r.Pairs, wiring.Pair{A: i - 1, B: i, Length: 1, Resistance: 0.3e-3})
				}
			}
		}
		q.Positive.Roots, q.Negative.Roots = []int{positive}, []int{negative}
		links := make([]int, n-1)
		for i := range links {
			links[i] = i
		}
		w, err := wiring.Evaluate(&q, wiring.Tree{Pairs: links, Root: positive}, wiring.Tree{Pairs: links, Root: negative})
		if err != nil {
			return 0, err
		}
		return slices.Max(w.Currents) / slices.Min(w.Currents), nil
	}
}

// countRows: how many wirings a bank has.
func countRows() []Row {
	ref := source.Ref{Title: "Cayley's formula for labelled trees", At: "(n+1)^(n−1) trees a rail with a stud, n^(n−2) from a given post, n^(n−1) from any", Edition: "1889, applied here", How: source.Derived}
	var rows []Row
	for _, one := range []struct {
		n             int
		takeoff, keys string
		what          string
		want          float64
	}{
		{3, "S", "", "a stud each rail", 256}, {4, "S", "", "a stud each rail", 15625}, {5, "S", "", "a stud each rail", 1679616}, {6, "S", "", "a stud each rail", 282475249},
		{5, "B1", "", "taken off at posts", 15625}, {5, "B1", ", takeoff: any", "taken off at any post", 390625},
	} {
		rows = append(rows, Row{fmt.Sprintf("COUNT-%d-%s", one.n, strings.ReplaceAll(one.what, " ", "-")), fmt.Sprintf("wirings of %d batteries, %s", one.n, one.what),
			ref, Computed, one.want, "", within(0, "a count"), count(one.n, one.takeoff, one.keys)})
	}
	return rows
}

// count searches a row of n batteries and gives the number of its wirings.
func count(n int, takeoff, keys string) getter {
	var s strings.Builder
	s.WriteString("bankwright: 1\nbattery_types:\n  unit: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 4 mΩ, emf: 13.2 V, size: {length: 330 mm, width: 170 mm, height: 215 mm}, posts: {positive: [30 mm, 30 mm], negative: [300 mm, 50 mm]}}\nbatteries:\n")
	for i := range n {
		fmt.Fprintf(&s, "  - {id: B%d, type: unit, at: [%d mm, %d mm, 0 mm]}\n", i+1, 9*i, 180*i+i*i)
	}
	s.WriteString("parts: [{id: SP, kind: stud, at: [-100 mm, 300 mm, 200 mm]}, {id: SN, kind: stud, at: [500 mm, 260 mm, 200 mm]}]\n")
	ends := map[string]string{"S": "{positive: SP, negative: SN}", "B1": "{positive: B1+, negative: B1-}"}[takeoff]
	fmt.Fprintf(&s, "takeoff: %s\nwirings: {cable: {positive: 35 mm2, negative: 35 mm2}%s}\ncases: [{id: asked, draw: 100 A}]\n", ends, keys)
	return func() (float64, error) {
		j, err := assess.Load("published.yaml", []byte(s.String()))
		if err != nil {
			return 0, err
		}
		w, err := j.Wirings(context.Background(), "", nil)
		if err != nil {
			return 0, err
		}
		if !w.Exact {
			return math.NaN(), fmt.Errorf("the search was not exact")
		}
		return strconv.ParseFloat(w.Space, 64)
	}
}
