package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"os"
	"os/signal"
	"strings"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/check/assess"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/report"
	"bankwright/internal/read/store"

	"github.com/spf13/cobra"
)

func (a *app) wiringsCommand() *cobra.Command {
	var caseID string
	var asJSON bool
	var show, build int
	var out string
	c := &cobra.Command{
		Use:   "wirings JOB",
		Short: "every wiring of the bank, and the few worth building",
		Long: `Every way to wire both rails is compared: each rail a tree of cables that
joins its take-off and all posts. What is printed is the front: no other
wiring has less cable at that evenness, nor more evenness for that cable.
Beside it stand the arrangements the trade knows by name, and your own.

The question is set under wirings: in the job: cable sizes, a limit on lugs,
lengths by hand, the take-off at any post. --build N -o NEW.yaml writes the
job anew with that wiring of the front as its cables. Without --case the first case
that draws is meant; a job without one is asked for a fifth of its capacity.`,
		Example: "  bankwright wirings job.yaml\n  bankwright wirings job.yaml --show 3\n  bankwright wirings job.yaml --build 3 -o new.yaml",
		Args:    oneJob,
		RunE: func(_ *cobra.Command, args []string) error {
			j, err := a.open(args[0])
			if err != nil {
				return err
			}
			ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
			defer stop()
			w, err := j.Wirings(ctx, caseID, nil)
			if err != nil {
				return work(err)
			}
			if build != 0 || out != "" {
				return a.build(args[0], j, w, build, out)
			}
			switch {
			case show < 0 || show > len(w.Front):
				return fmt.Errorf("--show %d: the front has 1 to %d", show, len(w.Front))
			case asJSON:
				return work(writeJSON(a.out, wiringsJSON(w)))
			case show > 0:
				oneWiringText(a.out, j.Bank, w, &w.Front[show-1], fmt.Sprintf("wiring %d of the front", show))
			default:
				wiringsText(a.out, j.Bank, w)
			}
			return nil
		},
	}
	c.Flags().StringVar(&caseID, "case", "", "the case to compare in")
	c.Flags().IntVar(&show, "show", 0, "show one wiring of the front, cable by cable")
	c.Flags().BoolVar(&asJSON, "json", false, "SI numbers for programs")
	c.Flags().IntVar(&build, "build", 0, "write the job with this wiring of the front, see -o")
	c.Flags().StringVarP(&out, "output", "o", "", "the new job file for --build")
	return c
}

// build writes a new job file with a wiring of the front as its cables. The
// job itself is not touched.
func (a *app) build(path string, j *assess.Job, w *report.Wirings, n int, out string) error {
	switch {
	case n < 1 || n > len(w.Front):
		return fmt.Errorf("--build %d: the front has 1 to %d", n, len(w.Front))
	case out == "":
		return fmt.Errorf("--build writes a new job file; name it with -o")
	case sameFile(path, out):
		return fmt.Errorf("-o %s is the job file itself; name another file", out)
	}
	b, err := j.Build(w, &w.Front[n-1])
	if err != nil {
		return work(fmt.Errorf("%s: %w", path, err))
	}
	if _, err := assess.Load(out, b); err != nil {
		return work(fmt.Errorf("the new job would have faults, so it was not written: %w", err))
	}
	if err := store.Write(out, b); err != nil {
		return work(err)
	}
	a.tellBuilt(out, b, w, &w.Front[n-1])
	return nil
}

// tellBuilt says where the new job is not quite what was compared: cables that
// stay keep their own size and joints.
func (a *app) tellBuilt(out string, b []byte, w *report.Wirings, one *report.Wiring) {
	id := w.Case.ID
	if w.Case.Origin == source.Assumed {
		id = ""
	}
	j, err := assess.Load(out, b)
	if err != nil {
		return // it was read a moment ago
	}
	r, err := j.Currents(id)
	if err != nil || math.Abs(r.Sharing.Imbalance-one.Imbalance) <= 1e-6 {
		return
	}
	say(a.out, fmt.Sprintf("note: %s is %s uneven in case %s, the search compared %s: cables that stay keep their own size and joints, and a power is turned into amps at another voltage",
		out, quantity.FormatPercent(r.Sharing.Imbalance), r.Sharing.Case.ID, quantity.FormatPercent(one.Imbalance)))
}

type stringJSON struct {
	ID         string   `json:"id"`
	EMF        float64  `json:"emf"`
	Resistance float64  `json:"resistance"`
	Capacity   float64  `json:"capacity"`
	Positive   string   `json:"positive"`
	Negative   string   `json:"negative"`
	Batteries  []string `json:"batteries"`
	Off        bool     `json:"off"`
}

type endsJSON struct {
	Positive string `json:"positive"`
	Negative string `json:"negative"`
}

type lengthJSON struct {
	Rail       string  `json:"rail"`
	From       string  `json:"from"`
	To         string  `json:"to"`
	Length     float64 `json:"length"`
	Resistance float64 `json:"resistance"`
	Origin     string  `json:"origin"`
}

type wiringJSON struct {
	Name           string      `json:"name,omitempty"`
	Note           string      `json:"note,omitempty"`
	Copper         float64     `json:"copper"`
	Imbalance      float64     `json:"imbalance"`
	Ties           int         `json:"ties"`
	Positive       [][2]string `json:"positive"`
	Negative       [][2]string `json:"negative"`
	Takeoff        endsJSON    `json:"takeoff"`
	Voltage        float64     `json:"takeoff_voltage"`
	Loss           float64     `json:"loss"`
	WiringLoss     float64     `json:"wiring_loss"`
	Currents       []float64   `json:"currents"`
	Cables         int         `json:"cables"`
	Longest        float64     `json:"longest"`
	Distinct       int         `json:"distinct_lengths"`
	FullestPost    int         `json:"fullest_post"`
	WorstOneOut    *float64    `json:"worst_share_one_out"`
	WorstOneOutOut string      `json:"worst_one_out,omitempty"`
}

type searchJSON struct {
	Case      string       `json:"case"`
	Current   float64      `json:"current"`
	Space     any          `json:"space"`
	Examined  any          `json:"examined"`
	Exact     bool         `json:"exact"`
	Smaller   string       `json:"smaller,omitempty"`
	Batteries []stringJSON `json:"batteries"`
	Takeoff   any          `json:"takeoff"`
	Lugs      *int         `json:"lugs"`
	Lengths   []lengthJSON `json:"lengths"`
	Front     []wiringJSON `json:"front"`
	Textbook  []wiringJSON `json:"textbook"`
}

func wiringsJSON(w *report.Wirings) searchJSON {
	out := searchJSON{Case: w.Case.ID, Current: w.Current, Space: count(w.Space), Examined: count(w.Examined), Exact: w.Exact, Smaller: w.Smaller,
		Takeoff: endsJSON{w.Takeoff.Positive.String(), w.Takeoff.Negative.String()},
		Front:   []wiringJSON{}, Textbook: []wiringJSON{}, Lengths: []lengthJSON{}}
	if w.AnyPost {
		out.Takeoff = "any"
	}
	if w.Lugs > 0 {
		out.Lugs = &w.Lugs
	}
	for _, s := range w.Strings {
		out.Batteries = append(out.Batteries, stringJSON{s.ID, s.EMF, s.Resistance, s.Capacity, s.Positive.String(), s.Negative.String(), s.Batteries, s.Off})
	}
	for _, l := range w.Lengths {
		out.Lengths = append(out.Lengths, lengthJSON{l.Rail, l.From.String(), l.To.String(), l.Length, l.Resistance, string(l.Origin)})
	}
	for i := range w.Front {
		out.Front = append(out.Front, oneJSON(w, &w.Front[i]))
	}
	for i := range w.Textbook {
		if !w.Textbook[i].Missing {
			out.Textbook = append(out.Textbook, oneJSON(w, &w.Textbook[i]))
		}
	}
	return out
}

// count gives a decimal as a JSON number, exact at any size.
func count(s string) any { return rawNumber(s) }

type rawNumber string

func (n rawNumber) MarshalJSON() ([]byte, error) { return []byte(n), nil }

func oneJSON(w *report.Wirings, one *report.Wiring) wiringJSON {
	out := wiringJSON{Name: one.Name, Note: one.Note, Copper: one.Copper, Imbalance: one.Imbalance, Ties: one.Ties,
		Positive: pairNames(one.Positive), Negative: pairNames(one.Negative), Takeoff: endsJSON{one.Takeoff.Positive.String(), one.Takeoff.Negative.String()},
		Voltage: one.TakeoffVoltage, Loss: one.Loss, WiringLoss: one.WiringLoss, Currents: one.Currents,
		Cables: one.Cables, Longest: one.Longest, Distinct: one.Distinct, FullestPost: one.FullestPost, WorstOneOut: orNull(one.OneOutShare)}
	if one.OneOutString >= 0 {
		out.WorstOneOutOut = w.Strings[one.OneOutString].ID
	}
	return out
}

func pairNames(pairs [][2]bank.End) [][2]string {
	out := make([][2]string, len(pairs))
	for i, p := range pairs {
		out[i] = [2]string{p[0].String(), p[1].String()}
	}
	return out
}

// plural prints a count with its noun.
func plural(n, noun string) string {
	if n == "1" {
		return n + " " + noun
	}
	return quantity.FormatCount(n, " ") + " " + noun + "s"
}

func wiringsText(w io.Writer, b *bank.Bank, s *report.Wirings) {
	say(w, fmt.Sprintf("%s, case %s, %s", b.Title, s.Case.ID, ampere(s.Current)))
	say(w, fmt.Sprintf("%s, %d on the front", plural(s.Space, "wiring"), len(s.Front)))
	if s.SpaceNote != "" {
		say(w, "("+s.SpaceNote+")")
	}
	if s.Exact {
		say(w, fmt.Sprintf("searched all, exactly, in %s solutions; what was not solved is ruled out by a proven bound", quantity.FormatCount(fmt.Sprint(s.Solved), " ")))
	} else {
		say(w, fmt.Sprintf("NOT EXACT: searched %s of them, those of the best pairs. %s", quantity.FormatCount(s.Examined, " "), s.Smaller))
	}
	fmt.Fprintln(w)
	t := table{head: []string{"", "cable", "uneven", "loss W", "V", "lugs", "ties"}}
	for i := range s.Front {
		addWiring(&t, b, fmt.Sprint(i+1), &s.Front[i])
	}
	t.write(w)
	fmt.Fprintln(w)
	say(w, "for comparison:")
	t = table{head: []string{"", "cable", "uneven", "loss W", "V", "lugs"}}
	var notes []string
	for i := range s.Textbook {
		one := &s.Textbook[i]
		if one.Missing {
			notes = append(notes, one.Name+": "+one.Note)
			continue
		}
		if one.Note != "" {
			notes = append(notes, one.Name+": "+one.Note)
		}
		addWiring(&t, b, one.Name, one)
	}
	if s.Own != nil {
		addWiring(&t, b, "yours", s.Own)
		if s.Own.Note != "" {
			notes = append(notes, "yours: "+s.Own.Note)
		}
	} else {
		words := "yours: " + s.OwnNote
		if len(s.LeftOut) > 0 {
			words += "; the compared wirings leave out its " + strings.Join(s.LeftOut, ", ")
		}
		notes = append(notes, words)
	}
	t.write(w)
	for _, n := range notes {
		say(w, n)
	}
	fmt.Fprintln(w)
	say(w, "cable: both rails together, cut without waste. uneven: worst battery above the mean. loss: in batteries and wiring. V: at the take-off. lugs: on the fullest post. --show N gives one cable by cable.")
	for _, u := range s.Unrouted {
		say(w, fmt.Sprintf("left out, no way for a cable: %s to %s: %s", u.From, u.To, u.Why))
	}
	assumedText(w, s.Assumed)
}

func addWiring(t *table, b *bank.Bank, name string, one *report.Wiring) {
	cells := []string{name, b.Show.FormatLength(lengthOf(one.Copper)), quantity.FormatPercent(one.Imbalance), quantity.FormatFixed(one.Loss, 1), quantity.FormatFixed(one.TakeoffVoltage, 3), fmt.Sprint(one.FullestPost)}
	if len(t.head) > len(cells) {
		cells = append(cells, fmt.Sprint(one.Ties))
	}
	t.add(cells...)
}

func oneWiringText(w io.Writer, b *bank.Bank, s *report.Wirings, one *report.Wiring, name string) {
	say(w, fmt.Sprintf("%s, %s: %s of cable, uneven %s", b.Title, name, b.Show.FormatLength(lengthOf(one.Copper)), quantity.FormatPercent(one.Imbalance)))
	say(w, fmt.Sprintf("take-off %s and %s at %s, loss %s, of which in wiring %s", one.Takeoff.Positive, one.Takeoff.Negative, volt(one.TakeoffVoltage), watt(one.Loss), watt(one.WiringLoss)))
	say(w, fmt.Sprintf("%d cables, %d lengths, longest %s, %d lugs on %s", one.Cables, one.Distinct, b.Show.FormatLength(lengthOf(one.Longest)), one.FullestPost, one.FullestAt))
	if one.OneOutString >= 0 && !math.IsNaN(one.OneOutShare) {
		say(w, fmt.Sprintf("with %s out the worst of the rest is %s above their mean", s.Strings[one.OneOutString].ID, quantity.FormatPercent(one.OneOutShare-1)))
	}
	fmt.Fprintln(w)
	t := table{head: []string{"battery", "A", "share"}}
	for i, str := range s.Strings {
		t.add(str.ID, quantity.FormatFixed(one.Currents[i], 2), quantity.FormatFixed(one.Shares[i], 3))
	}
	t.write(w)
	fmt.Fprintln(w)
	t = table{head: []string{"from", "to", "length", "mΩ", "A", ""}, left: map[int]bool{1: true, 5: true}}
	for _, rail := range []struct {
		name  string
		pairs [][2]bank.End
		flows []float64
		size  quantity.Size
	}{{"positive", one.Positive, one.PositiveFlows, b.Question.Positive}, {"negative", one.Negative, one.NegativeFlows, b.Question.Negative}} {
		for i, p := range rail.pairs {
			l := findLength(s, rail.name, p)
			t.add(p[0].String(), p[1].String(), b.Show.FormatLength(lengthOf(l.Length)), quantity.FormatFixed(1e3*l.Resistance, 3), quantity.FormatFixed(math.Abs(rail.flows[i]), 1), rail.size.String())
		}
	}
	t.write(w)
}

func findLength(s *report.Wirings, rail string, p [2]bank.End) report.PairLength {
	for _, l := range s.Lengths {
		if l.Rail == rail && l.From == p[0] && l.To == p[1] {
			return l
		}
	}
	return report.PairLength{}
}
