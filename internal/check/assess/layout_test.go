package assess

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// caseBox is a case as the generator placed it, in whole millimetres.
type caseBox struct {
	at, size [3]int // size after turning
	turn     int
}

func (c caseBox) clashes(d caseBox) bool {
	for a := range 3 {
		if c.at[a]+c.size[a] <= d.at[a] || d.at[a]+d.size[a] <= c.at[a] {
			return false
		}
	}
	return true
}

// jobLayout is a random job text and what stands where in it.
type jobLayout struct {
	text  string
	cases []caseBox
	rooms [][2][3]int // least and greatest corner
	hole  [3]int      // centre of the passage in the one wall, 0 without
	bore  int
}

// randomLayout places two to eight batteries of two sizes, turned any way, in
// an area so small that many stand closer than a cable is thick. Two in three
// stand in a compartment, every second of these with a locker behind a wall
// with a hole, where the studs of the take-off are.
func randomLayout(rng *rand.Rand, n, kind int) jobLayout {
	var l jobLayout
	in := func(low, high int) int { return low + rng.IntN(high-low+1) }
	sizes := [2][3]int{{in(180, 350), in(110, 200), in(150, 240)}, {in(160, 300), in(120, 250), in(180, 300)}}
	area := int(340 * math.Sqrt(float64(n)+1))
	var types [8]int
	for tries := 0; len(l.cases) < n && tries < 200*n; tries++ {
		k, turn := rng.IntN(2), 90*rng.IntN(4)
		size := sizes[k]
		if turn%180 == 90 {
			size[0], size[1] = size[1], size[0]
		}
		c := caseBox{[3]int{in(0, area-size[0]), in(0, area-size[1]), 0}, size, turn}
		clash := false
		for _, other := range l.cases {
			clash = clash || c.clashes(other)
		}
		if !clash {
			types[len(l.cases)] = k
			l.cases = append(l.cases, c)
		}
	}
	if kind > 0 {
		l.rooms = append(l.rooms, [2][3]int{{0, 0, 0}, {area, area, 500}})
	}
	if kind > 1 {
		l.rooms = append(l.rooms, [2][3]int{{area + 20, 0, 0}, {area + 420, 400, 400}})
		l.hole, l.bore = [3]int{area + 10, in(40, 360), in(40, 360)}, 34
	}
	l.write(rng, sizes, types[:], area)
	return l
}

// write puts the layout into a job: a chain of cables in some order on both
// rails, none with a length.
func (l *jobLayout) write(rng *rand.Rand, sizes [2][3]int, types []int, area int) {
	var b strings.Builder
	fmt.Fprint(&b, "bankwright: 1\nbattery_types:\n")
	for k, s := range sizes {
		fmt.Fprintf(&b, "  t%d: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 4 mΩ, emf: 13.2 V, size: {length: %d mm, width: %d mm, height: %d mm}, posts: {positive: [%d mm, %d mm], negative: [%d mm, %d mm]}}\n",
			k, s[0], s[1], s[2], 30, 25+rng.IntN(s[1]-50), s[0]-30, 25+rng.IntN(s[1]-50))
	}
	fmt.Fprint(&b, "batteries:\n")
	for i, c := range l.cases {
		fmt.Fprintf(&b, "  - {id: B%d, type: t%d, at: [%d mm, %d mm, %d mm], turn: %d}\n", i+1, types[i], c.at[0], c.at[1], c.at[2], c.turn)
	}
	if l.rooms != nil {
		fmt.Fprint(&b, "compartments:\n")
	}
	for i, r := range l.rooms {
		fmt.Fprintf(&b, "  - {id: R%d, at: [%d mm, %d mm, %d mm], size: {length: %d mm, width: %d mm, height: %d mm}}\n",
			i, r[0][0], r[0][1], r[0][2], r[1][0]-r[0][0], r[1][1]-r[0][1], r[1][2]-r[0][2])
	}
	takeoff := [2]string{"B1+", "B1-"}
	if l.bore > 0 {
		fmt.Fprintf(&b, "passages: [{id: G, at: [%d mm, %d mm, %d mm], diameter: %d mm}]\n", l.hole[0], l.hole[1], l.hole[2], l.bore)
		fmt.Fprintf(&b, "parts:\n  - {id: SP, kind: stud, at: [%d mm, 100 mm, 200 mm]}\n  - {id: SN, kind: stud, at: [%d mm, 300 mm, 200 mm]}\n", area+320, area+320)
		takeoff = [2]string{"SP", "SN"}
	}
	fmt.Fprint(&b, "cables:\n")
	order := rng.Perm(len(l.cases))
	for k, sign := range []string{"+", "-"} {
		for i := 1; i < len(order); i++ {
			fmt.Fprintf(&b, "  - {id: W%s%d, from: B%d%s, to: B%d%s, size: 35 mm2}\n", []string{"P", "N"}[k], i, order[i-1]+1, sign, order[i]+1, sign)
		}
		if l.bore > 0 {
			fmt.Fprintf(&b, "  - {id: W%s0, from: B1%s, to: %s, size: 35 mm2}\n", []string{"P", "N"}[k], sign, takeoff[k])
		}
	}
	fmt.Fprintf(&b, "takeoff: {positive: %s, negative: %s}\nwirings: {cable: {positive: 50 mm2, negative: 35 mm2}}\ncases: [{id: load, draw: 100 A}]\n", takeoff[0], takeoff[1])
	l.text = b.String()
}

// TestRandomLayouts walks along every cable and every pair of 200 random jobs
// and looks whether it stays outside of every case and inside the rooms, from
// what the generator wrote alone.
func TestRandomLayouts(t *testing.T) {
	walked, through, lost, cables := 0, 0, 0, 0
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 7))
		l := randomLayout(rng, 2+int(seed%7), int(seed%3))
		j := mustLoad(t, l.text)
		check := func(name string, points []bank.Point, diameter float64) {
			walked++
			if fault := l.fault(points, diameter/2, &through); fault != "" {
				t.Errorf("seed %d: %s %s: %v", seed, name, fault, points)
			}
		}
		diameter := func(size string) float64 {
			for _, c := range j.cat.Conductors() {
				if c.Size.ASCII() == size {
					return float64(c.Diameter.V)
				}
			}
			t.Fatalf("no conductor %s", size)
			return 0
		}
		for _, r := range j.Routes {
			cables++
			check(r.Cable, r.Points, diameter("35 mm2"))
			l.ends(t, j, cableOf(t, j.Bank, r.Cable), r.Points)
		}
		for i := range j.Bank.Cables {
			c := &j.Bank.Cables[i]
			if (c.Length.Origin == source.Routed) != (c.RouteFailure == "") {
				t.Errorf("seed %d: %s has length %+v and failure %q", seed, c.ID, c.Length, c.RouteFailure)
			}
		}
		q, err := j.question("")
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		lost += len(q.out.Unrouted)
		for _, p := range q.out.Lengths {
			size := map[string]string{"positive": "50 mm2", "negative": "35 mm2"}[p.Rail]
			if j.cableBetween(p.From, p.To) != nil {
				size = "35 mm2" // the job's own cable stands
			}
			check(fmt.Sprintf("pair %s to %s", p.From, p.To), p.Points, diameter(size))
		}
	}
	t.Logf("%d walked, %d of them cables, %d through the hole, %d pairs without a way", walked, cables, through, lost)
	if walked < 5000 || cables < 1000 || through < 100 || lost > walked/5 {
		t.Errorf("layouts test little: %d walked, %d cables, %d through the hole, %d without a way", walked, cables, through, lost)
	}
}

// ends checks that a route runs from post to post of its cable, as the format
// places them.
func (l jobLayout) ends(t *testing.T, j *Job, c *bank.Cable, points []bank.Point) {
	t.Helper()
	for k, e := range []bank.End{c.From, c.To} {
		at := points[k*(len(points)-1)]
		if !e.IsPost() {
			continue
		}
		var n int
		if _, err := fmt.Sscanf(e.ID, "B%d", &n); err != nil {
			t.Fatal(err)
		}
		box := l.cases[n-1]
		post := j.Bank.Battery(e.ID).Posts[map[string]int{"+": 0, "-": 1}[e.Place]]
		u, v := post[0], post[1]
		// The format's table of turns: (u, v), (W−v, u), (L−u, W−v), (v, L−u), L and
		// W before turning.
		length, width := float64(box.size[0])/1e3, float64(box.size[1])/1e3
		if box.turn%180 == 90 {
			length, width = width, length
		}
		x, y := u, v
		switch box.turn {
		case 90:
			x, y = width-v, u
		case 180:
			x, y = length-u, width-v
		case 270:
			x, y = v, length-u
		}
		want := [3]float64{float64(box.at[0])/1e3 + x, float64(box.at[1])/1e3 + y, float64(box.size[2]) / 1e3}
		if math.Abs(at.X-want[0])+math.Abs(at.Y-want[1])+math.Abs(at.Z-want[2]) > 1e-9 {
			t.Errorf("%s ends at %v, %s is at %v", c.ID, at, e, want)
		}
	}
}

// fault walks along a route in steps of at most 4 mm with the cable's round
// put into a square across each leg.
func (l jobLayout) fault(points []bank.Point, radius float64, through *int) string {
	used := false
	for i := 1; i < len(points); i++ {
		a := [3]float64{points[i-1].X, points[i-1].Y, points[i-1].Z}
		b := [3]float64{points[i].X, points[i].Y, points[i].Z}
		axis, moved := 0, 0
		for k := range 3 {
			if math.Abs(a[k]-b[k]) > 1e-9 { // posts in line are so to rounding only
				axis, moved = k, moved+1
			}
		}
		if moved != 1 {
			return fmt.Sprintf("goes along %d axes in leg %d", moved, i)
		}
		steps := math.Ceil(math.Abs(b[axis]-a[axis]) / 0.004)
		for s := 0.0; s <= steps; s++ {
			p := a
			p[axis] += (b[axis] - a[axis]) * s / steps
			if why := l.at(p, axis, radius, &used); why != "" {
				return why
			}
		}
	}
	if used {
		*through++
	}
	return ""
}

// at says what is wrong with the cable at one point of a leg along an axis.
func (l jobLayout) at(p [3]float64, axis int, radius float64, used *bool) string {
	const slack = 1e-9 // rounding, m
	depth := func(low, high [3]int, grow float64) float64 {
		least := math.Inf(1)
		for k := range 3 {
			r := grow
			if k == axis {
				r = 0
			}
			least = math.Min(least, math.Min(p[k]-float64(low[k])/1e3, float64(high[k])/1e3-p[k])+r)
		}
		return least
	}
	for i, c := range l.cases {
		high := [3]int{c.at[0] + c.size[0], c.at[1] + c.size[1], c.at[2] + c.size[2]}
		if d := depth(c.at, high, radius); d > slack {
			return fmt.Sprintf("is %.3g m inside B%d at %v", d, i+1, p)
		}
	}
	if l.rooms == nil {
		return ""
	}
	for _, r := range l.rooms {
		if depth(r[0], r[1], -radius) >= -slack {
			return ""
		}
	}
	off := 0.0
	for k := 1; k < 3; k++ {
		off = math.Max(off, math.Abs(p[k]-float64(l.hole[k])/1e3))
	}
	if l.bore > 0 && axis == 0 && off+radius <= float64(l.bore)/2e3+slack {
		*used = true
		return ""
	}
	return fmt.Sprintf("is in a wall at %v", p)
}
