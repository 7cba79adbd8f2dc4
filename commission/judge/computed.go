package judge

import (
	"time"

	"loopwitness/checks"
	"loopwitness/commission/site"
)

// Computed is one computation with its inputs: what a certificate tells of it.
type Computed struct {
	Row     Row
	Step    string        // of the visit whose readings it rests on, "" for the site file
	Ruling  checks.Ruling // "" where nothing was held against a limit
	Missing []Lack        // what is missing where it could not be computed
	Assumed []string      // keys of the site file whose default counted, and matters to the ruling
}

// Row is what was computed: a code, with inputs and results in its type. Quantities
// stand as they were typed, other values in the unit that the key names.
type Row interface{ Code() string }

// Lack is something without which nothing can be computed: a code, and the parts that
// lack it.
type Lack struct {
	What LackCode `json:"what"`
	Of   []string `json:"of,omitempty"`   // parts, as typed; "" for the controller
	Said string   `json:"said,omitempty"` // what a computation answered instead of a value
}

// LackCode names what is missing.
type LackCode string

// What may be missing: from the site file, or from the visit.
const (
	LackRating        LackCode = "adapter rating"
	LackCapacity      LackCode = "battery capacity"
	LackStandbyFor    LackCode = "required standby"
	LackAlarmFor      LackCode = "alarm time"
	LackCurrent       LackCode = "current"
	LackMinimum       LackCode = "minimum voltage"
	LackLength        LackCode = "cable length"
	LackConductor     LackCode = "conductor"
	LackFitted        LackCode = "date fitted"
	LackBattery       LackCode = "no battery"
	LackMainsVoltage  LackCode = "mains voltage"
	LackLoadVoltages  LackCode = "voltages with and without load"
	LackSounderAmpere LackCode = "sounder current"
	LackThreeVoltages LackCode = "three voltages"
	LackLongerHold    LackCode = "longer hold"
	LackSense         LackCode = "refused"
)

// Code names what is missing.
func (l Lack) Code() string { return "lack/" + string(l.What) }

// FromVisit tells whether the visit lacks it, not the site file.
func (l Lack) FromVisit() bool {
	if l.What.ofOutput() {
		return true
	}
	switch l.What {
	case LackMainsVoltage, LackLoadVoltages, LackSounderAmpere, LackThreeVoltages, LackLongerHold, LackSense, LackBattery:
		return true
	}
	return false
}

func lack(what LackCode, of ...string) []Lack { return []Lack{{What: what, Of: of}} }

// refused is what a computation answered instead of a value.
func refused(err error) []Lack { return []Lack{{What: LackSense, Said: err.Error()}} }

// Assumable is a value that may be ours: the site file did not give it.
type Assumable struct {
	Value   float64 `json:"value"`
	Assumed bool    `json:"assumed,omitempty"`
}

// given takes the site file's value in a unit of so many SI units, or ours.
func given(q checks.Quantity, unit, ours float64) Assumable {
	if q.Given() {
		return Assumable{Value: q.SI / unit}
	}
	return Assumable{ours, true}
}

// The rows. Those of the site file:
type (
	// AdapterRow holds the load against the adapter.
	AdapterRow struct {
		Standby  float64 `json:"standby_ampere"`
		Alarm    float64 `json:"alarm_ampere"`
		Recharge float64 `json:"recharge_ampere"`
		Rating   string  `json:"rating"`
		Headroom float64 `json:"headroom_ampere"`
		Need     float64 `json:"need_ampere,omitempty"` // that would do, where this one does not
	}
	// StandbyRow holds the capacity required against the one fitted.
	StandbyRow struct {
		Standby     float64    `json:"standby_ampere"`
		For         string     `json:"for"`
		Alarm       float64    `json:"alarm_ampere"`
		AlarmFor    string     `json:"alarm_for,omitempty"`
		Ageing      Assumable  `json:"ageing"`
		Cold        float64    `json:"cold_factor"`
		Temperature Assumable  `json:"temperature_celsius"`
		Exponent    Assumable  `json:"exponent"`
		Rate        Assumable  `json:"rate_hour"`
		Through     *Converter `json:"through,omitempty"`
		Autonomy    *float64   `json:"autonomy_hour,omitempty"` // absent for no load
		Required    float64    `json:"required_ampere_hour"`
		Declared    float64    `json:"declared_ampere_hour"` // by what is declared alone
		Fitted      string     `json:"fitted"`
		Source      string     `json:"source,omitempty"` // of the duration, as typed
	}
	// Converter stands between a lithium-ion pack and its load.
	Converter struct {
		Pack       float64 `json:"pack_volt"`
		Load       float64 `json:"load_volt"`
		Efficiency float64 `json:"efficiency"`
	}
)

// The rows that rest on readings of the visit:
type (
	// FloatRow holds the voltage with mains present against the battery's chemistry.
	FloatRow struct {
		Volt        float64       `json:"volt"`
		Uncertainty float64       `json:"uncertainty_volt"`
		Chemistry   string        `json:"chemistry"`
		Celsius     float64       `json:"temperature_celsius"`
		Lower       float64       `json:"lower_volt"`
		Upper       float64       `json:"upper_volt"`
		Plausible   checks.Ruling `json:"plausible"`
	}
	// InternalRow is the internal resistance of the supply on standby.
	InternalRow struct {
		Rest        float64 `json:"rest_volt"`
		Load        float64 `json:"load_volt"`
		More        float64 `json:"more_ampere"`
		Measured    bool    `json:"measured,omitempty"` // the current, else it is declared
		Ohm         float64 `json:"ohm"`
		Uncertainty float64 `json:"uncertainty_ohm"`
	}
	// SagRow is how the voltage falls on standby.
	SagRow struct {
		Readings int           `json:"readings"`
		Over     time.Duration `json:"over_nanosecond"`
		CutOff   site.Limit    `json:"cut_off_volt"`
		Slope    float64       `json:"volt_per_hour"`
		Left     time.Duration `json:"left_nanosecond"`
		Limited  bool          `json:"limited,omitempty"` // by the readings' span
	}
	// AgeRow holds the battery's age against its service life.
	AgeRow struct {
		Fitted string        `json:"fitted"`
		Age    time.Duration `json:"age_nanosecond"` // negative when it was fitted after the visit
		Life   time.Duration `json:"life_nanosecond"`
	}
)

// Code names the row.
func (AdapterRow) Code() string  { return "adapter" }
func (StandbyRow) Code() string  { return "standby" }
func (FloatRow) Code() string    { return "float" }
func (InternalRow) Code() string { return "internal" }
func (SagRow) Code() string      { return "sag" }
func (AgeRow) Code() string      { return "age" }
