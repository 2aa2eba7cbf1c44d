package heat

import (
	"fmt"
	"math"
)

// Layer is one sheet of a wall.
type Layer struct {
	Thickness    float64 // m
	Conductivity float64 // W/(m·K)
	Density      float64 // kg/m³
	Heat         float64 // J/(kg·K)
}

// Films are the surface resistances on both sides of a wall, m²K/W. ISO 6946
// (read in reprints): inside 0.10 with the heat going up, 0.13 level, 0.17 down;
// outside 0.04.
type Films struct{ Inside, Outside float64 }

// Wall is what a stack of layers does, per square metre.
type Wall struct {
	R       float64 // m²K/W, from air to air
	U       float64 // W/(m²K)
	Inner   float64 // m²K/W from the air inside to the middle of the stored heat
	Outer   float64 // m²K/W from there to the air outside
	Storage float64 // J/(m²K)
	Bridged bool    // the two limits of the mixed layer differ too much: see Mixed
}

// Plain gives a wall of whole layers, from the inside out: R = Rsi + Σ d/k + Rse,
// U = 1/R (ISO 6946, read in reprints). The stored heat is put where half of it
// lies on either side, so that one node does for the wall. The error names a
// layer that is no material.
func Plain(layers []Layer, films Films) (Wall, error) {
	return Mixed(layers, nil, 0, films)
}

// Mixed gives a wall in which a fraction of the area, 0 to 1, is framed: frame
// names the layers where the frame is, nil for none. ISO 6946 combined method
// (from memory): the mean of an upper limit, in which heat goes straight
// through, and a lower one, in which every layer has one temperature. Where the
// upper is more than 1.5 times the lower the method does not hold, and Bridged
// says so: a metal frame is then a path of its own.
func Mixed(layers, frame []Layer, fraction float64, films Films) (Wall, error) {
	if !(fraction >= 0 && fraction <= 1) {
		return Wall{}, fmt.Errorf("wall: a framed fraction of %g; give 0 to 1", fraction)
	}
	if !(films.Inside >= 0) || !(films.Outside >= 0) || !(films.Inside+films.Outside > 0) {
		return Wall{}, fmt.Errorf("wall: films of %g and %g m²K/W; give 0 or more, not both 0", films.Inside, films.Outside)
	}
	if frame == nil {
		frame, fraction = layers, 0
	}
	if len(frame) != len(layers) {
		return Wall{}, fmt.Errorf("wall: %d layers and %d where it is framed; they are the same sheets", len(layers), len(frame))
	}
	each, straight := make([]float64, len(layers)), [2]float64{films.Inside + films.Outside, films.Inside + films.Outside}
	lower, storage := films.Inside+films.Outside, make([]float64, len(layers))
	for i := range layers {
		for n, l := range []Layer{layers[i], frame[i]} {
			if err := l.check(i, frame[i].Thickness); err != nil {
				return Wall{}, err
			}
			straight[n] += l.Thickness / l.Conductivity
		}
		d := layers[i].Thickness
		each[i] = 1 / ((1-fraction)*layers[i].Conductivity/d + fraction*frame[i].Conductivity/d)
		lower += each[i]
		storage[i] = d * ((1-fraction)*layers[i].Density*layers[i].Heat + fraction*frame[i].Density*frame[i].Heat)
	}
	upper := 1 / ((1-fraction)/straight[0] + fraction/straight[1])
	w := Wall{R: (upper + lower) / 2, Bridged: upper > 1.5*lower}
	w.U = 1 / w.R
	inner, whole := middle(each, storage)
	w.Storage = whole
	w.Inner = (films.Inside + inner) * w.R / lower
	w.Outer = w.R - w.Inner
	return w, nil
}

func (l Layer) check(i int, same float64) error {
	switch {
	case !(l.Thickness > 0) || math.IsInf(l.Thickness, 1) || l.Thickness != same:
		return fmt.Errorf("wall: layer %d is %g m thick; give more than 0, the same where it is framed", i+1, l.Thickness)
	case !(l.Conductivity > 0) || math.IsInf(l.Conductivity, 1):
		return fmt.Errorf("wall: layer %d has a conductivity of %g W/(m·K); give more than 0", i+1, l.Conductivity)
	case !(l.Density >= 0) || !(l.Heat >= 0) || math.IsInf(l.Density*l.Heat, 1):
		return fmt.Errorf("wall: layer %d has %g kg/m³ and %g J/(kg·K); give 0 or more", i+1, l.Density, l.Heat)
	}
	return nil
}

// middle gives the resistance from the inner face to where half of the stored
// heat lies on either side, and the whole of it; half way where nothing is
// stored.
func middle(each, storage []float64) (inner, whole float64) {
	through := 0.0
	for i := range each {
		whole += storage[i]
		through += each[i]
	}
	if whole == 0 {
		return through / 2, 0
	}
	left := whole / 2
	for i := range each {
		if left <= storage[i] {
			return inner + each[i]*left/storage[i], whole
		}
		left -= storage[i]
		inner += each[i]
	}
	return inner, whole
}

// SunAir gives the temperature, K, that stands for outside air and sun together:
// t + absorptance·irradiance·film − sky, the sol-air temperature (read, as
// ASHRAE gives it), with the outer film's resistance in m²K/W, the irradiance in
// W/m² and what a clear sky draws off in K: 4 K for a level face, 0 for an
// upright one (from memory).
func SunAir(air, absorptance, irradiance, film, sky float64) float64 {
	return air + float64(absorptance*irradiance*film) - sky
}
