package web

import (
	"net/url"
	"strings"
	"testing"
)

// Sheet 43: a month can be picked, one that is not there is refused, and a job
// without loads says what it has to give.
func TestDaysSheet(t *testing.T) {
	bare := []byte("bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}}\nbatteries: [{id: B1, type: b}]\ntakeoff: {positive: B1+, negative: B1-}\n")
	faulty := []byte("bankwright: 1\nloads: [{id: a, power: 1}]\n")
	s, addr := started(t)
	s.sources = append(s.sources, Source{Name: "bare", File: "bare.yaml", Read: func() ([]byte, error) { return bare, nil }},
		Source{Name: "faulty", File: "faulty.yaml", Read: func() ([]byte, error) { return faulty, nil }})
	get := visitor(t, s, addr)
	for _, c := range []struct {
		path string
		code int
		says []string
	}{
		{"/days?job=survey-boat", 200, []string{"On mean days the bank carries the loads all year.", "43 Days", "DAY-01", "loads in April", "sonar and computers", "wheelhouse-roof, sun", "cut-out V", "what stops first", "Assumed, and every number", "<svg"}},
		{"/days?job=survey-boat&month=dec", 200, []string{"loads in December", "a week of December, and every month", "month=jan"}},
		{"/days?job=survey-boat&month=" + url.QueryEscape(`"><b>`), 404, []string{"there is no month"}},
		{"/days?job=bare", 200, []string{"No balance of days yet.", "the job has no loads of the day; give them"}},
		{"/days?job=faulty", 200, []string{"faulty.yaml has"}},
		{"/days?job=nowhere", 404, []string{"there is no job"}},
		{"/findings?job=survey-boat", 200, []string{"DAY-01"}},
	} {
		code, body := get(c.path)
		if code != c.code {
			t.Errorf("%s: %d", c.path, code)
		}
		for _, words := range c.says {
			if !strings.Contains(body, words) {
				t.Errorf("%s does not say %q", c.path, words)
			}
		}
	}
}
