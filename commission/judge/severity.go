package judge

import (
	"cmp"
	"fmt"
	"slices"

	"loopwitness/checks"
	"loopwitness/commission/programme"
)

// Severity is how soon something has to be done about a finding or limitation.
type Severity string

// The severities: act now; put right; worth knowing, or still to be shown.
const (
	Danger Severity = "danger"
	Fault  Severity = "fault"
	Advice Severity = "advice"
)

// Severities are all of them, the gravest first.
var Severities = []Severity{Danger, Fault, Advice}

// Code names the severity.
func (s Severity) Code() string { return "severity/" + string(s) }

// Remedy is what to do about a finding or limitation.
type Remedy string

// The remedies.
const (
	StopCharging   Remedy = "stop charging"   // disconnect the battery, fit what matches
	PutRight       Remedy = "put right"       // and test again
	TestIt         Remedy = "test it"         // what was not tested
	TimeIt         Remedy = "time it"         // what was reported only
	MeasureIt      Remedy = "measure it"      // what is too near its limit
	ReadAgain      Remedy = "read again"      // a battery that may still be charging
	RenewBattery   Remedy = "renew battery"   // and dispose of the old one properly
	SizeSupply     Remedy = "size supply"     // a larger adapter or battery, or less load
	ShortenRun     Remedy = "shorten run"     // shorter or thicker cable, or a supply nearby
	DeclareIt      Remedy = "declare it"      // in the site file
	CorrectMap     Remedy = "correct map"     // controller.yaml
	LowerRisk      Remedy = "lower risk"      // standby power, a second path, a battery
	GetCalibrated  Remedy = "get calibrated"  // an instrument
	AgreeIt        Remedy = "agree it"        // with the customer
	RestoreNow     Remedy = "restore now"     // mains
	SeeOtherVisit  Remedy = "see other visit" // that a retest follows
	FollowFireCode Remedy = "follow fire code"
	TakeInEarnest  Remedy = "take in earnest" // practice is no evidence
	FitResistor    Remedy = "fit resistor"    // at the end of the line
	AskMaker       Remedy = "ask maker"
	CheckPower     Remedy = "check power"    // of controller and path, at the change-over
	ExplainIt      Remedy = "explain it"     // whoever made the record has to
	PutBack        Remedy = "put back"       // a photograph's file
	LookAhead      Remedy = "look ahead"     // before it fails
	CompareClocks  Remedy = "compare clocks" // the centre's, in the same run as the alarm
	NoRemedy       Remedy = "none"
	TakeNextTime   Remedy = "take next time" // detectors that were not sampled
	ReadEarlier    Remedy = "read earlier"   // a record that could not be read
	TakeReading    Remedy = "measure"        // what was not measured
	LoadTest       Remedy = "load test"      // a battery beyond what is usual
	DoIt           Remedy = "do it"          // a line of a list, or an act
	TakeOffTest    Remedy = "take off test"  // at the receiving centre
)

// Code names the remedy.
func (r Remedy) Code() string { return "remedy/" + string(r) }

// consequence is how grave a statement is and what to do about it.
type consequence struct {
	Severity Severity
	Remedy   Remedy
}

// consequences has every statement by its code; those of computed rows by that of the row, those
// of trials by that of the verdict.
var consequences = map[string]consequence{
	"not-so":                 {Fault, PutRight},
	"not-checked":            {Advice, DoIt},
	"not-done":               {Advice, DoIt},
	"still-on-test":          {Fault, TakeOffTest},
	"not-tested":             {Fault, TestIt},
	"no-part":                {Fault, TestIt},
	"proved-with-mains":      {Advice, TestIt},
	"proved-then-left":       {Advice, TestIt},
	"also-answered":          {Fault, PutRight},
	"report-garbled":         {Advice, CorrectMap},
	"only-timed":             {Advice, FollowFireCode},
	"only-reported":          {Advice, FollowFireCode},
	"not-timed":              {Advice, TimeIt},
	"none-proved":            {Fault, PutRight},
	"strangers-reported":     {Advice, CorrectMap},
	"heard-elsewhere":        {Advice, CorrectMap},
	"signals-lost":           {Advice, NoRemedy},
	"contradicted":           {Fault, ExplainIt},
	"was-absent":             {Advice, NoRemedy},
	"clock-set":              {Advice, NoRemedy},
	"shown/late":             {Fault, PutRight},
	"shown/silent":           {Fault, PutRight},
	"shown/crossed":          {Fault, PutRight},
	"shown/inverted":         {Fault, PutRight},
	"shown/unsteady":         {Fault, PutRight},
	"shown/undecided":        {Advice, MeasureIt},
	"reading-void":           {Advice, MeasureIt},
	"not-measured":           {Advice, TakeReading},
	"reading-outside":        {Fault, PutRight},
	"reading-undecided":      {Advice, MeasureIt},
	"calibration-not-stated": {Advice, GetCalibrated},
	"calibration-over":       {Advice, GetCalibrated},
	"uncertainty-not-stated": {Advice, MeasureIt},
	"no-voltmeter":           {Advice, TakeReading},
	"path-on-mains":          {Fault, LowerRisk},
	"path-not-known":         {Advice, TestIt},
	"no-battery":             {Fault, LowerRisk},
	"no-output":              {Fault, LowerRisk},
	"no-centre":              {Advice, DeclareIt},
	"next-not-said":          {Advice, DeclareIt},
	"not-known":              {Advice, DeclareIt},
	"taken-as":               {Advice, DeclareIt},
	"not-told":               {Advice, NoRemedy},
	"beyond-extent":          {Advice, TestIt},
	"extent-not-said":        {Advice, NoRemedy},
	"mains-still-removed":    {Danger, RestoreNow},
	"battery-still-off":      {Danger, RestoreNow},
	"fault-silent":           {Fault, PutRight},
	"fault-late":             {Fault, PutRight},
	"fault-undecided":        {Advice, TestIt},
	"fault-before":           {Advice, TestIt},
	"fault-stays":            {Fault, PutRight},
	"fault-lapsed":           {Fault, PutRight},
	"fault-not-seen":         {Advice, TestIt},
	"not-charging-seen":      {Fault, PutRight},
	"charging-seen":          {Advice, MeasureIt},
	"switch-over-lost":       {Fault, CheckPower},
	"reporting-interrupted":  {Advice, TestIt},
	"switch-over-unseen":     {Advice, TestIt},
	"restart-silent":         {Fault, PutRight},
	"restart-late":           {Fault, PutRight},
	"restart-undecided":      {Advice, MeasureIt},
	"not-observed":           {Fault, PutRight},
	"switched-off-late":      {Fault, PutRight},
	"not-computed":           {Advice, DeclareIt},
	"unwatched":              {Advice, FitResistor},
	"float-disputed":         {Advice, AskMaker},
	"rests-on-defaults":      {Advice, DeclareIt},
	"limits-assumed":         {Advice, DeclareIt},
	"power-unknown":          {Advice, DeclareIt},
	"practice":               {Advice, TakeInEarnest},
	"timed-differently":      {Advice, NoRemedy},
	"customer-refused":       {Advice, AgreeIt},
	"nobody-signed":          {Advice, AgreeIt},
	"not-accepted":           {Advice, AgreeIt},
	"retest-extent":          {Advice, SeeOtherVisit},
	"photograph-lost":        {Advice, PutBack},
	"got-worse":              {Advice, LookAhead},
	"still-so":               {Fault, PutRight}, // and see Then
	"still-unknown":          {Fault, TestIt},
	"not-sampled":            {Advice, TakeNextTime},
	"earlier-unread":         {Advice, ReadEarlier},
	"alarm-not-tried":        {Fault, TestIt},
	"alarm-never":            {Fault, PutRight},
	"alarm-time/fail":        {Fault, PutRight},
	"alarm-time/undecided":   {Advice, MeasureIt},
	"alarm-early":            {Fault, PutRight},
	"alarm-on-entry":         {Advice, TestIt},
	"alarm-not-reported":     {Advice, CorrectMap},
	"alarm-not-timed":        {Advice, TimeIt},
	"alarm-silenced":         {Advice, TestIt},
	"alarm-not-seen":         {Fault, TestIt},
	"alarm-undeclared":       {Advice, DeclareIt},
	"not-received":           {Fault, PutRight},
	"receipt-not-timed":      {Advice, CompareClocks},
	"receipt-before":         {Advice, CompareClocks},
	"computed/adapter":       {Fault, SizeSupply},
	"computed/standby":       {Fault, SizeSupply},
	"computed/energy":        {Fault, SizeSupply},
	"computed/charger":       {Fault, PutRight},
	"computed/recharge":      {Fault, SizeSupply},
	"computed/output-limit":  {Fault, SizeSupply},
	"computed/drop":          {Fault, ShortenRun},
	"computed/charging":      {Fault, PutRight},
	"computed/sag":           {Fault, RenewBattery},
	"computed/internal":      {Fault, RenewBattery},
	"computed/age":           {Advice, RenewBattery},
	"computed/current":       {Advice, SizeSupply},
	"computed/system":        {Advice, SizeSupply},
	"computed/system-alarm":  {Advice, SizeSupply},
	"computed/far":           {Fault, ShortenRun},
	"computed/level":         {Fault, PutRight},
	"computed/cut-off":       {Fault, PutRight},
	"computed/margin":        {Fault, PutRight},
	"computed/loop":          {Fault, PutRight},
	"computed/continuity":    {Fault, LayNew},
	"computed/insulation":    {Fault, LayNew},
	"reuse-not-said":         {Advice, DeclareIt},
	"cables-left-out":        {Fault, TestIt},
	"cable-unmeasured":       {Advice, TakeReading},
	"tester-uncertain":       {Advice, MeasureIt},
}

// consequence is what the table says of a finding. What is only undecided asks for another look,
// and what is late by a limit that is only ours for one that somebody declares.
func (f Finding) consequence() consequence {
	out := consequences[f.What.Code()]
	switch what := f.What.(type) {
	case StillSo:
		return what.Then.consequence()
	case StillUnknown:
		return what.Then.consequence()
	case ComputedSo:
		switch {
		case what.Danger && what.Ruling == checks.Undecided: // by a number of cells that nobody declared
			return consequence{Danger, DeclareIt}
		case what.Danger:
			return consequence{Danger, StopCharging}
		case what.Ruling == checks.Undecided:
			return consequence{Advice, what.whileUndecided(out.Remedy)}
		}
	case ReadingUndecided:
		switch step := f.Subject.Step; {
		case what.Beyond && step != nil && (programme.IsStandby(step.ID) || step.ID == programme.IDAlarmLoad):
			return consequence{Advice, LoadTest}
		case what.Beyond:
			return consequence{Advice, DeclareIt}
		}
	case NotComputed:
		if slices.ContainsFunc(what.Lacks, func(l Lack) bool { return l.FromVisit() && l.What != LackSense }) {
			return consequence{Advice, TakeReading}
		}
	case Shown:
		if what.OurLimit {
			return consequence{Advice, DeclareIt}
		}
	case FaultSilent:
		switch {
		case what.Short || what.Cut:
			return consequence{Advice, TestIt}
		case what.Open:
			return consequence{Advice, DeclareIt}
		}
	case FaultNotSeen:
		if what.Waited > 0 {
			return consequence{Fault, PutRight}
		}
	case RestartLate:
		if !what.Limit.Declared() {
			return consequence{Advice, DeclareIt}
		}
	}
	return out
}

// lookAgain is what to do about a row that rests on readings and could not decide.
var lookAgain = map[string]Remedy{"charging": ReadAgain, "sag": MeasureIt, "internal": MeasureIt, "far": MeasureIt,
	"continuity": MeasureIt, "insulation": MeasureIt, "current": DeclareIt, "system": DeclareIt, "system-alarm": DeclareIt}

// whileUndecided is what to do about a row where its remedy is not yet known to be needed. What
// rests on a default asks for the value; a size that is neither enough nor too small by all
// sources stays what it is, and so does an age.
func (c ComputedSo) whileUndecided(remedy Remedy) Remedy {
	age, _ := c.Row.(AgeRow) // of another row the age is none, and no wrong date
	again, reads := lookAgain[c.Row.Code()]
	internal, _ := c.Row.(InternalRow)
	switch {
	case internal.Beyond:
		return LoadTest
	case len(c.Assumed) > 0, age.BeforeFitted(),
		slices.ContainsFunc(c.Lacks, func(l Lack) bool { return !l.FromVisit() }):
		return DeclareIt
	case reads:
		return again
	case remedy == PutRight:
		return MeasureIt
	}
	return remedy
}

// Severity is how soon something has to be done about it.
func (f Finding) Severity() Severity { return f.consequence().Severity }

// Remedy is what to do about it.
func (f Finding) Remedy() Remedy { return f.consequence().Remedy }

// ordered sorts findings by severity and weight, otherwise as they were found, and numbers them.
func ordered(all []Finding, letter string) []Finding {
	slices.SortStableFunc(all, func(a, b Finding) int {
		return cmp.Or(cmp.Compare(slices.Index(Severities, a.Severity()), slices.Index(Severities, b.Severity())),
			cmp.Compare(a.weight(), b.weight()))
	})
	for i := range all {
		all[i].ID = numbered(letter, i)
	}
	return all
}

// numbered is the number of the finding behind so many others.
func numbered(letter string, before int) string { return fmt.Sprintf("%s%d", letter, before+1) }
