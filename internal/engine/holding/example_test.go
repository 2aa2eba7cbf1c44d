package holding_test

import (
	"fmt"

	"bankwright/internal/engine/holding"
)

// Four cases of 12 kg side by side in a tray with a lip of 30 mm all round, under
// two aluminium tubes across with an M8 rod at each end, at the recommended loads.
// By hand: up, (2 − 1)·48·9.80665 N on four rods is 117.7 N each; the bar yields at
// 1853 N a rod, half of that is allowed, 7.9 times as much. Forward, the lip takes
// the push at 30 mm and 2·80 mm is less than the 165 mm to the edge, so that the
// rods are slack; the rear rods reach the bar's 926 N at (926·0.7/471 + 0.165)/0.08 =
// 19.3 g. The lip is of unknown strength.
func Example() {
	var g holding.Group
	for i := range 4 {
		x := 0.18 * float64(i)
		g.Bodies = append(g.Bodies, holding.Body{ID: fmt.Sprint("B", i+1), Mass: 12, Min: holding.Vec{X: x}, Max: holding.Vec{X: x + 0.18, Y: 0.33, Z: 0.22}})
	}
	g.Ahead = holding.Vec{Y: 1}
	alloy, _ := holding.FindAlloy("6061-T6")
	grade, _ := holding.FindGrade("A2-70")
	bar := holding.Bar{Section: holding.Tube(0.02, 0.02, 0.002), Alloy: alloy, Span: 0.37, Bears: 0.33}
	parts := []holding.Part{holding.RodPart("rod", grade, holding.Metric("M8", 8, 1.25)), bar.Part("bar")}
	for _, x := range []float64{0.18, 0.54} {
		for _, y := range []float64{-0.02, 0.35} {
			g.Holds = append(g.Holds, holding.NewRod(fmt.Sprintf("R%d", len(g.Holds)+1), holding.Vec{X: x, Y: y, Z: 0.22}, parts...))
		}
	}
	lip := holding.Part{Name: "lip", Under: holding.Push}
	v := func(x, y float64) holding.Vec { return holding.Vec{X: x, Y: y, Z: 0.03} }
	g.Holds = append(g.Holds,
		holding.NewStop("front", holding.Vec{Y: -1}, []holding.Vec{v(0, 0.33), v(0.72, 0.33)}, lip),
		holding.NewStop("rear", holding.Vec{Y: 1}, []holding.Vec{v(0, 0), v(0.72, 0)}, lip),
		holding.NewStop("left", holding.Vec{X: 1}, []holding.Vec{v(0, 0), v(0, 0.33)}, lip),
		holding.NewStop("right", holding.Vec{X: -1}, []holding.Vec{v(0.72, 0), v(0.72, 0.33)}, lip))
	rule, _ := holding.FindRule("recommended")
	r, err := holding.Solve(&g, rule)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range r.Cases {
		fmt.Printf("%-8s %4.0f N, tips at %4.2f g, held %v, rods", c.Direction, c.Force, c.Tips, c.Held)
		for _, a := range c.Reactions[:4] {
			fmt.Printf(" %5.1f", a.Pull)
		}
		if c.Weakest < 0 {
			fmt.Println(" N")
			continue
		}
		w := c.Checks[c.Weakest]
		fmt.Printf(" N; weakest %s of %s %.1f\n", w.Part, w.Hold, w.Margin)
	}
	fmt.Println("not checked:", r.Unchecked())
	e, _ := holding.Endure(&g, rule, holding.Forward)
	fmt.Printf("forward up to %.1f g: %s of %s, unchecked %v\n", e.Multiple, e.Part, e.Hold, e.Unchecked)
	// Output:
	// forward   941 N, tips at 1.50 g, held true, rods   0.0   0.0   0.0   0.0 N
	// aft       941 N, tips at 1.50 g, held true, rods   0.0   0.0   0.0   0.0 N
	// left      941 N, tips at 3.27 g, held true, rods   0.0   0.0   0.0   0.0 N
	// right     941 N, tips at 3.27 g, held true, rods   0.0   0.0   0.0   0.0 N
	// up        941 N, tips at  NaN g, held true, rods 117.7 117.7 117.7 117.7 N; weakest bar of R1 7.9
	// not checked: 4
	// forward up to 19.3 g: bar of R1, unchecked true
}
