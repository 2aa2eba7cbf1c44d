package plan

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/paper/sheet"
)

// scene is what is to be drawn, in metres and amperes.
type scene struct {
	report   *report.Report
	bank     *bank.Bank // with a place for every part
	cells    []cell
	runs     []run
	takeoff  bank.Takeoff
	total    float64  // A at the take-off; NaN where not known
	live     bool     // currents are known
	decimals int      // of printed currents
	adrift   []string // parts without a place
	seated   []string // parts without a place of their own, drawn at the stud they sit on
	net      net
}

// cell is one battery.
type cell struct {
	b       *bank.Battery
	current float64 // A, positive on discharge; NaN where not known
	share   float64 // of the mean of its group; NaN where it has none
	off     bool
}

// run is one cable.
type run struct {
	id, label string
	from, to  bank.End
	points    []bank.Point // nil where it is not routed
	current   float64      // A, positive from from to to; NaN where not known
	kind      kind
	link      bool // of the job's own series cables in the picture of a wiring
	about     string
}

// kind is what a cable joins.
type kind uint8

const (
	between  kind = iota // posts of both signs: a series link
	positive             // on the positive rail
	negative             // on the negative rail
)

func (k kind) String() string { return [...]string{"series link", "positive", "negative"}[k] }

func (k kind) role() sheet.Role {
	return [...]sheet.Role{sheet.Grey, sheet.Positive, sheet.Negative}[k]
}

func newScene(r *report.Report, opt Options) (*scene, error) {
	if r == nil || r.Bank == nil || len(r.Bank.Batteries) == 0 {
		return nil, errors.New("there is no battery to draw; the job needs at least one under batteries")
	}
	if err := placed(r.Bank); err != nil {
		return nil, err
	}
	own := *r.Bank
	own.Parts = slices.Clone(own.Parts)
	sc := &scene{report: r, bank: &own, takeoff: own.Takeoff, total: math.NaN()}
	sc.settleParts()
	sc.readBatteries(opt)
	sc.net = newNet(&own)
	if opt.Wiring != nil {
		sc.wiring(opt)
	} else {
		sc.own()
	}
	sc.decimals = decimals(sc.largest())
	return sc, sc.finite()
}

// placed says which batteries cannot be drawn and what would mend it.
func placed(b *bank.Bank) error {
	var noPlace, noPosts []string
	for i := range b.Batteries {
		switch bat := &b.Batteries[i]; {
		case !bat.Placed:
			noPlace = append(noPlace, bat.ID)
		case !bat.HasPosts:
			noPosts = append(noPosts, bat.ID)
		}
	}
	var faults []string
	if noPlace != nil {
		faults = append(faults, "no place for "+strings.Join(noPlace, ", ")+"; give the battery at: and its type size:")
	}
	if noPosts != nil {
		faults = append(faults, "no posts for "+strings.Join(noPosts, ", ")+"; give the battery's type posts:")
	}
	if faults == nil {
		return nil
	}
	return fmt.Errorf("the bank cannot be drawn: %s", strings.Join(faults, "; "))
}

// settleParts gives parts without a place one beside the rest, apart from each
// other in plan and in front view, and those that sit on a stud one there.
func (sc *scene) settleParts() {
	box := extent(sc.bank, nil)
	span := max(box.Max.X-box.Min.X, box.Max.Y-box.Min.Y)
	n := 0
	for i := range sc.bank.Parts {
		p := &sc.bank.Parts[i]
		if p.Placed || p.On != (bank.End{}) {
			continue
		}
		sc.adrift = append(sc.adrift, p.ID)
		p.Placed, p.Body.Turn = true, 0
		p.Body.At = bank.Point{X: box.Max.X + 0.15*span, Y: box.Min.Y + float64(0.16*span*float64(n)), Z: box.Max.Z - p.Body.Size.Z - float64(0.16*span*float64(n))}
		n++
	}
	// A part may sit on one that sits on another.
	for range sc.bank.Parts {
		for i := range sc.bank.Parts {
			sc.seat(&sc.bank.Parts[i])
		}
	}
}

// seatLong is how long a part on a stud is drawn where the job gives no size, m.
const seatLong = 0.05

// seat puts a part without a place where its stud is, across a bar.
func (sc *scene) seat(p *bank.Part) {
	if p.Placed || p.On == (bank.End{}) {
		return
	}
	at, ok := sc.bank.Locate(p.On)
	if !ok {
		return
	}
	if host := sc.bank.Part(p.On.ID); host != nil && host.Kind == bank.Bar {
		p.Body.Turn = (host.Body.Turn + 90) % 360
	}
	if p.Body.Size.X == 0 {
		p.Body.Size.X = seatLong
	}
	p.Placed, p.Body.At = true, bank.Point{}
	from, _ := p.EndPoint(0)
	p.Body.At = bank.Point{X: at.X - from.X, Y: at.Y - from.Y, Z: at.Z - from.Z}
	sc.seated = append(sc.seated, p.ID)
}

// readBatteries takes currents and shares from the report, or from the wiring.
func (sc *scene) readBatteries(opt Options) {
	for i := range sc.bank.Batteries {
		b := &sc.bank.Batteries[i]
		c := cell{b: b, current: math.NaN(), share: math.NaN(), off: b.Off}
		if s := sc.report.Sharing.Battery(b.ID); s != nil && opt.Wiring == nil {
			c.current, c.share = s.Current, s.Share
			c.off = c.off || s.Off
			sc.live = true
		}
		if k := stringOf(opt.Search.Strings, b.ID); opt.Wiring != nil && k >= 0 {
			c.current, c.share = at(opt.Wiring.Currents, k), at(opt.Wiring.Shares, k)
			c.off = c.off || opt.Search.Strings[k].Off
			sc.live = sc.live || !math.IsNaN(c.current)
		}
		sc.cells = append(sc.cells, c)
	}
}

// stringOf gives the index of the string a battery is in, -1 for none.
func stringOf(strs []report.String, battery string) int {
	return slices.IndexFunc(strs, func(s report.String) bool { return slices.Contains(s.Batteries, battery) })
}

// at gives an element, NaN beyond the end.
func at(list []float64, i int) float64 {
	if i < 0 || i >= len(list) {
		return math.NaN()
	}
	return list[i]
}

// own takes the job's own cables.
func (sc *scene) own() {
	flows := map[string]float64{}
	for _, f := range sc.report.Sharing.Cables {
		flows[f.ID] = f.Current
	}
	if sc.live {
		sc.total = sc.report.Sharing.Current
	}
	for i := range sc.bank.Cables {
		c := &sc.bank.Cables[i]
		current, ok := flows[c.ID]
		if !ok {
			current = math.NaN()
		}
		sc.runs = append(sc.runs, sc.cable(c, current))
	}
}

// cable makes a run of one of the job's cables.
func (sc *scene) cable(c *bank.Cable, current float64) run {
	r := run{id: c.ID, label: c.ID, from: c.From, to: c.To, current: current, kind: sc.net.kind(c.From)}
	for _, route := range sc.report.Routes {
		if route.Cable == c.ID {
			r.points = route.Points
		}
	}
	if !c.Size.IsZero() {
		r.about += ", " + c.Size.String()
	}
	if c.Length.Known() {
		r.about += ", " + sc.bank.Show.FormatLength(c.Length.V)
	}
	return r
}

// largest gives the largest current of all.
func (sc *scene) largest() float64 {
	most := 0.0
	for _, r := range sc.runs {
		if !math.IsNaN(r.current) {
			most = max(most, math.Abs(r.current))
		}
	}
	for _, c := range sc.cells {
		if !math.IsNaN(c.current) {
			most = max(most, math.Abs(c.current))
		}
	}
	return most
}

// widest gives the largest current among the cables drawn as wide as theirs.
func (sc *scene) widest() float64 {
	most := 0.0
	for _, r := range sc.runs {
		if !r.link && !math.IsNaN(r.current) {
			most = max(most, math.Abs(r.current))
		}
	}
	return most
}

// decimals tells how fine currents are printed: three figures of the largest
// at least, as a clamp meter shows them (common practice, no source).
func decimals(largest float64) int {
	switch {
	case largest >= 10:
		return 1
	case largest >= 1:
		return 2
	}
	return 3
}

// amps prints a current.
func (sc *scene) amps(i float64) string { return sheet.Decimal(i, sc.decimals) + " A" }

// finite refuses places that cannot be drawn.
func (sc *scene) finite() error {
	b := extent(sc.bank, sc.runs)
	sum := b.Min.X + b.Min.Y + b.Min.Z + b.Max.X + b.Max.Y + b.Max.Z
	if math.IsNaN(sum) || math.IsInf(sum, 0) {
		return errors.New("the bank cannot be drawn: a place or a size in it is no finite number; give every at: and size: as a length")
	}
	return nil
}

// extent gives the box that holds all things of a bank that have a place.
func extent(b *bank.Bank, runs []run) bank.Box {
	inf := math.Inf(1)
	all := bank.Box{Min: bank.Point{X: inf, Y: inf, Z: inf}, Max: bank.Point{X: -inf, Y: -inf, Z: -inf}}
	take := func(p bank.Point) {
		all.Min = bank.Point{X: min(all.Min.X, p.X), Y: min(all.Min.Y, p.Y), Z: min(all.Min.Z, p.Z)}
		all.Max = bank.Point{X: max(all.Max.X, p.X), Y: max(all.Max.Y, p.Y), Z: max(all.Max.Z, p.Z)}
	}
	hold := func(x bank.Box) { take(x.Min); take(x.Max) }
	for _, c := range b.Compartments {
		hold(c.Box)
	}
	for i := range b.Batteries {
		hold(b.Batteries[i].Body.Box())
	}
	for i := range b.Parts {
		if b.Parts[i].Placed {
			hold(b.Parts[i].Body.Box())
		}
	}
	for _, r := range runs {
		for _, p := range r.points {
			take(p)
		}
	}
	return all
}
