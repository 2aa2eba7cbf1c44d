package assemble

import (
	"math"
	"slices"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/rating"
	"bankwright/internal/read/catalog"
	"bankwright/internal/read/job"
)

// checkHeat notes climates, materials and surfaces that the catalogue has not.
func checkHeat(c *job.Collector, d *job.Document, cat *catalog.Catalog) {
	if f := d.Place.Climate; f.Set && cat.Climate(f.V) == nil {
		var have []string
		for _, one := range cat.Climates() {
			have = append(have, one.ID)
		}
		c.Add(f.Pos, "%s is no climate of the catalogue; there are %s; or give months of your own", f.V, strings.Join(have, ", "))
	}
	var materials, surfaces []string
	for _, m := range cat.WallMaterials() {
		materials = append(materials, m.ID)
	}
	for _, s := range cat.Surfaces() {
		surfaces = append(surfaces, s.ID)
	}
	material := func(f job.Field[string]) {
		if f.Set && cat.WallMaterial(f.V) == nil {
			c.Add(f.Pos, "%s is no material of the catalogue; there are %s", f.V, strings.Join(materials, ", "))
		}
	}
	for i := range d.Compartments {
		w := &d.Compartments[i].Walls
		for _, one := range []*job.Wall{&w.Floor, &w.Lid, &w.Left, &w.Right, &w.Front, &w.Back, &w.All} {
			for n := range one.Layers {
				material(one.Layers[n].Material)
			}
			material(one.Frame)
			if f := one.Surface; f.Set && f.V != bank.Shade && cat.Surface(f.V) == nil {
				c.Add(f.Pos, "%s is no surface of the catalogue; there are %s, and shade", f.V, strings.Join(surfaces, ", "))
			}
		}
	}
}

// kelvin gives degrees Celsius as a temperature.
func kelvin(c float64) quantity.Temperature { return quantity.Temperature(c + 273.15) }

// place fills where the job stands, and its weather.
func (b *builder) place() {
	d, p := &b.doc.Place, &b.bank.Place
	if d.Pos == (job.Pos{}) {
		return
	}
	p.Known = true
	p.Latitude, p.Longitude, p.Sundial = float64(d.Latitude.V), float64(d.Longitude.V), !d.Longitude.Set
	if d.Climate.Set {
		b.climate(b.cat.Climate(d.Climate.V))
	}
	for i := range d.Months {
		m := &d.Months[i]
		p.Months[i] = bank.PlaceMonth{High: m.High.V, Low: m.Low.V, Sun: m.Sun.V}
		p.HasSun = p.HasSun || m.Sun.Set
	}
	b.clock()
	coldest, hottest := p.Months[0].Low, p.Months[0].High
	for _, m := range p.Months {
		coldest, hottest = min(coldest, m.Low), max(hottest, m.High)
	}
	practice := source.Ref{Title: "how far a cold or hot spell goes beyond a month's mean", How: source.Practice}
	if d.Coldest.Set {
		p.Coldest = source.Of(d.Coldest.V)
	} else if !p.Coldest.Known() {
		p.Coldest = source.Assume(coldest-15, practice, "15 K below the coldest month's mean low; ask for the place's records")
	}
	if d.Hottest.Set {
		p.Hottest = source.Of(d.Hottest.V)
	} else if !p.Hottest.Known() {
		p.Hottest = source.Assume(hottest+8, practice, "8 K above the hottest month's mean high; ask for the place's records")
	}
	if d.Cabin.Set {
		p.Cabin = source.Of(d.Cabin.V)
	}
}

// climate takes a row of the catalogue; what the job gives itself wins.
func (b *builder) climate(c *rating.Climate) {
	d, p := &b.doc.Place, &b.bank.Place
	p.Name, p.Ref = c.Name, c.Ref
	if !d.Latitude.Set {
		p.Latitude = c.Latitude * math.Pi / 180
	}
	if !d.Longitude.Set {
		p.Longitude, p.Sundial = c.Longitude*math.Pi/180, false
		p.Clock = source.Look(quantity.Duration(c.Zone*3600), c.Ref)
	}
	for i := range p.Months {
		m := &p.Months[i]
		m.High, m.Low = kelvin(c.High[i]), kelvin(c.Low[i])
		if c.Mean != nil {
			m.Mean = kelvin(c.Mean[i])
		}
		if c.Sun != nil {
			m.Sun, p.HasSun = quantity.Exposure(c.Sun[i]*3600), true
		}
		if c.Diffuse != nil {
			m.Diffuse = quantity.Exposure(c.Diffuse[i] * 3600)
		}
	}
	if c.Coldest != nil {
		p.Coldest, p.Hottest = source.Look(kelvin(*c.Coldest), c.Ref), source.Look(kelvin(*c.Hottest), c.Ref)
	}
}

// clock settles the zone: given, looked up, else the whole hour nearest to the
// longitude; without a longitude clocks follow the sun.
func (b *builder) clock() {
	d, p := &b.doc.Place, &b.bank.Place
	switch {
	case d.Zone.Set:
		p.Clock = source.Of(d.Zone.V)
	case p.Clock.Known():
	case p.Sundial:
		p.Clock = source.Assume(quantity.Duration(0), source.Ref{Title: "clocks taken to follow the sun", How: source.Practice}, "no longitude is given")
	default:
		hours := math.Round(p.Longitude * 180 / math.Pi / 15)
		p.Clock = source.Assume(quantity.Duration(hours*3600), source.Ref{Title: "zones of whole hours by 15° of longitude", How: source.Practice}, "")
	}
	p.Zone = float64(p.Clock.V)
}

// heatThings fills walls, heaters, fans, vents and sensors.
func (b *builder) heatThings() {
	w := &b.bank.Warmth
	for i := range b.doc.Compartments {
		b.walls(&b.doc.Compartments[i], &b.bank.Compartments[i])
	}
	for i := range b.doc.Heaters {
		b.heater(&b.doc.Heaters[i])
	}
	for i := range b.doc.Fans {
		f := &b.doc.Fans[i]
		w.Fans = append(w.Fans, bank.Fan{ID: f.ID.V, Compartment: b.only(f.Compartment), Flow: f.Flow.V, Power: f.Power.V, On: f.On.V, Off: f.Off.V})
	}
	for i := range b.doc.Vents {
		v := &b.doc.Vents[i]
		w.Vents = append(w.Vents, bank.Vent{ID: v.ID.V, Compartment: b.only(v.Compartment), Area: float64(v.Area.V), Height: float64(v.Height.V)})
	}
	for i := range b.doc.Sensors {
		s := &b.doc.Sensors[i]
		one := bank.Sensor{ID: s.ID.V, At: s.At.V, Source: s.Source.V}
		if one.At == bank.AtAir || bank.IsSide(one.At) {
			one.Compartment = b.only(s.Compartment)
		}
		w.Sensors = append(w.Sensors, one)
	}
	w.Parts = map[string]string{}
	for i := range b.bank.Parts {
		p := &b.bank.Parts[i]
		if in := b.doc.Parts[i].In; in.Set {
			w.Parts[p.ID] = in.V
		} else if p.Placed {
			w.Parts[p.ID] = b.around(p.Body.Box())
		}
	}
}

// only gives the compartment named, else the only one.
func (b *builder) only(f job.Field[string]) string {
	if !f.Set && len(b.doc.Compartments) == 1 {
		return b.doc.Compartments[0].ID.V
	}
	return f.V
}

// around gives the compartment that holds a box, "" for none.
func (b *builder) around(box bank.Box) string {
	for _, c := range b.bank.Compartments {
		if c.Box.Contains(box) {
			return c.ID
		}
	}
	return ""
}

func (b *builder) heater(d *job.Heater) {
	h := bank.Heater{ID: d.ID.V, At: d.At.V, Sensor: d.Sensor.V, Power: d.Power.V, On: d.On.V, Off: d.Off.V}
	if h.Sensor == "" {
		h.Sensor = h.At
	}
	if i := slices.IndexFunc(b.bank.Batteries, func(one bank.Battery) bool { return one.ID == h.At }); i >= 0 {
		h.Compartment = d.Compartment.V
		if bat := &b.bank.Batteries[i]; h.Compartment == "" && bat.Placed {
			h.Compartment = b.around(bat.Body.Box())
		}
	} else {
		h.Compartment = b.only(d.Compartment)
	}
	b.bank.Warmth.Heaters = append(b.bank.Warmth.Heaters, h)
}

func (b *builder) walls(d *job.Compartment, c *bank.Compartment) {
	if d.Walls.Pos == (job.Pos{}) {
		return
	}
	for _, side := range bank.Sides {
		w := d.Walls.Side(side)
		own := w != &d.Walls.All
		if !own && b.closed(d.ID.V, side) {
			continue
		}
		if w.Written() {
			b.bank.Warmth.Walls = append(b.bank.Warmth.Walls, b.wall(w, c, side))
		}
	}
}

// closed reports whether another compartment's wall stands on a side.
func (b *builder) closed(id, side string) bool {
	for i := range b.doc.Compartments {
		if w := b.doc.Compartments[i].Walls.Side(bank.Against(side)); w.Outside.V == id {
			return true
		}
	}
	return false
}

func (b *builder) wall(d *job.Wall, c *bank.Compartment, side string) bank.Wall {
	w := bank.Wall{Compartment: c.ID, Side: side, Outside: d.Outside.V, Framed: d.Framed.V}
	if w.Outside == "" {
		w.Outside = bank.AirOutside
	}
	thickest := 0
	for i := range d.Layers {
		w.Layers = append(w.Layers, b.layer(d.Layers[i].Material.V, d.Layers[i].Thickness.V))
		if d.Layers[i].Thickness.V > d.Layers[thickest].Thickness.V {
			thickest = i
		}
	}
	if w.Framed > 0 {
		w.FrameFrom = source.Of(d.Frame.V)
		if !d.Frame.Set {
			w.FrameFrom = source.Assume("softwood", source.Ref{Title: "battens of a built-in box", How: source.Practice}, "")
		}
		w.Frame = append([]bank.WallLayer{}, w.Layers...)
		w.Frame[thickest] = b.layer(w.FrameFrom.V, d.Layers[thickest].Thickness.V)
	}
	w.Area = source.Of(float64(d.Area.V))
	if !d.Area.Set {
		w.Area = source.Value[float64]{V: sideArea(c.Box, side), Origin: source.Computed, Note: "from the compartment's size"}
	}
	b.surface(&w, d)
	return w
}

func (b *builder) surface(w *bank.Wall, d *job.Wall) {
	w.Surface = source.Of(d.Surface.V)
	if !d.Surface.Set {
		w.Surface = source.Assume("coloured", source.Ref{Title: "a colour between white and black, where nobody says", How: source.Practice}, "give surface: shade where no sun falls on it")
	}
	if w.Outside != bank.AirOutside && w.Outside != bank.DrivingOutside || w.Side == bank.FloorSide {
		w.Surface = source.Value[string]{V: bank.Shade, Origin: source.Computed, Note: "no sun reaches it"}
	}
	if s := b.cat.Surface(w.Surface.V); s != nil {
		w.Absorptance = s.Absorptance
	}
}

func (b *builder) layer(material string, thickness quantity.Length) bank.WallLayer {
	m := b.cat.WallMaterial(material)
	return bank.WallLayer{Material: material, Thickness: float64(thickness), Conductivity: m.Conductivity, Density: m.Density, HeatOfMass: m.Heat, Ref: m.Ref}
}

func sideArea(box bank.Box, side string) float64 {
	x, y, z := box.Max.X-box.Min.X, box.Max.Y-box.Min.Y, box.Max.Z-box.Min.Z
	switch side {
	case bank.FloorSide, bank.LidSide:
		return x * y
	case bank.LeftSide, bank.RightSide:
		return y * z
	}
	return x * z
}
