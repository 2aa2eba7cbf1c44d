package rules

import (
	"bankwright/internal/base/source"
	"bankwright/internal/model/bank"
)

// DropLimit gives the part of the nominal voltage that DRP-01 lets a device of
// a kind lose on the way, and where that stands.
func DropLimit(kind bank.PartKind) (float64, source.Ref) {
	if kind == bank.Load {
		return dropOther, drop.Source
	}
	return dropCritical, drop.Source
}
