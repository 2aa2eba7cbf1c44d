package job

import (
	"slices"
	"strings"
	"testing"

	"bankwright/internal/engine/holding"
)

// held is the good pair with a mounting; the rows below break it in one place.
var held = pair + `mounting:
  rule: least
  forward: +x
  hold_downs:
    - {id: K1, kind: rods_and_bar, holds: [B1, B2], at: [[0 mm, -20 mm, 0 mm], [0 mm, 220 mm, 0 mm]], thread: M8, grade: 8.8, bar: {shape: tube, width: 20 mm, wall: 2 mm, alloy: 6061-T6}}
    - {id: K2, kind: tray, holds: [B1], lip: 40 mm}
  vehicle: {axle: [0 m, 0 m], hitch: [2 m, 0 m]}
`

func hold(old, now string) string {
	if strings.Count(held, old) != 1 {
		panic("check_mount_test: not there once: " + old)
	}
	return strings.Replace(held, old, now, 1)
}

func TestMountFaults(t *testing.T) {
	for _, row := range []struct {
		name, src string
		words     []string
	}{
		{"as it is", held, nil},
		{"rod without thread", hold("    - {id: K1, kind: rods_and_bar, holds: [B1, B2], at: [[0 mm, -20 mm, 0 mm], [0 mm, 220 mm, 0 mm]], thread: M8,", "    - §{id: K1, kind: rods_and_bar, holds: [B1, B2], at: [[0 mm, -20 mm, 0 mm], [0 mm, 220 mm, 0 mm]],"), []string{"K1 is rods with bars, which needs thread, as in thread: M8"}},
		{"rods without bar", hold(", bar: {shape: tube, width: 20 mm, wall: 2 mm, alloy: 6061-T6}", "§"), nil},
		{"an odd rod", hold("[0 mm, 220 mm, 0 mm]], thread", "[0 mm, 220 mm, 0 mm], §[0 mm, 300 mm, 0 mm]], thread"), []string{"K1 has 3 places; rods come in pairs"}},
		{"rods on one another", hold("[0 mm, 220 mm, 0 mm]], thread", "§[0 mm, -20 mm, 0 mm]], thread"), []string{"both ends of a pair are at one place"}},
		{"thread unknown", hold("thread: M8", "thread: §M9"), []string{`"M9" is not a thread…did you mean`}},
		{"grade unknown", hold("grade: 8.8", "grade: §12.9"), []string{`"12.9" is not a grade`}},
		{"alloy without temper", hold("alloy: 6061-T6", "alloy: §6061"), []string{`"6061" is not a known alloy`}},
		{"tube without wall", hold("bar: {shape: tube, width: 20 mm, wall: 2 mm", "bar: §{shape: tube, width: 20 mm"), []string{"the tube needs its wall"}},
		{"flat bar without height", hold("bar: {shape: tube, width: 20 mm, wall: 2 mm", "bar: §{shape: flat, width: 20 mm"), []string{"the flat bar needs its height"}},
		{"thick angle", hold("shape: tube, width: 20 mm, wall: 2 mm", "shape: angle, width: 20 mm, wall: §20 mm"), []string{"the wall is as thick as the leg"}},
		{"nil width", hold("shape: tube, width: 20 mm", "shape: tube, width: §0 mm"), []string{"the width is zero"}},
		{"lip of rods", hold("thread: M8, grade", "lip: §40 mm, thread: M8, grade"), []string{"K1 is rods with bars, to which lip has no meaning"}},
		{"tray without lip", hold("- {id: K2, kind: tray, holds: [B1], lip: 40 mm}", "- §{id: K2, kind: tray, holds: [B1]}"), []string{"K2 is a tray, which needs lip"}},
		{"pin without axis", hold("{id: K2, kind: tray, holds: [B1], lip: 40 mm}", "§{id: K2, kind: pin, holds: [B1], at: [[0 mm, 0 mm, 0 mm]], diameter: 6 mm}"), []string{"K2 is a pin, which needs axis"}},
		{"half a strap", hold("{id: K2, kind: tray, holds: [B1], lip: 40 mm}", "{id: K2, kind: strap, holds: [B1], at: [§[0 mm, 0 mm, 0 mm]]}"), []string{"K2 has 1 places; a strap has two anchors"}},
		{"holds nothing", hold("kind: tray, holds: [B1]", "kind: tray, holds: §[]"), []string{"the list has 0 items"}},
		{"holds no battery", hold("kind: tray, holds: [B1]", "kind: tray, holds: [§S1]"), []string{"S1 is a part, not a battery"}},
		{"holds one twice", hold("kind: tray, holds: [B1]", "kind: tray, holds: [B1, §B1]"), []string{"B1 is named twice"}},
		{"ID used twice", hold("{id: K2,", "{id: §K1,"), []string{"the ID K1 is used twice"}},
		{"torque without thread", hold("lip: 40 mm}", "lip: 40 mm, torque: §3 N·m}"), []string{"torque needs the thread"}},
		{"nut without torque", hold("grade: 8.8,", "grade: 8.8, nut: §dry,"), []string{"nut the torque, beside it"}},
		{"no heading", hold("forward: +x", "friction: 0.3"), nil},
		{"heading up", hold("forward: +x", "forward: §+z"), []string{`"+z" is not a direction on the plan`}},
		{"hitch behind", hold("hitch: [2 m, 0 m]", "hitch: §[-2 m, 0 m]"), []string{"the hitch does not lie ahead of the axle"}},
		{"mass without centre", hold("vehicle: {", "vehicle: §{mass: 900 kg, "), []string{"mass and centre of the vehicle belong together"}},
		{"rule and loads", hold("rule: least\n", "rule: least\n  loads: §{forward: 2 g}\n"), []string{"a rule and loads of its own"}},
		{"loads of nothing", hold("rule: least\n", "loads: §{factor: 2}\n"), []string{"the loads ask nothing"}},
		{"down less than the weight", hold("rule: least\n", "loads: {down: §0.5 g}\n"), []string{"down has the weight itself in it"}},
		{"load as a plain number", hold("rule: least\n", "loads: {forward: §2}\n"), []string{"a load from 0 g to 100 g is due"}},
		{"load below nil", hold("rule: least\n", "loads: {forward: §-2 g}\n"), []string{"a load from 0 g to 100 g is due"}},
		{"rule unknown", hold("rule: least", "rule: §lest"), []string{`"lest" is not a rule…did you mean least?`}},
		{"cap outside of the case", strings.Replace(held, "height: 200 mm}}", "height: 200 mm}, caps: [§[400 mm, 20 mm]]}", 1), []string{"the cap lies outside the case"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			src, places := unmark(row.src)
			if row.words == nil {
				_, err := Read("job.yaml", []byte(src))
				want := map[string]string{"rods without bar": "which needs bar", "no heading": "needs forward"}[row.name]
				if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
					t.Error(err)
				}
				return
			}
			checkFaults(t, src, places, row.words)
		})
	}
}

// The words of the format are those that the engine's tables have.
func TestMountWords(t *testing.T) {
	same := func(what string, got, want []string) {
		if !slices.Equal(got, want) {
			t.Errorf("%s: the format has %v, the engine %v", what, got, want)
		}
	}
	var rules, threads, grades, alloys, metals []string
	for _, r := range holding.Rules() {
		rules = append(rules, r.ID)
	}
	for _, th := range holding.Threads() {
		name, _, _ := strings.Cut(th.Name, "x")
		threads = append(threads, name)
	}
	for _, g := range holding.Grades() {
		grades = append(grades, g.ID)
		if v, err := holdGrades.parse(g.ID); v != g.ID || err != nil {
			t.Errorf("%s: %v", g.ID, err)
		}
	}
	for _, a := range holding.Alloys() {
		alloys = append(alloys, a.ID)
	}
	list, _ := holding.Metals()
	for _, m := range list {
		metals = append(metals, m.ID)
	}
	if _, err := holdGrades.parse("x"); err == nil || !strings.Contains(err.Error(), strings.Join(grades, ", ")) {
		t.Errorf("grades: %v", err)
	}
	same("rules", mountRules.enum, rules)
	same("threads", holdThreads.enum, threads)
	same("alloys", holdAlloys.enum, alloys)
	same("metals", holdMetals.enum, metals)
}

// A strap's label has a force or a mass.
func TestPulls(t *testing.T) {
	for text, want := range map[string]float64{"2 kN": 2000, "500 lbf": 2224.110807630, "250 kg": 2451.6625, "500 lb": 2224.110807630} { // SP 811 (2008), appendix B
		if got, err := parsePull(text); err != nil || !(float64(got) > want*(1-1e-9) && float64(got) < want*(1+1e-9)) {
			t.Errorf("%s: %v, %v", text, float64(got), err)
		}
	}
	for _, text := range []string{"500", "0 N", "-2 kN", "12 V", "", "20000 kN"} {
		if got, err := parsePull(text); err == nil {
			t.Errorf("%q is %v", text, float64(got))
		}
	}
	for text, want := range map[string]float64{"2 g": 2, "0.435g": 0.435, "0 g": 0, "100 g": 100} {
		if got, err := parseGees(text); err != nil || got != want {
			t.Errorf("%s: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"2", "g", "101 g", "NaN g", "2 kg", "Inf g"} {
		if got, err := parseGees(text); err == nil {
			t.Errorf("%q is %v", text, got)
		}
	}
}
