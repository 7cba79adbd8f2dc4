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
	Response    Limit                  // cue to report, at most
	Restore     map[DetectorKind]Limit // cue to restored, at most
	ListenFor   Limit                  // a detector that has not reported by then is silent
	Steady      Limit                  // a report must stand this long
	MainsLower  Limit                  // V, mains present
	MainsUpper  Limit
	Standby     Limit // V, mains removed, at least
	AlarmLoad   Limit // V, mains removed and sounder on, at least
	ColdRestart Limit // all power back to the first report, at most
}

// defaultLimits are common practice, no source: what installers commonly take.
func defaultLimits() Limits {
	of := func(si float64) Limit { return Limit{SI: si, By: CommonPractice} }
	l := Limits{
		Response: of(2), ListenFor: of(15), Steady: of(1),
		MainsLower: of(12.0), MainsUpper: of(15.0), Standby: of(11.5), AlarmLoad: of(10.5),
		ColdRestart: of(120), Restore: map[DetectorKind]Limit{},
	}
	for kind, trait := range traits {
		l.Restore[kind] = of(trait.RestoreLimit.Seconds())
	}
	return l
}

// limitKeys are the keys of the file's limits section, with their dimension
// and the place they fill.
func limitKeys(l *Limits) []struct {
	Key string
	In  checks.Dimension
	To  *Limit
} {
	return []struct {
		Key string
		In  checks.Dimension
		To  *Limit
	}{
		{"response", checks.Time, &l.Response},
		{"listen_for", checks.Time, &l.ListenFor},
		{"steady", checks.Time, &l.Steady},
		{"mains_lower", checks.Voltage, &l.MainsLower},
		{"mains_upper", checks.Voltage, &l.MainsUpper},
		{"standby_lower", checks.Voltage, &l.Standby},
		{"alarm_load_lower", checks.Voltage, &l.AlarmLoad},
		{"cold_restart", checks.Time, &l.ColdRestart},
	}
}

// defaultHold is how long mains stays removed unless the file says otherwise:
// common practice, no source.
const defaultHold = 10 * time.Minute

// readingsOver spreads readings over a hold time: at once, after a tenth, at
// half and at the end.
func readingsOver(hold time.Duration) []time.Duration {
	return []time.Duration{0, hold / 10, hold / 2, hold}
}
