package rules

import (
	"bankwright/internal/base/source"
	"bankwright/internal/engine/protect"
	"bankwright/internal/model/report"
)

// DeviceOf gives a fuse or breaker of the d.c. side by its numbers, as the
// rules judge it.
func DeviceOf(r *report.Report, g *report.Guard) protect.Device { return device(r, g) }

// BreaksOf gives what a fuse or breaker can break at its place, A, and where
// that comes from: its own mark, else its class; 0 where neither tells.
func BreaksOf(r *report.Report, g *report.Guard) (amps float64, ref source.Ref) {
	amps, ref, _ = breaks(partOf(r, g), g)
	return amps, ref
}
