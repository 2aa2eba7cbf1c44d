package web

import (
	"fmt"
	"net/http"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// dairy is a job with every kind of hold-down, and a circuit that can be
// checked.
var dairy = Source{Name: "dairy", File: "dairy.yaml", Read: func() ([]byte, error) {
	b, err := os.ReadFile("../read/job/testdata/good/mount.yaml")
	if err != nil {
		return nil, err
	}
	cables := "cables:\n"
	for _, n := range []int{2, 3, 4} {
		for _, post := range []string{"+", "-"} {
			cables += fmt.Sprintf("  - {id: W%d%s, from: B1%s, to: B%d%s, size: 35 mm2, length: 500 mm}\n", n, map[string]string{"+": "p", "-": "n"}[post], post, n, post)
		}
	}
	return []byte(strings.Replace(string(b), "takeoff:", cables+"takeoff:", 1)), nil
}}

// TestMountSheet: the sheet says what is held and by what, each rule has its
// address, one that is not there is refused by name, and a job without a mounting
// says what it has to give.
func TestMountSheet(t *testing.T) {
	s, addr := started(t, dairy)
	get := visitor(t, s, addr)
	for path, want := range map[string][]string{
		"/mount":                    {"42 Holding down", "held in every direction that own asks; weakest the bar of K1.1, margin 2.16", "B3, B4: 54.0 kg, held by K3, K4, K5, K6, K7", "not looked at", "MNT-07", "K3.1: over cap 1 of B3", "12 kg onto the hitch", "its alloy", "kept apart"},
		"/mount?rule=container_car": {"too weak for container_car", "20 g forward", "too weak: the bar of K1"},
		"/mount?rule=x%22%3Cscript": {"there is no rule"},
	} {
		code, body := get(path)
		if refused := strings.Contains(path, "script"); (code == http.StatusNotFound) != refused || refused && strings.Contains(body, "<html") {
			t.Errorf("%s: %d", path, code)
		}
		for _, words := range want {
			if !strings.Contains(body, words) {
				t.Errorf("%s does not say %q", path, words)
			}
		}
	}
	s, addr = started(t)
	get = visitor(t, s, addr)
	if code, body := get("/mount?job=market-cart"); code != http.StatusOK || !strings.Contains(body, "give mounting with forward and hold_downs") {
		t.Errorf("a job without mounting: %d", code)
	}
}

// TestMountScreens: the drawing has room on a phone and on a desk.
func TestMountScreens(t *testing.T) {
	s, addr := started(t, dairy)
	ctx := browser(t)
	for _, width := range []int64{360, 1400} {
		do(t, ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(fmt.Sprintf("http://%s/mount?start=%s", addr, s.code)))
		wait(t, ctx, `document.fonts.status === "loaded" && document.querySelector("#mount svg") !== null`)
		if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
			t.Errorf("at %d px: %d px too wide", width, over)
		}
		for what, script := range map[string]string{"text outside its drawing": textOutside, "text over text": textOverText} {
			if wrong := eval[[]string](t, ctx, script); len(wrong) > 0 {
				t.Errorf("at %d px: %s: %v", width, what, wrong)
			}
		}
		if width < 700 {
			if small := eval[[]string](t, ctx, smallTargets); len(small) > 0 {
				t.Errorf("at %d px: targets under 44 px: %v", width, small)
			}
		}
	}
}
