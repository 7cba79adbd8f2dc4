package judge

import (
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// AlarmLine is a step of one alarm from end to end, and what was shown of it.
type AlarmLine struct {
	Outcome  *record.Outcome
	Result   record.Result // Done or LeftOut; "" while it is open, and for a receipt
	Attempts int
	Rows     []AlarmEvent // of the last attempt
}

// AlarmEvent is an instant of an alarm. Since is counted from the intrusion, in the other steps
// from their first instant; Took from what its limit counts from.
type AlarmEvent struct {
	What        record.Instant          `json:"what"`
	By          record.Witness          `json:"by"`
	Detector    *programme.DetectorName `json:"detector,omitempty"`
	Output      string                  `json:"output,omitempty"`
	Path        string                  `json:"path,omitempty"`
	Said        string                  `json:"said,omitempty"` // by the centre, as typed
	Reference   string                  `json:"reference,omitempty"`
	Never       bool                    `json:"never,omitempty"`
	NotTimed    record.Untimed          `json:"not_timed,omitempty"`
	At          time.Time               `json:"-"`
	Since       time.Duration           `json:"since_nanosecond"`
	Took        time.Duration           `json:"took_nanosecond,omitempty"`
	Uncertainty time.Duration           `json:"uncertainty_nanosecond,omitempty"` // expanded, k = 2
	Limit       string                  `json:"limit,omitempty"`                  // as typed in the site file
	Slack       time.Duration           `json:"slack_nanosecond,omitempty"`       // allowed beyond it
	Ruling      checks.Ruling           `json:"verdict,omitempty"`
	// Ahead is how far the centre's clock was ahead of ours, to the second: it was taken off. nil where the two were
	// not compared.
	// It is by our calendar, which may have been set meanwhile: no part of what is judged.
	Ahead *time.Duration `json:"-"`
}

// Received is the instant at which the centre says that the alarm came.
const Received record.Instant = "received"

// timerSlack is by how much a time that a controller counts may be longer than was declared:
// timers count whole seconds, and both ends are told by messages (*common practice, no source*).
// It makes nothing fail.
const timerSlack = 2 * time.Second

// What may be the matter with an alarm.
type (
	// AlarmNotTried is that no alarm was raised at all.
	AlarmNotTried struct{}
	// AlarmNever is what was waited for and did not come.
	AlarmNever struct {
		What   record.Instant  `json:"what"`
		Output string          `json:"output,omitempty"`
		Kind   site.OutputKind `json:"kind,omitempty"`
	}
	// AlarmTime is a time that was not within what is declared, or too near to tell.
	AlarmTime struct {
		Row AlarmEvent `json:"row"`
	}
	// AlarmEarly is an alarm that came before the declared entry time was over.
	AlarmEarly struct {
		After time.Duration `json:"after_nanosecond"`
		Entry string        `json:"entry"`
	}
	// AlarmOnEntry is an alarm that came before the system was unset, when it may.
	AlarmOnEntry struct {
		After time.Duration `json:"after_nanosecond"`
	}
	// AlarmNotReported is what the controller is said to tell of itself and did not.
	AlarmNotReported struct {
		What []record.Instant `json:"what"`
	}
	// AlarmNotTimed is what happened at an instant that is not known.
	AlarmNotTimed struct {
		What []record.Instant `json:"what"`
	}
	// AlarmNotSeen is an alarm of which nobody said whether it let an output sound or flash.
	AlarmNotSeen struct {
		Output string `json:"output"`
	}
	// AlarmSilenced is an alarm that the technician cut short.
	AlarmSilenced struct{}
	// AlarmUndeclared are times that nobody declared: keys of the site file.
	AlarmUndeclared struct {
		Keys []string `json:"keys"`
	}
	// NotReceived is an alarm that did not reach the centre.
	NotReceived struct {
		Path string `json:"path,omitempty"`
	}
	// ReceiptNotTimed is one whose time at the centre nothing can be held against: nobody
	// compared its clock with ours.
	ReceiptNotTimed struct {
		Path string `json:"path,omitempty"`
	}
	// ReceiptBefore is one that the centre had before there was an alarm, by what it says.
	ReceiptBefore struct {
		Path string        `json:"path,omitempty"`
		By   time.Duration `json:"by_nanosecond"`
	}
)

// Code names the statement.
func (AlarmNotTried) Code() string    { return "alarm-not-tried" }
func (AlarmNever) Code() string       { return "alarm-never" }
func (t AlarmTime) Code() string      { return "alarm-time/" + string(t.Row.Ruling) }
func (AlarmEarly) Code() string       { return "alarm-early" }
func (AlarmOnEntry) Code() string     { return "alarm-on-entry" }
func (AlarmNotReported) Code() string { return "alarm-not-reported" }
func (AlarmNotTimed) Code() string    { return "alarm-not-timed" }
func (AlarmNotSeen) Code() string     { return "alarm-not-seen" }
func (AlarmSilenced) Code() string    { return "alarm-silenced" }
func (AlarmUndeclared) Code() string  { return "alarm-undeclared" }
func (NotReceived) Code() string      { return "not-received" }
func (ReceiptNotTimed) Code() string  { return "receipt-not-timed" }
func (ReceiptBefore) Code() string    { return "receipt-before" }

// Code names the row.
func (e AlarmEvent) Code() string { return "alarm-event/" + string(e.What) }

// ofAlarm are the kinds of steps of an alarm.
func ofAlarm(k programme.StepKind) bool {
	return slices.Contains([]programme.StepKind{programme.StepSetting, programme.StepEntry, programme.StepIntrusion,
		programme.StepReceipt}, k)
}

// Alarm are the steps of one alarm from end to end, none where the visit has none.
func (a *Assessment) Alarm() []AlarmLine { return slices.Clone(a.alarm) }

func (a *Assessment) alarmLine(s *record.Outcome) AlarmLine {
	line := AlarmLine{Outcome: s, Result: s.Result(), Attempts: len(s.Alarms())}
	if s.Step().Kind == programme.StepReceipt {
		if got := s.Receipt(); got != nil && s.Result() != record.LeftOut {
			line.Result = ""
			line.Rows = []AlarmEvent{a.receiptRow(s, got)}
		}
		return line
	}
	if last := a.attemptOf(s); last != nil {
		line.Rows = a.alarmRows(s, last)
	}
	return line
}

// attemptOf is the attempt that counts: the last that was carried to its end, or, of a step
// that was left out then, the last that failed since: to begin anew and leave it out takes
// nothing back.
func (a *Assessment) attemptOf(s *record.Outcome) *record.Alarm {
	all := s.Alarms()
	if s.Result() != record.LeftOut || len(all) == 0 {
		return s.LastAlarm()
	}
	for _, one := range slices.Backward(all) {
		if one.Done() || a.failedIn(s, one) {
			return one
		}
	}
	return all[len(all)-1]
}

func (a *Assessment) failedIn(s *record.Outcome, one *record.Alarm) bool {
	_, alarmed := one.First(record.Alarmed, nil)
	return alarmed && s.Step().Kind == programme.StepEntry ||
		slices.ContainsFunc(a.alarmRows(s, one), func(e AlarmEvent) bool { return e.Never || e.Ruling == checks.Fail })
}

// originsOf are the instants that those of a step are counted from, the first that there is.
var originsOf = map[programme.StepKind][]record.Instant{
	programme.StepSetting:   {record.Setting},
	programme.StepEntry:     {record.EntryOpened, record.Entering},
	programme.StepIntrusion: {record.Intruded},
}

func originOf(s *record.Outcome, last *record.Alarm) (record.Timed, bool) {
	for _, what := range originsOf[s.Step().Kind] {
		if t, is := last.First(what, nil); is {
			return t, true
		}
	}
	return record.Timed{}, false
}

// startsOf are the cues with which the steps start.
var startsOf = map[programme.StepKind]record.Instant{
	programme.StepSetting: record.ToSet, programme.StepEntry: record.ToEnter, programme.StepIntrusion: record.ToIntrude,
}

// belongs tells whether an instant is one of what the step shows: what came before its start, or
// how the system stood before what it counts from, is of something else. What the technician
// says, and the instant that a step is for where it has no later one, is never passed over.
func (a *Assessment) belongs(s *record.Outcome, last *record.Alarm, t record.Timed) bool {
	if t.Never || t.What == record.SilencedNow {
		return true
	}
	from, is := last.First(startsOf[s.Step().Kind], nil)
	if slices.Contains([]record.Instant{record.Unset, record.AlarmOver, record.Setting, record.SystemSet}, t.What) {
		if origin, counted := originOf(s, last); counted {
			from, is = origin, true
		}
	}
	early := func(o record.Timed) bool {
		_, uncertainty := last.Between(from, o)
		return is && o.Elapsed < from.Elapsed-uncertainty
	}
	if !early(t) {
		return true
	}
	aim := map[programme.StepKind]record.Instant{
		programme.StepSetting: record.SystemSet,
		programme.StepEntry:   record.Unset,
	}
	_, later := last.First(t.What, func(o record.Timed) bool { return !early(o) })
	return aim[s.Step().Kind] == t.What && !later
}

// alarmRows are the instants of an attempt, each once: that of the controller where both told
// it.
func (a *Assessment) alarmRows(s *record.Outcome, last *record.Alarm) (rows []AlarmEvent) {
	origin, counted := originOf(s, last)
	for _, t := range last.Instants() {
		if !a.belongs(s, last, t) {
			continue
		}
		best, _ := last.First(t.What, func(o record.Timed) bool {
			return o.Point == t.Point && o.Output == t.Output && a.belongs(s, last, o)
		})
		again := t.What == record.SilencedNow || t.What == record.OutputOn && best.Never != t.Never
		before := s.Step().Kind != programme.StepSetting && !t.Never &&
			(t.What == record.Setting || t.What == record.SystemSet)
		if before || t.What.Cues() || best.Entry != t.Entry && !again {
			continue
		}
		row := AlarmEvent{What: t.What, By: t.By, Output: t.Output, Never: t.Never, NotTimed: t.NotTimed, At: t.At}
		if z, d, err := a.record.Site().Find(t.Point); err == nil && t.Point != "" {
			row.Detector = &programme.DetectorName{Point: t.Point, Name: d.Name, Zone: programme.NameOfZone(z)}
		}
		if counted && !t.Never {
			row.Since, row.Uncertainty = last.Between(origin, t)
			if origin.NotTimed != "" && t.Entry != origin.Entry {
				row.NotTimed = origin.NotTimed
			}
		}
		a.holdRow(s, last, t, &row)
		rows = append(rows, row)
	}
	return rows
}

// holdRow holds an instant against what is declared.
func (a *Assessment) holdRow(s *record.Outcome, last *record.Alarm, t record.Timed, row *AlarmEvent) {
	declared := a.record.Site().Setting
	from, counted := originOf(s, last)
	limit, slack := checks.Quantity{}, time.Duration(0)
	switch {
	case t.What == record.SystemSet && s.Step().Kind == programme.StepSetting:
		limit, slack = declared.Exit, timerSlack
	case t.What == record.Unset && s.Step().Kind == programme.StepEntry:
		limit, slack = declared.Entry, timerSlack
	case t.What == record.OutputOn:
		if o := a.record.Site().Output(t.Output); o == nil || o.Kind != site.Sounder {
			return
		}
		for _, i := range last.Instants() { // the last that was needed for it
			if best, _ := last.First(record.Intruded, func(o record.Timed) bool { return o.Point == i.Point }); i.What == record.Intruded {
				from = best
			}
		}
		limit = declared.SounderWithin
	case t.What == record.OutputOff:
		a.holdCutOff(last, t, row)
		return
	}
	if !limit.Given() || t.Never {
		return
	}
	row.Limit = limit.Text
	if !counted { // nobody knows when it began
		return
	}
	if row.NotTimed != "" || from.NotTimed != "" {
		row.NotTimed = t.NotTimed
		if row.NotTimed == "" {
			row.NotTimed = from.NotTimed
		}
		return
	}
	row.Took, row.Uncertainty = last.Between(from, t)
	if t.What != record.OutputOn && row.Took < -row.Uncertainty {
		return // it came before what it is counted from
	}
	row.Slack = slack
	row.Ruling = within(row.Took, row.Uncertainty, limit.Duration()+slack)
}

// holdCutOff holds the time after which an output stopped by itself against the declared one,
// as in its own trial.
func (a *Assessment) holdCutOff(last *record.Alarm, t record.Timed, row *AlarmEvent) {
	o := a.record.Site().Output(t.Output)
	on, is := last.First(record.OutputOn, func(b record.Timed) bool { return b.Output == t.Output })
	if o == nil || !is || !o.CutOff.Given() || t.NotTimed != "" || on.NotTimed != "" {
		return
	}
	row.Took, row.Uncertainty = last.Between(on, t)
	row.Limit = o.CutOff.Text
	row.Ruling = cutOffOf(o, &record.Taken{Reading: record.Reading{Value: row.Took.Seconds()}}).Ruling
}

// within holds a time against the longest that is declared.
func within(took, uncertainty, limit time.Duration) checks.Ruling {
	d, err := checks.Decide(took.Seconds(), uncertainty.Seconds(), checks.AtMost(limit.Seconds()))
	if err != nil {
		return checks.Undecided
	}
	return d.Ruling
}

// ahead is how far a clock that showed a time of day at an instant of ours was ahead of the clock on the premises.
func (a *Assessment) ahead(at time.Time, showed time.Duration) *time.Duration {
	local := a.record.Local(at)
	midnight := time.Date(local.Year(), local.Month(), local.Day(), 0, 0, 0, 0, local.Location())
	by := (showed - local.Sub(midnight)).Round(time.Second)
	for by < -12*time.Hour {
		by += 24 * time.Hour
	}
	for by > 12*time.Hour {
		by -= 24 * time.Hour
	}
	return &by
}

// receiptRow is what the centre says of a path. How long the alarm took is known only where
// its clock was compared with ours in the same run.
func (a *Assessment) receiptRow(s *record.Outcome, got *record.Receipt) AlarmEvent {
	row := AlarmEvent{What: Received, By: record.ByCentre, Path: s.Step().Path, Said: got.Time, Never: got.Never,
		Reference: got.Reference, At: got.At}
	limit := a.pathOf(s).Within
	row.Limit = limit.Text
	if got.Never || got.Compared == nil || got.Intruded == nil {
		return row
	}
	if got.Compared.NotTimed != "" || got.Intruded.NotTimed != "" {
		return row
	}
	came, fine, err := record.TimeOfDay(got.Time)
	showed, coarse, err2 := record.TimeOfDay(got.Showed)
	if err != nil || err2 != nil {
		return row // the fold has checked both
	}
	// A clock shows what it has passed: half of a step is added to each.
	ago := showed + coarse/2 - came - fine/2
	for ago < -12*time.Hour {
		ago += 24 * time.Hour
	}
	for ago > 12*time.Hour {
		ago -= 24 * time.Hour
	}
	row.Since = got.Compared.Elapsed - got.Intruded.Elapsed - ago
	row.Ahead = a.ahead(got.Compared.At, showed+coarse/2)
	row.Took = row.Since
	one, _ := checks.FromResolution(fine.Seconds()) // not negative
	other, _ := checks.FromResolution(coarse.Seconds())
	u, _, err := checks.Combined(checks.Contribution{Standard: one}, checks.Contribution{Standard: other},
		checks.Contribution{Standard: got.Compared.Uncertainty.Seconds() / 2},
		checks.Contribution{Standard: got.Intruded.Uncertainty.Seconds() / 2})
	if err != nil {
		return row
	}
	row.Uncertainty = time.Duration(2 * u * float64(time.Second))
	switch {
	case !limit.Given():
	case row.Took < -row.Uncertainty: // before there was an alarm: it tells of no delay
		row.Ruling = checks.Undecided
	default:
		row.Ruling = within(row.Took, row.Uncertainty, limit.Duration())
	}
	// Whether the centre is told of the first detector or of the second, nobody declared.
	if row.Ruling == checks.Fail && within(row.Took-a.untilConfirmed(), row.Uncertainty, limit.Duration()) != checks.Fail {
		row.Ruling = checks.Undecided
	}
	return row
}

// untilConfirmed is how long after the first detector the last one was operated, where an alarm
// takes both.
func (a *Assessment) untilConfirmed() (longest time.Duration) {
	o := a.record.Find(programme.IDAlarmIntrusion)
	if o == nil || o.LastAlarm() == nil || !a.record.Site().Setting.Confirmed {
		return 0
	}
	first, _ := o.LastAlarm().First(record.Intruded, nil)
	for _, t := range o.LastAlarm().Instants() {
		if t.What == record.Intruded && t.Point != first.Point {
			longest, _ = o.LastAlarm().Between(first, t)
		}
	}
	return longest
}

func (a *Assessment) pathOf(s *record.Outcome) site.Path {
	for _, p := range a.record.Site().Monitoring.SignalledBy() {
		if p.Name == s.Step().Path {
			return p
		}
	}
	return site.Path{}
}

// tried tells whether anything was done for a step; one that is open still was perhaps not reached.
func (l AlarmLine) tried() bool {
	return l.Attempts > 0 || l.Result != "" && l.Result != record.LeftOut
}

// findAlarm lists what is the matter with the alarm.
func (a *Assessment) findAlarm() {
	if len(a.alarm) == 0 {
		return
	}
	if !slices.ContainsFunc(a.alarm, func(l AlarmLine) bool { return l.tried() }) {
		a.limit(Finding{Step: a.alarm[0].Outcome.Step().ID, Subject: Subject{Part: PartAlarm}, What: AlarmNotTried{},
			Because: a.alarm[0].Outcome.Remark()})
		return
	}
	for _, l := range a.alarm {
		a.findAlarmLine(l)
	}
	a.findUndeclaredAlarm()
}

func (a *Assessment) findAlarmLine(l AlarmLine) {
	step := l.Outcome.Step()
	f := Finding{Step: step.ID, Subject: a.aboutStep(step), Because: l.Outcome.Remark()}
	say := func(list func(Finding), what Statement) { f.What = what; list(f) }
	if l.Result == record.LeftOut {
		say(a.limit, NotTested{})
	}
	f.Because = ""
	var untimed []record.Instant
	for _, row := range l.Rows {
		switch {
		case row.What == Received:
			a.findReceipt(f, row)
			continue
		case row.Never:
			never := AlarmNever{What: row.What, Output: row.Output}
			if o := a.record.Site().Output(row.Output); o != nil {
				never.Kind = o.Kind
			}
			say(a.defect, never)
		case row.Ruling == checks.Fail:
			say(a.defect, AlarmTime{row})
		case l.Result == record.LeftOut:
		case row.Ruling == checks.Undecided:
			say(a.limit, AlarmTime{row})
		case row.What == record.SilencedNow:
			say(a.limit, AlarmSilenced{})
		case row.Ruling == "" && row.Limit != "":
			untimed = append(untimed, row.What)
		}
	}
	if len(untimed) > 0 {
		say(a.limit, AlarmNotTimed{untimed})
	}
	switch step.Kind {
	case programme.StepEntry:
		a.findOnEntry(f, l)
	case programme.StepIntrusion:
		for _, output := range a.notSeen(l) {
			say(a.limit, AlarmNotSeen{output})
		}
	}
	if missing := a.notReported(l); len(missing) > 0 {
		say(a.limit, AlarmNotReported{missing})
	}
}

func (a *Assessment) findReceipt(f Finding, row AlarmEvent) {
	switch {
	case row.Never:
		f.What = NotReceived{row.Path}
		a.defect(f)
	case row.Limit == "":
	case row.Ruling == "":
		f.What = ReceiptNotTimed{row.Path}
		a.limit(f)
	case row.Took < -row.Uncertainty:
		f.What = ReceiptBefore{row.Path, -row.Took}
		a.limit(f)
	case row.Ruling == checks.Fail:
		f.What = AlarmTime{row}
		a.defect(f)
	case row.Ruling == checks.Undecided:
		f.What = AlarmTime{row}
		a.limit(f)
	}
}

// notSeen are outputs of which a whole alarm that nobody silenced says nothing.
func (a *Assessment) notSeen(l AlarmLine) (outputs []string) {
	silenced := slices.ContainsFunc(l.Rows, func(e AlarmEvent) bool { return e.What == record.SilencedNow })
	if l.Result != record.Done || silenced {
		return nil
	}
	for _, o := range a.record.Site().AlarmOutputs() {
		if !slices.ContainsFunc(l.Rows, func(e AlarmEvent) bool { return e.What == record.OutputOn && e.Output == o.Name }) {
			outputs = append(outputs, o.Name)
		}
	}
	return outputs
}

// findOnEntry lists an alarm that came before the system was unset. Where the declared entry
// time was not over, the controller did not keep it; else the technician was late, or nobody
// knows.
func (a *Assessment) findOnEntry(f Finding, l AlarmLine) {
	last := a.attemptOf(l.Outcome)
	if last == nil {
		return
	}
	origin, counted := originOf(l.Outcome, last)
	alarm, came := last.First(record.Alarmed, nil)
	unset, is := last.First(record.Unset, func(o record.Timed) bool { return a.belongs(l.Outcome, last, o) })
	if !came || is && !unset.Never && alarm.Elapsed > unset.Elapsed {
		return
	}
	after, uncertainty := last.Between(origin, alarm)
	entry := a.record.Site().Setting.Entry
	if counted && entry.Given() && origin.NotTimed == "" && alarm.NotTimed == "" &&
		after+uncertainty+timerSlack < entry.Duration() {
		f.What = AlarmEarly{after, entry.Text}
		a.defect(f)
		return
	}
	f.What = AlarmOnEntry{max(0, after)}
	a.limit(f)
}

// toldBy are the aspects that tell the instants of a kind of step.
var toldBy = map[programme.StepKind]map[record.Instant]signal.Aspect{
	programme.StepSetting: {record.SystemSet: signal.Set},
	programme.StepEntry:   {record.Unset: signal.Set},
	programme.StepIntrusion: {record.Unset: signal.Set, record.Alarmed: signal.Alarm,
		record.Confirmed: signal.Confirmed},
}

// notReported are instants that the controller is said to tell and did not, though all was
// heard of it and the step was carried to its end. What it told before anybody was told to
// operate the detector came of something else.
func (a *Assessment) notReported(l AlarmLine) (missing []record.Instant) {
	last := l.Outcome.LastAlarm()
	if last == nil || last.Lost() || l.Result == record.LeftOut {
		return nil
	}
	cue, _ := last.First(record.ToIntrude, nil)
	after := func(t record.Timed) bool { return t.Elapsed >= cue.Elapsed }
	for _, what := range []record.Instant{record.SystemSet, record.Alarmed, record.Confirmed, record.Unset} {
		aspect, of := toldBy[l.Outcome.Step().Kind][what]
		got, is := last.First(what, after)
		switch {
		case !of || !last.Tells(aspect), is && (got.Never || got.By == record.ByReport),
			what == record.Confirmed && !a.record.Site().Setting.Confirmed:
		default:
			missing = append(missing, what)
		}
	}
	return missing
}

// findUndeclaredAlarm lists times that were taken, or asked for, and that nobody declared.
func (a *Assessment) findUndeclaredAlarm() {
	s := a.record.Site()
	var keys []string
	lacks := func(key string, q checks.Quantity, needed bool) {
		if needed && !q.Given() && !slices.Contains(keys, key) {
			keys = append(keys, key)
		}
	}
	lacks("setting.exit_time", s.Setting.Exit, true)
	lacks("setting.entry_time", s.Setting.Entry, true)
	lacks("setting.sounder_within", s.Setting.SounderWithin, s.Sounder() != nil)
	for _, p := range s.Monitoring.SignalledBy() {
		lacks("monitoring.paths[].within", p.Within, true)
	}
	if len(keys) > 0 {
		a.limit(Finding{Subject: Subject{Part: PartAlarm}, What: AlarmUndeclared{keys}})
	}
}

// JudgedAlarm is a step of an alarm.
type JudgedAlarm struct {
	Step     string        `json:"step"`
	Result   record.Result `json:"result,omitempty"`
	Attempts int           `json:"attempts"`
	Rows     []AlarmEvent  `json:"rows"`
}

func (a *Assessment) judgedAlarm() []JudgedAlarm {
	out := []JudgedAlarm{}
	for _, l := range a.alarm {
		out = append(out, JudgedAlarm{l.Outcome.Step().ID, l.Result, l.Attempts, append([]AlarmEvent{}, l.Rows...)})
	}
	return out
}

func recallsAlarm() {
	readsAs[AlarmNotTried]("alarm-not-tried")
	readsAs[AlarmNever]("alarm-never")
	readsAs[AlarmTime]("alarm-time/fail", "alarm-time/undecided")
	readsAs[AlarmEarly]("alarm-early")
	readsAs[AlarmOnEntry]("alarm-on-entry")
	readsAs[AlarmNotReported]("alarm-not-reported")
	readsAs[AlarmNotTimed]("alarm-not-timed")
	readsAs[AlarmNotSeen]("alarm-not-seen")
	readsAs[AlarmSilenced]("alarm-silenced")
	readsAs[AlarmUndeclared]("alarm-undeclared")
	readsAs[NotReceived]("not-received")
	readsAs[ReceiptNotTimed]("receipt-not-timed")
	readsAs[ReceiptBefore]("receipt-before")
}
