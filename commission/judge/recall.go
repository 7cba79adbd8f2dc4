package judge

import (
	"encoding/json"
	"reflect"
)

// Recall is the finding that said these codes and arguments, without number and step. It is
// not known where this version has no such code, or would say something else by it: these
// may come from any version, and from anybody.
func Recall(said []byte) (f Finding, known bool) {
	var it struct {
		Code    string `json:"code"`
		Subject struct {
			Subject
			Computed json.RawMessage `json:"computed"`
		} `json:"subject"`
		With    json.RawMessage `json:"with"`
		Because string          `json:"because"`
		Noted   []string        `json:"noted"`
		Since   []Worsened      `json:"since"`
	}
	if json.Unmarshal(said, &it) != nil {
		return Finding{}, false
	}
	read, known := statements[it.Code]
	if !known || carriesOn[it.Code] && carriesOn[carriedBy(it.With)] {
		return Finding{}, false // nothing is carried on of what was carried on: see thenOf
	}
	f = Finding{Subject: it.Subject.Subject, Because: it.Because, Noted: it.Noted, Since: it.Since}
	var err error
	if f.What, err = read(it.With); err != nil {
		return Finding{}, false
	}
	if c, is := f.What.(ComputedSo); is && len(it.Subject.Computed) > 0 {
		if f.Subject.Computed, err = readRow(c.Row.Code(), it.Subject.Computed); err != nil {
			return Finding{}, false
		}
	}
	return f, alike(f.Said(), said)
}

// carriesOn are the codes of what is carried on from an earlier visit.
var carriesOn = map[string]bool{StillSo{}.Code(): true, StillUnknown{}.Code(): true}

// carriedBy is the code of what such a statement carries on.
func carriedBy(with json.RawMessage) string {
	var it struct {
		Then struct {
			Said struct {
				Code string `json:"code"`
			} `json:"said"`
		} `json:"then"`
	}
	_ = json.Unmarshal(with, &it) // what cannot be read is not known anyway
	return it.Then.Said.Code
}

// alike tells whether two findings say the same, but for keys that say nothing: a probability
// that was settled to 0 is left out when it is written once more.
func alike(a, b []byte) bool {
	var one, other any
	if json.Unmarshal(settledJSON(a), &one) != nil || json.Unmarshal(settledJSON(b), &other) != nil {
		return false
	}
	return reflect.DeepEqual(saying(one), saying(other))
}

// saying is a value of JSON without keys that say nothing.
func saying(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for key, one := range v {
			if one = saying(one); one == nil || one == 0. || one == "" || one == false {
				delete(v, key)
			} else {
				v[key] = one
			}
		}
	case []any:
		for i := range v {
			v[i] = saying(v[i])
		}
	}
	return v
}

// statements are how the arguments of each code are read.
var statements = map[string]func(json.RawMessage) (Statement, error){}

// readsAs tells that codes have arguments of a type.
func readsAs[S Statement](codes ...string) {
	for _, code := range codes {
		statements[code] = func(with json.RawMessage) (Statement, error) {
			var s S
			err := json.Unmarshal(with, &s)
			return s, err
		}
	}
}

// rowsRead are how computed rows are read, by their codes.
var rowsRead = map[string]func(json.RawMessage) (Row, error){}

func readsRow[R Row](codes ...string) {
	for _, code := range codes {
		rowsRead[code] = func(with json.RawMessage) (Row, error) {
			var r R
			err := json.Unmarshal(with, &r)
			return r, err
		}
	}
}

func readRow(code string, raw json.RawMessage) (Row, error) { return rowsRead[code](raw) }

// readsComputed tells of the statement that is about a row.
func readsComputed(row string) {
	statements["computed/"+row] = func(with json.RawMessage) (Statement, error) {
		type plain ComputedSo
		var it struct {
			plain
			Row json.RawMessage `json:"row"`
		}
		if err := json.Unmarshal(with, &it); err != nil {
			return nil, err
		}
		r, err := readRow(row, it.Row)
		c := ComputedSo(it.plain)
		c.Row = r
		return c, err
	}
}

func init() {
	readsAs[NotSo]("not-so")
	readsAs[NotChecked]("not-checked")
	readsAs[NotDone]("not-done")
	readsAs[NotTested]("not-tested")
	readsAs[StillOnTest]("still-on-test")
	readsAs[NoPart]("no-part")
	readsAs[ProvedWithMains]("proved-with-mains")
	readsAs[ProvedThenLeft]("proved-then-left")
	readsAs[AlsoAnswered]("also-answered")
	readsAs[ReportGarbled]("report-garbled")
	readsAs[OnlyTimed]("only-timed")
	readsAs[OnlyReported]("only-reported")
	readsAs[NotTimed]("not-timed")
	readsAs[GotWorse]("got-worse")
	readsAs[NoneProved]("none-proved")
	readsAs[StrangersReported]("strangers-reported")
	readsAs[HeardElsewhere]("heard-elsewhere")
	readsAs[SignalsLost]("signals-lost")
	readsAs[Contradicted]("contradicted")
	readsAs[WasAbsent]("was-absent")
	readsAs[ClockSet]("clock-set")
	readsAs[Shown]("shown/late", "shown/silent", "shown/crossed", "shown/inverted", "shown/unsteady", "shown/undecided")
	readsAs[ReadingVoid]("reading-void")
	readsAs[NotMeasured]("not-measured")
	readsAs[ReadingOutside]("reading-outside")
	readsAs[ReadingUndecided]("reading-undecided")
	readsAs[CalibrationNotStated]("calibration-not-stated")
	readsAs[CalibrationOver]("calibration-over")
	readsAs[UncertaintyNotStated]("uncertainty-not-stated")
	readsAs[NoVoltmeter]("no-voltmeter")
	readsAs[PathOnMains]("path-on-mains")
	readsAs[PathNotKnown]("path-not-known")
	readsAs[NoBattery]("no-battery")
	readsAs[NoOutput]("no-output")
	readsAs[NoCentre]("no-centre")
	readsAs[MainsStillRemoved]("mains-still-removed")
	readsAs[SwitchOverLost]("switch-over-lost")
	readsAs[ReportingInterrupted]("reporting-interrupted")
	readsAs[SwitchOverUnseen]("switch-over-unseen")
	readsAs[RestartSilent]("restart-silent")
	readsAs[RestartLate]("restart-late")
	readsAs[RestartUndecided]("restart-undecided")
	readsAs[NotObserved]("not-observed")
	readsAs[SwitchedOffLate]("switched-off-late")
	readsAs[NotComputed]("not-computed")
	readsAs[Unwatched]("unwatched")
	readsAs[FloatDisputed]("float-disputed")
	readsAs[RestsOnDefaults]("rests-on-defaults")
	readsAs[LimitsAssumed]("limits-assumed")
	readsAs[PowerUnknown]("power-unknown")
	readsAs[Practice]("practice")
	readsAs[TimedDifferently]("timed-differently")
	readsAs[CustomerRefused]("customer-refused")
	readsAs[NobodySigned]("nobody-signed")
	readsAs[NotAccepted]("not-accepted")
	readsAs[RetestExtent]("retest-extent")
	readsAs[PhotographLost]("photograph-lost")
	readsAs[StillSo]("still-so")
	readsAs[StillUnknown]("still-unknown")
	readsAs[NotSampled]("not-sampled")
	readsAs[EarlierUnread]("earlier-unread")
	readsAs[BatteryStillOff]("battery-still-off")
	readsAs[ChargingSeen]("charging-seen")
	readsAs[FaultBefore]("fault-before")
	readsAs[FaultLapsed]("fault-lapsed")
	readsAs[FaultLate]("fault-late")
	readsAs[FaultNotSeen]("fault-not-seen")
	readsAs[FaultSilent]("fault-silent")
	readsAs[FaultStays]("fault-stays")
	readsAs[FaultUndecided]("fault-undecided")
	readsAs[NextNotSaid]("next-not-said")
	readsAs[NotChargingSeen]("not-charging-seen")
	readsAs[NotKnown]("not-known")

	readsRow[AdapterRow]("adapter")
	readsRow[StandbyRow]("standby")
	readsRow[OutputLimitRow]("output-limit")
	readsRow[ChargerRow]("charger")
	readsRow[RechargeRow]("recharge")
	readsRow[EnergyRow]("energy")
	readsRow[ChargingRow]("charging")
	readsRow[SystemCurrentRow]("system", "system-alarm")
	readsRow[FarRow]("far")
	readsRow[InternalRow]("internal")
	readsRow[SagRow]("sag")
	readsRow[AgeRow]("age")
	readsRow[DropRow]("drop")
	readsRow[LoopRow]("loop")
	readsRow[CurrentRow]("current")
	readsRow[LevelRow]("level")
	readsRow[MarginRow]("margin")
	readsRow[CutOffRow]("cut-off")
	recallsCables()
	recallsAlarm()
	recallsUnknown()
	for row := range rowsRead {
		readsComputed(row)
	}
}
