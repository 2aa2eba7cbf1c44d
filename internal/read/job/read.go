package job

import (
	"bytes"
	"io"
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
	return ReadUnsized(name, src, append([]func(*Collector, *Document){checkSized}, more...)...)
}

// ReadUnsized is Read of a job whose cables may have neither size nor
// resistance, as sizes are to be chosen for them.
func ReadUnsized(name string, src []byte, more ...func(*Collector, *Document)) (*Document, error) {
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
		w.Add(badText(src), "the file is not UTF-8 text; save it as UTF-8")
		return nil
	case bytes.IndexByte(src, 0) >= 0:
		w.Add(placeOf(src, bytes.IndexByte(src, 0)), "the file holds a NUL character, so it is not text; choose the job file itself")
		return nil
	}
	var doc yaml.Node
	err := yaml.Load(src, &doc, yaml.WithUniqueKeys(false), yaml.WithPlugin(loaderlimits.New(loaderlimits.DepthValue(maxDepth), loaderlimits.AliasValue(0))))
	if err != nil {
		noteSyntax(w, src, err)
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
