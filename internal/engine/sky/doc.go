// Package sky makes sun and weather, hour by hour, from the few figures that a
// person can find for a place: latitude, each month's mean high and low, and
// each month's mean sun on level ground.
//
// # Units and conventions
//
// Temperatures are kelvins, angles radians, irradiance W/m² as the mean over an
// hour, and a day's sum of it J/m² ([WattHour] is one Wh). Azimuths are from
// north, east positive. Latitude is positive north, longitude positive east.
// Days of the year are numbered 1 to 365; there is no leap day. Hours are
// those of the place's standard time, with no summer time: hour 0 of a day runs
// from midnight to one o'clock.
//
// # What is made
//
// [Climate.Year] gives 8760 hours in which every day is a mean day: the means
// of each month are those given, to 1e-9 of the figure, with no step between
// months (smooth.go). A real year has colder and darker days than its mean
// days, and these are what a bank fails in: [Climate.Spell] makes a cold snap or
// a heat wave with a given extreme, [Hours.Dim] a run of cloudy days.
//
// # What it is not
//
// The hours are a likely shape of a day, not a forecast and not a record. Hills
// and trees on the horizon, snow on a panel and clouds that come each
// afternoon are not in it. Against typical years (see the tests): the global
// radiation of a month's mean day by the hour within 1 to 8 % of its peak (rms),
// the temperature within 6 to 17 % of the day's range. The diffuse part is good
// to 0.15 where the sun stands well up and poor where it does not: see
// [MonthDiffuse] before a steep plane in a northern winter is believed.
//
// # Sources
//
// Each formula names its own. "Read in open code" says that the formula was
// read in several independent open programs that name the publication, not in
// the publication itself.
package sky
