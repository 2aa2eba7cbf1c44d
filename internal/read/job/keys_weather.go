package job

import (
	"bankwright/internal/base/quantity"
)

var (
	latitudes  = physical[quantity.Angle](-1.5708, 1.5708, "-90 ° to 90 °")
	longitudes = physical[quantity.Angle](-3.1416, 3.1416, "-180 ° to 180 °")
	zones      = physical[quantity.Duration](-12*3600, 14*3600, "-12 h to 14 h")
	suns       = physical[quantity.Exposure](0, 50e6, "0 to 13.8 kWh/m2 a day")
	outsides   = physical[quantity.Temperature](183.15, 333.15, "-90 °C to 60 °C")
)

var monthKeys = &objectShape[Month]{
	name: "month", title: "months",
	intro: "The weather of one month, January first.",
	place: func(m *Month, p Pos) { m.Pos = p },
	props: []property[Month]{
		prop("high", func(m *Month) *Field[quantity.Temperature] { return &m.High }, shape[Field[quantity.Temperature]](outsides),
			doc{Meaning: "mean of the days' highest", Mistake: "the month's record", Example: "high: 4 °C"}).need(),
		prop("low", func(m *Month) *Field[quantity.Temperature] { return &m.Low }, shape[Field[quantity.Temperature]](outsides),
			doc{Meaning: "mean of the days' lowest", Example: "low: -6 °C"}).need(),
		prop("sun", func(m *Month) *Field[quantity.Exposure] { return &m.Sun }, shape[Field[quantity.Exposure]](suns),
			doc{Meaning: "mean of the days' sums of sun on level ground", Default: "not known; give it for all months or none", Mistake: "the month's sum", Example: "sun: 1.6 kWh/m2"}),
	},
}

var placeKeys = &objectShape[Place]{
	name: "place", title: "place",
	intro: "Where it stands, and the weather there: a row of the catalogue, or twelve months of your own.",
	place: func(s *Place, p Pos) { s.Pos = p },
	props: []property[Place]{
		prop("latitude", func(s *Place) *Field[quantity.Angle] { return &s.Latitude }, shape[Field[quantity.Angle]](latitudes),
			doc{Meaning: "north counts positive", Default: "the climate's; needed with months", Mistake: "the sign lost south of the equator", Example: "latitude: 46.5 °"}),
		prop("longitude", func(s *Place) *Field[quantity.Angle] { return &s.Longitude }, shape[Field[quantity.Angle]](longitudes),
			doc{Meaning: "east counts positive", Default: "the climate's; else clocks follow the sun, assumed", Mistake: "the sign lost west of Greenwich", Example: "longitude: 9.8 °"}),
		prop("zone", func(s *Place) *Field[quantity.Duration] { return &s.Zone }, shape[Field[quantity.Duration]](zones),
			doc{Meaning: "standard time ahead of universal time, no summer time", Default: "the climate's; else the whole hour nearest to the longitude, assumed", Example: "zone: 1 h"}),
		prop("climate", func(s *Place) *Field[string] { return &s.Climate }, shape[Field[string]](text("climate", 24)),
			doc{Meaning: "a station of the catalogue: fairbanks, duluth, golden, phoenix, miami, seattle, new_york", Default: "months are needed", Mistake: "a station that lies low for a place that lies high", Example: "climate: golden"}),
		prop("months", func(s *Place) *[]Month { return &s.Months }, shape[[]Month](listOf[Month](monthKeys, 12, 12)),
			doc{Meaning: "twelve months of {high, low, sun}, January first", Default: "climate is needed", Example: "months: [{high: 1 °C, low: -7 °C}, {high: 2 °C, low: -7 °C}, {high: 5 °C, low: -4 °C}, {high: 8 °C, low: 0 °C}, {high: 13 °C, low: 4 °C}, {high: 16 °C, low: 7 °C}, {high: 19 °C, low: 10 °C}, {high: 18 °C, low: 10 °C}, {high: 15 °C, low: 7 °C}, {high: 10 °C, low: 3 °C}, {high: 4 °C, low: -2 °C}, {high: 2 °C, low: -6 °C}]"}),
		prop("coldest", func(s *Place) *Field[quantity.Temperature] { return &s.Coldest }, shape[Field[quantity.Temperature]](outsides),
			doc{Meaning: "the coldest hour to reckon with", Default: "the climate's coldest hour of its year; else 15 K below the coldest month's low, assumed", Example: "coldest: -22 °C"}),
		prop("hottest", func(s *Place) *Field[quantity.Temperature] { return &s.Hottest }, shape[Field[quantity.Temperature]](outsides),
			doc{Meaning: "the hottest hour to reckon with", Default: "the climate's hottest hour of its year; else 8 K above the hottest month's high, assumed", Example: "hottest: 31 °C"}),
		prop("cabin", func(s *Place) *Field[quantity.Temperature] { return &s.Cabin }, shape[Field[quantity.Temperature]](outsides),
			doc{Meaning: "the air of the living space beside, kept all year", Default: "needed where a wall has the cabin outside of it", Example: "cabin: 16 °C"}),
	},
}
