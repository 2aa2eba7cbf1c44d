package catalog

import (
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"

	"go.yaml.in/yaml/v4"
)

// compartmentFile is compartment.yaml.
type compartmentFile struct {
	Sources       map[string]source.Ref
	WallMaterials []struct {
		ID, Name, Source            string
		Conductivity, Density, Heat float64
	} `yaml:"wall_materials"`
	Surfaces []struct {
		ID, Name, Source       string
		Absorptance, Emittance float64
	}
	Films []struct {
		ID, Name, Source string
		Resistance       float64
	}
	BatteryHeats []struct {
		ID, Name, Source string
		Heat             float64
	} `yaml:"battery_heats"`
}

func (t *tables) readCompartment(b []byte) error {
	var file compartmentFile
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	r := newRows(file.Sources)
	r.some("wall_materials", len(file.WallMaterials))
	for _, m := range file.WallMaterials {
		r.begin("wall material", m.ID, m.Name)
		t.wallMaterials = append(t.wallMaterials, rating.WallMaterial{ID: m.ID, Name: m.Name,
			Conductivity: r.number("conductivity", m.Conductivity), Density: r.number("density", m.Density), Heat: r.number("heat", m.Heat), Ref: r.ref(m.Source)})
	}
	r.some("surfaces", len(file.Surfaces))
	for _, s := range file.Surfaces {
		r.begin("surface", s.ID, s.Name)
		one := rating.Surface{ID: s.ID, Name: s.Name, Absorptance: r.number("absorptance", s.Absorptance), Emittance: r.number("emittance", s.Emittance), Ref: r.ref(s.Source)}
		if one.Absorptance > 1 || one.Emittance > 1 {
			r.fail("an absorptance or emittance is over one")
		}
		t.surfaces = append(t.surfaces, one)
	}
	r.some("films", len(file.Films))
	for _, f := range file.Films {
		r.begin("film", f.ID, f.Name)
		t.films = append(t.films, rating.Film{ID: f.ID, Name: f.Name, Resistance: r.number("resistance", f.Resistance), Ref: r.ref(f.Source)})
	}
	r.some("battery_heats", len(file.BatteryHeats))
	for _, h := range file.BatteryHeats {
		r.begin("battery heat", h.ID, h.Name)
		t.batteryHeats = append(t.batteryHeats, rating.BatteryHeat{ID: h.ID, Name: h.Name, Heat: r.number("heat", h.Heat), Ref: r.ref(h.Source)})
	}
	return r.fault
}

// WallMaterials gives what walls are made of.
func (t *tables) WallMaterials() []rating.WallMaterial { return t.wallMaterials }

// WallMaterial gives the material of an ID, nil if there is none.
func (t *tables) WallMaterial(id string) *rating.WallMaterial {
	return find(t.wallMaterials, func(m *rating.WallMaterial) bool { return m.ID == id })
}

// Surfaces gives outsides by how they take sun.
func (t *tables) Surfaces() []rating.Surface { return t.surfaces }

// Surface gives the surface of an ID, nil if there is none.
func (t *tables) Surface(id string) *rating.Surface {
	return find(t.surfaces, func(s *rating.Surface) bool { return s.ID == id })
}

// Film gives the film of an ID, nil if there is none.
func (t *tables) Film(id string) *rating.Film {
	return find(t.films, func(f *rating.Film) bool { return f.ID == id })
}

// BatteryHeat gives the specific heat of batteries of a chemistry, nil if there
// is none.
func (t *tables) BatteryHeat(id string) *rating.BatteryHeat {
	return find(t.batteryHeats, func(h *rating.BatteryHeat) bool { return h.ID == id })
}
