package job

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v4"
	"go.yaml.in/yaml/v4/plugin/loaderlimits"
)

// Limits that keep a hostile file cheap. They are ours, far above any job.
const (
	maxBytes  = 1 << 20 // of a file
	maxDepth  = 12      // of lists and keys inside one another; the format needs 6
	maxValues = 100_000 // plain values in a file
	maxItems  = 1000    // of one list
	maxFaults = 100     // told of one file
)

// Read reads a job. The error is a *Faults with every fault found; the
// document is nil then. The name is used in messages only. More checks, of
// what only the caller knows, add their faults to the same list.
func Read(name string, src []byte, more ...func(*Collector, *Document)) (*Document, error) {
	var w walk
	root := parse(&w, src)
	if root == nil {
		return nil, w.Err(name)
	}
	doc := &Document{File: name}
	if len(root.Content) >= 1 && root.Kind == yaml.MappingNode && root.Content[0].Value != "bankwright" {
		w.Add(posOf(root.Content[0]), "the first key is %q; a job begins with bankwright: 1", clip(root.Content[0].Value))
	}
	jobKeys.read(&w, root, doc)
	checkDocument(&w.Collector, doc)
	for _, check := range more {
		check(&w.Collector, doc)
	}
	if err := w.Err(name); err != nil {
		return nil, err
	}
	return doc, nil
}

// ReadAll takes a job's bytes from a stream, at most one past the limit, so
// that Read can say it is too large.
func ReadAll(r io.Reader) ([]byte, error) { return io.ReadAll(io.LimitReader(r, maxBytes+1)) }

// parse gives the root mapping, or nil with faults noted.
func parse(w *walk, src []byte) *yaml.Node {
	start := Pos{1, 1}
	switch {
	case len(src) > maxBytes:
		w.Add(start, "the file is larger than %d KiB, the most that is read; a job of hundreds of batteries stays far below", maxBytes>>10)
		return nil
	case !utf8.Valid(src):
		w.Add(lineOfBadText(src), "the file is not UTF-8 text; save it as UTF-8")
		return nil
	case bytes.IndexByte(src, 0) >= 0:
		w.Add(start, "the file holds a NUL character, so it is not text; choose the job file itself")
		return nil
	}
	var doc yaml.Node
	err := yaml.Load(src, &doc, yaml.WithUniqueKeys(false), yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(maxDepth), loaderlimits.AliasValue(0))))
	if err != nil {
		noteSyntax(w, err)
		return nil
	}
	root := &doc
	if doc.Kind == yaml.DocumentNode && len(doc.Content) == 1 {
		root = doc.Content[0]
	}
	if root.Kind == 0 || root.Kind == yaml.ScalarNode && root.Tag == "!!null" {
		w.Add(start, "the file is empty; a job begins with bankwright: 1")
		return nil
	}
	count := 0
	if before := len(w.list); !checkNodes(w, root, &count) || len(w.list) > before {
		return nil
	}
	return root
}

// checkNodes refuses what strict YAML does not have: anchors, aliases, merge
// keys, tags; and counts.
func checkNodes(w *walk, n *yaml.Node, count *int) bool {
	if *count++; *count > maxValues {
		w.Add(posOf(n), "the file holds more than %d values, the most that is read", maxValues)
		return false
	}
	switch {
	case n.Kind == yaml.AliasNode:
		w.Add(posOf(n), "an alias (*%s) is not read here; write the value out", clip(n.Value))
	case n.Anchor != "":
		w.Add(posOf(n), "an anchor (&%s) is not read here; write the value out where it is needed", clip(n.Anchor))
	case n.Style&yaml.TaggedStyle != 0:
		w.Add(posOf(n), "a tag (%s) is not read here; write the plain value", clip(n.Tag))
	case n.Tag == "!!merge":
		w.Add(posOf(n), "the merge key << is not read here; write the keys out")
	}
	for _, child := range n.Content {
		if !checkNodes(w, child, count) {
			return false
		}
	}
	return true
}

// noteSyntax turns the reader's own error into a fault with a place.
func noteSyntax(w *walk, err error) {
	var all *yaml.LoadErrors
	if errors.As(err, &all) {
		for _, one := range all.Errors {
			w.Add(Pos{max(one.Mark.Line, 1), max(one.Mark.Column, 1)}, "%s", syntaxWords(one.Error()))
		}
		return
	}
	var one *yaml.LoadError
	if errors.As(err, &one) {
		w.Add(Pos{max(one.Mark.Line, 1), max(one.Mark.Column, 1)}, "%s", syntaxWords(one.Error()))
		return
	}
	w.Add(Pos{1, 1}, "%s", syntaxWords(err.Error()))
}

// syntaxWords keeps the YAML reader's reason and says what usually mends it.
func syntaxWords(s string) string {
	s, _, _ = strings.Cut(strings.TrimSpace(s), "\n")
	lower := strings.ToLower(s)
	switch {
	case strings.Contains(lower, "depth"):
		return fmt.Sprintf("lists and keys are nested deeper than %d, the most that is read", maxDepth)
	case strings.Contains(lower, "alias"):
		return "an alias (*name) is not read here; write the value out"
	case strings.Contains(lower, "tab"):
		return "a tab stands where spaces are due; indent with spaces"
	}
	return "not YAML: " + clipLong(s) + "; look for a missing colon, bracket or quote, or a wrong indent, here or just above"
}

func clipLong(s string) string {
	if r := []rune(s); len(r) > 160 {
		return string(r[:160]) + "…"
	}
	return s
}

func lineOfBadText(src []byte) Pos {
	line, col := 1, 1
	for len(src) > 0 {
		r, n := utf8.DecodeRune(src)
		if r == utf8.RuneError && n <= 1 {
			break
		}
		if r == '\n' {
			line, col = line+1, 0
		}
		col++
		src = src[n:]
	}
	return Pos{line, col}
}
