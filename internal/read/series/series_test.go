package series

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
)

func TestRead(t *testing.T) {
	want := &Log{Time: []float64{0, 1, 1, 2.5}, Current: []float64{0, 10.5, -3, 0.001}, Voltage: []float64{13.3, 13.25, 13.31, 13}}
	for _, row := range []struct {
		name, text string
		columns    Columns
	}{
		{"as usual", "time_s,current_a,voltage_v\n0,0,13.3\n1,10.5,13.25\n1,-3,13.31\n2.5,1e-3,13\n", Columns{}},
		{"comments, blank lines, no last line feed", "# a log\n\n# of ours\ntime_s,current_a,voltage_v\n0,0,13.3\n# here,it,begins\n1,10.5,13.25\n\n1,-3,13.31\n2.5,1e-3,13", Columns{}},
		{"line ends and byte order mark", "\xef\xbb\xbftime_s,current_a,voltage_v\r\n0,0,13.3\r\n1,10.5,13.25\r\n1,-3,13.31\r\n2.5,1e-3,13\r\n", Columns{}},
		{"other order, more columns, case, blanks", "note,Voltage_V, soc ,TIME_S,Current_A\nstart,13.3,,0,0\n,13.25,x, 1 ,10.5\n,13.31,y,1,-3\n\"a, \"\"b\"\"\",13,z,2.5,+.001\n", Columns{}},
		{"own names, other sign", "t,\"I, battery\",U\n0,0,13.3\n1,-10.5,13.25\n1,3,13.31\n2.5,-0.001,13\n", Columns{Time: "T", Current: "i, battery", Voltage: "u", ChargePositive: true}},
		{"a comma at the end of rows", "time_s,current_a,voltage_v\n0,0,13.3,\n1,10.5,13.25,\n1,-3,13.31\n2.5,1e-3,13,\n", Columns{}},
	} {
		t.Run(row.name, func(t *testing.T) {
			for _, r := range []io.Reader{strings.NewReader(row.text), iotest.OneByteReader(strings.NewReader(row.text))} {
				got, err := Read("log.csv", r, row.columns)
				if err != nil {
					t.Fatal(err)
				}
				if !slices.Equal(got.Time, want.Time) || !slices.Equal(got.Current, want.Current) || !slices.Equal(got.Voltage, want.Voltage) {
					t.Errorf("read %v, want %v", got, want)
				}
				if math.Signbit(got.Current[0]) {
					t.Error("zero current has a sign")
				}
			}
		})
	}
}

const head = "time_s,current_a,voltage_v\n"

// Each fault names file and line, and what would mend it.
func TestReadFaults(t *testing.T) {
	for _, row := range []struct {
		name, text string
		want       []string
	}{
		{"nothing", "", []string{"x.csv:1:", "time_s,current_a,voltage_v"}},
		{"comments only", "# a\n# b\n", []string{"x.csv:2:", "name the columns"}},
		{"no rows", "# a\n" + head, []string{"x.csv:2:", "no rows"}},
		{"semicolons", "time_s;current_a;voltage_v\n0;0,5;13,3\n", []string{"x.csv:1:", "semicolons", "decimal point", "comma"}},
		{"tabs", "time_s\tcurrent_a\tvoltage_v\n", []string{"x.csv:1:", "tabs"}},
		{"column missing", "time_s,amps,voltage_v\n", []string{"x.csv:1:", "no column current_a", `"amps"`}},
		{"many columns, none right", strings.Repeat("a_name_that_is_far_too_long_for_any_message_to_hold,", 40) + "b\n", []string{`"a_name_that_is_far`, "29 more"}},
		{"column twice", "time_s,current_a,voltage_v,Current_A\n", []string{"x.csv:1:", "current_a stands twice", "2 and 4"}},
		{"no number", head + "0,0,13\n1,,13\n", []string{"x.csv:3:", "no current_a"}},
		{"unit", head + "0,0,13 V\n", []string{"x.csv:2:", `voltage_v is "13 V"`, "without a unit"}},
		{"decimal comma makes a field", head + "0,0,5,13\n", []string{"x.csv:2:", "4 fields", "has 3", "point"}},
		{"decimal comma in quotes", head + "0,\"0,5\",13\n", []string{"x.csv:2:", `current_a is "0,5"`, "decimal point"}},
		{"row cut off", head + "0,0,13\n1,0", []string{"x.csv:3:", "2 fields"}},
		{"not a number", head + "0,NaN,13\n", []string{"x.csv:2:", "finite"}},
		{"infinite", head + "0,0,-Inf\n", []string{"x.csv:2:", "finite"}},
		{"too large", head + "0,0,1e999\n", []string{"x.csv:2:", "finite", "1e999"}},
		{"other base", head + "0x10,0,13\n", []string{"x.csv:2:", "time_s is \"0x10\""}},
		{"only an e", head + "0,e,13\n", []string{"x.csv:2:", `current_a is "e"`}},
		{"time back", head + "5,0,13\n\n4,0,13\n", []string{"x.csv:4:", "back from 5 to 4"}},
		{"quote open", head + "0,\"0,13\n", []string{"x.csv:2:", "quote"}},
		{"quote open in names", "time_s,\"current_a,voltage_v\n", []string{"x.csv:1:", "quote"}},
		{"UTF-16", "\xff\xfet\x00i\x00", []string{"x.csv:1:", "UTF-16", "UTF-8"}},
		{"long line", head + "0,0," + strings.Repeat("1", maxLine) + "\n", []string{"x.csv:2:", "longer than 16384 bytes"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, err := Read("x.csv", strings.NewReader(row.text), Columns{})
			if err == nil {
				t.Fatal("no error")
			}
			for _, part := range row.want {
				if !strings.Contains(err.Error(), part) {
					t.Errorf("error %q lacks %q", err, part)
				}
			}
			if len(err.Error()) > 1000 {
				t.Errorf("error of %d bytes", len(err.Error()))
			}
		})
	}
}

// Endless input ends at a limit that the error states, and so do more rows
// than are read; what the stream itself says is passed on.
func TestReadLimits(t *testing.T) {
	if _, err := Read("x.csv", io.MultiReader(strings.NewReader(head), &repeat{line: "0,0,13\n"}), Columns{}); err == nil || !strings.Contains(err.Error(), "more than 1000000 rows") || !strings.Contains(err.Error(), "24 MB") {
		t.Errorf("endless rows: %v", err)
	}
	if _, err := Read("x.csv", &repeat{line: "#" + strings.Repeat("x", 8000) + "\n"}, Columns{}); err == nil || !strings.Contains(err.Error(), "more than 256 MiB") {
		t.Errorf("endless comments: %v", err)
	}
	if _, err := Read("x.csv", &repeat{line: "x"}, Columns{}); err == nil || !strings.Contains(err.Error(), "longer than") {
		t.Errorf("endless line: %v", err)
	}
	broken := fmt.Errorf("the disk is gone")
	_, err := Read("x.csv", io.MultiReader(strings.NewReader(head+"0,0,13\n"), iotest.ErrReader(broken)), Columns{})
	if err == nil || !strings.Contains(err.Error(), broken.Error()) {
		t.Errorf("a stream that fails: %v", err)
	}
}

// repeat gives a line for ever.
type repeat struct {
	line string
	at   int
}

func (r *repeat) Read(p []byte) (int, error) {
	for k := range p {
		p[k] = r.line[r.at]
		r.at = (r.at + 1) % len(r.line)
	}
	return len(p), nil
}

// Whatever is read without error is a log: three columns of finite numbers,
// time not falling, which reads back as the same when written.
func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		head, head + "0,0,13\n", head + "0,0,13\r\n1e0,-0,.5\n", "\xef\xbb\xbf# c\n" + head + "1,2,3", "a,time_s,current_a,voltage_v\n\"x,\",0,1,2\n",
		"time_s;current_a;voltage_v\n0;0,5;13\n", head + "0,0,13,\n", head + "1,1,1\n0,0,0\n", head + "0,nan,1e400\n", "\xff\xfe", "\"time_s\",\"current_a\",\"voltage_v\"\n1,\" 2 \",3\n", "time_s,,\n,,\n",
	} {
		f.Add(seed, false)
		f.Add(seed, true)
	}
	f.Fuzz(func(t *testing.T, text string, turned bool) {
		log, err := Read("f", strings.NewReader(text), Columns{ChargePositive: turned})
		if err != nil {
			if !strings.HasPrefix(err.Error(), "f:") || log != nil {
				t.Fatalf("error %q with %v", err, log)
			}
			return
		}
		var out strings.Builder
		out.WriteString(head)
		for k := range log.Time {
			for _, v := range []float64{log.Time[k], log.Current[k], log.Voltage[k]} {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					t.Fatalf("row %d of %q is not finite", k, text)
				}
			}
			if k > 0 && log.Time[k] < log.Time[k-1] {
				t.Fatalf("time goes back in %q", text)
			}
			fmt.Fprintf(&out, "%v,%v,%v\n", log.Time[k], log.Current[k], log.Voltage[k])
		}
		again, err := Read("f", strings.NewReader(out.String()), Columns{})
		if err != nil || !slices.Equal(again.Time, log.Time) || !slices.Equal(again.Current, log.Current) || !slices.Equal(again.Voltage, log.Voltage) {
			t.Fatalf("%q reads back as %v, %v", out.String(), again, err)
		}
	})
}
