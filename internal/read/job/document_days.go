package job

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
)

// Clock is a time of day, seconds after midnight.
type Clock = quantity.Duration

// DayLoad is what is used of a day.
type DayLoad struct {
	Pos      Pos
	ID, Name Field[string]
	Power    Field[quantity.Power]
	Hours    Field[quantity.Duration]
	From, To Field[Clock]
	At       []Field[Clock]
	For      Field[quantity.Duration]
	Duty     Field[quantity.Ratio]
	BadDuty  Field[quantity.Ratio]
	Months   []Field[bank.MonthName]
	Through  Field[string]
	Part     Field[string]
}

// SunField is a field of solar panels on one controller.
type SunField struct {
	Pos           Pos
	ID, Part      Field[string]
	Peak          Field[quantity.Power]
	Tilt, Azimuth Field[quantity.Angle]
	Mounting      Field[string]
	Loss          Field[quantity.Ratio]
	Coefficient   Field[quantity.Ratio]
}

// Mains is when the job is plugged in.
type Mains struct {
	Pos      Pos
	From, To Field[Clock]
	Days     Field[int]
}

// Drive is when an engine turns an alternator.
type Drive struct {
	Pos   Pos
	Part  Field[string]
	Hours Field[quantity.Duration]
	From  Field[Clock]
	Days  Field[int]
}

// DaysAsk is what the days are held against.
type DaysAsk struct {
	Pos          Pos
	Floor, Start Field[quantity.Ratio]
	Wish         Field[quantity.Duration]
	Dark         Field[quantity.Ratio]
	Kept         Field[quantity.Ratio]
	Tail         Field[quantity.Duration]
	InvertersOff Field[bool]
}
