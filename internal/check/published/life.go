package published

import (
	"fmt"
	"math"

	"bankwright/internal/base/source"
	circuit "bankwright/internal/engine/cell"
	"bankwright/internal/engine/life"
	"bankwright/internal/model/bank"
)

const (
	aDay  = 86400.0
	aYear = 365.25 * aDay
	zero  = 273.15 // K at 0 °C
)

// lifeRows: what age and use take from an LFP battery.
func lifeRows() []Row {
	return append(append(smallRows(), largeRows()...), unevenLifeRows()...)
}

// lost asks a law for something after one stretch, in percent.
func lost(law life.Law, c life.Conditions, of func(life.Result) float64) getter {
	return func() (float64, error) {
		r, err := law.Loss(c)
		if err == nil && len(r.Outside) > 0 {
			err = fmt.Errorf("outside the tests: %q", r.Outside)
		}
		return 100 * of(r), err
	}
}

func loss(r life.Result) float64 { return r.Loss }
func rise(r life.Result) float64 { return r.Rise }

// stored is a cell at rest, cycled one with cycles only.
func stored(days, celsius, soc float64) life.Conditions {
	return life.Conditions{Time: days * aDay, Temperature: zero + celsius, SOC: soc}
}

func cycled(rate float64) life.Conditions {
	return life.Conditions{Cycles: 1000, Depth: 1, Charge: rate, Discharge: rate, Temperature: zero + 25}
}

// smallRows: the law of the round cell of 3 Ah. Its constants give the computed
// rows; the published ones are what its authors print of it and of the cells.
func smallRows() []Row {
	law := life.Small()
	constants := source.Ref{Title: "Naumann et al., laws of a 3 Ah LFP cell, constants as carried in open academic codes", At: "worked out from the constants", Edition: "2018 and 2020", How: source.Derived}
	summary := source.Ref{Title: "Naumann et al., J. Energy Storage 17, 153-169, as told in a summary of the paper", At: "conclusions", Edition: "2018", How: source.Read}
	measured := summary
	measured.At = "section 3.1.2, measured"
	survey := source.Ref{Title: "Naumann et al., J. Power Sources 451, 227666, as told in a survey of the literature", At: "section 3.3.2.1, solar house profile", Edition: "2020", How: source.Read}
	last := within(0.006, "half of the last digit given, and a little")
	third := within(0.0006, "half of the last digit given, and a little")
	years := func() (float64, error) {
		u, err := life.Compare(law, []life.Use{{Temperature: zero + 25, SOC: 0.5}}, life.Question{MeanLoss: 0.2})
		return u.After / aYear, err
	}
	old := func(celsius float64, of func(b *bank.Battery) float64) getter {
		return load(single("chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah", fmt.Sprintf("age: 885 d, temperature: %g °C", celsius), "")).battery(
			func(b *bank.Battery, _ *circuit.Cell, _ circuit.State) float64 { return of(b) })
	}
	ampereHours := func(b *bank.Battery) float64 { return float64(b.Capacity.V) / 3600 }
	ohm := func(b *bank.Battery) float64 { return float64(b.Resistance.V) / 5e-3 }
	return []Row{
		{"AGE-25", "LFP cell stored 885 days, 25 °C, 50 %, capacity lost", constants, Computed, 6.620, "%", third, lost(law, stored(885, 25, 0.5), loss)},
		{"AGE-40", "LFP cell stored 885 days, 40 °C, 50 %, capacity lost", constants, Computed, 9.217, "%", third, lost(law, stored(885, 40, 0.5), loss)},
		{"AGE-FULL", "LFP cell stored 885 days, 25 °C, full, capacity lost", constants, Computed, 10.547, "%", third, lost(law, stored(885, 25, 1), loss)},
		{"AGE-25-R", "LFP cell stored 885 days, 25 °C, 50 %, resistance gained", constants, Computed, 4.08, "%", last, lost(law, stored(885, 25, 0.5), rise)},
		{"AGE-40-R", "LFP cell stored 885 days, 40 °C, 50 %, resistance gained", constants, Computed, 16.35, "%", last, lost(law, stored(885, 40, 0.5), rise)},
		{"AGE-CYCLES", "LFP cell, 1000 full cycles at 0.5C, capacity lost", constants, Computed, 5.490, "%", third, lost(law, cycled(0.5), loss)},
		{"AGE-CYCLES-1C", "LFP cell, 1000 full cycles at 1C, capacity lost", constants, Computed, 6.834, "%", third, lost(law, cycled(1), loss)},
		{"AGE-JOB-25", "battery of 100 Ah and 885 days in a job, 25 °C", constants, Computed, 93.38, "Ah", last, old(25, ampereHours)},
		{"AGE-JOB-40", "battery of 100 Ah and 885 days in a job, 40 °C", constants, Computed, 90.783, "Ah", third, old(40, ampereHours)},
		{"AGE-JOB-40-R", "the same, resistance over that of a new one", constants, Computed, 1.1635, "", within(0.00006, "half of the last digit given, and a little"), old(40, ohm)},
		{"AGE-20-YEARS", "LFP cell stored 20 years, 25 °C, 50 %, capacity lost", summary, Published, 19.0, "%", within(0.05, "half of the last digit printed"), lost(law, stored(20*365.25, 25, 0.5), loss)},
		{"AGE-20-YEARS-R", "LFP cell stored 20 years, 25 °C, 50 %, resistance gained", summary, Published, 33.7, "%", within(0.05, "half of the last digit printed"), lost(law, stored(20*365.25, 25, 0.5), rise)},
		{"AGE-FIFTH", "LFP cell stored at 25 °C, 50 %, until a fifth is lost", summary, Published, 22, "years", within(0.5, "printed as more than 22"), years},
		{"AGE-SOLAR", "LFP cell, 885 days of a solar house's profile at 40 °C, mean 51.4 %, calendar part", survey, Published, 9.21, "%", within(0.01, "the last digit printed; the mean charge is printed to three figures"), lost(law, stored(885, 40, 0.514), loss)},
		{"AGE-MEASURED", "LFP cell stored 885 days, 25 °C, 50 %, as measured", measured, Published, 4.7, "%", within(2.2, "the error that the authors state for their law"), lost(law, stored(885, 25, 0.5), loss)},
	}
}

// largeRows: the law of the flat cell of more than 250 Ah.
func largeRows() []Row {
	ref := source.Ref{Title: "open NREL life-model source, flat LFP cell of more than 250 Ah", At: "worked out from the constants: 25 °C, 50 %, depth 80 %, 0.25C, one cycle a day", Edition: "commit bae8c71", How: source.Derived}
	var rows []Row
	for _, c := range []struct{ years, calendar, cycle float64 }{{1, 1.10, 2.01}, {10, 3.70, 13.54}} {
		days := 365 * c.years
		use := life.Conditions{Time: days * aDay, Cycles: days, Depth: 0.8, Charge: 0.25, Discharge: 0.25, Temperature: zero + 25, SOC: 0.5}
		last := within(0.006, "half of the last digit given, and a little")
		rows = append(rows,
			Row{fmt.Sprintf("LARGE-%g-TIME", c.years), fmt.Sprintf("large LFP cell, lost by time in %g × 365 days", c.years), ref, Computed, c.calendar, "%", last, lost(life.Large(), use, func(r life.Result) float64 { return r.Calendar })},
			Row{fmt.Sprintf("LARGE-%g-CYCLES", c.years), fmt.Sprintf("large LFP cell, lost by cycles in %g × 365 days", c.years), ref, Computed, c.cycle, "%", last, lost(life.Large(), use, func(r life.Result) float64 { return r.Cycle })})
	}
	return rows
}

// unevenLifeRows: the worked example of four batteries of 100 Ah at one end, by
// the program's own currents: 1000 full cycles of the mean one, depth 80 %.
func unevenLifeRows() []Row {
	ref := source.Ref{Title: "law of a 3 Ah LFP cell on the worked example of four batteries at one end", At: "mean battery at 0.25C, depth 80 %, 1000 full cycles", Edition: "computed, not published", How: source.Derived}
	s := solve(worked(1, 1).job())
	of := func(get func(life.Uneven) float64) getter {
		return func() (float64, error) {
			var uses []life.Use
			for i := range 4 {
				id := fmt.Sprintf("B%d", i+1)
				a, err := s.battery(id)()
				if err != nil {
					return 0, err
				}
				uses = append(uses, life.Use{ID: id, PerDay: a / 25, Depth: 0.8, Charge: a / 100, Discharge: a / 100, Temperature: zero + 25, SOC: 0.5})
			}
			u, err := life.Compare(life.Small(), uses, life.Question{Time: 1000 * aDay, CycleOnly: true})
			if err != nil {
				return 0, err
			}
			return get(u), nil
		}
	}
	hundredth := within(0.0051, "half of the last digit given, and a little")
	return []Row{
		{"UNEVEN-LIFE-CYCLES", "full cycles of the battery at the take-off", ref, Computed, 1430, "", within(0.5, "half of the last digit given"), func() (float64, error) {
			a, err := s.battery("B1")()
			return a / 25 * 1000, err
		}},
		{"UNEVEN-LIFE-MEAN", "lost by the mean battery", ref, Computed, 4.01, "%", hundredth, of(func(u life.Uneven) float64 { return u.Mean.Loss * 100 })},
		{"UNEVEN-LIFE-NEAR", "lost by the battery at the take-off", ref, Computed, 5.09, "%", hundredth, of(func(u life.Uneven) float64 { return u.Batteries[0].Loss * 100 })},
		{"UNEVEN-LIFE-FAR", "lost by the last one", ref, Computed, 3.24, "%", hundredth, of(func(u life.Uneven) float64 { return u.Batteries[3].Loss * 100 })},
		{"UNEVEN-LIFE-NEAR-RATIO", "loss of the first over the mean one's", ref, Computed, 1.27, "", hundredth, of(func(u life.Uneven) float64 { return u.Batteries[0].LossRatio })},
		{"UNEVEN-LIFE-FAR-RATIO", "loss of the last over the mean one's", ref, Computed, 0.81, "", hundredth, of(func(u life.Uneven) float64 { return u.Batteries[3].LossRatio })},
		{"UNEVEN-LIFE-TIME", "time of the first to the mean one's loss, over the mean one's", ref, Computed, 0.62, "", hundredth, of(func(u life.Uneven) float64 { return u.Batteries[0].TimeRatio })},
		{"UNEVEN-LIFE-ROOT", "the same by the root in the law and the linear rate", ref, Computed, math.Pow((0.0630*0.25+0.0971)/(0.0630*0.35753+0.0971), 2) / 1.43012, "", within(1e-4, "currents given to five figures"), of(func(u life.Uneven) float64 { return u.Batteries[0].TimeRatio })},
	}
}
