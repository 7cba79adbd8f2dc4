package site

import (
	"time"

	"loopwitness/checks"
)

// Authority is who says what a limit is.
type Authority string

// Who may say it: common practice, no source; the site file; or somebody whom the site
// file names.
const (
	CommonPractice Authority = "common practice"
	SiteFile       Authority = "site file"
	Named          Authority = "named"
)

// Limit is what a reading is held against, in the SI unit of its quantity, and who says
// so.
type Limit struct {
	SI     float64   `json:"si"`
	By     Authority `json:"by"`
	Source string    `json:"source,omitempty"` // as typed, for Named
}

// Code names who says so.
func (l Limit) Code() string { return "limit/" + string(l.By) }

// Duration is a limit on time.
func (l Limit) Duration() time.Duration { return checks.Quantity{SI: l.SI}.Duration() }

// Limits are the acceptance limits of a site.
type Limits struct {
	Response    map[DetectorKind]Limit // cue to report, at most
	Restore     map[DetectorKind]Limit // cue to restored, at most
	ListenFor   map[DetectorKind]Limit // a detector that has not reported by then is silent
	Steady      Limit                  // a report must stand this long
	MainsLower  Limit                  // V, mains present; only as declared
	MainsUpper  Limit                  // V, mains present; only as declared
	Standby     Limit                  // V, mains removed, at least
	AlarmLoad   Limit                  // V, mains removed and everything sounding, at least
	ColdRestart Limit                  // all power back to the first report, at most
	MainsFault  Limit                  // until mains failure is reported, at most; only as declared
	// BatteryFault is until a battery that is disconnected is reported, at most; only as declared.
	BatteryFault Limit
	Margin       Limit  // dB, of a sounder over the ambient level; only as declared
	Insulation   Limit  // Ω, of a reused cable; published unless declared
	Source       string // who sets those that the file declares, as typed
}

// OfFault is what is declared of how soon a fault of the supply is reported: its zero value
// for nothing.
func (l Limits) OfFault(battery bool) Limit {
	if battery {
		return l.BatteryFault
	}
	return l.MainsFault
}

// Declared tells whether somebody set the limit: the site file, or whom it names.
func (l Limit) Declared() bool { return l.By == SiteFile || l.By == Named }

// defaultLimits are common practice, no source: what installers commonly take. Those
// that stay empty have no default: published ranges by chemistry count for them.
func defaultLimits() Limits {
	of := func(id string) Limit { return Limit{SI: checks.Usual(id), By: CommonPractice} }
	l := Limits{
		Steady: of("limit/steady"), Standby: of("limit/standby-lower"), AlarmLoad: of("limit/alarm-load-lower"),
		ColdRestart: of("limit/cold-restart"),
		Response:    map[DetectorKind]Limit{}, ListenFor: map[DetectorKind]Limit{}, Restore: map[DetectorKind]Limit{},
	}
	for kind := range traits {
		l.Response[kind] = of("response/" + string(kind))
		l.ListenFor[kind] = of("listen_for/" + string(kind))
		l.Restore[kind] = of("restore/" + string(kind))
	}
	return l
}

// single are the keys of the file's limits section that hold one value, with the place
// that each fills.
func (l *Limits) single() map[string]*Limit {
	return map[string]*Limit{"steady": &l.Steady, "mains_lower": &l.MainsLower, "mains_upper": &l.MainsUpper,
		"standby_lower": &l.Standby, "alarm_load_lower": &l.AlarmLoad, "cold_restart": &l.ColdRestart,
		"margin": &l.Margin, "insulation": &l.Insulation, "mains_fault": &l.MainsFault, "battery_fault": &l.BatteryFault}
}

// defaultHold is how long mains stays removed unless the file says otherwise:
// common practice, no source.
var defaultHold = time.Duration(checks.Usual("limit/hold")) * time.Minute

// readingsOver spreads readings over a hold time: at once, after a tenth, at
// half and at the end.
func readingsOver(hold time.Duration) []time.Duration {
	return []time.Duration{0, hold / 10, hold / 2, hold}
}
