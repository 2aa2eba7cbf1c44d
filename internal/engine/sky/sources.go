package sky

import "bankwright/internal/base/source"

// Sources of the methods, for a report that names them.
var (
	SunSource = source.Ref{Title: "low-precision sun series after Meeus, as in the NOAA calculator",
		At: "checked against the worked case of NREL/TP-560-34302 (2008) to 0.01°", Edition: "1991", How: source.Memory}
	DiffuseSource = source.Ref{Title: "Erbs, Klein, Duffie, Solar Energy 28, 293-302, as carried in open codes",
		At: "diffuse part by the month, the day and the hour", Edition: "1982", How: source.Read}
	GlobalHoursSource = source.Ref{Title: "Collares-Pereira, Rabl, Solar Energy 22, 155-164, as carried in open codes",
		At: "hourly over daily global radiation", Edition: "1979", How: source.Read}
	DiffuseHoursSource = source.Ref{Title: "Liu, Jordan, Solar Energy 4, as carried in open codes",
		At: "hourly over daily diffuse radiation", Edition: "1960", How: source.Read}
	PlaneSource = source.Ref{Title: "Liu, Jordan, Solar Energy 7, as carried in open codes",
		At: "tilted plane under an evenly bright sky", Edition: "1963", How: source.Read}
	MeanDaySource = source.Ref{Title: "Erbs, Klein, Beckman, degree-days and bin data from monthly-average temperatures",
		At: "hourly temperature of a mean day", Edition: "1983", How: source.Memory}
	DesignDaySource = source.Ref{Title: "ASHRAE Handbook Fundamentals, as carried in open codes",
		At: "daily temperature profile of a design day", Edition: "2009", How: source.Read}
	SmoothSource = source.Ref{Title: "Boneva, Kendall, Stefanov, Spline transformations",
		At: "area-matching spline through monthly means", Edition: "1971", How: source.Memory}
	SpellSource = source.Ref{Title: "three days at full depth with two days of change on each side", How: source.Practice}
)
