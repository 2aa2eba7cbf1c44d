package catalog

import (
	"math"
	"strings"
	"testing"

	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
	"bankwright/internal/model/rating"
)

func TestHardwareSecondEntry(t *testing.T) {
	second(t, "hardware.txt", map[string]func(*testing.T, section){
		"stud tests": compareStuds, "connector static": compareStatic, "pulls": comparePulls, "joint limits": compareJointLimits, "stud limits": compareStudLimits,
		"threads metric": compareThreads, "threads inch": compareThreads, "stainless": compareStainless, "steel": compareSteel,
		"bar joints lbf in": compareBarTorques, "bar joints 8.8": compareSteelBars, "screws by wire": compareWireScrews, "screws by socket": compareSockets,
		"bar bolts": compareBarBolts, "bars": compareBars,
	})
	if n := len(Default().Torques()); n != 10 {
		t.Errorf("%d torque tables, 10 are compared here", n)
	}
}

func compareStuds(t *testing.T, s section) {
	all := Default().StudTests()
	if len(all) != len(s) {
		t.Fatalf("%d rows", len(all))
	}
	for i, line := range s {
		same(t, line[0], all[i].Current, num(t, line[1]))
		same(t, line[0], all[i].Drop, 7.5e-3)
		// Printed to three digits at most.
		if r := float64(all[i].Resistance()) * 1e3; all[i].Thread != line[0] || math.Abs(r-num(t, line[2])) > 0.0005 {
			t.Errorf("%s: %v mΩ", line[0], r)
		}
	}
}

func compareStatic(t *testing.T, s section) {
	table := Default().ConnectorStatic()
	if len(table.Rows) != len(s) {
		t.Fatalf("%d rows", len(table.Rows))
	}
	for i, line := range s {
		same(t, line[0], table.Rows[i].Value, num(t, line[1]))
		if r := table.Rows[i]; r.Size != awg(line[0]) || (r.Ref.How == source.Read) != (line[0] == "4") {
			t.Errorf("%s: %+v", line[0], r)
		}
	}
}

func comparePulls(t *testing.T, s section) {
	all := Default().Pulls()
	// What was read: 18 AWG of the first two, down to 6 AWG of the third.
	read := []func(g int) bool{func(g int) bool { return g == 18 }, func(g int) bool { return g == 18 }, func(g int) bool { return g >= 6 }, func(int) bool { return false }}
	for c, id := range []string{"mil_7928", "ul_486a", "ul_486e", "abyc_e11"} {
		if len(all) != 4 || all[c].ID != id || all[c].Unit != "N" {
			t.Fatalf("table %d: %+v", c, all[c])
		}
		rows := 0
		for _, line := range s {
			want := num(t, line[1+c])
			if id != "ul_486e" {
				want *= 4.4482216152605 // N to the lbf, NIST SP 811 (2008)
			}
			row, ok := all[c].Find(awg(line[0]))
			if ok != (want > 0) {
				t.Errorf("%s, %s: %v", id, line[0], ok)
			}
			if !ok {
				continue
			}
			rows++
			same(t, id+" "+line[0], row.Value, want)
			if (row.Ref.How == source.Read) != read[c](row.Size.Gauge()) {
				t.Errorf("%s, %s: %v", id, line[0], row.Ref)
			}
		}
		if rows != len(all[c].Rows) {
			t.Errorf("%s has %d rows", id, len(all[c].Rows))
		}
		for i := 1; i < len(all[c].Rows); i++ {
			if !(all[c].Rows[i].Value > all[c].Rows[i-1].Value) {
				t.Errorf("%s: a thicker wire pulls off easier: %+v", id, all[c].Rows[i])
			}
		}
	}
}

func compareJointLimits(t *testing.T, s section) {
	if len(Default().JointLimits()) != len(s) {
		t.Errorf("%d limits", len(Default().JointLimits()))
	}
	for _, line := range s {
		l := Default().JointLimit(line[0])
		if l == nil {
			t.Fatalf("no limit %s", line[0])
		}
		same(t, l.ID, l.Value.Least, num(t, line[1]))
		same(t, l.ID, l.Value.Most, num(t, line[2]))
		if l.Unit != line[3] || l.Ref.Check() != nil {
			t.Errorf("%+v", l)
		}
	}
}

func compareStudLimits(t *testing.T, s section) {
	for i, line := range s {
		if l := Default().StudLimits()[i]; l.ID != line[0] || float64(l.Most) != num(t, line[1]) || (l.Ref.How == source.Memory) != (l.ID == "abyc_e11") {
			t.Errorf("%+v", l)
		}
	}
	if len(Default().StudLimits()) != len(s) {
		t.Errorf("%d limits", len(Default().StudLimits()))
	}
}

func compareThreads(t *testing.T, s section) {
	inch := len(s[0]) == 3
	count := 0
	for _, one := range Default().Threads() {
		if one.Inch == inch {
			count++
		}
	}
	if count != len(s) {
		t.Errorf("%d threads", count)
	}
	for _, line := range s {
		one := Default().Thread(line[0])
		if one == nil || one.Name != line[0] || one.Inch != inch || one.Ref.How != source.Derived {
			t.Fatalf("%s: %+v", line[0], one)
		}
		area, want := float64(one.Area)*1e6, num(t, line[1])
		// ISO 898-1 and ASME B1.1, of the diameter and the pitch in millimetres.
		factor := 0.9382
		if inch {
			factor, want = 0.9743, num(t, line[1])*25.4*25.4
			if math.Abs(area-num(t, line[2])) > 0.1 { // the square millimetres printed beside it
				t.Errorf("%s: %v mm², printed %s", line[0], area, line[2])
			}
		}
		same(t, line[0], area, want)
		if f := math.Pi / 4 * math.Pow((float64(one.Diameter)-factor*float64(one.Pitch))*1e3, 2); math.Abs(f/area-1) > 0.003 { // three printed digits
			t.Errorf("%s: %v mm², the formula gives %v", line[0], area, f)
		}
	}
}

// torqueAt compares a row's cell, a pair of figures in the table's unit.
func torqueAt(t *testing.T, id, column, thread string, unit, least, most float64) {
	t.Helper()
	i := -1
	tables := Default().Torques()
	for k := range tables {
		if tables[k].ID == id {
			i = k
		}
	}
	if i < 0 {
		t.Fatalf("no table %s", id)
	}
	row, c := tables[i].ForThread(thread), tables[i].Column(column)
	if row == nil || c < 0 {
		if least != 0 || row != nil {
			t.Errorf("%s: row %v, column %d", id, row, c)
		}
		return
	}
	same(t, id+" "+thread, row.Torques[c].Least, least*unit)
	same(t, id+" "+thread, row.Torques[c].Most, most*unit)
}

const inchPound = 0.1129848290276167 // N·m to the lbf·in, NIST SP 811 (2008)

func compareStainless(t *testing.T, s section) {
	for _, line := range s {
		id := map[string]string{"0.1": "stainless_010", "0.2": "stainless_020"}[line[1]]
		for c, column := range []string{"a50", "a70", "a80"} {
			v := num(t, line[2+c])
			torqueAt(t, id, column, line[0], 1, v, v)
		}
		for _, table := range Default().TorquesFor(rating.HoldDown) {
			if table.ID == id {
				row := table.ForThread(line[0])
				same(t, line[0]+" preload 50", row.Preloads[0], num(t, line[5])*1e3)
				same(t, line[0]+" preload 70", row.Preloads[1], num(t, line[6])*1e3)
				same(t, line[0]+" preload 80", row.Preloads[2], 0)
				same(t, id, table.Friction, num(t, line[1]))
			}
		}
	}
	if len(s) != 10 {
		t.Errorf("%d rows of two tables of five", len(s))
	}
}

func compareSteel(t *testing.T, s section) {
	for _, line := range s {
		torqueAt(t, "steel_plated", "tension", line[0], inchPound, num(t, line[1]), num(t, line[2]))
		torqueAt(t, "steel_plated", "shear", line[0], inchPound, num(t, line[3]), num(t, line[4]))
		torqueAt(t, "steel_plated", "most", line[0], inchPound, num(t, line[5]), num(t, line[5]))
	}
	rowCount(t, "steel_plated", len(s))
}

func rowCount(t *testing.T, id string, want int) {
	t.Helper()
	for _, table := range Default().Torques() {
		if table.ID == id && len(table.Rows) != want {
			t.Errorf("%s has %d rows, the second entry %d", id, len(table.Rows), want)
		}
	}
}

func compareBarTorques(t *testing.T, s section) {
	columns := []struct{ table, column string }{
		{"bar_nut", "nut"}, {"bar_spring", "one"}, {"bar_spring", "two"}, {"bar_bronze", "bolt"}, {"bar_wire", "wire"}, {"bar_wire", "socket_cap"},
	}
	rows := map[string]int{}
	for _, line := range s {
		for c, at := range columns {
			v := num(t, line[2+c])
			torqueAt(t, at.table, at.column, line[0], inchPound, v, v)
			if v > 0 && at.column != "two" && at.column != "socket_cap" {
				rows[at.table]++
			}
			if line[1] != "-" && at.table != "bar_wire" {
				torqueAt(t, at.table, at.column, line[1], inchPound, v, v)
			}
		}
	}
	for table, n := range rows {
		rowCount(t, table, n)
	}
	// The row that was likely misread is not there in either size.
	for _, table := range Default().TorquesFor(rating.BarBolt) {
		if table.ID == "bar_spring" && (table.ForThread("1/2-13") != nil || table.ForThread("M12") != nil) {
			t.Error("the spring washer row of 1/2 in is back")
		}
	}
}

func compareSteelBars(t *testing.T, s section) {
	for _, line := range s {
		torqueAt(t, "bar_steel", "bolt", line[0], 1, num(t, line[1]), num(t, line[1]))
	}
	rowCount(t, "bar_steel", len(s))
}

// screws gives a table of terminal screws.
func screws(t *testing.T, id string) rating.TorqueTable {
	t.Helper()
	for _, table := range Default().TorquesFor(rating.TerminalScrew) {
		if table.ID == id {
			return table
		}
	}
	t.Fatalf("no table %s", id)
	return rating.TorqueTable{}
}

func compareWireScrews(t *testing.T, s section) {
	table := screws(t, "screw_by_wire")
	for _, line := range s {
		row := table.ForWire(awg(line[0]))
		if strings.HasSuffix(line[0], "kcmil") {
			row = &table.Rows[len(table.Rows)-1]
			if row.Wire != "250-350 kcmil" {
				t.Errorf("last row %+v", row)
			}
		}
		if row == nil {
			t.Fatalf("no row for %s", line[0])
		}
		same(t, line[0], row.Torques[0].Least, num(t, line[1])*inchPound)
	}
	rowCount(t, "screw_by_wire", 9)
}

func compareSockets(t *testing.T, s section) {
	table := screws(t, "screw_by_socket")
	for _, line := range s {
		row := table.ForSocket(quantity.Length(num(t, line[0]) / 32 * 0.0254))
		if row == nil {
			t.Fatalf("no row for %s/32 in", line[0])
		}
		same(t, line[0], row.Torques[0].Least, num(t, line[1])*inchPound)
	}
	rowCount(t, "screw_by_socket", len(s))
}

func compareBarBolts(t *testing.T, s section) {
	all := Default().BarJoints()
	if len(all) != len(s) {
		t.Fatalf("%d rows", len(all))
	}
	for i, line := range s {
		same(t, line[0], all[i].Least, num(t, line[0])/1e3)
		same(t, line[0], all[i].Most, num(t, line[1])/1e3)
		same(t, line[0], all[i].Hole, num(t, line[3])/1e3)
		if all[i].Thread != line[2] {
			t.Errorf("%+v", all[i])
		}
	}
}

func compareBars(t *testing.T, s section) {
	bars := Default().Bars()
	if len(bars.Rows) != len(s) || bars.Ambient.V != celsius(40) || bars.Ambient.Ref.How != source.Memory || bars.Emissivity != 0.4 {
		t.Fatalf("%d rows, %+v", len(bars.Rows), bars.Ambient)
	}
	for i, line := range s {
		b := bars.Find(quantity.Length(num(t, line[0])/16*0.0254), quantity.Length(num(t, line[1])/16*0.0254))
		if b == nil || b != &bars.Rows[i] {
			t.Fatalf("no bar %v", line)
		}
		same(t, "section", b.Section, num(t, line[2])*25.4e-3*25.4e-3)
		same(t, "kcmil", b.Kcmil, num(t, line[3]))
		same(t, "resistance", b.R20, num(t, line[4])*1e-6/0.3048)
		same(t, "skin", b.SkinRatio, num(t, line[5]))
		for c, rise := range []float64{30, 50, 65} {
			same(t, "rise", bars.Rises[c], rise)
			same(t, "amperes", b.Amps[c], num(t, line[6+c]))
			if c > 0 && !(b.Amps[c] > b.Amps[c-1]) {
				t.Errorf("%v: a warmer bar carries less", line)
			}
		}
		known(t, "bar", b.AmpsRef, line[9])
		checkBar(t, b, line)
	}
}

// checkBar compares a bar with its own sides: section, circular mils
// (1273.24 kcmil to the in²) and resistance at 99 % IACS (8.228 µΩ·in²/ft: the
// reference's own check, exact at 1/8 x 1), each to the printed digits: four
// decimals of an in², three figures of the others, of which the kcmil come
// from in² already rounded.
func checkBar(t *testing.T, b *rating.Bar, line []string) {
	t.Helper()
	inch2 := float64(b.Section) / 0.00064516
	sides := float64(b.Thickness) * float64(b.Width) / 0.00064516
	if math.Abs(inch2-sides) > 0.0006 {
		t.Errorf("%v: %v in², sides give %v", line, inch2, sides)
	}
	if math.Abs(b.Kcmil-sides*1273.2395) > 0.0035*b.Kcmil {
		t.Errorf("%v: %v kcmil, sides give %v", line, b.Kcmil, sides*1273.2395)
	}
	perFoot := float64(b.R20) * 0.3048 * 1e6
	if want := 17.241e-9 / 0.99 / (float64(b.Thickness) * float64(b.Width)) * 0.3048 * 1e6; math.Abs(perFoot-want) > 0.005*want {
		t.Errorf("%v: %v µΩ/ft, 99 %% copper gives %v", line, perFoot, want)
	}
}

// Bars of one thickness carry more the wider they are.
func TestBarsRise(t *testing.T) {
	rows := Default().Bars().Rows
	for i := 1; i < len(rows); i++ {
		if a, b := rows[i-1], rows[i]; a.Thickness == b.Thickness && (!(b.Width > a.Width) || !(b.Amps[0] > a.Amps[0]) || !(b.R20 < a.R20) || b.SkinRatio < a.SkinRatio) {
			t.Errorf("%+v after %+v", b, a)
		}
	}
	if f := Default().NutFactors(); len(f) != 2 || f[0].K != 0.20 || f[1].K != 0.15 || f[0].Ref.How != source.Memory {
		t.Errorf("%+v", f)
	}
}

// M8 at 12 N·m with a dry thread: 12 / (0.20·8 mm) = 7500 N, over 36.6 mm²
// 204.9 MPa.
func TestPreload(t *testing.T) {
	m8, dry := Default().Thread("M8"), Default().NutFactors()[0]
	force := 12 / (dry.K * float64(m8.Diameter))
	if math.Abs(force-7500) > 1e-6 || math.Abs(force/float64(m8.Area)/1e6-204.9) > 0.05 {
		t.Errorf("%v N, %v MPa", force, force/float64(m8.Area)/1e6)
	}
}

// No torque is for a battery post: every table says what it is for, and the
// titles and columns name no post.
func TestTorqueUses(t *testing.T) {
	count := map[rating.Use]int{}
	for _, table := range Default().Torques() {
		count[table.Use]++
		for _, text := range []string{table.Title, table.Note, table.ID} {
			if strings.Contains(text, "battery") || strings.Contains(text, "post") {
				t.Errorf("%s: %q", table.ID, text)
			}
		}
		// 90 % of yield is a limit, never a setting.
		for _, c := range table.Columns {
			if table.Friction > 0 && c.Kind != rating.KindMost {
				t.Errorf("%s: %+v", table.ID, c)
			}
		}
	}
	if count[rating.HoldDown] != 3 || count[rating.BarBolt] != 5 || count[rating.TerminalScrew] != 2 {
		t.Errorf("%v", count)
	}
}
