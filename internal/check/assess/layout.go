package assess

import (
	"fmt"

	"bankwright/internal/base/quantity"
	"bankwright/internal/engine/route"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// layout routes cables in the job's space, with one router for each outside
// diameter.
type layout struct {
	bank    *bank.Bank
	cat     *catalog.Catalog
	scene   route.Scene
	routers map[float64]*route.Router
}

func newLayout(b *bank.Bank, cat *catalog.Catalog) (*layout, error) {
	l := &layout{bank: b, cat: cat, routers: map[float64]*route.Router{}}
	for i := range b.Batteries {
		if bat := &b.Batteries[i]; bat.Placed {
			l.addBox(bat.ID, bat.Body.Box())
		}
	}
	for i := range b.Parts {
		// What sits on a post or stud leaves no room beside it that a cable to the
		// same stud could keep its distance in, and is not in its way either.
		if p := &b.Parts[i]; p.Placed && p.Body.Size != (bank.Point{}) && p.On == (bank.End{}) {
			l.addBox(p.ID, p.Body.Box())
		}
	}
	for _, c := range b.Compartments {
		l.scene.Rooms = append(l.scene.Rooms, route.Room{ID: c.ID, Min: route.Point(c.Box.Min), Max: route.Point(c.Box.Max)})
	}
	for _, p := range b.Passages {
		l.scene.Passages = append(l.scene.Passages, route.Passage{ID: p.ID, At: route.Point(p.At), Diameter: p.Diameter})
	}
	// One router is made now, so that a space that cannot be is told at once.
	_, err := l.router(0.01)
	return l, err
}

func (l *layout) addBox(id string, b bank.Box) {
	l.scene.Boxes = append(l.scene.Boxes, route.Box{ID: id, Min: route.Point(b.Min), Max: route.Point(b.Max)})
}

func (l *layout) router(diameter float64) (*route.Router, error) {
	if r, ok := l.routers[diameter]; ok {
		return r, nil
	}
	rules := l.bank.Routing
	r, err := route.New(l.scene, route.Rules{
		Rise: float64(rules.Rise.V), Clearance: float64(rules.Clearance.V), Allowance: float64(rules.Allowance.V),
		Diameter: diameter, Radius: diameter * (rules.Bend.V + 0.5),
	})
	if err != nil {
		return nil, err
	}
	l.routers[diameter] = r
	return r, nil
}

// diameter of a cable: of its size, or of a 2/0 AWG where it has none, which
// then serves the drawing only.
func (l *layout) diameter(s quantity.Size) float64 {
	if row := l.cat.Conductor(s); row != nil {
		return float64(row.Diameter.V)
	}
	return float64(l.cat.Conductor(quantity.AWG(-1)).Diameter.V)
}

// route lays a cable between two ends.
func (l *layout) route(from, to bank.End, size quantity.Size, along []string) (report.Route, error) {
	a, err := l.end(from)
	if err != nil {
		return report.Route{}, err
	}
	b, err := l.end(to)
	if err != nil {
		return report.Route{}, err
	}
	r, err := l.router(l.diameter(size))
	if err != nil {
		return report.Route{}, err
	}
	path, err := r.Route(a, b, l.via(along))
	if err != nil {
		return report.Route{}, err
	}
	out := report.Route{Length: path.Length, Close: path.Close, Tight: path.Tight, Passages: path.Passages}
	for _, p := range path.Points {
		out.Points = append(out.Points, bank.Point(p))
	}
	for _, s := range path.Steps() {
		out.Steps = append(out.Steps, report.Step{What: stepWords(s), Length: s.Metres})
	}
	return out, nil
}

func stepWords(s route.Step) string {
	if s.Count > 1 {
		return fmt.Sprintf("%s (%d)", s.Label, s.Count)
	}
	return s.Label
}

// placeError says that an end has no place, and what the battery or part it
// belongs to lacks.
type placeError struct{ id, text string }

func (e *placeError) Error() string { return e.text }

// end gives where a cable ends, or a *placeError.
func (l *layout) end(e bank.End) (route.End, error) {
	p, ok := l.bank.Locate(e)
	if ok {
		return route.End{At: route.Point(p), Rise: e.IsPost()}, nil
	}
	why := fmt.Sprintf("%s lacks at or size, so %s has no place", e.ID, e)
	if bat := l.bank.Battery(e.ID); bat != nil && !bat.HasPosts {
		why = fmt.Sprintf("the type of %s lacks posts, so %s has no place", e.ID, e)
	} else if bat != nil {
		why = fmt.Sprintf("%s lacks at, or its type size, so %s has no place", e.ID, e)
	}
	return route.End{}, &placeError{e.ID, why}
}

// via lists the corners of the runs named.
func (l *layout) via(along []string) []route.Point {
	var points []route.Point
	for _, id := range along {
		for _, r := range l.bank.Runs {
			if r.ID != id {
				continue
			}
			for _, p := range r.Path {
				points = append(points, route.Point(p))
			}
		}
	}
	return points
}
