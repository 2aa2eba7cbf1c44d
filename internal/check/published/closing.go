package published

import (
	"fmt"
	"math"
	"sync"

	"bankwright/internal/base/source"
	"bankwright/internal/check/assess"
	circuit "bankwright/internal/engine/cell"
	"bankwright/internal/engine/precharge"
	"bankwright/internal/model/report"
)

// closed is B2 closed onto the rest of a job's bank, worked out when first
// asked for.
type closed func() (*report.Join, error)

func closing(text string) closed {
	l := load(text)
	return sync.OnceValues(func() (*report.Join, error) {
		j, err := l()
		if err != nil {
			return nil, err
		}
		r, _, err := j.Join("B2", assess.JoinOptions())
		return r, err
	})
}

func (c closed) get(of func(*report.Join) (float64, error)) getter {
	return func() (float64, error) {
		j, err := c()
		if err != nil {
			return 0, err
		}
		return of(j)
	}
}

// pairOf is two batteries of a kind, each link of so much.
func pairOf(kind, first, second, link, demand string) string {
	return kindred{kind: kind, own: []string{first, second}, link: link, negative: 1, cases: "cases: [{id: load, " + demand + "}]"}.job()
}

// closingRows: batteries of unlike voltage closed onto one another.
func closingRows() []Row {
	ohm := source.Ref{Title: "Ohm's law round two batteries and their links", At: "(E1 − E2)/(R1 + R2 + links); R ≥ (E1 − E2)/I, I²·R", Edition: "computed, not published", How: source.Derived}
	guide := func(at string) source.Ref {
		return source.Ref{Title: "trade articles and makers' notes on batteries side by side", At: at, Edition: "edition not stated", How: source.Read}
	}
	block := exactly("curve: [[0 %, 12.40 V], [100 %, 13.40 V]]", "10 mΩ", "100 Ah")
	example := closing(pairOf(block, "start: 56 %", "start: 100 %", "1 mΩ", "draw: 20 A"))
	fresh := closing(pairOf("chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 10 mΩ, emf: 13.1 V", "", "emf: 14.2 V", "1 mΩ", "draw: 20 A"))
	unlike := closing(pairOf("chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah", "start: 30 %", "start: 85 %", "1 mΩ", "draw: 20 A"))
	first := func(j *report.Join) (float64, error) { return j.First[1], nil }
	exact := part(1e-9, "exact")
	resistor := func(of func(j *report.Join, r *report.Resistor) float64) getter {
		return fresh.get(func(j *report.Join) (float64, error) {
			if j.Resistor == nil {
				return 0, fmt.Errorf("no resistor is asked for")
			}
			return of(j, j.Resistor), nil
		})
	}
	allowed := func(k int) getter {
		return example.get(func(j *report.Join) (float64, error) {
			for _, a := range j.Allowed {
				if a.Battery == "" {
					if k--; k < 0 {
						return a.Difference, nil
					}
				}
			}
			return 0, fmt.Errorf("not told")
		})
	}
	return []Row{
		{"CLOSE-1", "13.40 V closed onto 12.96 V over 22 mΩ, first current", ohm, Computed, 20, "A", exact, example.get(first)},
		{"CLOSE-1-PATH", "the same, what it sees beside its own resistance", ohm, Computed, 12, "mΩ", exact, example.get(func(j *report.Join) (float64, error) { return j.Path * 1e3, nil })},
		{"CLOSE-1-LEAST", "the same, difference at a fifth of the capacity an hour", ohm, Computed, 0.44, "V", exact, example.get(func(j *report.Join) (float64, error) { return j.Least, nil })},
		{"CLOSE-2", "14.2 V closed onto 13.1 V over 22 mΩ, first current", ohm, Computed, 50, "A", exact, fresh.get(first)},
		{"CLOSE-2-OHM", "the same, whole path for 20 A", ohm, Computed, 55, "mΩ", exact, resistor(func(j *report.Join, r *report.Resistor) float64 { return (r.Ohm + j.Own + j.Path) * 1e3 })},
		{"CLOSE-2-POWER", "the same, heat of the resistor at first", ohm, Computed, 13.2, "W", exact, resistor(func(_ *report.Join, r *report.Resistor) float64 { return r.Peak })},
		{"CLOSE-SPAN", "LFP battery of 85 % closed onto one of 30 %, difference", ohm, Computed, 0.29, "V", within(0.0051, "half of the last digit given, and a little"),
			unlike.get(func(j *report.Join) (float64, error) { return j.Difference, nil })},
		{"CLOSE-CHARGE", "four LFP cells at rest, 88 %", smallCell("middle of the branches, four cells"), Computed, 13.40, "V", within(0.0051, "half of the last digit given, and a little"), restVolts("lfp", "12.8 V", 88)},
		{"MATCH-STRICT", "voltages to match within, the strict guidance", guide("match within 50 mV, two of them"), Published, 0.05, "V", within(0, "the same figure"), allowed(0)},
		{"MATCH-USUAL", "voltages to match within, the usual guidance", guide("match within 0.1 V, one of them"), Published, 0.1, "V", within(0, "the same figure"), allowed(1)},
		{"MATCH-RESISTOR", "difference above which a resistor is asked for", guide("a resistor above 0.3 V, one of them"), Published, 0.3, "V", within(0, "the same figure"), allowed(2)},
	}
}

// settlingRows: how slowly two LFP batteries of 100 Ah meet, R1 + R2 = 20 mΩ. On
// one straight piece of the curve τ is the time to half over ln 2.
func settlingRows() []Row {
	ref := source.Ref{Title: "two equal batteries of 100 Ah, 20 mΩ in all, on the curve of four LFP cells", At: "τ = (R1 + R2)/(k·(1/C1 + 1/C2)), k of the piece of the curve", Edition: "computed, not published", How: source.Derived}
	tenth, round := within(0.052, "half of the last digit given; read to 10 s"), "given in round numbers; read to 10 s"
	var rows []Row
	for _, p := range []struct {
		from, want float64
		tolerance  Tolerance
	}{
		{5, 0.1, tenth}, {25, 0.8, tenth}, {30, 1, within(0.1, round)}, {40, 2.6, tenth}, {45, 4.5, tenth}, {50, 3, within(0.2, round)},
		{70, 1.1, tenth}, {80, 4, within(0.1, round)}, {85, 2.8, tenth}, {90, 0.7, tenth},
	} {
		two := closing(pairOf(exactly(fourCells(), "9 mΩ", "100 Ah"), fmt.Sprintf("start: %g %%", p.from+1), fmt.Sprintf("start: %g %%", p.from+4), "1 mΩ", "draw: 20 A"))
		rows = append(rows, Row{fmt.Sprintf("SETTLE-%g", p.from), fmt.Sprintf("LFP batteries between %g and %g %%, time constant of meeting", p.from, p.from+5), ref, Computed, p.want, "h", p.tolerance,
			two.get(func(j *report.Join) (float64, error) { return j.Half / math.Ln2 / 3600, nil })})
	}
	return rows
}

// hysteresisRows: two batteries of one charge, one last charged, one last
// discharged, 20 mV a cell apart.
func hysteresisRows() []Row {
	ref := source.Ref{Title: "two batteries of four cells at one charge, on their two branches", At: "20 mV a cell; 80 mV over 22 mΩ", Edition: "computed, not published", How: source.Derived}
	kind := exactly(fourCells(), "10 mΩ", "100 Ah") + ", hysteresis: 80 mV"
	text := pairOf(kind, "start: 60 %", "start: 60 %", "1 mΩ", "draw: 0 A")
	l := load(text)
	// emfs brings both to 60 % from 40 % away, the first by charge.
	emfs := func() (high, low float64, err error) {
		j, err := l()
		if err != nil {
			return 0, 0, err
		}
		b := &j.Bank.Batteries[0]
		c := circuit.New(b)
		up, down := c.Advance(c.Start(0.2), -40, 3600), c.Advance(c.Start(1), 40, 3600)
		return c.EMF(&up), c.EMF(&down), nil
	}
	return []Row{
		{"BRANCHES-V", "the two apart", ref, Computed, 80, "mV", part(1e-5, "after 40 % all but a millionth of the way is gone"), func() (float64, error) {
			high, low, err := emfs()
			return (high - low) * 1e3, err
		}},
		{"BRANCHES-A", "what this drives through both", ref, Computed, 3.6, "A", within(0.05, "half of the last digit given"), func() (float64, error) {
			high, low, err := emfs()
			if err != nil {
				return 0, err
			}
			return solve(pairOf(kind+fmt.Sprintf(", emf: %.9f V", low), fmt.Sprintf("emf: %.9f V", high), "", "1 mΩ", "draw: 0 A")).battery("B1")()
		}},
	}
}

// inrush is a pre-charge worked out, of no job.
func inrush(ask assess.Inrush, of func(precharge.Resistor) float64) getter {
	return func() (float64, error) {
		p, err := assess.Precharge(nil, ask)
		if err != nil {
			return 0, err
		}
		return of(p.Chosen), nil
	}
}

// inrushRows: the input capacitor of an inverter.
func inrushRows() []Row {
	rc := source.Ref{Title: "resistance and capacitor, textbook", At: "V·(1 − exp(−t/RC)), V/R, ½CV²", Edition: "computed, not published", How: source.Derived}
	exact := part(1e-12, "exact but for rounding")
	var rows []Row
	for i, c := range []struct{ farad, volt, ohm, tau, wait, peak, joule float64 }{{0.020, 13.6, 10, 0.200, 0.921, 1.36, 1.850}, {0.010, 54.4, 25, 0.250, 1.151, 2.176, 14.80}} {
		id, what := fmt.Sprintf("INRUSH-%d", i+1), fmt.Sprintf("%g mF at %g V through %g Ω", c.farad*1e3, c.volt, c.ohm)
		get := func(of func(precharge.Resistor) float64) getter {
			return inrush(assess.Inrush{Capacitance: c.farad, Voltage: c.volt, Resistor: c.ohm, Fraction: 0.99}, of)
		}
		rows = append(rows,
			Row{id + "-TAU", what + ", time constant", rc, Computed, c.tau, "s", exact, get(func(r precharge.Resistor) float64 { return r.Tau })},
			Row{id + "-WAIT", what + ", wait for 99 %", rc, Computed, c.wait, "s", within(0.0006, "half of the last digit given, and a little"), get(func(r precharge.Resistor) float64 { return r.Wait })},
			Row{id + "-PEAK", what + ", first current", rc, Computed, c.peak, "A", exact, get(func(r precharge.Resistor) float64 { return r.Peak })},
			Row{id + "-HEAT", what + ", heat in the resistor", rc, Computed, c.joule, "J", part(0.0004, "half of the last digit given, and a little"), get(func(r precharge.Resistor) float64 { return r.Energy })},
			Row{id + "-POWER", what + ", its first heat", rc, Computed, c.volt * c.volt / c.ohm, "W", exact, get(func(r precharge.Resistor) float64 { return r.PeakPower })})
	}
	for _, f := range []struct{ part, want, off float64 }{{0.95, 3.0, 0.05}, {0.99, 4.61, 0.005}, {0.993, 5, 0.05}} {
		rows = append(rows, Row{fmt.Sprintf("INRUSH-%g", f.part*100), fmt.Sprintf("wait for %g %% over the time constant", f.part*100), rc, Computed, f.want, "", within(f.off, "half of the last digit given"),
			inrush(assess.Inrush{Capacitance: 0.01, Voltage: 12, Resistor: 10, Fraction: f.part}, func(r precharge.Resistor) float64 { return r.Wait / r.Tau })})
	}
	return append(rows, bareRows(rc)...)
}

// bareRows: what flows without a pre-charge.
func bareRows(rc source.Ref) []Row {
	rlc := source.Ref{Title: "resistance, inductance and capacitor in series, textbook", At: "V·√(C/L) without resistance, over e at R = 2·√(L/C)", Edition: "derived, not published", How: source.Derived}
	peak := func(ohm float64) getter {
		return func() (float64, error) {
			s, err := precharge.Closing(50, ohm, 1e-6, 0.01)
			return s.Peak, err
		}
	}
	l := load(single("chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 12 mΩ, emf: 13.6 V", "", ""))
	bank := func() (float64, error) {
		j, err := l()
		if err != nil {
			return 0, err
		}
		p, err := assess.Precharge(j, assess.Inrush{Capacitance: 0.02, Resistor: 10})
		if err != nil {
			return 0, err
		}
		return p.Without.ByResistance, nil
	}
	rounding := part(1e-9, "exact but for rounding")
	return []Row{
		{"INRUSH-BARE", "13.6 V behind 12 mΩ onto an empty capacitor, no inductance", rc, Computed, 1133, "A", within(0.5, "half of the last digit given; with the loop's inductance it is less"), bank},
		{"INRUSH-SWING", "50 V, 1 µH, 10 mF, no resistance", rlc, Computed, 5000, "A", rounding, peak(0)},
		{"INRUSH-CRITICAL", "50 V, 1 µH, 10 mF, 20 mΩ", rlc, Computed, 5000 / math.E, "A", rounding, peak(0.02)},
	}
}

// unevenRows: two readings of two batteries of 10 and 15 mΩ, the first 50 mV
// higher: 2 A round the two at any load, 60 A and 40 A of 100 A beside it.
func unevenRows() []Row {
	ref := source.Ref{Title: "two sources that meet in two points", At: "I1 = D·R2/(R1 + R2) + (E1 − E2)/(R1 + R2)", Edition: "derived, not published", How: source.Derived}
	text := pairOf("chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, resistance: 10 mΩ, emf: 13 V", "", "resistance: 15 mΩ", "0.001 uohm", "draw: 20 A") +
		"readings:\n  - {id: R1, case: load, current: {B1: 14 A, B2: 6 A}}\n  - {id: R2, case: load, current: {B1: 62 A, B2: 38 A}}\n"
	l := load(text)
	of := func(get func(*assess.Unevenness) float64) getter {
		return func() (float64, error) {
			j, err := l()
			if err != nil {
				return 0, err
			}
			u, err := j.Normal("", "")
			if err != nil {
				return 0, err
			}
			return get(u), nil
		}
	}
	exact := part(1e-9, "exact but for rounding")
	return []Row{
		{"UNEVEN-OFFSET", "two readings of 10 and 15 mΩ with 50 mV between, B1 at any load", ref, Computed, 2, "A", exact, of(func(u *assess.Unevenness) float64 { return u.Batteries[0].Offset })},
		{"UNEVEN-PATH", "the same, B1 over its half at 100 A by resistance", ref, Computed, 10, "A", exact, of(func(u *assess.Unevenness) float64 { return u.Batteries[0].PathExcess })},
		{"UNEVEN-OHM", "the same, resistance of B2's path", ref, Computed, 15, "mΩ", exact, of(func(u *assess.Unevenness) float64 { return u.Batteries[1].Path * 1e3 })},
		{"UNEVEN-VOLTS", "the same, voltage between the two", ref, Computed, 50, "mV", exact, of(func(u *assess.Unevenness) float64 { return (u.Batteries[0].EMF - u.Batteries[1].EMF) * 1e3 })},
		{"UNEVEN-EXPECTED", "the same, B1 at 100 A by the job's own wiring", ref, Computed, 60, "A", part(1e-6, "links of 1 nΩ"), of(func(u *assess.Unevenness) float64 { return u.Expected[0] })},
	}
}
