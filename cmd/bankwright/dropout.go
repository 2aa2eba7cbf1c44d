package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"

	"github.com/spf13/cobra"
)

func (a *app) dropoutCommand() *cobra.Command {
	var caseID string
	var asJSON bool
	c := &cobra.Command{
		Use:   "dropout JOB",
		Short: "one battery gone: what the rest must carry, and whether they hold",
		Long: `Every battery is taken out once, and every two: what the rest then carry, which
of them trip and in which order, and whether the bank still carries the draw.
Beside it stands the largest draw that survives any one loss, and what a bank
does with one battery aged, cold on one side, or with one bad joint.

A battery trips at its trip, or else at its discharge limit, which is then
assumed; exactly at the limit it holds. The one that is furthest over goes
first. A fuse or breaker in line with a battery limits it by its rating; every
one above its rating is named, with how long it holds where its times tell.`,
		Example: "  bankwright dropout job.yaml --case kettle",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			d, err := j.Dropout(caseID)
			if err != nil {
				return work(err)
			}
			if asJSON {
				return work(writeJSON(a.out, dropoutJSONOf(j, d)))
			}
			dropoutText(a.out, j, d)
			return nil
		},
	}
	c.Flags().StringVar(&caseID, "case", "", "the case to look at (default the first)")
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	return c
}

type outJSON struct {
	Out      string             `json:"out"`
	Currents map[string]float64 `json:"currents"`
	Trips    []string           `json:"trips"`
	Holds    bool               `json:"holds"`
	Limit    *float64           `json:"limit"`
}

type pairOutJSON struct {
	Out   []string `json:"out"`
	Trips []string `json:"trips"`
	Holds bool     `json:"holds"`
	Limit *float64 `json:"limit"`
}

type weakJSON struct {
	What     string             `json:"what"`
	Place    string             `json:"place"`
	Currents map[string]float64 `json:"currents"`
	Trips    []string           `json:"trips"`
	Holds    bool               `json:"holds"`
	Share    *float64           `json:"worst_share"`
	ShareID  string             `json:"worst"`
	Assumed  string             `json:"assumed"`
}

type limitJSON struct {
	Battery string   `json:"battery"`
	Current *float64 `json:"current"`
	What    string   `json:"what"`
	Assumed bool     `json:"assumed"`
	Fuse    string   `json:"fuse,omitempty"`
}

type dropoutJSON struct {
	Case     string        `json:"case"`
	Draw     float64       `json:"draw"`
	AllIn    *float64      `json:"limit_all_in"`
	OneOut   *float64      `json:"limit_one_out"`
	Trips    []string      `json:"trips_all_in"`
	Holds    bool          `json:"holds_all_in"`
	Outs     []outJSON     `json:"outs"`
	Pairs    []pairOutJSON `json:"pairs"`
	Weak     []weakJSON    `json:"weak"`
	Limits   []limitJSON   `json:"limits"`
	PairsCut bool          `json:"pairs_cut"`

	Over []fuseOverJSON `json:"fuses_over"`
}

func dropoutJSONOf(j *assess.Job, d *report.Dropout) dropoutJSON {
	out := dropoutJSON{Case: d.Case.ID, Draw: d.Draw, AllIn: orNull(d.LimitAllIn), OneOut: orNull(d.LimitOneOut), Trips: names(d.AllInTrips), Holds: d.AllInHolds,
		Outs: []outJSON{}, Pairs: []pairOutJSON{}, Weak: []weakJSON{}, Limits: []limitJSON{}, PairsCut: d.Stops, Over: fuseOversJSON(d.Over, false)}
	currents := func(values []float64, out ...string) map[string]float64 {
		m := map[string]float64{}
		for i, c := range values {
			if id := j.Bank.Batteries[i].ID; !contains(out, id) && !j.Bank.Batteries[i].Off {
				m[id] = c
			}
		}
		return m
	}
	for _, o := range d.Outs {
		out.Outs = append(out.Outs, outJSON{o.Out[0], currents(o.Current, o.Out...), names(o.Trips), o.Holds, orNull(o.Limit)})
	}
	for _, o := range d.Pairs {
		out.Pairs = append(out.Pairs, pairOutJSON{o.Out, names(o.Trips), o.Holds, orNull(o.Limit)})
	}
	for _, k := range d.Weak {
		out.Weak = append(out.Weak, weakJSON{k.What, k.Place, currents(k.Current), names(k.Trips), k.Holds, orNull(k.Share), k.ShareID, k.Assumed})
	}
	for i, l := range d.Limit {
		out.Limits = append(out.Limits, limitJSON{j.Bank.Batteries[i].ID, orNull(l.Current), l.What, l.Assumed, l.Fuse})
	}
	return out
}

// names gives a list that is never null in JSON.
func names(list []string) []string { return append([]string{}, list...) }

func contains(list []string, id string) bool {
	for _, one := range list {
		if one == id {
			return true
		}
	}
	return false
}

func dropoutText(w io.Writer, j *assess.Job, d *report.Dropout) {
	tell(w, j.Bank.Title+", case "+caseWords(&report.Sharing{Case: d.Case}))
	fmt.Fprintln(w)
	tell(w, limitWords(j, d))
	var ids []string
	for i := range j.Bank.Batteries {
		ids = append(ids, j.Bank.Batteries[i].ID)
	}
	if words := fusesWords(d, ids); words != "" {
		tell(w, words)
	}
	tell(w, "largest draw with all in at which none trips: "+drawLimit(d.LimitAllIn)+"; that the bank still carries after any one loss: "+drawLimit(d.LimitOneOut))
	if d.Case.ByPower {
		tell(w, fmt.Sprintf("the power is %s with all in, and is kept as that current after a loss", ampere(math.Abs(d.Draw))))
	}
	fmt.Fprintln(w)
	outsTable(w, j, d)
	fmt.Fprintln(w)
	dropoutFusesText(w, d)
	pairsText(w, d)
	fmt.Fprintln(w)
	weakText(w, d)
	assumedWide(w, assess.Assumptions(j.Bank, d.Case), broad)
}

// limitWords says what a battery trips at.
func limitWords(j *assess.Job, d *report.Dropout) string {
	known, assumed, fused, other := 0, 0, 0, ""
	for _, l := range d.Limit {
		if !math.IsInf(l.Current, 1) {
			known++
		}
		if l.Fuse != "" {
			fused++
		} else {
			other = l.What
		}
		if l.Assumed {
			assumed++
		}
	}
	switch {
	case known == 0:
		return "not checked: the job gives no trip and no discharge limit of any battery, so none trips here; the currents stand all the same"
	case known < len(d.Limit):
		return fmt.Sprintf("%d of %d batteries have no limit in the job and never trip here", len(d.Limit)-known, len(d.Limit))
	case fused == len(d.Limit):
		return "each battery's fuse is less than its trip"
	case assumed > 0 && assumed+fused == len(d.Limit):
		return "no trip is given for this direction: each battery is taken to trip at its " + other + " limit, assumed"
	case assumed > 0:
		return fmt.Sprintf("%d batteries have no trip: their lasting limit stands for it, assumed", assumed)
	}
	if fused > 0 {
		return "the others trip at their own trip"
	}
	return "each battery trips at its own trip"
}

func drawLimit(a float64) string {
	switch {
	case math.IsNaN(a):
		return "none"
	case math.IsInf(a, 1):
		return "no limit known"
	}
	return quantity.FormatFixed(a, 1) + " A"
}

func outsTable(w io.Writer, j *assess.Job, d *report.Dropout) {
	t := table{head: []string{"out"}, left: map[int]bool{0: true}}
	few := len(j.Bank.Batteries) <= 8
	if few {
		for i := range j.Bank.Batteries {
			t.head = append(t.head, j.Bank.Batteries[i].ID+" A")
		}
	} else {
		t.head = append(t.head, "most A", "of")
	}
	last := len(t.head)
	t.head = append(t.head, "then", "holds up to")
	t.left[last] = true
	line := func(name string, current []float64, trips []string, holds bool, limit string, out []string) {
		row := []string{name}
		if few {
			for i, c := range current {
				cell := quantity.FormatFixed(c, 1)
				if contains(out, j.Bank.Batteries[i].ID) || j.Bank.Batteries[i].Off {
					cell = "out"
				}
				row = append(row, cell)
			}
		} else {
			most, at := 0.0, 0
			for i, c := range current {
				if math.Abs(c) > math.Abs(most) {
					most, at = c, i
				}
			}
			row = append(row, quantity.FormatFixed(most, 1), j.Bank.Batteries[at].ID)
		}
		t.add(append(row, thenWords(trips, holds), limit)...)
	}
	line("none", d.AllIn, d.AllInTrips, d.AllInHolds, "", nil)
	for _, o := range d.Outs {
		line(strings.Join(o.Out, " "), o.Current, o.Trips, o.Holds, drawLimit(o.Limit), o.Out)
	}
	t.write(w)
}

// thenWords says what follows a loss.
func thenWords(trips []string, holds bool) string {
	switch {
	case len(trips) == 0 && holds:
		return "holds"
	case len(trips) == 0:
		return "cannot carry it"
	case holds:
		return strings.Join(short(trips), " ") + " trip, the rest hold"
	}
	return strings.Join(short(trips), " ") + " trip: all gone"
}

// short keeps a list readable.
func short(list []string) []string {
	if len(list) > 5 {
		return append(append([]string{}, list[:4]...), fmt.Sprintf("and %d more", len(list)-4))
	}
	return list
}

func pairsText(w io.Writer, d *report.Dropout) {
	if len(d.Pairs) == 0 {
		return
	}
	var lost []string
	for _, p := range d.Pairs {
		if !p.Holds {
			lost = append(lost, strings.Join(p.Out, " and "))
		}
	}
	words := fmt.Sprintf("two out: it holds without any two (%d pairs)", len(d.Pairs))
	if len(lost) == len(d.Pairs) {
		words = fmt.Sprintf("two out: of the %d pairs it can spare none", len(d.Pairs))
	} else if len(lost) > 0 {
		words = fmt.Sprintf("two out: it holds without %d of %d pairs", len(d.Pairs)-len(lost), len(d.Pairs))
		if len(lost) > 6 {
			lost = append(lost[:6], fmt.Sprintf("and %d more", len(lost)-6))
		}
		words += "; it does not without " + strings.Join(lost, ", ")
	}
	if d.Stops {
		words += "; not every pair was tried"
	}
	tell(w, words)
}

// weakText shows the worst of each kind of weakness.
func weakText(w io.Writer, d *report.Dropout) {
	worst := map[string]int{}
	var order []string
	for n, k := range d.Weak {
		at, seen := worst[k.What]
		if !seen {
			order = append(order, k.What)
		}
		if !seen || (!k.Holds && d.Weak[at].Holds) || (k.Holds == d.Weak[at].Holds && k.Share > d.Weak[at].Share) {
			worst[k.What] = n
		}
	}
	for _, what := range order {
		k := &d.Weak[worst[what]]
		words := fmt.Sprintf("%s, worst at %s: ", k.What, k.Place)
		if math.IsNaN(k.Share) {
			words += "shares have no meaning here"
		} else {
			words += fmt.Sprintf("%s then carries %.0f %% more than its part", k.ShareID, 100*k.Share)
		}
		if len(k.Trips) > 0 {
			words += "; " + thenWords(k.Trips, k.Holds)
		}
		tell(w, words+"; "+k.Assumed)
	}
}
