package report

import "bankwright/internal/base/source"

// SettingKind is one thing to set on a charger or inverter.
type SettingKind string

// The settings.
const (
	SetAbsorb       SettingKind = "absorption"
	SetFloat        SettingKind = "float"
	SetEqualise     SettingKind = "equalise"
	SetCompensation SettingKind = "temperature compensation"
	SetCurrent      SettingKind = "charge current"
	SetTogether     SettingKind = "charge current of all sources together"
	SetLockout      SettingKind = "cold lockout"
	SetCutoff       SettingKind = "low-voltage cut-off"
)

// SettingState is how the job's own value lies to a setting.
type SettingState string

// The states.
const (
	SettingFits     SettingState = "as in the job"
	SettingDiffers  SettingState = "the job has another"
	SettingNotGiven SettingState = "not given in the job"
)

// Setting is one line of what to set on one charger or inverter for the
// batteries that it is joined to. Values are at its terminals.
type Setting struct {
	Part      string
	Kind      SettingKind
	Batteries []string
	Chemistry string
	Least     float64 // NaN: no lower bound
	Most      float64 // NaN: no upper bound
	Off       bool    // off is right; with no bounds the only right
	Unit      string  // V, A, K, V/K
	Job       float64 // what the job gives; NaN: nothing, or no key for it
	State     SettingState
	Assumed   bool // it rests on the chemistry, not on the batteries' own limits
	Note      string
	Ref       source.Ref // zero: the batteries' own limits in the job
}
