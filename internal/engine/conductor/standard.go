package conductor

import "math"

// Arrangement is a way to lie in free air that IEC 60287-2-1 gives constants
// for.
type Arrangement string

// The arrangements of up to three cables, of which the hottest is meant.
const (
	Single   Arrangement = "single"
	Touching Arrangement = "two touching, side by side"
	Trefoil  Arrangement = "three in trefoil"
	Flat     Arrangement = "three touching, side by side"
	Clipped  Arrangement = "single, clipped to a wall"
)

// freeAir holds Z, E and g of h = Z/De^g + E, W/(m²·K^(5/4)).
//
// Reference: IEC 60287-2-1, table 2 (external resistance in free air), from
// memory.
var freeAir = map[Arrangement][3]float64{
	Single:   {0.21, 3.94, 0.60},
	Touching: {0.29, 2.35, 0.50},
	Trefoil:  {0.96, 1.25, 0.20},
	Flat:     {0.62, 1.95, 0.25},
	Clipped:  {1.69, 0.63, 0.25},
}

// StandardAmpacity gives the current, A, for a conductor temperature, K, by the
// closed form of IEC 60287-2-1 for black cables in free air at sea level,
// πDe·h·Δθ^(5/4) W/m. It is another way to [Ampacity] for few cables. It is zero
// where the ambient is at the limit or above; the error names what is out of
// range.
func StandardAmpacity(c Cable, a Arrangement, ambient, limit float64) (float64, error) {
	k, known := freeAir[a]
	if !known {
		return 0, bad("the arrangement "+string(a), math.NaN(), "", "one of the arrangements of this package")
	}
	if err := c.Check(); err != nil {
		return 0, err
	}
	if !(ambient > 0) || !(limit > 0 && limit < Melting) {
		return 0, bad("the temperature limit", limit, "K", "a limit and an ambient in kelvin below 1357 K")
	}
	if limit <= ambient {
		return 0, nil
	}
	h := k[0]/math.Pow(c.Outside, k[2]) + k[1]
	inside := c.InsulationResistance()
	heat := func(rise float64) float64 { return math.Pi * c.Outside * h * math.Pow(rise, 1.25) }
	rise := root(func(r float64) float64 { return r + float64(heat(r)*inside) - (limit - ambient) }, 0, limit-ambient)
	return math.Sqrt(heat(rise) / c.Resistance(limit)), nil
}
