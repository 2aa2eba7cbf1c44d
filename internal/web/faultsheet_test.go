package web

import (
	"fmt"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// van is a job with many fuses and a breaker.
var van = Source{Name: "van", File: "bakery_van.yaml", Read: func() ([]byte, error) {
	return os.ReadFile("../check/assess/testdata/bakery_van.yaml")
}}

// Each device of a job has its sheet, one that is not there is refused by name,
// and a job without devices says so.
func TestFaultsSheet(t *testing.T) {
	s, addr := started(t, van)
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	client := http.Client{Jar: jar}
	get := func(path string) (int, string) {
		r, err := client.Get("http://" + addr + path)
		if err != nil {
			t.Fatal(err)
		}
		defer r.Body.Close()
		b, err := io.ReadAll(r.Body)
		if err != nil {
			t.Fatal(err)
		}
		return r.StatusCode, string(b)
	}
	get("/?start=" + s.code)
	for path, want := range map[string][]string{
		"/faults":            {"F1, fuse, class T, 125 A", "33 Faults", "dead short to the negative take-off", "into each battery", "passes the loads", "breaks a dead short"},
		"/faults?device=D1":  {"D1, breaker, 20.0 A", "How long D1 takes to open is not told"},
		"/faults?device=F5":  {"an overload goes through D1 at its end", "it breaks 20.00 kA"},
		"/faults?device=F99": {"there is no fuse or breaker"},
	} {
		code, body := get(path)
		if want404 := strings.HasSuffix(path, "F99"); (code == http.StatusNotFound) != want404 {
			t.Errorf("%s: %d", path, code)
		}
		for _, words := range want {
			if !strings.Contains(body, words) {
				t.Errorf("%s does not say %q", path, words)
			}
		}
	}
	r, err := client.Get("http://" + addr + "/faults?device=" + url.QueryEscape(`"><script>`))
	if err != nil {
		t.Fatal(err)
	}
	r.Body.Close()
	if kind := r.Header.Get("Content-Type"); r.StatusCode != http.StatusNotFound || !strings.HasPrefix(kind, "text/plain") || r.Header.Get("X-Content-Type-Options") != "nosniff" {
		t.Errorf("a hostile device: %d as %s", r.StatusCode, kind)
	}
	bare := []byte("bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}}\nbatteries: [{id: B1, type: b}]\ntakeoff: {positive: B1+, negative: B1-}\n")
	s, addr = started(t, Source{Name: "bare", File: "bare.yaml", Read: func() ([]byte, error) { return bare, nil }})
	get("/?start=" + s.code)
	if _, body := get("/faults?job=bare"); !strings.Contains(body, "has no fuse or breaker") {
		t.Error("a job without devices does not say so")
	}
}

// The drawing of each kind of device has room on a phone and on a desk.
func TestFaultsScreens(t *testing.T) {
	s, addr := started(t, van)
	ctx := browser(t)
	for _, width := range []int64{360, 1400} {
		for _, id := range []string{"F1", "F5", "D1"} {
			do(t, ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(fmt.Sprintf("http://%s/faults?device=%s&start=%s", addr, id, s.code)))
			wait(t, ctx, `document.fonts.status === "loaded" && document.querySelector("#times svg") !== null`)
			if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px too wide", id, width, over)
			}
			for what, script := range map[string]string{"text outside its drawing": textOutside, "text over text": textOverText} {
				if wrong := eval[[]string](t, ctx, script); len(wrong) > 0 {
					t.Errorf("%s at %d px: %s: %v", id, width, what, wrong)
				}
			}
			if width < 700 {
				if small := eval[[]string](t, ctx, smallTargets); len(small) > 0 {
					t.Errorf("%s at %d px: targets under 44 px: %v", id, width, small)
				}
			}
		}
	}
}
