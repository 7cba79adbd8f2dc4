package simulated

import (
	"math"
	"time"

	"loopwitness/commission/site"
)

// Supply is the charger and the battery of a building.
type Supply struct {
	Charger Charger
	Battery Battery
}

// Charger feeds the battery while mains is present; the load is fed beside it. A Voltage
// of zero is a dead one.
type Charger struct {
	Voltage float64 // V, that it holds at its end
	Current float64 // A, its limit
}

// Battery is what stands behind the charger.
type Battery struct {
	Chemistry  string  // as site files name it
	Cells      int     // in series
	Capacity   float64 // Ah, that is left of it
	Charge     float64 // of it, 0 to 1, when the visit begins
	Resistance float64 // ohm, of the whole battery
	// Output is what a converter makes of it, V; the terminals show that. Zero: none.
	Output float64
}

// Moment is how things stand with a supply when it is looked at.
type Moment struct {
	Mains  bool
	Since  time.Duration // since mains was removed or came back
	Before float64       // V at the terminals in the moment before that
	Charge float64       // 0 to 1
	Load   float64       // A
}

// The constants of lead-acid batteries are those of the published discharge model of a
// 12 V 7.2 Ah battery (a network simulator's presets, looked up), taken by the capacity;
// the others are fitted by us to a published measurement of a 100 Ah battery (looked up).
const (
	modelCapacity = 7.2     // Ah
	polarisation  = 0.07719 // V/A at the model's capacity
	modelOhm      = 0.056
	// mostSurface is the surface charge that a charger leaves, V; it goes with the first
	// charge that is drawn.
	mostSurface = 0.45
	surfaceTime = 23 * time.Second
	// lithiumOhm is the resistance of a cell of 1 Ah, by scale; from memory.
	lithiumOhm = 0.1
	// converterOhm is by how much a converter's output gives way; from memory.
	converterOhm = 0.05
	leastCharge  = 0.01 // below it a battery is empty
)

// Volts is the voltage at the terminals, V.
func (s Supply) Volts(m Moment) float64 {
	b := s.Battery
	switch {
	case b.Output > 0 && (m.Mains && s.Charger.Voltage > 0 || m.Charge > leastCharge):
		return b.Output - converterOhm*m.Load
	case b.Output > 0:
		return 0
	case !m.Mains:
		return b.onBattery(m)
	case s.Charger.Voltage == 0:
		return b.rest(m.Charge)
	}
	return s.charging(m.Charge)
}

// charging is the voltage of a battery on its charger: one that is not full holds it
// down, the further the smaller its current is.
func (s Supply) charging(charge float64) float64 {
	rest := s.Battery.rest(charge)
	rise := 0.5 + 2*s.Charger.Current/s.Battery.Capacity + 0.8*charge
	switch {
	case charge >= 1:
		rise = math.Inf(1) // it takes nothing more, or its protection has let go
	case s.Battery.lithium():
		rise = s.Charger.Current * s.Battery.Resistance
	}
	return max(rest, min(s.Charger.Voltage, rest+rise))
}

// onBattery is the voltage without mains.
func (b Battery) onBattery(m Moment) float64 {
	if m.Charge <= leastCharge {
		return 0 // the controller, or the pack's protection, has let go
	}
	volts := b.rest(m.Charge) - m.Load*b.Resistance
	if b.lithium() {
		return max(0, volts)
	}
	volts -= polarisation * m.Load * modelCapacity / b.Capacity / m.Charge * float64(b.Cells) / 6
	surface := min(max(0, m.Before-b.rest(m.Charge)), mostSurface)
	return max(0, volts+surface*math.Exp(-m.Since.Seconds()/surfaceTime.Seconds()))
}

// charged is the charge after a time in which nothing changed.
func (s Supply) charged(m Moment, d time.Duration) float64 {
	ampere := -m.Load
	if m.Mains {
		ampere = 0
		if s.Charger.Voltage > s.Battery.rest(m.Charge) {
			ampere = s.Charger.Current
		}
	}
	return min(1, max(0, m.Charge+ampere*d.Hours()/s.Battery.Capacity))
}

func (b Battery) lithium() bool { return b.Chemistry != leadAcid }

const leadAcid = "lead-acid"

// rests are the rest voltages of a cell by charge, rising. Lead-acid: the middle of seven
// published tables; lithium: those of a battery monitor's firmware (all looked up).
var rests = map[string][][2]float64{
	leadAcid: {{0, 1.917}, {0.25, 1.967}, {0.5, 2.025}, {0.75, 2.075}, {1, 2.133}},
	"lithium-ion": {{0, 2.8}, {0.05, 3.588}, {0.1, 3.684}, {0.2, 3.726}, {0.5, 3.838}, {0.8, 4.026}, {0.9, 4.089},
		{1, 4.198}},
	"lithium-iron-phosphate": {{0, 2.833}, {0.05, 3.132}, {0.1, 3.177}, {0.2, 3.213}, {0.5, 3.265}, {0.8, 3.304},
		{0.9, 3.309}, {1, 3.392}},
}

// usual of a battery for 12 V: its cells, and per cell what a charger that fits holds and
// the nominal voltage, V.
type usual struct {
	cells            int
	charged, nominal float64
}

var usuals = map[string]usual{leadAcid: {6, 2.27, 2}, "lithium-ion": {3, 4.2, 3.6},
	"lithium-iron-phosphate": {4, 3.45, 3.2}}

// Chemistries are those that a simulated battery may have.
var Chemistries = []string{leadAcid, "lithium-ion", "lithium-iron-phosphate"}

// rest is the voltage without charger and load, V.
func (b Battery) rest(charge float64) float64 {
	table := rests[b.Chemistry]
	below := table[0]
	for _, row := range table {
		if charge <= row[0] {
			if row[0] == below[0] {
				return row[1] * float64(b.Cells)
			}
			part := (charge - below[0]) / (row[0] - below[0])
			return (below[1] + part*(row[1]-below[1])) * float64(b.Cells)
		}
		below = row
	}
	return below[1] * float64(b.Cells)
}

// The supplies that a file may name by a word. What is not said of a supply is that of
// the site, or usual.
const (
	usualCurrent  = 1     // A
	tooHigh       = 1.145 // times the usual voltage: 15.6 V for lead-acid
	limitedHour   = 50    // a limited charger needs so many hours for the capacity
	usualCapacity = 7     // Ah
	usualLoad     = 0.25  // A
	usualOutput   = 12    // V, of a converter
	// weakHour is for how long a weak battery carries its load.
	weakHour = 1.25
)

// Word is a supply as a file says it in a word.
type Word string

// The words.
const (
	Good    Word = "good"
	Dead    Word = "dead"
	TooHigh Word = "too high"
	Limited Word = "limited"
	Weak    Word = "weak"
)

// ChargerWords and BatteryWords are those that a file may name.
var (
	ChargerWords = []string{string(Good), string(Dead), string(TooHigh), string(Limited)}
	BatteryWords = []string{string(Good), string(Weak)}
)

// SupplyOptions are what is said of a supply. What is zero is as usual.
type SupplyOptions struct {
	Charger Word // "" for numbers
	Charge  Charger
	Battery Word // "" for numbers
	Pack    Battery
	// Empty tells that the charge of Pack is zero because it was said so.
	Empty bool
}

// supplyOf fills in what was not said: as the site file says, else as usual.
func supplyOf(s *site.Site, o SupplyOptions) Supply {
	b, of := o.Pack, s.Supply.Battery
	if b.Chemistry == "" {
		b.Chemistry = leadAcid
		if _, known := rests[of.Chemistry]; known {
			b.Chemistry = of.Chemistry
		}
	}
	usual := usuals[b.Chemistry]
	if b.Chemistry == of.Chemistry {
		b.Cells = or(b.Cells, of.Cells)
	}
	b.Cells = or(b.Cells, usual.cells)
	nominal := usual.nominal * float64(b.Cells)
	b.Capacity = or(b.Capacity, or(of.Capacity.SI, or(of.Energy.SI/nominal, usualCapacity)))
	if !o.Empty {
		b.Charge = or(b.Charge, 1)
	}
	if of.Form == site.Converter || of.Form == site.Inline {
		b.Output = or(b.Output, or(of.Output.SI, usualOutput))
	}
	if o.Battery == Weak {
		b.Capacity = weakHour * standbyLoad(s)
	}
	b.Resistance = or(b.Resistance, usualOhm(b))
	return Supply{chargerOf(s, o, b), b}
}

// usualOhm is the resistance of a battery by its capacity and cells.
func usualOhm(b Battery) float64 {
	if b.lithium() {
		return lithiumOhm / b.Capacity * float64(b.Cells)
	}
	return modelOhm * modelCapacity / b.Capacity * float64(b.Cells) / 6
}

func chargerOf(s *site.Site, o SupplyOptions, b Battery) Charger {
	usual := usuals[b.Chemistry].charged * float64(b.Cells)
	declared := Charger{s.Supply.Charger.Voltage.SI, s.Supply.Charger.Current.SI}
	switch o.Charger {
	case Dead:
		return Charger{}
	case TooHigh:
		declared.Voltage = tooHigh * usual
	case Limited:
		declared.Current = b.Capacity / limitedHour
	}
	return Charger{or(o.Charge.Voltage, or(declared.Voltage, usual)),
		or(o.Charge.Current, or(declared.Current, usualCurrent))}
}

// or is a value, or another where it is zero.
func or[T int | float64](value, otherwise T) T {
	if value == 0 {
		return otherwise
	}
	return value
}

// standbyLoad is what the site draws without an alarm, A: as declared, else as usual.
func standbyLoad(s *site.Site) float64 {
	sum := s.Controller.Current.SI
	s.Each(func(_ site.Point, _ *site.Zone, d *site.Detector) {
		if d.Power != nil {
			sum += d.Power.Current.SI
		}
	})
	for _, l := range s.Supply.Loads {
		sum += l.Current.SI
	}
	return or(sum, usualLoad)
}
