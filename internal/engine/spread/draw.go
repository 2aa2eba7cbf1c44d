package spread

import (
	"math"
	"math/rand/v2"
)

// cut is how many standard deviations a part may be off: one in 370 is further
// (normal distribution), and what is further off is a fault, not a spread.
const cut = 3

// widest is the standard deviation, of one, up to which the normal
// distribution is used: three of them still leave a tenth.
const widest = 0.3

// The parts that vary, in the order in which they are drawn.
const (
	ofResistance = iota
	ofCapacity
	ofEMF
	ofJoints
	ofLengths
	kindCount
)

// values are how far each part of one build is off, in standard deviations.
// All are drawn whether or not the kind varies, so that a kind alone sees what
// it sees among the others.
type values [kindCount][]float64

func newValues(l *layout) *values {
	n, c := len(l.batteries), len(l.cables)
	return &values{make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, 2*c), make([]float64, c)}
}

// draw fills in build number i: each build has a stream of its own, so that it
// does not matter who computes it, or when.
func (v *values) draw(seed, i uint64, source *rand.PCG) {
	source.Seed(seed, i)
	for _, kind := range v {
		for k := range kind {
			kind[k] = normal(float64(source.Uint64()>>11) / (1 << 53))
		}
	}
}

// within is the part of a normal distribution that lies within the cut.
var within = math.Erf(cut / math.Sqrt2)

// normal turns an even number of [0, 1) into a normal one cut at ±3, by the
// inverse of the distribution: no draw is thrown away, and a last bit that
// differs between processors stays one.
func normal(even float64) float64 {
	return math.Sqrt2 * math.Erfinv(within*(2*even-1))
}

// shape turns deviations into factors of mean one.
type shape struct {
	spread      float64
	log         bool
	sigma, mean float64 // of the logarithm
}

// newShape is a normal distribution where that keeps well above zero, else a
// log-normal one of the same mean and standard deviation, which always does.
func newShape(spread float64) shape {
	s := shape{spread: spread, log: spread > widest}
	if s.log {
		square := math.Log1p(spread * spread)
		s.sigma, s.mean = math.Sqrt(square), -square/2
	}
	return s
}

func (s shape) factor(deviation float64) float64 {
	if s.log {
		return math.Exp(float64(s.sigma*deviation) + s.mean)
	}
	return 1 + float64(s.spread*deviation)
}

func (s shape) String() string {
	if s.log {
		return "log-normal, as a normal one could reach nought, cut at three standard deviations of the logarithm"
	}
	return "normal, cut at three standard deviations"
}
