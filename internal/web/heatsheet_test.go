package web

import (
	"io"
	"net/http"
	"net/http/cookiejar"
	"os"
	"strings"
	"testing"
)

// Sheet 41 of a job with walls shows its answers without a script; of one
// without it says what it takes.
func TestHeatSheet(t *testing.T) {
	source := func(name, path string) Source {
		return Source{Name: name, File: name + ".yaml", Read: func() ([]byte, error) { return os.ReadFile(path) }}
	}
	s, addr := started(t, source("hut", "../../examples/ridge-hut.yaml"), source("cart", "../../examples/market-cart.yaml"))
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := http.Client{Jar: jar}
	get := func(path string) string {
		r, err := client.Get("http://" + addr + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		b, err := io.ReadAll(r.Body)
		if err != nil || r.StatusCode != http.StatusOK {
			t.Fatal(path, r.StatusCode, err)
		}
		return string(b)
	}
	get("/?start=" + s.code)
	hut := get("/heat?job=hut")
	for _, words := range []string{"Cold week: B", "41 Warmth", "<svg", "places for the sensor of a charge lockout", "the year: hours in which charge waits", "openings against gas", "Assumed, and every number"} {
		if !strings.Contains(hut, words) {
			t.Errorf("the hut's sheet does not say %q", words)
		}
	}
	cart := get("/heat?job=cart")
	if !strings.Contains(cart, "The job says nothing of warmth") || strings.Contains(cart, "<svg") || !strings.Contains(cart, "walls of the compartments") {
		t.Error("the cart's sheet does not say what it takes")
	}
}
