package rules

import (
	"fmt"
	"slices"
	"strings"

	"bankwright/internal/base/source"
	"bankwright/internal/engine/feed"
	"bankwright/internal/model/bank"
	"bankwright/internal/model/finding"
	"bankwright/internal/model/report"
	"bankwright/internal/read/catalog"
)

// placeRules are those of where the bank is and who comes to its switch.
var placeRules = []*Rule{&ignition, &ventedGas, &faultGas, &mainSwitch, &switchReach, &smallTap, &outsideTool}

var ignition = Rule{
	ID:       "IGN-01",
	Title:    "A part that can spark where fuel vapour gathers",
	Text:     "Where vapour of petrol or cooking gas may gather, whatever opens a current must be built so that it cannot light it. Of fuses the catalogue knows which class is. A switch or a breaker has it marked on it, which a job cannot say: a warning to look. Most fuse classes are not known to be so built; their holder may be.",
	Source:   source.Ref{Title: "parts in petrol and gas spaces are ignition protected (SAE J1171)", At: "class traits of the catalogue", Edition: "not at hand", How: source.Memory},
	Severity: finding.Fault,
	Failing:  dcWith("ambient: 30 °C}", "ambient: 30 °C, petrol: true}"),
	Passing:  dcJob,
	check:    checkIgnition,
}

func checkIgnition(r *report.Report, say *speaker) {
	if !r.Bank.Practice.Petrol {
		return
	}
	var away, devices []string
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		class := catalog.Default().FuseClass(p.Rated.Class)
		switch {
		case !p.Kind.Protects() && !p.Kind.Opens() && !p.Kind.Device():
		case apartFromBank(r.Bank, p):
			away = append(away, p.ID)
		case p.Rated.IgnitionProtected || p.Kind.Protects() && class != nil && class.IgnitionProtected:
		case p.Kind == bank.Fuse && class != nil && class.OpenLink:
			say.hold(finding.Fault, p.ID, "fuse "+p.ID+" ("+class.Name+") is an open link; when it opens it lights the vapour that may be here", "move it out of the space, or take an ignition-protected fuse", number{}, class.Ref)
		case p.Kind == bank.Fuse && class != nil:
			say.hold(finding.Fault, p.ID, "fuse "+p.ID+" ("+class.Name+") is not of a class known to be ignition protected, and petrol or gas vapour may be here", "take a class that is (post_cube), move it out of the space, or show that its holder is", number{}, say.rule.Source)
		case p.Kind.Protects() || p.Kind.Opens():
			say.hold(finding.Warning, p.ID, string(p.Kind)+" "+p.ID+" is not known to be ignition protected, and petrol or gas vapour may be here", "look for the mark on it and set ignition_protected: true; without one move it out of the space", number{}, source.Ref{})
		default:
			devices = append(devices, p.ID)
		}
	}
	passAll(say, away, "stand in another compartment than the batteries; whether vapour comes there the job does not say")
	passAll(say, devices, "may stand in vapour of petrol or gas: devices there must be ignition protected, or stand elsewhere")
}

// passAll says one thing of several places, at the first.
func passAll(say *speaker, ids []string, why string) {
	if len(ids) > 0 {
		say.pass(ids[0], strings.Join(ids, ", ")+" "+why)
	}
}

// standsIn gives the compartment that holds a case, "" where none does or its
// place is not known.
func standsIn(b *bank.Bank, placed bool, body bank.Body) string {
	for _, c := range b.Compartments {
		if placed && c.Box.Contains(body.Box()) {
			return c.ID
		}
	}
	return ""
}

// bankRooms lists the compartments that hold batteries.
func bankRooms(b *bank.Bank) []string {
	var all []string
	for i := range b.Batteries {
		if room := standsIn(b, b.Batteries[i].Placed, b.Batteries[i].Body); room != "" && !slices.Contains(all, room) {
			all = append(all, room)
		}
	}
	return all
}

// apartFromBank reports whether a part is known to stand in a compartment
// without batteries.
func apartFromBank(b *bank.Bank, p *bank.Part) bool {
	room, rooms := standsIn(b, p.Placed, p.Body), bankRooms(b)
	return room != "" && len(rooms) > 0 && !slices.Contains(rooms, room)
}

var ventedGas = Rule{
	ID:       "VEN-01",
	Title:    "Gas of lead-acid batteries and where it goes",
	Text:     "A flooded battery gives off hydrogen at every charge; sealed ones (AGM, gel) do so when they are overcharged or fail. Where people sleep in the same air a flooded bank is a fault and a sealed one a warning. Elsewhere a flooded bank needs a vent to the outside, which a job cannot show: a note.",
	Source:   source.Ref{Title: "33 CFR 183.420", At: "(e), hydrogen is vented; out of sleeping air: common practice", Edition: "2026", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith("chemistry: lfp", "chemistry: flooded", "ambient: 30 °C}", "ambient: 30 °C, sleeping: true}"),
	Passing:  dcJob,
	check:    checkVentedGas,
}

func checkVentedGas(r *report.Report, say *speaker) {
	const out = "put the batteries in a closed box with a vent from its top to the outside, or outside the sleeping space"
	sleeping := r.Bank.Practice.Sleeping
	for _, g := range byChemistry(r.Bank) {
		list, gives, are := strings.Join(g.ids, ", "), " give", " are"
		if len(g.ids) == 1 {
			gives, are = " gives", " is"
		}
		switch {
		case g.of == bank.Flooded && sleeping:
			say.find(g.ids[0], list+gives+" off hydrogen at every charge, in air that people sleep in", out)
		case g.of == bank.Flooded:
			say.hold(finding.Note, g.ids[0], list+gives+" off hydrogen at every charge: the space needs a vent from its top to the outside", "plan the vent; nothing that sparks above the batteries", number{}, source.Ref{})
		case sleeping && (g.of == bank.AGM || g.of == bank.Gel):
			say.hold(finding.Warning, g.ids[0], list+are+" sealed, but"+gives+" off hydrogen when overcharged, in air that people sleep in", out, number{}, source.Ref{})
		}
	}
}

// chemistryGroup is the batteries of one chemistry.
type chemistryGroup struct {
	of  bank.Chemistry
	ids []string
}

func byChemistry(b *bank.Bank) []chemistryGroup {
	var all []chemistryGroup
	for i := range b.Batteries {
		one := &b.Batteries[i]
		n := slices.IndexFunc(all, func(g chemistryGroup) bool { return g.of == one.Chemistry })
		if n < 0 {
			n = len(all)
			all = append(all, chemistryGroup{of: one.Chemistry})
		}
		all[n].ids = append(all[n].ids, one.ID)
	}
	return all
}

var faultGas = Rule{
	ID:       "VEN-02",
	Title:    "Gas of lithium batteries that fail, in sleeping air",
	Text:     "In ordinary work lithium iron phosphate gives off nothing. A cell that fails vents gas of about half hydrogen with carbon monoxide, which burns and poisons. Where people sleep in the same air the way of that gas should lead outside.",
	Source:   source.Ref{Title: "venting of a 280 Ah LFP cell, Batteries 10(8) 270", At: "conclusions: hydrogen 55 %, carbon dioxide 18 %, carbon monoxide 11 %, methane 10 %", Edition: "2024", How: source.Read},
	Severity: finding.Note,
	Failing:  dcWith("ambient: 30 °C}", "ambient: 30 °C, sleeping: true}"),
	Passing:  dcJob,
	check:    checkFaultGas,
}

func checkFaultGas(r *report.Report, say *speaker) {
	for _, g := range byChemistry(r.Bank) {
		if g.of == bank.LFP && r.Bank.Practice.Sleeping {
			say.find(g.ids[0], "should "+strings.Join(g.ids, ", ")+" fail, the gas that they vent burns and poisons, and people sleep in the same air", "close the batteries off from the sleeping space, with a way for gas to the outside; hang a gas and a smoke alarm")
		}
	}
}

var mainSwitch = Rule{
	ID:       "SWI-01",
	Title:    "No main switch between the batteries and a load",
	Text:     "One switch that is opened by hand takes all batteries off all loads. A job without one is a fault. A load that goes round it is a warning: a bilge pump or an alarm may be meant to, an inverter never. Breakers alone, one a branch, can be opened too, but not in one movement: a warning. A switch in the negative alone leaves the ungrounded conductor live: a warning, and a fault where the frame hangs on the batteries' side of it, as a chafed positive is then fed with the switch open.",
	Source:   source.Ref{Title: "46 CFR 120.380", At: "(i), an emergency switch in the ungrounded battery main, the twin of 183.380(i)", Edition: "not stated", How: source.Read},
	Severity: finding.Fault,
	Failing:  dcWith("kind: switch, rating", "kind: shunt, rating"),
	Passing:  dcJob,
	check:    checkMainSwitch,
}

func checkMainSwitch(r *report.Report, say *speaker) {
	opens := func(p *bank.Part) bool { return p.Kind.Opens() }
	breaks := func(p *bank.Part) bool { return p.Kind.Opens() || p.Kind == bank.Breaker }
	var bare, broken, loads []string
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if !p.Kind.Draws() {
			continue
		}
		loads = append(loads, p.ID)
		switch {
		case !joinedToPost(r.Bank, nil, p) || !joinedToPost(r.Bank, opens, p):
		case joinedToPost(r.Bank, breaks, p):
			bare = append(bare, p.ID)
		default:
			broken = append(broken, p.ID)
		}
	}
	none := !slices.ContainsFunc(r.Bank.Parts, func(p bank.Part) bool { return opens(&p) })
	const put = "put a switch into the positive way right behind the main fuse, before everything that draws"
	switch {
	case len(loads) == 0:
		if none {
			say.pass("takeoff", "the job has neither loads nor a switch; what lies beyond the take-off is not known")
		}
	case none && len(bare) > 0:
		say.find(bare[0], "no switch takes the batteries off "+strings.Join(bare, ", "), put)
	case none && len(broken) > 0:
		say.hold(finding.Warning, broken[0], "only breakers, one a branch, take the batteries off "+strings.Join(broken, ", "), put, number{}, source.Ref{})
	default:
		negativeSwitch(r, say, loads, append(bare, broken...))
		for _, id := range append(bare, broken...) {
			say.hold(finding.Warning, id, id+" goes round the main switch", "lead it from behind the switch, unless it has to work with the switch open", number{}, source.Ref{})
		}
	}
}

// joinedToPost reports whether both ends of a device are still joined to
// batteries' posts with some parts open.
func joinedToPost(b *bank.Bank, cut func(*bank.Part) bool, p *bank.Part) bool {
	at := feed.Islands(b, cut)
	reached := map[int]bool{}
	for i := range b.Batteries {
		reached[at[b.Batteries[i].Plus()]], reached[at[b.Batteries[i].Minus()]] = true, true
	}
	ends := p.Ends()
	return reached[at[ends[0]]] && reached[at[ends[1]]]
}

var switchReach = Rule{
	ID:       "SWI-02",
	Title:    "The main switch is not in reach from outside the batteries' compartment",
	Text:     "When the batteries smoke nobody can reach in to them. The switch that takes them off the loads stands outside their compartment. Where places are not given this is not checked.",
	Source:   source.Ref{Title: "a main switch in reach from outside the batteries' compartment", How: source.Practice},
	Severity: finding.Warning,
	Failing:  placedSwitch("2 in"),
	Passing:  placedSwitch("42 in"),
	check:    checkSwitchReach,
}

// placedSwitch is dcJob in two compartments, the switch at a length along them.
func placedSwitch(x string) string {
	return dcWith("batteries:\n", "compartments:\n  - {id: bay, at: [0 in, 0 in, 0 in], size: {length: 40 in, width: 20 in, height: 14 in}}\n  - {id: step, at: [41 in, 0 in, 0 in], size: {length: 10 in, width: 20 in, height: 14 in}}\nbatteries:\n",
		"    capacity: 100 Ah\n", "    capacity: 100 Ah\n    size: {length: 13 in, width: 7 in, height: 8 in}\n    posts: {positive: [2 in, 2 in], negative: [11 in, 2 in]}\n",
		"{id: B1, type: block,", "{id: B1, type: block, at: [2 in, 2 in, 0 in],", "{id: B2, type: block,", "{id: B2, type: block, at: [20 in, 2 in, 0 in],",
		"{id: Q1, kind: switch,", "{id: Q1, kind: switch, at: ["+x+", 14 in, 4 in], size: {length: 4 in, width: 3 in, height: 3 in},")
}

func checkSwitchReach(r *report.Report, say *speaker) {
	rooms := bankRooms(r.Bank)
	for i := range r.Bank.Parts {
		p := &r.Bank.Parts[i]
		if p.Kind != bank.Switch {
			continue
		}
		room := standsIn(r.Bank, p.Placed, p.Body)
		switch {
		case room == "" || len(rooms) == 0:
			say.pass(p.ID, "the job does not place both the switch and the batteries in compartments")
		case slices.Contains(rooms, room):
			say.find(p.ID, fmt.Sprintf("switch %s stands in %s with the batteries: nobody reaches it when they smoke", p.ID, room), "move it outside, or give it a handle or a remote that is")
		}
	}
}
