package web

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// browser starts Chromium with a new tab. A machine without Chromium fails
// the test by name: check.sh installs it.
func browser(t *testing.T) context.Context {
	t.Helper()
	if testing.Short() {
		t.Skip("pages are looked at in the full run")
	}
	path, err := exec.LookPath("chromium")
	if err != nil {
		t.Fatal("chromium is missing; install the package chromium, or run check.sh, which does")
	}
	ctx, cancel := chromedp.NewContext(context.Background(), chromedp.WithAllocatorOptions(
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.Headless, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.Flag("disable-quic", true), chromedp.Flag("hide-scrollbars", true)))
	t.Cleanup(cancel)
	ctx, stop := context.WithTimeout(ctx, 150*time.Second)
	t.Cleanup(stop)
	return ctx
}

func do(t *testing.T, ctx context.Context, steps ...chromedp.Action[chromedp.Void]) {
	t.Helper()
	if err := chromedp.Do(ctx, steps...); err != nil {
		t.Fatal(err)
	}
}

func eval[T any](t *testing.T, ctx context.Context, script string) T {
	t.Helper()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script))
	if err != nil {
		t.Fatalf("%.80s: %v", script, err)
	}
	return v
}

func wait(t *testing.T, ctx context.Context, script string) {
	t.Helper()
	if _, err := chromedp.Run(ctx, chromedp.Poll[bool](script, chromedp.WithPollingTimeout(15*time.Second))); err != nil {
		t.Fatalf("%.120s never came true: %v", script, err)
	}
}

// Choosing a row shows that wiring's plan and marks it on the chart, without
// loading the page anew; back and the arrow keys work; the start code is gone
// from the address.
func TestChooseRow(t *testing.T) {
	s, addr := started(t)
	ctx := browser(t)
	messages := chromedp.Console(ctx)
	do(t, ctx, chromedp.EmulateViewport(1400, 1000), chromedp.Navigate("http://"+addr+"/?start="+s.code))
	wait(t, ctx, `!location.search.includes("start")`)
	if got := eval[string](t, ctx, `document.querySelector("#plan figcaption").textContent`); !strings.HasPrefix(got, "yours") {
		t.Errorf("at first the job's own wiring is shown, not %q", got)
	}
	before := eval[string](t, ctx, `window.mark = "kept"; document.querySelector("#plan .large").innerHTML`)
	do(t, ctx, chromedp.Click(chromedp.CSS("#pick-front-2")))
	wait(t, ctx, `document.querySelector("#plan figcaption").textContent.startsWith("wiring 2:")`)
	if eval[string](t, ctx, `window.mark`) != "kept" {
		t.Error("the page was loaded anew")
	}
	if eval[string](t, ctx, `document.querySelector("#plan .large").innerHTML`) == before {
		t.Error("the plan did not change")
	}
	if n := eval[int](t, ctx, `document.querySelectorAll("#rows tr.now").length`); n != 1 {
		t.Errorf("%d rows are marked", n)
	}
	if !eval[bool](t, ctx, `location.search.includes("pick=front-2") && document.activeElement.id === "pick-front-2"`) {
		t.Error("address or focus did not follow")
	}
	do(t, ctx, chromedp.KeyEvent("\u0301")) // the arrow down of the protocol's key table
	wait(t, ctx, `document.querySelector("#plan figcaption").textContent.startsWith("wiring 3:")`)
	eval[bool](t, ctx, `history.back(), true`)
	wait(t, ctx, `document.querySelector("#plan figcaption").textContent.startsWith("yours")`)
	eval[bool](t, ctx, `document.querySelector("#chart [data-id='front-4']").dispatchEvent(new MouseEvent("click", {bubbles: true}))`)
	wait(t, ctx, `document.querySelector("#plan figcaption").textContent.startsWith("wiring 4:")`)
	for m, err := range quiet(ctx, messages) {
		t.Errorf("the console says %v %v", m, err)
	}
}

// quiet gives what the console said so far.
func quiet(ctx context.Context, messages func(func(chromedp.ConsoleMessage, error) bool)) func(func(chromedp.ConsoleMessage, error) bool) {
	return func(yield func(chromedp.ConsoleMessage, error) bool) {
		const end = "end of what the page said"
		if err := chromedp.Do(ctx, chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
			_, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`console.log("`+end+`"), true`))
			return err
		})); err != nil {
			yield(chromedp.ConsoleMessage{}, err)
			return
		}
		for m, err := range messages {
			if m.Text == end || !yield(m, err) {
				return
			}
		}
	}
}

// The handle of a run moves the moment without loading the page anew and stays
// under the hand; a tap on a battery of the plan takes it out, and another puts
// it back.
func TestScrub(t *testing.T) {
	s, addr := started(t)
	ctx := browser(t)
	messages := chromedp.Console(ctx)
	do(t, ctx, chromedp.EmulateViewport(1400, 1000), chromedp.Navigate("http://"+addr+"/hours?start="+s.code))
	wait(t, ctx, `!location.search.includes("start")`)
	before := eval[string](t, ctx, `window.mark = "kept"; window.handle = document.querySelector("#at"); handle.focus(); document.querySelector("#plan .large").innerHTML`)
	for n := 1; n <= 100; n += 9 {
		eval[bool](t, ctx, fmt.Sprintf(`handle.value = %d, handle.dispatchEvent(new Event("input", {bubbles: true}))`, n))
	}
	wait(t, ctx, `location.search.includes("at=100")`)
	if got := eval[string](t, ctx, `window.mark + " " + (handle === document.querySelector("#at")) + " " + document.querySelector("#at-words").textContent`); got != "kept true 50 min" {
		t.Errorf("after the handle moved: %q", got)
	}
	if eval[string](t, ctx, `handle.getAttribute("aria-valuetext")`) != "50 min" {
		t.Error("the handle does not say where it is")
	}
	if eval[string](t, ctx, `document.querySelector("#plan .large").innerHTML`) == before {
		t.Error("the plan did not follow")
	}
	eval[bool](t, ctx, `document.querySelector("#plan .large [data-id='B3']").dispatchEvent(new MouseEvent("click", {bubbles: true}))`)
	wait(t, ctx, `document.querySelector("#tap-B3")?.textContent === "put back"`)
	if got := eval[string](t, ctx, `document.querySelector("#detail .notes").textContent`); !strings.Contains(got, "B3 is taken out from 50 min on") {
		t.Errorf("nothing says that B3 is out: %s", got)
	}
	do(t, ctx, chromedp.Click(chromedp.CSS("#tap-B3")))
	wait(t, ctx, `document.querySelector("#tap-B3")?.textContent === "drop out here"`)
	for m, err := range quiet(ctx, messages) {
		t.Errorf("the console says %v %v", m, err)
	}
}

// What the person sees has room: no page is wider than the screen, nothing is
// wider than its drawing, and what a thumb must hit is large enough.
func TestScreens(t *testing.T) {
	s, addr := started(t)
	ctx := browser(t)
	for _, width := range []int64{360, 390, 768, 1400} {
		for _, job := range []string{"?job=library-trailer", "?job=market-cart", "?job=survey-boat", "hours?job=library-trailer&case=day&at=150&out=B3@9000", "hours?job=market-cart&at=20", "hours?job=survey-boat", "conductors?job=market-cart", "conductors?job=survey-boat", "findings?job=library-trailer", "findings?job=survey-boat", "settings?job=survey-boat", "faults?job=survey-boat", "days?job=survey-boat", "heat?job=ridge-hut", "faults?job=library-trailer"} {
			do(t, ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(fmt.Sprintf("http://%s/%s&start=%s", addr, job, s.code)))
			wait(t, ctx, `document.fonts.status === "loaded"`)
			if over := eval[int](t, ctx, `document.documentElement.scrollWidth - document.documentElement.clientWidth`); over > 0 {
				t.Errorf("%s at %d px: %d px too wide", job, width, over)
			}
			if out := eval[[]string](t, ctx, textOutside); len(out) > 0 {
				t.Errorf("%s at %d px: text outside its drawing: %v", job, width, out)
			}
			if hit := eval[[]string](t, ctx, textOverText); len(hit) > 0 {
				t.Errorf("%s at %d px: text over text: %v", job, width, hit)
			}
			if width < 700 {
				if small := eval[[]string](t, ctx, smallTargets); len(small) > 0 {
					t.Errorf("%s at %d px: targets under 44 px: %v", job, width, small)
				}
			}
		}
	}
}

const textOutside = `[...document.querySelectorAll("figure svg")].flatMap(svg => {
	const box = svg.getBoundingClientRect();
	return box.width === 0 ? [] : [...svg.querySelectorAll("text")].filter(t => {
		const b = t.getBoundingClientRect();
		return b.left < box.left - 1 || b.right > box.right + 1 || b.top < box.top - 1 || b.bottom > box.bottom + 1;
	}).map(t => t.textContent);
})`

// Boxes of lines that follow each other touch; what counts is an overlap of
// more than a fifth of the smaller height.
const textOverText = `[...document.querySelectorAll("figure svg")].flatMap(svg => {
	if (svg.getBoundingClientRect().width === 0) return [];
	const all = [...svg.querySelectorAll("text")].map(t => ({t, b: t.getBoundingClientRect()}));
	const found = [];
	all.forEach((a, i) => all.slice(i + 1).forEach(c => {
		const w = Math.min(a.b.right, c.b.right) - Math.max(a.b.left, c.b.left);
		const h = Math.min(a.b.bottom, c.b.bottom) - Math.max(a.b.top, c.b.top);
		if (w > 1 && h > 0.45 * Math.min(a.b.height, c.b.height)) found.push(a.t.textContent + " / " + c.t.textContent);
	}));
	return found;
})`

const smallTargets = `[...document.querySelectorAll("a, summary")].filter(e => !e.matches(".skip") && e.getBoundingClientRect().height > 0)
	.filter(e => e.getBoundingClientRect().height < 43.5).map(e => e.textContent)`

// axe-core finds nothing on any page, light and dark, wide and narrow.
func TestAccess(t *testing.T) {
	axe := os.Getenv("BANKWRIGHT_AXE")
	if axe == "" {
		axe = "../../build/npm/node_modules/axe-core/axe.min.js"
	}
	script, err := os.ReadFile(axe)
	if err != nil {
		if os.Getenv("BANKWRIGHT_AXE") != "" {
			t.Fatalf("axe-core is missing: %v", err)
		}
		t.Skip("axe-core is not here; check.sh installs it")
	}
	faulty := Source{Name: "faulty", File: "faulty.yaml", Read: func() ([]byte, error) { return []byte("bankwright: 1\nbatteris: []\n"), nil }}
	s, addr := started(t)
	f, faultyAddr := started(t, faulty)
	v, vanAddr := started(t, van)
	ctx := browser(t)
	// Contrast hangs on the scheme and order on the width, hardly on both: each
	// page is looked at twice, not four times.
	for scheme, width := range map[string]int64{"light": 390, "dark": 1400} {
		for _, url := range []string{"http://" + addr + "/?start=" + s.code, "http://" + addr + "/?job=market-cart&pick=textbook-1&start=" + s.code,
			"http://" + addr + "/?case=rest&start=" + s.code, "http://" + addr + "/hours?case=day&at=100&start=" + s.code, "http://" + addr + "/conductors?start=" + s.code, "http://" + addr + "/findings?start=" + s.code, "http://" + addr + "/faults?job=survey-boat&start=" + s.code, "http://" + addr + "/days?job=survey-boat&start=" + s.code, "http://" + addr + "/heat?job=ridge-hut&start=" + s.code, "http://" + vanAddr + "/faults?device=F5&start=" + v.code, "http://" + faultyAddr + "/faults?start=" + f.code, "http://" + faultyAddr + "/findings?start=" + f.code, "http://" + faultyAddr + "/hours?start=" + f.code, "http://" + faultyAddr + "/?start=" + f.code} {
			if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
				Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}); err != nil {
				t.Fatal(err)
			}
			do(t, ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(url))
			eval[bool](t, ctx, string(script)+"; true")
			found, err := chromedp.Run(ctx, chromedp.Evaluate[[]string](`axe.run().then(r => r.violations.map(v => v.id + ": " + v.nodes.map(n => n.target.join(" ")).slice(0, 3).join(" | ")))`, chromedp.EvalAwaitPromise))
			if err != nil {
				t.Fatal(err)
			}
			if len(found) > 0 {
				t.Errorf("%s %d px %s: %v", scheme, width, url[strings.LastIndex(url, "/"):strings.Index(url, "start")], found)
			}
		}
	}
}

// TestScheduleFits: on a desk's screen the last column of the conductor
// schedule, the margin, is seen without scrolling.
func TestScheduleFits(t *testing.T) {
	s, addr := started(t)
	ctx := browser(t)
	for _, width := range []int64{1280, 1400} {
		for _, job := range []string{"library-trailer", "ridge-hut", "survey-boat", "market-cart"} {
			do(t, ctx, chromedp.EmulateViewport(width, 900), chromedp.Navigate(fmt.Sprintf("http://%s/conductors?job=%s&start=%s", addr, job, s.code)))
			wait(t, ctx, `document.fonts.status === "loaded" && document.querySelector(".schedule") !== null`)
			if over := eval[int](t, ctx, `(e => e.scrollWidth - e.clientWidth)(document.querySelector(".schedule"))`); over > 0 {
				t.Errorf("%s at %d px: the schedule is %d px wider than its room", job, width, over)
			}
		}
	}
}
