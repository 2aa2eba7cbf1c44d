package rating

import "bankwright/internal/base/source"

// WallMaterial is what a layer of a compartment's wall is made of.
type WallMaterial struct {
	ID, Name     string
	Conductivity float64 // W/(m·K)
	Density      float64 // kg/m³
	Heat         float64 // J/(kg·K)
	Ref          source.Ref
}

// Surface is how an outside takes sun and gives off warmth, both 0 to 1.
type Surface struct {
	ID, Name               string
	Absorptance, Emittance float64
	Ref                    source.Ref
}

// Film is a thermal resistance over an area.
type Film struct {
	ID, Name   string
	Resistance float64 // m²K/W
	Ref        source.Ref
}

// BatteryHeat is the specific heat of a whole battery of a chemistry.
type BatteryHeat struct {
	ID, Name string  // ID as a job names the chemistry
	Heat     float64 // J/(kg·K)
	Ref      source.Ref
}
