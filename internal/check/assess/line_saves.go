package assess

import (
	"slices"

	"bankwright/internal/engine/feed"
)

// savedFrom lists the devices between a cable and batteries, the nearest to it
// of each way; else those between it and charging sources alone. A charger's
// fuse on its far side saves no cable from the bank.
func savedFrom(c *feed.Cable, battery bool) []string {
	var own, far []string
	for _, ways := range c.Ways {
		for _, w := range ways {
			into := &far
			if w.Battery {
				into = &own
			}
			if n := len(w.Devices); n > 0 && !slices.Contains(*into, w.Devices[n-1]) {
				*into = append(*into, w.Devices[n-1])
			}
		}
	}
	if battery {
		return own
	}
	return slices.DeleteFunc(far, func(id string) bool { return slices.Contains(own, id) })
}
