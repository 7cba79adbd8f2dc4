package judge

import (
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// Computed is one computation with its inputs: what a certificate tells of it.
type Computed struct {
	Row       Row
	Step      string        // of the visit whose readings it rests on, "" for the site file
	Ruling    checks.Ruling // "" where nothing was held against a limit
	Missing   []Lack        // what is missing where it could not be computed
	Assumed   []string      // keys of the site file whose default counted, and matters
	Defaulted bool          // it would pass, but for Assumed
	Hollow    bool          // it would pass for a sound battery, which this one is not
	Danger    bool          // act now
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
	LackRating          LackCode = "adapter rating"
	LackAdapterVoltage  LackCode = "adapter voltage"
	LackCapacity        LackCode = "battery capacity"
	LackEnergy          LackCode = "pack energy"
	LackStandbyFor      LackCode = "required standby"
	LackAlarmFor        LackCode = "alarm time"
	LackCurrent         LackCode = "current"
	LackChargerVoltage  LackCode = "charging voltage"
	LackChargerCurrent  LackCode = "charger current"
	LackRecharge        LackCode = "recharge time"
	LackDetectorOutput  LackCode = "detector output"
	LackAlarmOutput     LackCode = "alarm output"
	LackMinimum         LackCode = "minimum voltage"
	LackLength          LackCode = "cable length"
	LackConductor       LackCode = "conductor"
	LackFitted          LackCode = "date fitted"
	LackFirstResistance LackCode = "first resistance"
	LackMainsVoltage    LackCode = "mains voltage"
	LackChargingVoltage LackCode = "voltage when charging again"
	LackStandbyVoltage  LackCode = "voltage on standby"
	LackLoadVoltages    LackCode = "voltages with and without load"
	LackSounderAmpere   LackCode = "sounder current"
	LackSystemCurrent   LackCode = "system current"
	LackFarVoltage      LackCode = "far voltage"
	LackLoad            LackCode = "load" // an output that an alarm energises was not shown to work
	LackSense           LackCode = "refused"
)

// Code names what is missing.
func (l Lack) Code() string { return "lack/" + string(l.What) }

// FromVisit tells whether the visit lacks it, not the site file.
func (l Lack) FromVisit() bool {
	if l.What.ofOutput() {
		return true
	}
	switch l.What {
	case LackMainsVoltage, LackChargingVoltage, LackStandbyVoltage, LackLoadVoltages, LackSounderAmpere,
		LackSystemCurrent, LackFarVoltage, LackLoad, LackSense:
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
		Standby float64 `json:"standby_ampere"`
		Alarm   float64 `json:"alarm_ampere"`
		Charge  float64 `json:"charge_ampere,omitempty"` // of the charger, as declared
		Rating  string  `json:"rating"`
		Least   float64 `json:"least_ampere"` // direct current that it surely gives
		Most    float64 `json:"most_ampere"`  // and that it cannot exceed
		Need    float64 `json:"need_ampere"`
	}
	// OutputLimitRow holds what an output of the controller gives against its limit.
	OutputLimitRow struct {
		Which Terminal `json:"which"`
		Load  float64  `json:"load_ampere"`
		Most  string   `json:"most"`
	}
	// ChargerRow holds the charger's declared voltage and current against the battery.
	ChargerRow struct {
		Charge
		Chemistry  string  `json:"chemistry"`
		Cells      int     `json:"cells"`
		Volt       float64 `json:"volt"`
		OfAdapter  bool    `json:"of_adapter,omitempty"` // no charger is described
		Ampere     float64 `json:"ampere,omitempty"`
		MostAmpere float64 `json:"most_ampere,omitempty"` // that no source objects to
		RuinAmpere float64 `json:"ruin_ampere,omitempty"` // that every source objects to, where it does
	}
	// Charge is a charging voltage, judged. Lower and Upper are what holds, in V at the
	// terminals, Highest what no source allows to be exceeded; 0 for none.
	Charge struct {
		PerCell float64              `json:"per_cell_volt"`
		Verdict checks.ChargeVerdict `json:"verdict"`
		Reason  checks.ChargeReason  `json:"reason,omitempty"`
		Lower   float64              `json:"lower_volt,omitempty"`
		Upper   float64              `json:"upper_volt,omitempty"`
		Highest float64              `json:"highest_volt,omitempty"`
	}
	// RechargeRow holds the time to recharge against the one that is declared.
	RechargeRow struct {
		Within   string    `json:"within"`
		To       Assumable `json:"to"`
		Capacity string    `json:"capacity"`
		Ampere   float64   `json:"ampere"`
		Hours    float64   `json:"hour"`
		Source   string    `json:"source,omitempty"`
	}
	// Loads are the currents that a battery has to give, and for how long; each as measured, else as declared.
	Loads struct {
		Standby  float64 `json:"standby_ampere"`
		For      string  `json:"for"`
		Alarm    float64 `json:"alarm_ampere"`
		AlarmFor string  `json:"alarm_for,omitempty"`
		// Measured is the current on standby, AlarmMeasured that in alarm; Added to that is what outputs are declared
		// to draw that were not shown to work.
		Measured      bool `json:"measured,omitempty"`
		AlarmMeasured bool `json:"alarm_measured,omitempty"`
		Added         bool `json:"added,omitempty"`
	}
	// StandbyRow holds the capacity required against the one fitted.
	StandbyRow struct {
		Loads
		Ageing      Assumable `json:"ageing"`
		Cold        float64   `json:"cold_factor"`
		ColdLeast   float64   `json:"least_cold_factor"` // that any source gives
		Temperature Assumable `json:"temperature_celsius"`
		Exponent    Assumable `json:"exponent"`
		Rate        Assumable `json:"rate_hour"`
		Autonomy    *float64  `json:"autonomy_hour,omitempty"` // absent for no load
		Required    float64   `json:"required_ampere_hour"`
		Declared    float64   `json:"declared_ampere_hour"` // by what is declared and favourable alone
		Fitted      string    `json:"fitted"`
		Source      string    `json:"source,omitempty"` // of the duration, as typed
	}
	// EnergyRow holds the energy of a pack behind a converter against the one required.
	EnergyRow struct {
		Loads
		Output      Assumable `json:"output_volt"`
		Efficiency  Assumable `json:"efficiency"`
		Ageing      Assumable `json:"ageing"`
		Cold        float64   `json:"cold_factor"`
		ColdLeast   float64   `json:"least_cold_factor"`
		Temperature Assumable `json:"temperature_celsius"`
		Autonomy    *float64  `json:"autonomy_hour,omitempty"`
		Required    float64   `json:"required_watt_hour"`
		Declared    float64   `json:"declared_watt_hour"`
		Energy      float64   `json:"fitted_watt_hour"`
		Source      string    `json:"source,omitempty"`
	}
)

// The rows that rest on readings of the visit:
type (
	// ChargingRow is what the voltages with mains present say of the charger.
	ChargingRow struct {
		Chemistry string            `json:"chemistry"`
		Cells     int               `json:"cells"`
		Charged   record.Result     `json:"charged,omitempty"` // whether it was on charge without interruption
		Readings  []ChargingReading `json:"readings"`
		Rose      bool              `json:"rose,omitempty"` // after mains came back, above what a battery has by itself
	}
	// ChargingReading is one of them.
	ChargingReading struct {
		Charge
		Step        string  `json:"step"`
		Volt        float64 `json:"volt"`
		Uncertainty float64 `json:"uncertainty_volt"`
	}
	// InternalRow is the resistance of the supply on standby.
	InternalRow struct {
		Rest        float64 `json:"rest_volt"`
		Load        float64 `json:"load_volt"`
		More        float64 `json:"more_ampere"`
		Measured    bool    `json:"measured,omitempty"` // the current, else it is declared
		Ohm         float64 `json:"ohm"`
		Uncertainty float64 `json:"uncertainty_ohm"`
		First       string  `json:"first,omitempty"` // as declared; "" where this is the first
		// FirstAt is the number of the earlier visit that measured the first, "" where it is declared.
		FirstAt string `json:"first_at,omitempty"`
		// Beyond tells that it lies above what is usual by more than it and the first are uncertain.
		Beyond bool `json:"beyond_usual,omitempty"`
	}
	// SagRow is how the voltage fell on standby, beside what is required.
	SagRow struct {
		Readings    int           `json:"readings"`
		Tried       time.Duration `json:"tried_nanosecond"`
		Required    string        `json:"required,omitempty"` // as typed
		From        float64       `json:"from_volt"`
		To          float64       `json:"to_volt"`
		Uncertainty float64       `json:"uncertainty_volt"`
		Ampere      float64       `json:"ampere,omitempty"`    // on standby, 0 for not known
		Converter   bool          `json:"converter,omitempty"` // whose voltage it is
		Short       bool          `json:"short,omitempty"`     // too short to show anything
		Charging    bool          `json:"charging,omitempty"`  // higher than a battery stands by itself
	}
	// SystemCurrentRow holds what the whole system draws against what is declared.
	SystemCurrentRow struct {
		Alarm    bool    `json:"alarm,omitempty"` // else on standby
		Declared float64 `json:"declared_ampere"`
		Measured float64 `json:"measured_ampere"`
		Known    bool    `json:"known,omitempty"` // every part is declared
	}
	// FarRow is the voltage at the farthest detector under alarm load.
	FarRow struct {
		Detector    programme.DetectorName `json:"detector"`
		Volt        float64                `json:"volt"`
		Uncertainty float64                `json:"uncertainty_volt"`
		Minimum     string                 `json:"minimum,omitempty"`
	}
	// AgeRow holds the battery's age against its service life.
	AgeRow struct {
		Fitted  string        `json:"fitted"`
		Age     time.Duration `json:"age_nanosecond"` // negative when it was fitted after the visit
		Life    time.Duration `json:"life_nanosecond"`
		ByMaker bool          `json:"by_maker,omitempty"`
	}
)

// Code names the row.
func (AdapterRow) Code() string     { return "adapter" }
func (StandbyRow) Code() string     { return "standby" }
func (OutputLimitRow) Code() string { return "output-limit" }
func (ChargerRow) Code() string     { return "charger" }
func (RechargeRow) Code() string    { return "recharge" }
func (EnergyRow) Code() string      { return "energy" }
func (ChargingRow) Code() string    { return "charging" }
func (r SystemCurrentRow) Code() string {
	if r.Alarm {
		return "system-alarm"
	}
	return "system"
}

func (FarRow) Code() string { return "far" }

// Terminal is an output of the controller.
type Terminal string

// The outputs: for detectors, and for what sounds.
const (
	DetectorOutput Terminal = "detectors"
	AlarmOutput    Terminal = "alarm"
)

// Code names it.
func (t Terminal) Code() string { return "terminal/" + string(t) }

func (t Terminal) lack() LackCode {
	if t == AlarmOutput {
		return LackAlarmOutput
	}
	return LackDetectorOutput
}
func (InternalRow) Code() string { return "internal" }
func (SagRow) Code() string      { return "sag" }
func (AgeRow) Code() string      { return "age" }
