package job

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"
)

// head is a whole job to which a line can be added.
const head = "bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah}}\nbatteries: [{id: B1, type: b}]\ntakeoff: {positive: B1+, negative: B1-}\n"

// hostile gives files that a careless reader would choke on.
func hostile() map[string]string {
	bomb := "a: &a [x, x, x, x, x, x, x, x, x]\n"
	for c := 'b'; c <= 'i'; c++ {
		bomb += fmt.Sprintf("%c: &%c [%s*%c]\n", c, c, strings.Repeat(fmt.Sprintf("*%c, ", c-1), 8), c-1)
	}
	return map[string]string{
		"empty": "", "spaces": "  \n\n", "comment": "# nothing\n", "null": "~\n", "document mark": "---\n", "brackets": strings.Repeat("[", 100_000),
		"braces": strings.Repeat("{a: ", 50_000), "dashes": strings.Repeat("- ", 50_000), "laughs": bomb, "merge": head + "<<: {title: x}\n",
		"anchor": head + "title: &a x\n", "alias to itself": "a: &a [*a]\n", "tag": head + "title: !!str x\n", "own tag": head + "title: !x y\n", "lone tag": head + "title: ! y\n",
		"binary": head + "title: !!binary aGk=\n", "NUL": head + "title: a\x00b\n", "byte order mark": "\ufeff" + head, "byte order mark inside": head + "title: \ufeffx\n",
		"UTF-16": "b\x00a\x00n\x00k\x00", "bad UTF-8": head + "title: \xff\xfe\n", "surrogate": head + "title: \xed\xa0\x80\n", "CR only": strings.ReplaceAll(head, "\n", "\r"),
		"CRLF": strings.ReplaceAll(head, "\n", "\r\n"), "next line": strings.ReplaceAll(head, "\n", "\u0085"), "tabs": "bankwright: 1\n\ttitle: x\n",
		"nan": head + "joint: .nan\n", "inf": head + "joint: .inf\n", "nan with a unit": head + "joint: NaN mΩ\n", "octal": head + "joint: 010 mΩ\n", "bare octal": strings.Replace(head, ": 1", ": 01", 1),
		"underscore": head + "joint: 1_000 mΩ\n", "hexadecimal": head + "joint: 0x10 mΩ\n", "null value": head + "joint: null\n", "no value": head + "joint:\n",
		"key twice": head + "title: a\ntitle: b\n", "huge integer": strings.Replace(head, ": 1", ": "+strings.Repeat("9", 10_000), 1), "huge number": head + "joint: 1e999 mΩ\n", "huge exponent": head + "joint: 1e999999999 mΩ\n",
		"right to left": head + "title: a\u202eb\n", "right to left key": head + "\u202etitle: a\n", "emoji": head + "title: 🔋🔋\n", "emoji ID": strings.ReplaceAll(head, "B1", "🔋"),
		"second document": head + "---\n" + head, "end mark": head + "...\nx: 1\n", "deep": head + "note: " + strings.Repeat("[", 11) + strings.Repeat("]", 11) + "\n",
		"key that is a list": head + "? [a]\n: b\n", "key that is a set": head + "{a: b}: c\n", "quote open": head + "title: \"x\n", "bracket open": head + "cables: [", "list at the top": "- a\n", "text at the top": "hello\n",
		"escape": head + "title: \"\\x1b[2J\"\n", "control": head + "title: a\x1bb\n", "long line": head + "title: " + strings.Repeat("x", 1<<16) + "\n", "long key": head + strings.Repeat("x", 1<<16) + ": 1\n",
		"directive": "%YAML 1.1\n---\n" + head, "tag directive": "%TAG ! tag:x,1:\n---\n" + head, "many faults": "bankwright: 1\n" + strings.Repeat("x: 1\n", 5000), "windows text": head + "title: na\xefve\n",
	}
}

// checkRead reads a file and sees that what comes of it can be trusted: every
// number finite, every fault at a place that the file has.
func checkRead(t *testing.T, src []byte) {
	t.Helper()
	doc, err := Read("job.yaml", src)
	if (doc == nil) == (err == nil) {
		t.Fatalf("document %v with error %v", doc, err)
	}
	if err == nil {
		checkFinite(t, reflect.ValueOf(doc))
		return
	}
	var faults *Faults
	if !errors.As(err, &faults) || len(faults.List) == 0 || len(faults.List) > maxFaults+1 {
		t.Fatalf("the error is %T with %v", err, err)
	}
	starts := lineStarts(src)
	last := Pos{1, 1}
	for _, f := range faults.List {
		if f.Line < 1 || f.Column < 1 || f.Line > len(starts) || within(src, f.Pos) != f.Pos {
			t.Errorf("%d:%d is no place of the file (%d lines): %s", f.Line, f.Column, len(starts), f.Message)
		}
		if f.Line < last.Line || f.Line == last.Line && f.Column < last.Column {
			t.Errorf("%d:%d comes after %d:%d", f.Line, f.Column, last.Line, last.Column)
		}
		last = f.Pos
		if f.Message == "" || len(f.Message) > 2000 || strings.ContainsFunc(f.Message, isUnseen) {
			t.Errorf("not one line of plain text: %q", f.Message)
		}
	}
}

func checkFinite(t *testing.T, v reflect.Value) {
	switch v.Kind() {
	case reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			t.Errorf("a value is %v", f)
		}
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			checkFinite(t, v.Elem())
		}
	case reflect.Slice:
		for i := range v.Len() {
			checkFinite(t, v.Index(i))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			checkFinite(t, v.Field(i))
		}
	}
}

func TestReadHostile(t *testing.T) {
	for name, src := range hostile() {
		t.Run(name, func(t *testing.T) { checkRead(t, []byte(src)) })
	}
}

func FuzzRead(f *testing.F) {
	for _, src := range goodFiles(f) {
		f.Add(src)
	}
	for _, src := range hostile() {
		f.Add([]byte(src))
	}
	for _, row := range faultTable {
		f.Add([]byte(row.src))
	}
	f.Fuzz(func(t *testing.T, src []byte) { checkRead(t, src) })
}

// What the largest file allowed may cost, whatever is in it. The bounds are
// ours: several times what was measured, far below what any machine has.
func TestReadIsBounded(t *testing.T) {
	fill := func(unit string) string { return strings.Repeat(unit, (maxBytes-len(head)-64)/len(unit)) }
	many := func(n int, format string) string {
		var b strings.Builder
		for i := range n {
			fmt.Fprintf(&b, format, i, i)
		}
		return b.String()
	}
	const size = "bankwright: 1\nbattery_types: {b: {chemistry: lfp, nominal: 12.8 V, capacity: 100 Ah, size: {length: 1 m, width: 1 m, height: 1 m}}}\ntakeoff: {positive: B1+, negative: B1-}\n"
	for name, src := range map[string]string{
		"list of nothing":            head + "note:\n" + fill("- \n"),
		"flow list":                  head + "note: [" + fill("a,") + "]\n",
		"unknown keys":               head + many(45_000, "k%d: %d\n"),
		"comments":                   head + fill("#\n"),
		"line breaks":                head + fill("\n"),
		"long text":                  head + "title: " + fill("x") + "\n",
		"brackets":                   head + fill("["),
		"aliases":                    head + "x: &a 1\ny: [" + fill("*a,") + "]\n",
		"all batteries in one place": size + "batteries:\n" + many(1000, "- {id: B%d, type: b, at: [0 m, 0 m, 0 m]} #%d\n"),
		"1000 wrong ends":            head + "cables:\n" + many(1000, "- {id: W%d, from: B1+, to: X%d+, size: 2 AWG, along: [a,b,c,d,e,f,g,h]}\n"),
	} {
		t.Run(name, func(t *testing.T) {
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			start := time.Now()
			checkRead(t, []byte(src))
			took := time.Since(start)
			runtime.ReadMemStats(&after)
			mib := (after.TotalAlloc - before.TotalAlloc) >> 20
			t.Logf("%d KiB in %v, %d MiB allocated in all", len(src)>>10, took, mib)
			if mib > 600 {
				t.Errorf("%d MiB allocated", mib)
			}
		})
	}
}
