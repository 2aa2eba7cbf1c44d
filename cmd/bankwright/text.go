package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// wide is the width that text output keeps to: a phone held upright.
const wide = 46

// table prints columns, the first left-aligned, numbers right-aligned.
type table struct {
	head []string
	left map[int]bool // columns of words
	rows [][]string
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

func (t *table) write(w io.Writer) {
	width := make([]int, len(t.head))
	for _, row := range append([][]string{t.head}, t.rows...) {
		for i, c := range row {
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	line := func(row []string) {
		var b strings.Builder
		for i, c := range row {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if i > 0 {
				b.WriteString("  ")
			}
			if i == 0 || t.left[i] {
				b.WriteString(c + pad)
			} else {
				b.WriteString(pad + c)
			}
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	}
	line(t.head)
	for _, row := range t.rows {
		line(row)
	}
}

// say prints a sentence, broken at words to the width, later lines indented.
func say(w io.Writer, text string) { wrap(w, text, wide, "  ") }

func wrap(w io.Writer, text string, width int, indent string) {
	line := ""
	for _, word := range glued(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width:
			fmt.Fprintln(w, line)
			line = indent + word
		default:
			line += " " + word
		}
	}
	if line != "" {
		fmt.Fprintln(w, line)
	}
}

// glued gives the words of a text, a number together with what follows it, so
// that no line ends between a number and its unit.
func glued(text string) []string {
	var words []string
	hold := false
	for _, word := range strings.Fields(text) {
		if hold {
			words[len(words)-1] += " " + word
		} else {
			words = append(words, word)
		}
		start := strings.TrimLeft(word, "+-−(")
		hold = start != "" && start[0] >= '0' && start[0] <= '9' && !strings.ContainsAny(word[len(word)-1:], ".,;:)")
	}
	return words
}

// broad is the width of texts that stand beside broad tables.
const broad = 78

// tell is say for texts beside broad tables.
func tell(w io.Writer, text string) { wrap(w, text, broad, "  ") }
