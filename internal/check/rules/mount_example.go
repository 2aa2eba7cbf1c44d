package rules

import "strings"

// strapLine is the strap of mountJob.
const strapLine = "    - {id: K3, kind: strap, holds: [B1, B2], at: [[-30 mm, 165 mm, 0 mm], [400 mm, 165 mm, 0 mm]], rated: 2 kN, floor: {material: oak, washer: 60 mm, thickness: 20 mm, crush: 6 MPa, shear: 5 MPa}}\n"

// mountHolds is a mounting that every rule is silent on.
const mountHolds = `mounting:
  rule: recommended
  forward: +y
  surroundings: damp
  hold_downs:
    - {id: K1, kind: rods_and_bar, holds: [B1, B2], at: [[185 mm, -20 mm, 0 mm], [185 mm, 350 mm, 0 mm]], thread: M8, grade: A2-70, torque: 1 N·m, isolated: true,
       bar: {shape: tube, width: 20 mm, wall: 2 mm, alloy: 6061-T6}, floor: {material: oak, washer: 30 mm, thickness: 20 mm, crush: 6 MPa, shear: 5 MPa}}
    - {id: K2, kind: tray, holds: [B1, B2], lip: 40 mm, strength: 5 kN, at: [[20 mm, 20 mm, 0 mm], [340 mm, 20 mm, 0 mm], [20 mm, 310 mm, 0 mm], [340 mm, 310 mm, 0 mm]], thread: M6, grade: A2-70,
       floor: {material: oak, washer: 24 mm, thickness: 20 mm, crush: 6 MPa, shear: 5 MPa}}
` + strapLine + `  service: {way: up, lid: opens}
  lifting: {people: 1, reach: 350 mm, height: 700 mm, travel: 500 mm, grip: good}
  vehicle: {axle: [185 mm, -1 m], hitch: [185 mm, 3 m]}
`

// mountJob is dcJob with its batteries in a box and held down, with texts
// replaced as dcWith does.
func mountJob(pairs ...string) string {
	s := dcWith("    emf: 13.2 V\n", "    emf: 13.2 V\n    size: {length: 330 mm, width: 180 mm, height: 220 mm}\n    mass: 11 kg\n    posts: {positive: [40 mm, 30 mm], negative: [290 mm, 30 mm]}\n",
		"- {id: B1, type: block,", "- {id: B1, type: block, at: [0 mm, 0 mm, 0 mm], turn: 90,", "- {id: B2, type: block,", "- {id: B2, type: block, at: [190 mm, 0 mm, 0 mm], turn: 90,",
		"takeoff:", "compartments: [{id: bay, at: [-40 mm, -40 mm, 0 mm], size: {length: 460 mm, width: 420 mm, height: 240 mm}}]\n"+mountHolds+"takeoff:")
	for n := 0; n+1 < len(pairs); n += 2 {
		if !strings.Contains(s, pairs[n]) {
			panic("rules: the example lacks " + pairs[n])
		}
		s = strings.Replace(s, pairs[n], pairs[n+1], 1)
	}
	return s
}
