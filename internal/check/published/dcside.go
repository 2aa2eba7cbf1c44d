package published

import (
	"fmt"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/assess"
	"bankwright/internal/engine/conductor"
	"bankwright/internal/engine/fault"
	"bankwright/internal/engine/terminal"
	"bankwright/internal/read/catalog"
)

const (
	zeroCelsius = 273.15
	// soFar is what a value worked out here is reproduced to: half a percent, and
	// 1 % and half a kelvin for the heat balance.
	soFar = "worked out here; half a percent is asked"
)

func value(v float64) getter { return func() (float64, error) { return v, nil } }

// sideRows: worked examples of the d.c. side: what cables bear, shorts, heat,
// joints.
func sideRows() []Row {
	rows := append(lawRows(), nusseltRows()...)
	rows = append(rows, balanceRows()...)
	rows = append(rows, shortRows()...)
	return append(rows, jointRows()...)
}

// lawRows: the law's own amperes, worked out into sizes and devices.
func lawRows() []Row {
	law := source.Ref{Title: "33 CFR 183.425 Table 5 and 183.455 (c)", At: "2/0 AWG of 105 °C; engine space 0.85 from memory", Edition: "2001, worked out here", How: source.Derived}
	training := source.Ref{Title: "training article on NEC 310.15(B)(1)", At: "10 AWG of 90 °C at 120 °F", Edition: "edition not stated", How: source.Read}
	mil := source.Ref{Title: "circular-mil form of marine practice, K = 10.75", At: "100 A, 10 ft out and back, 3 % of 12 V", Edition: "worked out here", How: source.Derived}
	table, raceway := catalog.Default().Ampacity("cfr_183_425"), catalog.Default().Ampacity("nec_310_16")
	amps := func(engine bool) getter {
		return func() (float64, error) {
			a, _ := table.Amps(quantity.AWG(-1), 105+zeroCelsius)
			f, _, _ := table.EngineSpace(105 + zeroCelsius)
			if !engine {
				f = 1
			}
			return float64(a) * f, nil
		}
	}
	return []Row{
		{"LAW-OUTSIDE", "2/0 AWG, 105 °C, outside engine spaces", law, Computed, 330, "A", within(0, "the same figure"), amps(false)},
		{"LAW-ENGINE", "2/0 AWG, 105 °C, in an engine space", law, Computed, 280.5, "A", within(1e-9, "exact"), amps(true)},
		{"LAW-DEVICE", "largest standard rating over it, under 50 V", law, Computed, 450, "A", within(0, "the same figure"), func() (float64, error) {
			a, _ := table.Amps(quantity.AWG(-1), 105+zeroCelsius)
			r, _ := catalog.Default().ProtectionLimit("cfr_183_455_low").Largest(a, catalog.Default().StandardRatings())
			return float64(r), nil
		}},
		{"WARM-AIR", "10 AWG, 90 °C, in air of 120 °F", training, Published, 32.8, "A", within(0.05, "half of the last digit printed"), func() (float64, error) {
			a, _ := raceway.Amps(quantity.AWG(10), 90+zeroCelsius)
			f, _ := raceway.Ambient(90+zeroCelsius, (120-32)/1.8+zeroCelsius)
			return float64(a) * f, nil
		}},
		{"MIL-SECTION", "section of 100 A, 10 ft, 0.36 V", mil, Computed, 29861, "cmil", within(0.5, "half of the last digit given"),
			value(conductor.MarineMil.Section(100, 10*0.3048, 0.36) / 5.0670747909749778e-10)},
		gaugeFor("SIZE-DROP", "100 A over 5 ft each way, 3 % of 12 V", mil, 4, assess.SizeAsk{Current: 100, Length: 5 * 0.3048, Voltage: 12, Ambient: 30 + zeroCelsius, Insulation: 105 + zeroCelsius, Book: "marine"}),
		gaugeFor("SIZE-HEAT", "200 A over 3 ft each way: drop passes 4 AWG, amperes do not", law, 2, assess.SizeAsk{Current: 200, Length: 3 * 0.3048, Voltage: 12, Ambient: 30 + zeroCelsius, Insulation: 105 + zeroCelsius, Book: "marine"}),
		gaugeFor("SIZE-CHART", "20 A at 28 V over 50 ft in all, 1 V", source.Ref{Title: "FAA AC 43.13-1B CHG 1", At: "paragraph 11-66, chart read as 8 AWG", Edition: "2001, worked out here", How: source.Derived}, 8,
			assess.SizeAsk{Current: 20, Length: 25 * 0.3048, Voltage: 28, Drop: 1.0 / 28, Ambient: 30 + zeroCelsius, Insulation: 105 + zeroCelsius, Book: "marine"}),
	}
}

// gaugeFor is the size that a question is answered with.
func gaugeFor(id, what string, ref source.Ref, gauge float64, ask assess.SizeAsk) Row {
	return Row{id, what, ref, Computed, gauge, "AWG", within(0, "a size is right or wrong"), func() (float64, error) {
		a, err := assess.Size(ask)
		if err != nil {
			return 0, err
		}
		if a.Smallest == nil || !a.Smallest.Size.IsAWG() {
			return 0, fmt.Errorf("no gauge passes")
		}
		return float64(a.Smallest.Size.Gauge()), nil
	}}
}

// nusseltRows: free convection of a cylinder as printed elsewhere.
func nusseltRows() []Row {
	ref := source.Ref{Title: "documentation of an open heat-transfer function library", At: "Churchill and Chu, horizontal cylinder", Edition: "edition not stated", How: source.Read}
	var rows []Row
	for i, r := range []struct{ prandtl, grashof, want, half float64 }{
		{0.69, 2.63e9, 139.135, 0.0005}, {0.7, 1e5, 7.07684, 0.000005}, {1.2, 5e6, 25.9779, 0.00005}, {0.9, 1e9, 115.819, 0.0005},
	} {
		rows = append(rows, Row{fmt.Sprintf("NUSSELT-%d", i+1), fmt.Sprintf("Nusselt number at Pr %g, Gr %g", r.prandtl, r.grashof), ref, Published, r.want, "",
			within(r.half, "half of the last digit printed"), value(conductor.ChurchillChu(r.prandtl, r.prandtl*r.grashof))})
	}
	return rows
}

// balanceRows: the heat balance of one cable, solved apart from the program.
func balanceRows() []Row {
	ref := source.Ref{Title: "heat balance with Churchill and Chu, radiation and IEC 60287 insulation", At: "flexible 2/0 AWG, 12.0 mm in 15.2 mm, 0.26087 mΩ/m", Edition: "1975, worked out here", How: source.Derived}
	cable := conductor.Cable{R20: 0.26087e-3, Section: 67.43e-6, Conductor: 12.0e-3, Outside: 15.2e-3, Resistivity: 5, Emissivity: 0.9}
	at := func(amps, celsius float64, of func(conductor.State) float64) getter {
		return func() (float64, error) {
			s, err := conductor.Steady(cable, conductor.Place{Ambient: celsius + zeroCelsius}, amps)
			return of(s), err
		}
	}
	most := func(ambient, limit float64) getter {
		return func() (float64, error) {
			return conductor.Ampacity(cable, conductor.Place{Ambient: ambient + zeroCelsius}, limit+zeroCelsius)
		}
	}
	half, one := within(0.5, "half a kelvin is asked"), part(0.01, "1 % is asked")
	return []Row{
		{"HEAT-CONDUCTOR", "200 A in 40 °C, the copper", ref, Computed, 61.07, "°C", half, at(200, 40, func(s conductor.State) float64 { return s.Conductor - zeroCelsius })},
		{"HEAT-SURFACE", "200 A in 40 °C, the surface", ref, Computed, 58.79, "°C", half, at(200, 40, func(s conductor.State) float64 { return s.Surface - zeroCelsius })},
		{"HEAT-WATTS", "200 A in 40 °C", ref, Computed, 12.119, "W/m", one, at(200, 40, func(s conductor.State) float64 { return s.Heat })},
		{"HEAT-CONVECTION", "200 A in 40 °C, by convection", ref, Computed, 5.968, "W/m", one, at(200, 40, func(s conductor.State) float64 { return s.Convection })},
		{"HEAT-RADIATION", "200 A in 40 °C, by radiation", ref, Computed, 6.151, "W/m", one, at(200, 40, func(s conductor.State) float64 { return s.Radiation })},
		{"HEAT-TAU", "time constant, copper only", ref, Computed, 404, "s", one, at(200, 40, func(s conductor.State) float64 { return s.Tau })},
		{"HEAT-150", "150 A in 25 °C, the copper", ref, Computed, 37.40, "°C", half, at(150, 25, func(s conductor.State) float64 { return s.Conductor - zeroCelsius })},
		{"HEAT-105", "current for 105 °C in 40 °C", ref, Computed, 359.6, "A", one, most(40, 105)},
		{"HEAT-75", "current for 75 °C in 30 °C", ref, Computed, 297.6, "A", one, most(30, 75)},
	}
}

// shortRows: dead shorts: what copper bears and what a battery gives.
func shortRows() []Row {
	law := source.Ref{Title: "IEC 60364-4-43 and IEC 60949", At: "t = (k·S/I)², K = 226, β = 234.5", Edition: "worked out here", How: source.Derived}
	loop := source.Ref{Title: "loop of two round conductors", At: "30 mm apart, 6 mm radius, 1.5 m; 13.3 V, 1.983 mΩ", Edition: "textbook, worked out here", How: source.Derived}
	two := source.Ref{Title: "two-point method of IEC 60896-21 6.3", At: "40 A at 12.40 V, 200 A at 11.76 V", Edition: "worked out here", How: source.Derived}
	hold := func(mm2, amps, start, end float64) getter {
		return func() (float64, error) {
			w, err := conductor.Copper.Bear(mm2*1e-6, conductor.Fault{Current: amps, Time: 1, Start: start + zeroCelsius, Limit: end + zeroCelsius})
			return w.Time, err
		}
	}
	estimate := func(of func(fault.Estimate) float64) getter {
		return func() (float64, error) {
			e, err := fault.TwoPoint(fault.Reading{Current: 40, Voltage: 12.40}, fault.Reading{Current: 200, Voltage: 11.76})
			return of(e), err
		}
	}
	per, err := fault.LoopInductance(0.03, 0.006)
	return []Row{
		{"SHORT-PVC", "35 mm² of PVC 70 °C, 3000 A", law, Computed, 1.800, "s", part(0.005, soFar), hold(35, 3000, 70, 160)},
		{"SHORT-XLPE", "50 mm² of XLPE 90 °C, 6000 A", law, Computed, 1.420, "s", part(0.005, soFar), hold(50, 6000, 90, 250)},
		{"SHORT-WARM", "35 mm², 3000 A for 0.5 s from 70 °C", law, Computed, 92.71, "°C", within(0.005, "half of the last digit given"), value(conductor.Copper.Final(35e-6, 3000, 0.5, 70+zeroCelsius) - zeroCelsius)},
		{"SHORT-GAUGE", "1/0 AWG, 5000 A for 0.2 s from 90 °C", law, Computed, 101.29, "°C", within(0.005, "half of the last digit given"), value(conductor.Copper.Final(53.49e-6, 5000, 0.2, 90+zeroCelsius) - zeroCelsius)},
		{"TWOPOINT-R", "inner resistance from two readings", two, Computed, 4.00, "mΩ", part(0.005, soFar), estimate(func(e fault.Estimate) float64 { return e.Resistance * 1e3 })},
		{"TWOPOINT-I", "short from two readings", two, Computed, 3140, "A", part(0.005, soFar), estimate(func(e fault.Estimate) float64 { return e.Current })},
		{"LOOP-L", "inductance of the loop", loop, Computed, 1.116, "µH", part(0.005, soFar), func() (float64, error) { return per * 1.5e6, err }},
		{"LOOP-TAU", "time constant of the short", loop, Computed, 0.563, "ms", part(0.005, soFar), func() (float64, error) {
			r, err := fault.NewRise(13.3, 0.001+0.00078261+0.0002, 1.5*per)
			return r.Tau * 1e3, err
		}},
	}
}

// jointRows: bolts, contacts, and joints compared with their like.
func jointRows() []Row {
	bolt := source.Ref{Title: "F = T/(K·d), stress areas of ISO 898-1, Holm's contact", At: "K = 0.20, H = 1.0 GPa, both from memory", Edition: "worked out here", How: source.Derived}
	feed := source.Ref{Title: "MIL-DTL-83454A", At: "4.5.3, Table VIII: 7.5 mV at the test current", Edition: "revision A, worked out here", How: source.Derived}
	like := source.Ref{Title: "ANSI/NETA rule, half more than the lowest of like joints", At: "18, 20, 22, 34 µΩ", Edition: "worked out here", How: source.Derived}
	tight := func(torque, d, area float64, of func(terminal.Clamp) float64) getter {
		return func() (float64, error) {
			c, err := terminal.Tighten(torque, 0.20, d, area)
			return of(c), err
		}
	}
	preload, stress := func(c terminal.Clamp) float64 { return c.Preload }, func(c terminal.Clamp) float64 { return c.Stress / 1e6 }
	rows := []Row{
		{"BOLT-M8", "M8 at 12 N·m", bolt, Computed, 7500, "N", part(0.005, soFar), tight(12, 8e-3, 36.6e-6, preload)},
		{"BOLT-M8-STRESS", "M8 at 12 N·m", bolt, Computed, 204.9, "MPa", part(0.005, soFar), tight(12, 8e-3, 36.6e-6, stress)},
		{"BOLT-M8-SPOT", "its contact", bolt, Computed, 5.58, "µΩ", part(0.005, soFar), tight(12, 8e-3, 36.6e-6, func(c terminal.Clamp) float64 { return c.Spot * 1e6 })},
		{"BOLT-M6", "M6 at 8.8 N·m", bolt, Computed, 7333, "N", part(0.005, soFar), tight(8.8, 6e-3, 20.1e-6, preload)},
		{"BOLT-M6-STRESS", "M6 at 8.8 N·m", bolt, Computed, 364.8, "MPa", part(0.005, soFar), tight(8.8, 6e-3, 20.1e-6, stress)},
		{"LIKE-LIMIT", "limit of four like joints", like, Computed, 27, "µΩ", part(0.005, soFar), func() (float64, error) {
			limit, _, err := terminal.Similar([]float64{18, 20, 22, 34}, 1.5)
			return limit, err
		}},
		{"LIKE-HIGH", "how many of them to look into", like, Computed, 1, "", within(0, "a whole number"), func() (float64, error) {
			_, high, err := terminal.Similar([]float64{18, 20, 22, 34}, 1.5)
			return float64(len(high)), err
		}},
	}
	for i, want := range []float64{0.30, 0.25, 0.214, 0.174} {
		rows = append(rows, Row{fmt.Sprintf("STUD-%d", i+1), "feed-through stud " + terminal.StudTests()[i].Name, feed, Computed, want, "mΩ", within(0.0005, "half of the last digit given"),
			value(terminal.StudTests()[i].Resistance() * 1e3)})
	}
	return rows
}
