package main

import (
	"fmt"
	"io"
	"math"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/model/report"
)

// fuseOverJSON is a fuse or breaker above its rating, SI numbers.
type fuseOverJSON struct {
	Part   string   `json:"part"`
	Out    []string `json:"out"`
	Amps   float64  `json:"current"`
	Rating float64  `json:"rating"`
	From   *float64 `json:"time"`
	For    *float64 `json:"lasts"`
	Holds  *float64 `json:"holds"`
	Opens  *float64 `json:"opens"`
}

func fuseOversJSON(all []report.FuseOver, run bool) []fuseOverJSON {
	out := []fuseOverJSON{}
	for _, o := range all {
		one := fuseOverJSON{Part: o.Part, Out: names(o.Out), Amps: o.Amps, Rating: o.Rating, Holds: orNull(o.Holds), Opens: orNull(o.Opens)}
		if run {
			one.From, one.For = orNull(o.From), orNull(o.For)
		}
		out = append(out, one)
	}
	return out
}

// fuseTimesWords says how long a fuse carries what it carries.
func fuseTimesWords(o *report.FuseOver) string {
	ground := " (by the times of its class, not its own sheet)"
	if o.Sheet {
		ground = ""
	}
	holds, opens := o.Holds > 0, !math.IsNaN(o.Opens) && !math.IsInf(o.Opens, 1)
	least := "its band does not say at the least how long it holds"
	switch {
	case math.IsInf(o.Holds, 1):
		return "above its rating, but it carries that without end" + ground
	case holds:
		least = "it holds for " + lasts(o.Holds) + " at the least"
	}
	switch {
	case opens:
		return least + " and has opened after " + lasts(o.Opens) + " at the latest" + ground
	case holds:
		return least + "; not known when it opens" + ground
	}
	return "above its rating, not known when it opens"
}

func lasts(s float64) string { return quantity.Format(quantity.Duration(s), 2) }

// runFusesText names the fuses above their rating in a run.
func runFusesText(w io.Writer, r *report.Run) {
	for i := range r.Over {
		o := &r.Over[i]
		words := fmt.Sprintf("%s of %s carries up to %s, above its rating from %s on, for %s in all: %s", o.Part, ampere(o.Rating), ampere(o.Amps), clock(o.From), clock(o.For), fuseTimesWords(o))
		if o.For >= o.Opens {
			words += "; count on it opening, though the run goes on as if it did not"
		}
		tell(w, words)
	}
	bridgedText(w, r.Bridged)
}

// dropoutFusesText names the fuses above their rating, each at its worst.
func dropoutFusesText(w io.Writer, d *report.Dropout) {
	worst := map[string]int{}
	var order []string
	for i, o := range d.Over {
		k, seen := worst[o.Part]
		if !seen {
			order = append(order, o.Part)
		}
		if !seen || o.Amps > d.Over[k].Amps {
			worst[o.Part] = i
		}
	}
	for _, id := range order {
		o := &d.Over[worst[id]]
		when := "with all in"
		if len(o.Out) > 0 {
			when = "with " + strings.Join(o.Out, " and ") + " out"
		}
		tell(w, fmt.Sprintf("%s of %s carries %s %s: %s", o.Part, ampere(o.Rating), ampere(o.Amps), when, fuseTimesWords(o)))
	}
	bridgedText(w, d.Bridged)
}

func bridgedText(w io.Writer, ids []string) {
	if len(ids) > 0 {
		tell(w, "not looked at, other copper lies beside: "+strings.Join(short(ids), ", "))
	}
}

// fusesWords says whose limit a fuse in line is.
func fusesWords(d *report.Dropout, ids []string) string {
	var all []string
	for i, l := range d.Limit {
		if l.Fuse != "" {
			all = append(all, fmt.Sprintf("%s by %s of %s", ids[i], l.Fuse, ampere(l.Current)))
		}
	}
	if len(all) == 0 {
		return ""
	}
	return "a fuse or breaker in line with a battery counts by its rating where that is less, as if it opened at once (it carries a little more for hours): " + strings.Join(short(all), ", ")
}
