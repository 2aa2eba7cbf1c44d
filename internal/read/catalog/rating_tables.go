package catalog

import (
	"bankwright/internal/model/rating"
)

// tables is what the files of ratings hold. The accessors below give it; the
// slices are the catalogue's own and are not to be changed.
type tables struct {
	ampacities      []rating.AmpacityTable
	wires           []rating.Wires
	fuses           []rating.FuseClass
	standard        rating.StandardRatings
	preferred       rating.PreferredInterrupts
	fuseLimits      []rating.Limit
	need            rating.RequiredInterrupt
	limits          []rating.ProtectionLimit
	reaches         []rating.Reach
	devices         []rating.Table
	jointLimits     []rating.Limit
	studTests       []rating.StudTest
	connectorStatic rating.Table
	pulls           []rating.Table
	studLimits      []rating.StudLimit
	threads         []rating.Thread
	nutFactors      []rating.NutFactor
	torques         []rating.TorqueTable
	barJoints       []rating.BarJoint
	bars            rating.Bars
	materials       []rating.Material
	insulations     []rating.Insulation
	adiabatic       rating.Adiabatic
	cableTypes      []rating.CableType
	bends           []rating.Bend
	supports        []rating.Support
	leastSizes      []rating.LeastSize
	bonding         []rating.Bonding
	grounding       []rating.GroundingTable
	wallMaterials   []rating.WallMaterial
	surfaces        []rating.Surface
	films           []rating.Film
	batteryHeats    []rating.BatteryHeat
	climates        []rating.Climate
}

// find gives the row of an ID, nil if there is none.
func find[T any](all []T, is func(*T) bool) *T {
	for i := range all {
		if is(&all[i]) {
			return &all[i]
		}
	}
	return nil
}

// Ampacities gives the ampacity tables in the order of the file.
func (t *tables) Ampacities() []rating.AmpacityTable { return t.ampacities }

// Ampacity gives the ampacity table of an ID, nil if there is none.
func (t *tables) Ampacity(id string) *rating.AmpacityTable {
	return find(t.ampacities, func(a *rating.AmpacityTable) bool { return a.ID == id })
}

// Wires gives the sections of conductors after one standard, nil if there is
// no such ID.
func (t *tables) Wires(id string) *rating.Wires {
	return find(t.wires, func(w *rating.Wires) bool { return w.ID == id })
}

// FuseClasses gives the classes of fuse in the order of the file.
func (t *tables) FuseClasses() []rating.FuseClass { return t.fuses }

// FuseClass gives the class of an ID, nil if there is none.
func (t *tables) FuseClass(id string) *rating.FuseClass {
	return find(t.fuses, func(f *rating.FuseClass) bool { return f.ID == id })
}

// StandardRatings gives the customary steps of rated currents.
func (t *tables) StandardRatings() *rating.StandardRatings { return &t.standard }

// PreferredInterrupts gives the preferred d.c. interrupting ratings.
func (t *tables) PreferredInterrupts() *rating.PreferredInterrupts { return &t.preferred }

// FuseLimits gives single numbers about fuses: load, reference ambients.
func (t *tables) FuseLimits() []rating.Limit { return t.fuseLimits }

// RequiredInterrupt gives what the devices of a bank must break.
func (t *tables) RequiredInterrupt() *rating.RequiredInterrupt { return &t.need }

// ProtectionLimits gives the largest ratings that rules allow.
func (t *tables) ProtectionLimits() []rating.ProtectionLimit { return t.limits }

// ProtectionLimit gives the limit of an ID, nil if there is none.
func (t *tables) ProtectionLimit(id string) *rating.ProtectionLimit {
	return find(t.limits, func(l *rating.ProtectionLimit) bool { return l.ID == id })
}

// Reaches gives how far a fuse or breaker may stand from its source.
func (t *tables) Reaches() []rating.Reach { return t.reaches }

// DeviceLimits gives tables of the largest device, in A, by conductor.
func (t *tables) DeviceLimits() []rating.Table { return t.devices }

// JointLimits gives single numbers about joints.
func (t *tables) JointLimits() []rating.Limit { return t.jointLimits }

// JointLimit gives the limit of an ID, nil if there is none.
func (t *tables) JointLimit(id string) *rating.Limit {
	return find(t.jointLimits, func(l *rating.Limit) bool { return l.ID == id })
}

// StudTests gives the test currents of feed-through studs.
func (t *tables) StudTests() []rating.StudTest { return t.studTests }

// ConnectorStatic gives the static heating test currents of wire connectors,
// in A.
func (t *tables) ConnectorStatic() *rating.Table { return &t.connectorStatic }

// Pulls gives the least pull-out forces of crimps, in N, a table a standard.
func (t *tables) Pulls() []rating.Table { return t.pulls }

// StudLimits gives how many lugs a stud may hold.
func (t *tables) StudLimits() []rating.StudLimit { return t.studLimits }

// Threads gives screw threads with their stress areas.
func (t *tables) Threads() []rating.Thread { return t.threads }

// Thread gives a thread as [rating.SameThread] compares names, nil if there is
// none. An inch diameter without a pitch finds none.
func (t *tables) Thread(name string) *rating.Thread {
	return find(t.threads, func(h *rating.Thread) bool { return rating.SameThread(h.Name, name) })
}

// NutFactors gives the factors from torque to preload.
func (t *tables) NutFactors() []rating.NutFactor { return t.nutFactors }

// Torques gives all torque tables; none is for a battery post.
func (t *tables) Torques() []rating.TorqueTable { return t.torques }

// TorquesFor gives the torque tables for a use, in the order of the file.
func (t *tables) TorquesFor(use rating.Use) []rating.TorqueTable {
	var all []rating.TorqueTable
	for _, one := range t.torques {
		if one.Use == use {
			all = append(all, one)
		}
	}
	return all
}

// BarJoints gives the bolt and hole for an overlap of bars.
func (t *tables) BarJoints() []rating.BarJoint { return t.barJoints }

// Bars gives the currents of bare copper bars.
func (t *tables) Bars() *rating.Bars { return &t.bars }

// Materials gives the thermal resistivities of insulation.
func (t *tables) Materials() []rating.Material { return t.materials }

// Insulations gives the kinds of insulation with their short-circuit limits.
func (t *tables) Insulations() []rating.Insulation { return t.insulations }

// Insulation gives the kind of an ID, nil if there is none.
func (t *tables) Insulation(id string) *rating.Insulation {
	return find(t.insulations, func(i *rating.Insulation) bool { return i.ID == id })
}

// Adiabatic gives the constants of the adiabatic law for copper.
func (t *tables) Adiabatic() rating.Adiabatic { return t.adiabatic }

// CableTypes gives the kinds of vehicle battery cable.
func (t *tables) CableTypes() []rating.CableType { return t.cableTypes }

// Bends gives the least inside bend radii.
func (t *tables) Bends() []rating.Bend { return t.bends }

// Supports gives how far apart cables are held.
func (t *tables) Supports() []rating.Support { return t.supports }

// LeastSizes gives the thinnest conductors that may be laid.
func (t *tables) LeastSizes() []rating.LeastSize { return t.leastSizes }

// Bonding gives the least d.c. bonding conductors.
func (t *tables) Bonding() []rating.Bonding { return t.bonding }

// Grounding gives the least equipment grounding conductors by device.
func (t *tables) Grounding() []rating.GroundingTable { return t.grounding }

// part is one file and its reader.
type part struct {
	file string
	read func([]byte) error
}

// parts lists the files of tables; each is read on its own.
func (t *tables) parts() []part {
	return []part{
		{"ampacity.yaml", t.readAmpacity},
		{"fuses.yaml", t.readFuses},
		{"hardware.yaml", t.readHardware},
		{"insulation.yaml", t.readInsulation},
		{"laying.yaml", t.readLaying},
		{"compartment.yaml", t.readCompartment},
		{"climate.yaml", t.readClimate},
	}
}
