package catalog

import (
	"math"

	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"

	"go.yaml.in/yaml/v4"
)

// climateFile is climate.yaml.
type climateFile struct {
	Sources  map[string]source.Ref
	Climates []struct {
		ID, Name, Source              string
		Latitude, Longitude, Zone     float64
		High, Low, Mean, Sun, Diffuse []float64
		Coldest, Hottest              *float64
	}
}

func (t *tables) readClimate(b []byte) error {
	var file climateFile
	if err := yaml.Load(b, &file, yaml.WithKnownFields()); err != nil {
		return err
	}
	r := newRows(file.Sources)
	r.some("climates", len(file.Climates))
	for _, c := range file.Climates {
		r.begin("climate", c.ID, c.Name)
		one := rating.Climate{ID: c.ID, Name: c.Name, Latitude: c.Latitude, Longitude: c.Longitude, Zone: c.Zone,
			Mean: c.Mean, Sun: c.Sun, Diffuse: c.Diffuse, Coldest: c.Coldest, Hottest: c.Hottest, Ref: r.ref(c.Source)}
		if len(c.High) != 12 || len(c.Low) != 12 {
			r.fail("twelve highs and twelve lows are due")
			continue
		}
		for _, list := range [][]float64{c.Mean, c.Sun, c.Diffuse} {
			if list != nil && len(list) != 12 {
				r.fail("twelve months are due, or none")
			}
		}
		r.finite(c.High, c.Low, c.Mean, c.Sun, c.Diffuse, []float64{c.Latitude, c.Longitude, c.Zone})
		for _, v := range []*float64{c.Coldest, c.Hottest} {
			if v != nil {
				r.finite([]float64{*v})
			}
		}
		copy(one.High[:], c.High)
		copy(one.Low[:], c.Low)
		if (c.Coldest == nil) != (c.Hottest == nil) || c.Diffuse != nil && c.Sun == nil {
			r.fail("coldest needs hottest beside it, diffuse needs sun")
		}
		t.climates = append(t.climates, one)
	}
	return r.fault
}

// finite refuses what is no number.
func (r *rows) finite(lists ...[]float64) {
	for _, list := range lists {
		for _, v := range list {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				r.fail("a figure is no number")
			}
		}
	}
}

// Climates gives the places with their weather in the order of the file.
func (t *tables) Climates() []rating.Climate { return t.climates }

// Climate gives the place of an ID, nil if there is none.
func (t *tables) Climate(id string) *rating.Climate {
	return find(t.climates, func(c *rating.Climate) bool { return c.ID == id })
}
