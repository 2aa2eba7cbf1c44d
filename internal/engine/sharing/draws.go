package sharing

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
)

// Draw is a current taken at two ends of a job, A, negative where it is put in.
type Draw struct {
	Positive, Negative bank.End
	Current            float64
}

// SolveDraws gives the sharing of a bank that several devices draw from or
// charge at once, its cables at one temperature, and the volts between the ends
// of each draw. Nothing is drawn at the take-off. The error names places of the
// job; two ends that nothing joins are one.
func SolveDraws(b *bank.Bank, cables quantity.Temperature, draws []Draw) (report.Sharing, []float64, error) {
	var s report.Sharing
	circ, err := newCircuit(b, cables)
	if err != nil {
		return s, nil, err
	}
	f, err := circ.factorize()
	if err != nil {
		return s, nil, err
	}
	in := make([]float64, len(circ.ends))
	for _, d := range draws {
		in[circ.node[d.Positive]] -= d.Current
		in[circ.node[d.Negative]] += d.Current
	}
	sol, err := f.Solve(nil, in)
	if err != nil {
		return s, nil, circ.name(err)
	}
	if err := sol.Check(); err != nil {
		return s, nil, err
	}
	s.Voltage = circ.takeoffVoltage(sol)
	s.Residual, s.Condition = sol.Residual, f.Condition()
	circ.batteries(&s, sol)
	circ.flows(&s, sol)
	shares(&s, b)
	var volts []float64
	for _, d := range draws {
		volts = append(volts, sol.Potential[circ.node[d.Positive]]-sol.Potential[circ.node[d.Negative]])
	}
	return s, volts, nil
}
