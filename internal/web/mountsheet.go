package web

import (
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/chart"
)

// mountPage is sheet 42: how the batteries are held down.
type mountPage struct {
	checkedPage
	Rules        []link
	Chart, Small template.HTML
	Caption      string
	Blocks       []mountBlock
	Findings     []findingRow
	Lists        []mountList
	Verdicts     []verdictLine
	NotChecked   []string
}

type mountBlock struct {
	Name, Sub, Weakest string
	Cases              []mountCaseRow
	Parts              []mountPartRow
	Idle               string
}

type mountCaseRow struct {
	Direction, Load, Force, Tips, Held string
	Out                                bool
}

type mountPartRow struct {
	Name, Direction, Asked, Bears, Margin, Why string
	Used                                       int // percent, at most 125
	Past                                       bool
}

// mountList is a heading with lines under it.
type mountList struct {
	Title string
	Lines []string
}

type verdictLine struct {
	Rule, Title, Words, URL string
	Out                     bool
}

// serveMount answers for sheet 42.
func (s *Server) serveMount(r *http.Request) (any, int, error) {
	const path = "/mount"
	q, err := s.read(r)
	if err != nil {
		return nil, http.StatusNotFound, err
	}
	page, c := s.begin(q, path)
	p := &mountPage{checkedPage: *page}
	if c == nil {
		return p, http.StatusOK, nil
	}
	p.Block = blockOf("Holding down", c, "42")
	p.Assumed = nil
	if c.job.Bank.Mounting == nil {
		p.Heading, p.Sub = "Holding down: not looked at.", assess.MountAsks
		return p, http.StatusOK, nil
	}
	rule := r.URL.Query().Get("rule")
	m := c.report.Mount
	if rule != "" {
		if m, err = c.job.Mount(rule); err != nil {
			return nil, http.StatusNotFound, fmt.Errorf("there is no rule %q here", clip(rule))
		}
	}
	if err := p.fill(c, m); err != nil {
		return nil, http.StatusInternalServerError, err
	}
	p.rules(q, m, path)
	return p, http.StatusOK, nil
}

// rules lists every rule with how it comes out.
func (p *mountPage) rules(q request, m *report.Mount, path string) {
	for i := range m.Verdicts {
		v := &m.Verdicts[i]
		values := url.Values{"job": {q.source.Name}, "rule": {v.ID}}
		address := path + "?" + values.Encode()
		p.Rules = append(p.Rules, link{v.ID, address, v.ID == m.Rule.ID})
		p.Verdicts = append(p.Verdicts, verdictLine{v.ID, v.Title, assess.VerdictWords(v), address, !v.Held || v.Margin < 1})
	}
	if len(m.Verdicts) > 0 && !slices.ContainsFunc(p.Rules, func(l link) bool { return l.Now }) {
		p.Rules = append(p.Rules, link{m.Rule.ID, path + "?" + url.Values{"job": {q.source.Name}}.Encode(), true})
	}
}

// fill turns a mounting into the page.
func (p *mountPage) fill(c *checked, m *report.Mount) error {
	p.Assumed, p.NotChecked = m.Assumed, m.NotChecked
	p.Heading = mountHeading(m)
	p.Sub = mountAsks(&m.Rule)
	if m.Rule.Assumed {
		p.Sub += "; the rule is assumed"
	}
	if m.Rule.Note != "" {
		p.Sub += "; " + m.Rule.Note
	}
	found, _ := c.job.MountFindings(m)
	for _, f := range found {
		p.Findings = append(p.Findings, findingRow{f, report.MarginWords(c.job.Bank.Show, f.Number)})
		if f.Severity.Rank() < 2 && p.Warn == "" {
			p.Warn = f.Message
		}
	}
	for i := range m.Groups {
		p.Blocks = append(p.Blocks, mountBlockOf(&m.Groups[i]))
	}
	p.lists(c, m)
	p.Caption = "to scale, with what is asked as arrows"
	for i := range p.Block {
		if p.Block[i].Name == "compared with" {
			p.Block[i].Value = m.Rule.ID
		}
	}
	var err error
	if p.Chart, err = inline(chart.Mount(m, c.job.Bank, chart.MountOptions{Width: 170}), "mount-"); err != nil {
		return err
	}
	p.Small, err = inline(chart.Mount(m, c.job.Bank, chart.MountOptions{Small: true}), "mount-small-")
	return err
}

// mountHeading says the whole in one line.
func mountHeading(m *report.Mount) string {
	var words []string
	if len(m.Loose) > 0 {
		words = append(words, report.NameList(m.Loose)+" held by nothing")
	}
	for _, b := range m.Bare {
		words = append(words, b.Battery+" under no bar or strap")
	}
	var least *report.MountPart
	for i := range m.Groups {
		g := &m.Groups[i]
		for n := range g.Cases {
			if k := &g.Cases[n]; !k.Held {
				words = append(words, fmt.Sprintf("%s %s %s", g.Name(), k.How, k.Direction))
			}
		}
		if p := g.Weakest(); p != nil && (least == nil || p.Margin < least.Margin) {
			least = p
		}
	}
	switch {
	case words == nil && least != nil && least.Margin < 1:
		words = append(words, "too weak for "+m.Rule.ID)
	case words == nil && len(m.Groups) > 0:
		words = append(words, "held in every direction that "+m.Rule.ID+" asks")
	}
	if least != nil {
		words = append(words, fmt.Sprintf("weakest the %s, margin %.2f", least.Name(), least.Margin))
	}
	if words == nil {
		return "Holding down: nothing could be looked at."
	}
	return "Holding down: " + strings.Join(words, "; ") + "."
}

// mountAsks says what a rule asks.
func mountAsks(r *report.MountRule) string {
	var asks []string
	for _, d := range []struct {
		name string
		g    float64
	}{{"forward", r.Forward}, {"aft", r.Aft}, {"to each side", r.Side}, {"up", r.Up}, {"down", r.Down}} {
		if d.g > 0 {
			asks = append(asks, fmt.Sprintf("%.3g g %s", d.g, d.name))
		}
	}
	words := r.Title + ": " + strings.Join(asks, ", ") + ", against the " + r.Basis
	if r.Factor != 1 {
		words += fmt.Sprintf(" over %g", r.Factor)
	}
	return words + "; " + r.Ref.String()
}

func force(v float64) string { return quantity.Format(quantity.Force(v), 3) }

func mountBlockOf(g *report.MountGroup) mountBlock {
	b := mountBlock{Name: g.Name(), Sub: fmt.Sprintf("%s, held by %s", quantity.Format(quantity.Mass(g.Mass), 3), strings.Join(g.Holds, ", "))}
	for i := range g.Cases {
		c := &g.Cases[i]
		tips := "–"
		if !math.IsNaN(c.Tips) {
			tips = digits(c.Tips, 2) + " g"
		}
		b.Cases = append(b.Cases, mountCaseRow{c.Direction, fmt.Sprintf("%.3g g", c.Multiple), force(c.Force), tips, assess.HeldWords(c), !c.Held || c.Weak() != nil})
	}
	var idle []string
	worst := g.Worst()
	for i := range g.Parts {
		p := &g.Parts[i]
		if many := p.Part == "lip" || p.Part == "shelf"; many && !slices.ContainsFunc(worst, func(q report.MountPart) bool { return q.Hold == p.Hold && q.Part == p.Part }) {
			continue // of a lip's and a shelf's many corners only the worst
		}
		if math.IsInf(p.Margin, 1) {
			idle = append(idle, p.Name())
			continue
		}
		row := mountPartRow{Name: p.Name(), Direction: p.Direction, Asked: force(p.Demand), Bears: "?", Margin: "not checked", Why: p.Why, Past: p.Margin < 1}
		if !math.IsNaN(p.Margin) {
			row.Bears, row.Margin, row.Why = force(p.Capacity), digits(p.Margin, 2), p.Source
			row.Used = max(1, int(math.Round(100*math.Min(1.25, 1/p.Margin))))
		}
		b.Parts = append(b.Parts, row)
	}
	b.Idle = strings.Join(idle, ", ")
	return b
}

// lists fills what stands beside: torque, metals, straps, batteries, balance.
func (p *mountPage) lists(c *checked, m *report.Mount) {
	add := func(title string, lines []string) {
		if len(lines) > 0 {
			p.Lists = append(p.Lists, mountList{title, lines})
		}
	}
	var torque, metals, straps, unknown []string
	for i := range m.Preloads {
		torque = append(torque, assess.PreloadWords(&m.Preloads[i]))
	}
	for i := range m.Metals {
		metals = append(metals, assess.MetalWords(&m.Metals[i]))
	}
	for i := range m.Straps {
		straps = append(straps, assess.StrapWords(&m.Straps[i]))
	}
	for _, u := range m.Unknown {
		unknown = append(unknown, u.ID+": "+u.Why)
	}
	add("could not be looked at", unknown)
	add("torque", torque)
	add("metals that touch", metals)
	add("straps", straps)
	add("taking out, lifting, floor", assess.MountByBattery(c.job.Bank.Show, m))
	if m.Balance != nil {
		add("balance of the vehicle", []string{assess.BalanceWords(m.Balance), assess.MiddleWords(c.job.Bank.Show, m.Balance)})
	}
}
