package bank

import (
	"bankwright/internal/base/quantity"
	"bankwright/internal/base/source"
)

// Rated is what a part's maker says it can bear. Zero and "" are not known.
type Rated struct {
	Class     string           // of a fuse or breaker, an ID of the catalogue
	Current   quantity.Current // lasting
	Interrupt quantity.Current // that a fuse or breaker can break, a switch or contactor open
	Voltage   quantity.Voltage // d.c. that it can break
	Stud      string           // thread of its terminals

	StudLength        quantity.Length        // of thread above the contact face
	Torque            quantity.Torque        // its maker's, for its terminals
	LetThrough        quantity.JouleIntegral // most that a fuse or breaker lets pass in a dead short
	Times             []TimePoint            // its own curve, rising in current
	IgnitionProtected bool                   // it may stand where fuel vapour can gather
}

// TimePoint is one point of a fuse's or breaker's own curve: at a current it
// opens after Least at the earliest and Most at the latest.
type TimePoint struct {
	Current     quantity.Current
	Least, Most quantity.Duration
}

// Lug is what a cable end carries. Zero and "" are not known.
type Lug struct {
	Barrel    quantity.Size   // the conductor it is made for
	Hole      string          // the thread its hole is for
	Thickness quantity.Length // of its tongue
}

// Inlet is where mains comes in. Zero is not known.
type Inlet struct {
	Current quantity.Current
	Voltage quantity.Voltage
}

// EfficiencyPoint is one point of an inverter's efficiency over its load.
type EfficiencyPoint struct {
	Load, Efficiency quantity.Ratio // load over lasting power
}

// Device is a thing that takes or gives current. Zero is not known.
type Device struct {
	Power       quantity.Power // of a load or inverter, lasting, at its output
	Surge       quantity.Power // for SurgeFor
	SurgeFor    quantity.Duration
	Efficiency  source.Value[quantity.Ratio] // of an inverter
	Cutout      quantity.Voltage             // it stops below this, at its terminals
	Capacitance quantity.Capacitance         // of its input
	Current     quantity.Current             // lasting: a load's, or what a source gives at most
	Voltage     quantity.Voltage             // that a source holds when the battery is nearly full
	Float       quantity.Voltage             // and afterwards; 0: none
	ColdLockout quantity.Temperature         // its own sensor stops charging below this; 0: none
	OnOpen      string                       // what a source does when the battery opens: stops, keeps, surges; "" not known

	EfficiencyCurve []EfficiencyPoint    // of an inverter, rising in load; nil: Efficiency at any load
	Idle            quantity.Power       // that an inverter takes without load
	HotLockout      quantity.Temperature // its own sensor stops charging above this; 0: none
	Limited         bool                 // an alternator that keeps its own current within what it bears
	Input           quantity.Current     // mains current a charger is set to take at most
}

// EfficiencyAt gives an inverter's efficiency at a load, as a fraction of its
// lasting power: straight between the points of its curve, flat beyond them;
// without a curve the one figure it has, 0 where it has none.
func (d *Device) EfficiencyAt(load quantity.Ratio) quantity.Ratio {
	c := d.EfficiencyCurve
	if len(c) == 0 {
		return d.Efficiency.V
	}
	for n, p := range c {
		if load > p.Load {
			continue
		}
		if n == 0 {
			return p.Efficiency
		}
		a := c[n-1]
		return a.Efficiency + quantity.Ratio(float64((load-a.Load)/(p.Load-a.Load)*(p.Efficiency-a.Efficiency)))
	}
	return c[len(c)-1].Efficiency
}

// What a source does when the battery opens under it.
const (
	OpenStops  = "stops"  // falls to nought by itself
	OpenKeeps  = "keeps"  // holds its voltage
	OpenSurges = "surges" // its voltage shoots up
)

// Asks gives the current a device takes at a voltage, lasting and for its surge;
// ok is false where the job does not say. A source asks for nothing.
func (p *Part) Asks(v quantity.Voltage) (lasting, surge quantity.Current, ok bool) {
	d := &p.Device
	if !p.Kind.Draws() || !(v > 0) {
		return 0, 0, !p.Kind.Draws()
	}
	per := 1.0
	if d.Efficiency.Known() && d.Efficiency.V > 0 {
		per = float64(d.Efficiency.V)
	}
	amps := func(w quantity.Power) quantity.Current { return quantity.Current(float64(w) / per / float64(v)) }
	lasting = max(d.Current, amps(d.Power))
	if p.Kind == InverterCharger {
		lasting = amps(d.Power) // its Current is what it charges with
	}
	surge = max(lasting, amps(d.Surge))
	return lasting, surge, lasting > 0
}

// Wrap is what surrounds a cable's copper. Zero and false are not said.
type Wrap struct {
	Insulation source.Value[quantity.Temperature] // that it bears
	Material   string                             // of the catalogue's insulations, "" not said
	Diameter   quantity.Length                    // outside, as measured
	Sheath     bool                               // within a sheath, conduit or enclosed panel for its whole length
	Bundled    int                                // with how many loaded cables, itself included; 0 or 1: alone
	Engine     bool                               // it runs in an engine space
	Support    quantity.Length                    // largest distance between its supports
}

// Practice is which published rules a job is compared with, and the place.
type Practice struct {
	Book     source.Value[string]               // marine, vehicle, general
	Ambient  source.Value[quantity.Temperature] // the warmest air round the cables
	Petrol   bool                               // petrol or gas vapour may be where the bank is
	Sleeping bool                               // people sleep in the same air
}

// The books of rules.
const (
	Marine  = "marine"
	Vehicle = "vehicle"
	General = "general"
)
