package series

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Limits that keep a hostile or endless log cheap. They are ours, far above a
// year of minutes.
const (
	maxLine  = 16 << 10  // bytes of one line
	maxRows  = 1_000_000 // 24 MB in memory as three columns
	maxBytes = 256 << 20 // of a log, comments and columns that are not used counted too
)

// table goes through lines of comma-separated numbers under a line of names.
type table struct {
	name  string // of the file, for errors
	in    *bufio.Reader
	line  int // last read, from 1
	bytes int // read so far
	rows  int
	want  []string // columns
	at    []int    // where they stand in a line
	width int      // fields of the line of names
}

// newTable reads up to the line of names, which are compared without regard
// to case, surrounding blanks and quotes.
func newTable(name string, r io.Reader, want []string) (*table, error) {
	t := &table{name: name, in: bufio.NewReaderSize(r, maxLine), want: want}
	line, err := t.next()
	if errors.Is(err, io.EOF) {
		return nil, t.fault("there is no line; the first must name the columns: %s", strings.Join(want, ","))
	}
	if err != nil {
		return nil, err
	}
	if err := t.separator(line); err != nil {
		return nil, err
	}
	names, ok := fields(line)
	if !ok {
		return nil, t.fault("a quote is not closed")
	}
	t.width = len(names)
	for _, w := range want {
		k, err := t.find(names, w)
		if err != nil {
			return nil, err
		}
		t.at = append(t.at, k)
	}
	return t, nil
}

func (t *table) fault(format string, args ...any) error {
	return fmt.Errorf("%s:%d: %w", t.name, max(t.line, 1), fmt.Errorf(format, args...))
}

// separator refuses a table that is parted by anything but commas.
func (t *table) separator(line string) error {
	if strings.Contains(line, ",") {
		return nil
	}
	for _, one := range []struct{ sign, called string }{{";", "semicolons"}, {"\t", "tabs"}} {
		if strings.Contains(line, one.sign) {
			return t.fault("columns are parted by %s, they must be by commas and numbers have a decimal point; export it in English notation, or replace each decimal comma by a point and then each separator by a comma", one.called)
		}
	}
	return nil
}

func (t *table) find(names []string, want string) (int, error) {
	at := -1
	for k, n := range names {
		if !strings.EqualFold(n, want) {
			continue
		}
		if at >= 0 {
			return 0, t.fault("column %s stands twice, as %d and %d; rename one", want, at+1, k+1)
		}
		at = k
	}
	if at < 0 {
		return 0, t.fault("there is no column %s; there are %s; name the one that is meant", want, listed(names))
	}
	return at, nil
}

// listed quotes names for an error, at most some.
func listed(names []string) string {
	const most = 12
	var out []string
	for _, n := range names[:min(most, len(names))] {
		out = append(out, clip(n))
	}
	if len(names) > most {
		out = append(out, fmt.Sprintf("%d more", len(names)-most))
	}
	return strings.Join(out, ", ")
}

// clip quotes a text and keeps it short.
func clip(s string) string {
	const most = 40
	if len(s) > most {
		s = s[:most] + "..."
	}
	return strconv.Quote(s)
}

// next gives the next line that is neither empty nor a comment, io.EOF after
// the last.
func (t *table) next() (string, error) {
	for {
		raw, err := t.in.ReadSlice('\n')
		if len(raw) > 0 {
			t.line++
		}
		t.bytes += len(raw)
		switch {
		case errors.Is(err, bufio.ErrBufferFull):
			return "", t.fault("a line is longer than %d bytes, the most that is read; a log has a row a line, ended by a line feed", maxLine)
		case t.bytes > maxBytes:
			return "", t.fault("more than %d MiB, the most that is read; cut the log or leave columns out", maxBytes>>20)
		case err != nil && !errors.Is(err, io.EOF):
			return "", t.fault("%w", err)
		}
		line, fault := t.trim(raw)
		if fault != nil {
			return "", fault
		}
		if line != "" && line[0] != '#' {
			return line, nil
		}
		if err != nil {
			return "", io.EOF
		}
	}
}

// trim takes off a byte order mark, the line's end and blanks around.
func (t *table) trim(raw []byte) (string, error) {
	if t.line == 1 {
		if bytes.HasPrefix(raw, []byte("\xff\xfe")) || bytes.HasPrefix(raw, []byte("\xfe\xff")) {
			return "", t.fault("the text is UTF-16; save it as UTF-8")
		}
		raw = bytes.TrimPrefix(raw, []byte("\xef\xbb\xbf"))
	}
	return string(bytes.TrimSpace(raw)), nil
}

// read puts the next row's numbers into out, in the order wanted; false after
// the last row.
func (t *table) read(out []float64) (bool, error) {
	line, err := t.next()
	if errors.Is(err, io.EOF) {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	if t.rows++; t.rows > maxRows {
		return false, t.fault("more than %d rows, the most that is read (%d MB in memory); cut the log, or keep each second row", maxRows, maxRows*8*len(t.want)/1_000_000)
	}
	row, ok := fields(line)
	if !ok {
		return false, t.fault("a quote is not closed")
	}
	// Some loggers end their rows, but not their names, with a comma.
	if len(row) == t.width+1 && row[t.width] == "" {
		row = row[:t.width]
	}
	if len(row) != t.width {
		return false, t.fault("%d fields, the line of names has %d; a decimal comma makes two of one: write a point", len(row), t.width)
	}
	for k, at := range t.at {
		if out[k], err = t.number(t.want[k], row[at]); err != nil {
			return false, err
		}
	}
	return true, nil
}

// number reads a plain decimal number.
func (t *table) number(column, s string) (float64, error) {
	switch {
	case s == "":
		return 0, t.fault("no %s; fill it in, or leave the row out", column)
	case strings.Contains(s, ","):
		return 0, t.fault("%s is %s; write a decimal point for the comma", column, clip(s))
	case strings.Trim(s, "0123456789+-.eE") != "": // no infinities, no other bases
		return 0, t.fault("%s is %s; a finite number is needed, without a unit", column, clip(s))
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, t.fault("%s is %s; a finite number is needed, such as -12.5 or 1.25e1", column, clip(s))
	}
	return v, nil
}

// fields parts a line at its commas. A field may stand in double quotes and
// then hold commas, and a quote written twice. Blanks around are dropped. It
// reports whether all quotes are closed.
func fields(line string) ([]string, bool) {
	if !strings.Contains(line, `"`) {
		out := strings.Split(line, ",")
		for k := range out {
			out[k] = strings.TrimSpace(out[k])
		}
		return out, true
	}
	var out []string
	start, open := 0, false
	for k := 0; k <= len(line); k++ {
		switch {
		case k < len(line) && line[k] == '"':
			open = !open
		case k == len(line) || line[k] == ',' && !open:
			out = append(out, unquote(line[start:k]))
			start = k + 1
		}
	}
	return slices.Clip(out), !open
}

func unquote(s string) string {
	s = strings.TrimSpace(s)
	if len(s) < 2 || s[0] != '"' || s[len(s)-1] != '"' {
		return s
	}
	return strings.TrimSpace(strings.ReplaceAll(s[1:len(s)-1], `""`, `"`))
}
