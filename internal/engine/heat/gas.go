package heat

import "fmt"

// Gassing says how a lead-acid battery gives off hydrogen while it is charged:
// the current that makes gas, A per Ah of capacity. Values for float and boost
// are IEC 62485-2, as reprints give them: vented 5 and 20 mA/Ah, valve-regulated
// 1 and 8 mA/Ah. They hold to 40 °C.
type Gassing struct{ Float, Boost float64 }

// The two kinds of lead-acid battery.
var (
	Vented    = Gassing{Float: 5e-3, Boost: 20e-3}
	Regulated = Gassing{Float: 1e-3, Boost: 8e-3}
)

// Ventilation gives the air that keeps hydrogen below 4 % with a margin of
// five: Q = 0.05·n·I_gas·C·10^-3 m³/h with I_gas in mA/Ah and C in Ah, given
// here in m³/s; and the free area, m², each of an inlet and an outlet where no
// fan drives it: 28·Q cm². Reference: IEC 62485-2 (read in reprints). Cells is
// how many are charged in series, capacity that of a battery in Ah; strings in
// parallel add up as their capacities do.
func Ventilation(cells int, capacity, gassing float64) (flow, area float64, err error) {
	if cells < 1 || !(capacity > 0) || !(gassing >= 0) {
		return 0, 0, fmt.Errorf("ventilation: %d cells of %g Ah at %g A/Ah; give at least one cell and a capacity above 0", cells, capacity, gassing)
	}
	hourly := 0.05 * float64(cells) * gassing * capacity // m³/h
	return hourly / 3600, 28e-4 * hourly, nil
}
