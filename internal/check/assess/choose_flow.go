package assess

import (
	"math"

	"bankwright/internal/check/rules"
	"bankwright/internal/engine/sharing"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/assemble"
	"bankwright/internal/read/catalog"
)

type catalogRow = catalog.Conductor

func dropLimit(kind bank.PartKind) float64 {
	limit, _ := rules.DropLimit(kind)
	return limit
}

// takeoffFlow names the take-off among unit flows.
const takeoffFlow = "takeoff"

// unitFlow is which part of one device's current passes each cable and part.
type unitFlow struct {
	device string
	cables []float64
	parts  map[string]float64
}

// unitFlows finds for each device, and for the take-off where cases load it,
// where its current passes: the difference that one ampere makes.
func (j *Job) unitFlows(stiff *bank.Bank) ([]unitFlow, error) {
	t := assemble.Rest(j.cat).CableTemperature.V
	without, _, err := sharing.SolveDraws(stiff, t, nil)
	if err != nil {
		return nil, j.named(err)
	}
	var all []unitFlow
	solve := func(name string, d []sharing.Draw) error {
		with, _, err := sharing.SolveDraws(stiff, t, d)
		if err != nil {
			return j.named(err)
		}
		u := unitFlow{device: name, parts: map[string]float64{}}
		for i := range with.Cables {
			u.cables = append(u.cables, with.Cables[i].Current-without.Cables[i].Current)
		}
		for i, p := range with.Parts {
			u.parts[p.ID] = math.Max(u.parts[p.ID], math.Abs(p.Current-without.Parts[i].Current))
		}
		all = append(all, u)
		return nil
	}
	for i := range j.Bank.Parts {
		p := &j.Bank.Parts[i]
		if !p.Kind.Device() {
			continue
		}
		if err := solve(p.ID, []sharing.Draw{{Positive: end(p, 0), Negative: end(p, 1), Current: 1}}); err != nil {
			return nil, err
		}
	}
	if t := j.Bank.Takeoff; len(j.Bank.Cases) > 0 {
		if err := solve(takeoffFlow, []sharing.Draw{{Positive: t.Positive, Negative: t.Negative, Current: 1}}); err != nil {
			return nil, err
		}
	}
	return all, nil
}

func (st *state) unitOf(device string) *unitFlow {
	for i := range st.unit {
		if st.unit[i].device == device {
			return &st.unit[i]
		}
	}
	return nil
}

func (st *state) scenario(name string) *report.Scenario {
	for i := range st.side.Scenarios {
		if st.side.Scenarios[i].Name == name {
			return &st.side.Scenarios[i]
		}
	}
	return nil
}

// Parts of a current that count as all of it and as none, so that what solves
// leave by rounding does not decide.
const (
	wholeFlow = 0.99
	noFlow    = 1e-6
)

// returnsThrough lists the devices that see the whole current of everything of
// which some returns through a cable. A link between two batteries carries only
// part of it, but all of it while the other battery is off.
func (st *state) returnsThrough(cable int) []string {
	var all []string
	for i := range st.job.Bank.Parts {
		p := &st.job.Bank.Parts[i]
		if !p.Kind.Protects() {
			continue
		}
		some, every := false, true
		for _, u := range st.unit {
			if math.Abs(u.cables[cable]) > noFlow {
				some = true
				every = every && u.parts[p.ID] >= wholeFlow
			}
		}
		if some && every {
			all = append(all, p.ID)
		}
	}
	return all
}
