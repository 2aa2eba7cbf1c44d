package job

import (
	"strings"
	"testing"
)

// Each mistake in the keys of a part is told at its own place, with what would
// mend it.
func TestPartMistakes(t *testing.T) {
	whole := string(goodFiles(t)["panel.yaml"])
	for _, c := range []struct{ name, old, new, want string }{
		{"on itself", "on: B1+", "on: F1.b", "sits on its own end"},
		{"on nothing", "on: B1+", "on: B7+", "there is no battery or part B7"},
		{"end a in use", "from: F1.b, to: P1.1", "from: F1.a, to: P1.1", "the ends of F1 are B1+, F1.b"},
		{"a load that sits", "kind: load, current: 8 A", "kind: load, current: 8 A, on: P1.4", "on means nothing for a load"},
		{"times fall in current", "[400 A, 10 s, 200 s], [1 kA", "[400 A, 10 s, 200 s], [300 A", "rise in current"},
		{"times below the rating", "[[400 A, 10 s", "[[190 A, 10 s", "not above the rating"},
		{"times the wrong way round", "0.2 s, 1 s", "1 s, 0.2 s", "least time is above the most"},
		{"longer at more current", "0.2 s, 1 s", "0.2 s, 300 s", "cannot take longer"},
		{"two numbers", "[1 kA, 0.2 s, 1 s]", "[1 kA, 0.2 s]", "[current, opens after at least, at most]"},
		{"efficiency falls in load", "[50 %, 91 %]", "[5 %, 91 %]", "rise in load"},
		{"efficiency of nought", "[50 %, 91 %]", "[50 %, 0 %]", "only possible without load"},
		{"one efficiency of nought", "idle: 12 W", "idle: 12 W, efficiency: 0 %", "stands twice"},
		{"limited charger", "input: 6 A", "limited: true", "limited means nothing for an inverter_charger"},
		{"input of an alternator", "limited: true", "input: 3 A", "input means nothing for an alternator"},
		{"no resistance and no rating", "kind: breaker, rating: 10 A", "kind: breaker", "or a rating to assume it from"},
		{"joule integral in amperes", "let_through: 30 kA2s", "let_through: 30 kA", "A2s"},
		{"lug key", "{barrel: 70 mm2, hole: M8", "{bore: 70 mm2, hole: M8", "has no key"},
		{"lug of one end mixed", "{from: {hole: M8}, to:", "{hole: M8, to:", "has no key"},
		{"inlet without voltage", "inlet: {current: 10 A, voltage: 230 V}", "inlet: {current: 10 A}", "needs voltage"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if !strings.Contains(whole, c.old) {
				t.Fatalf("the file lacks %q", c.old)
			}
			_, err := Read("job.yaml", []byte(strings.Replace(whole, c.old, c.new, 1)))
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestEfficiencyOfNought(t *testing.T) {
	whole := string(goodFiles(t)["panel.yaml"])
	src := strings.Replace(whole, "efficiency: [[0 %, 0 %], [10 %, 82 %], [50 %, 91 %], [100 %, 87 %]]", "efficiency: 0 %", 1)
	if _, err := Read("job.yaml", []byte(src)); err == nil || !strings.Contains(err.Error(), "gives nothing out") {
		t.Errorf("got %v", err)
	}
}
