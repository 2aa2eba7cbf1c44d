package rating

import "bankwright/internal/base/source"

// Climate is a place with its weather by the month, in the catalogue's units:
// degrees, hours, °C, and Wh/m² a day on level ground.
type Climate struct {
	ID, Name                  string
	Latitude, Longitude, Zone float64
	High, Low                 [12]float64
	Mean, Sun, Diffuse        []float64 // twelve, or nil where not known
	Coldest, Hottest          *float64  // of the year; nil not known
	Ref                       source.Ref
}
