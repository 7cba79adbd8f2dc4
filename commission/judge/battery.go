package judge

import (
	"cmp"
	"math"
	"slices"
	"time"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What the readings of a visit say of the battery and its charger.

// batteryOf are the rows of the battery, where the terminals show it.
func batteryOf(a *Assessment) []Computed {
	s := a.record.Site()
	if !s.Supply.HasBattery() || a.record.Find(programme.IDMainsPresent) == nil {
		return nil
	}
	var out []Computed
	if s.Supply.Battery.Seen() {
		out = append(out, chargingOf(a), internalOf(a))
	}
	return append(out, sagOf(a), ageOf(a.record))
}

// chargingSteps are the readings that show how the battery is charged, in their order.
var chargingSteps = []string{programme.IDMainsPresent, programme.IDMainsBack, programme.IDCharging}

// chargingOf judges all voltages with mains present together: one alone, just after
// mains came back, says little of the charger.
func chargingOf(a *Assessment) Computed {
	s := a.record.Site()
	c := Computed{Row: ChargingRow{}, Step: programme.IDMainsPresent}
	row := ChargingRow{Chemistry: s.Supply.Battery.Chemistry, Charged: a.charged()}
	pack := packOf(s)
	row.Cells, _ = pack.InSeries()
	verdicts := map[string]checks.ChargeVerdict{}
	for _, step := range chargingSteps {
		l, taken := a.reading(step)
		if !taken {
			continue
		}
		given := row.Charged == record.Yes && step == programme.IDMainsPresent
		j, err := pack.JudgeCharge(l.Reading.Value, l.Uncertainty, math.NaN(), given)
		if err != nil {
			c.Missing = refused(err)
			return c
		}
		verdicts[step] = j.Verdict
		row.Readings = append(row.Readings,
			ChargingReading{Step: step, Volt: l.Reading.Value, Uncertainty: l.Uncertainty, Charge: chargeOf(j)})
	}
	if verdicts[programme.IDCharging] == checks.ChargeUndecided && a.chargesAgain(pack) {
		verdicts[programme.IDCharging] = checks.ChargeHolds
		row.Rose = true
	}
	c.Row = row
	c.Ruling, c.Danger = overall(verdicts, row.Charged == record.No)
	c.unlessCells(pack, func(o checks.Pack) bool {
		return slices.ContainsFunc(row.Readings, func(r ChargingReading) bool {
			given := row.Charged == record.Yes && r.Step == programme.IDMainsPresent
			return failsCharged(o, r.Volt, r.Uncertainty, math.NaN(), given)
		})
	})
	_, before := verdicts[programme.IDMainsPresent]
	_, after := verdicts[programme.IDCharging]
	if c.Ruling != checks.Fail {
		c.lacks(LackMainsVoltage, before)
		c.lacks(LackChargingVoltage, after)
		c.assume(cellsKey, s.Supply.Battery.Cells > 0)
	}
	if c.Danger {
		c.Missing = nil // what is known is enough
	}
	if len(c.Missing) > 0 {
		c.Ruling = ""
	}
	return c
}

// overall is what the verdicts on the readings come to. A charger is shown by a battery
// that it holds, and lifts again after a discharge; before, only one that is known to have
// been discharged may stand low.
func overall(of map[string]checks.ChargeVerdict, mayBeLow bool) (checks.Ruling, bool) {
	var worst checks.Ruling
	for _, v := range of {
		switch r, danger := rulingOf(v); {
		case danger:
			return checks.Fail, true
		case r == checks.Fail:
			worst = r
		}
	}
	before, after := of[programme.IDMainsPresent], of[programme.IDCharging]
	switch {
	case worst != "":
		return worst, false
	case after != checks.ChargeHolds, !mayBeLow && before != checks.ChargeHolds:
		return checks.Undecided, false
	}
	return checks.Pass, false
}

// chargesAgain tells that after mains came back the voltage rose above every voltage
// that a battery has by itself: to the lowest published float, well above the last one
// on battery.
func (a *Assessment) chargesAgain(p checks.Pack) bool {
	l, taken := a.reading(programme.IDCharging)
	last, onBattery := a.lastStandby()
	if !taken || !onBattery || p.Chemistry != checks.LeadAcid { // lithium rests as high
		return false
	}
	j, err := p.JudgeCharge(l.Reading.Value, 0, math.NaN(), true)
	volt := l.Reading.Value - l.Uncertainty
	return err == nil && volt >= j.Widest.Lower && volt <= j.Holds.Upper &&
		volt > last.Reading.Value+last.Uncertainty
}

// charged is what was answered to whether the battery was on charge without interruption,
// "" for nothing.
func (a *Assessment) charged() record.Result {
	if s := a.record.Find(programme.IDCharged); s != nil && s.Result() != record.LeftOut {
		return s.Result()
	}
	return ""
}

// chargeOf is a judgement on charging without what cannot be written down.
func chargeOf(j checks.Charging) Charge {
	c := Charge{PerCell: j.PerCell, Verdict: j.Verdict, Reason: j.Reason}
	if !math.IsNaN(j.Holds.Lower + j.Holds.Upper) {
		c.Lower, c.Upper = j.Holds.Lower, j.Holds.Upper
	}
	if !math.IsNaN(j.Widest.Upper) {
		c.Highest = j.Widest.Upper
	}
	return c
}

// internalOf is the resistance of the supply on standby from two loads. A hand-over's is
// the battery's first; later ones are held against it.
func internalOf(a *Assessment) Computed {
	c := Computed{Row: InternalRow{}, Step: programme.IDAlarmLoad}
	load, loaded := a.reading(programme.IDAlarmLoad)
	rest, rested := a.lastStandby()
	if !loaded || !rested {
		c.Missing = lack(LackLoadVoltages)
		return c
	}
	if len(unprovedLoads(a.record, load.Reading)) > 0 { // the current that made the difference is not known
		c.Missing = lack(LackLoad)
		return c
	}
	ampere, measured := a.alarmCurrent()
	if ampere <= 0 {
		c.Missing = lack(LackSounderAmpere)
		return c
	}
	worse := math.Max(rest.Uncertainty, load.Uncertainty)
	ohm, u, _ := checks.InternalResistance(rest.Reading.Value, 0, load.Reading.Value, ampere, worse) // two loads
	row := InternalRow{Rest: rest.Reading.Value, Load: load.Reading.Value, More: ampere, Measured: measured, Ohm: ohm,
		Uncertainty: u}
	c.Row = row
	if a.record.Opened().Visit == programme.Handover {
		return c
	}
	first, known := a.firstOf()
	if !known {
		c.Missing = lack(LackFirstResistance)
		return c
	}
	row.First, row.FirstAt = first.Text, first.At
	row.Beyond = first.beyond(ohm, u)
	c.Row = row
	ruling, err := first.rules(math.Max(ohm, 0), u)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	c.Ruling = ruling
	return c
}

// alarmCurrent is what all that sounds and flashes together draws in A, as measured or
// as the site file says; 0 where neither is known of one of them.
func (a *Assessment) alarmCurrent() (ampere float64, measured bool) {
	if m := a.measuredCurrents(); m.Alarm > m.Standby && m.Standby > 0 {
		return m.Alarm - m.Standby, true
	}
	measured = true
	for _, o := range a.record.Site().AlarmOutputs() {
		if o.OwnBattery {
			continue
		}
		current, own := soundingCurrent(a.record, o)
		if current == 0 {
			return 0, false
		}
		ampere, measured = ampere+current, measured && own
	}
	return ampere, measured
}

// soundingCurrent is that of an output in A, as measured or as the site file says.
func soundingCurrent(r *record.Record, o *site.Output) (ampere float64, measured bool) {
	for _, s := range r.Outcomes() {
		if m := s.ReadingWhileOn(record.CurrentReading); m != nil && s.Step().Output == o.Name {
			return m.Value, true
		}
	}
	return o.Current.SI, false
}

// systemCurrent is a current of the whole system as it was read, nil where it was not.
func (a *Assessment) systemCurrent(step string) *record.Taken {
	if s := a.record.Find(step); s != nil && s.Result() != record.LeftOut {
		return s.Reading(record.CurrentReading)
	}
	return nil
}

// measuredCurrents are the currents of the whole system that take the place of the declared ones. What was read in
// alarm while an output perhaps did not work is not surely the whole: at the least it is that or what is declared, and
// at the most it is that with what those outputs are declared to draw.
func (a *Assessment) measuredCurrents() currents {
	var m currents
	if t := a.systemCurrent(programme.IDStandbyCurrent); t != nil {
		m.Standby = t.Value
	}
	t := a.systemCurrent(programme.IDAlarmCurrent)
	if t == nil {
		return m
	}
	m.Alarm, m.AlarmLeast = t.Value, t.Value
	unproved := unprovedLoads(a.record, t)
	if len(unproved) == 0 {
		return m
	}
	for _, o := range unproved {
		if !o.Current.Given() {
			return currents{Standby: m.Standby}
		}
		m.Alarm += o.Current.SI
	}
	if declared := loadsOf(a.record.Site(), currents{}); len(declared.Unknown) == 0 {
		if !above(m.Alarm, declared.Alarm) {
			return currents{Standby: m.Standby}
		}
		m.AlarmLeast = max(m.AlarmLeast, declared.Alarm)
	}
	return m
}

// standbyReadings are the voltages without the sounder while mains was removed.
func (a *Assessment) standbyReadings() []ReadingLine {
	var out []ReadingLine
	for _, l := range a.readings {
		if l.Taken && l.Reading.WhileOff && !l.Outcome.Step().Load {
			out = append(out, l)
		}
	}
	// Mains may have been removed more than once: one discharge only.
	if n := len(out); n > 0 {
		last := out[n-1].Reading.OffAt
		out = slices.DeleteFunc(out, func(l ReadingLine) bool { return !l.Reading.OffAt.Equal(last) })
	}
	slices.SortStableFunc(out, func(a, b ReadingLine) int { return cmp.Compare(a.Reading.SinceOff, b.Reading.SinceOff) })
	return out
}

func (a *Assessment) lastStandby() (ReadingLine, bool) {
	all := a.standbyReadings()
	if len(all) == 0 {
		return ReadingLine{}, false
	}
	return all[len(all)-1], true
}

// leastHold is how long mains must have been removed for a voltage to show anything of a
// battery: its surface charge is gone then.
const leastHold = 10 * time.Minute

// sagOf is what was observed of the battery on standby beside what is required of it. A
// short trial can show a bad battery, never a capacity.
func sagOf(a *Assessment) Computed {
	s := a.record.Site()
	c := Computed{Row: SagRow{}}
	lines := a.standbyReadings()
	if len(lines) == 0 {
		c.Missing = lack(LackStandbyVoltage)
		return c
	}
	first, last := lines[0], lines[len(lines)-1]
	c.Step = last.Outcome.Step().ID
	row := SagRow{Readings: len(lines), Tried: last.Reading.SinceOff, From: first.Reading.Value, To: last.Reading.Value,
		Uncertainty: last.Uncertainty, Required: s.Supply.Standby.For.Text, Converter: !s.Supply.Battery.Seen()}
	load := loadsOf(s, a.measuredCurrents())
	if len(load.Unknown) == 0 || load.Measured.Standby > 0 {
		row.Ampere = load.Standby
	}
	c.Row = row
	if last.Reading.SinceOff < leastHold {
		c.Ruling = checks.Undecided
		row.Short = true
	}
	if row.Converter {
		c.Row = row // that it held is told by the readings; nothing of the battery shows
		return c
	}
	ampere := row.Ampere
	if ampere == 0 {
		ampere = math.Inf(1)
	}
	minutes, ampere := last.Reading.SinceOff.Minutes(), math.Min(ampere, math.MaxFloat32)
	ampereHour := s.Supply.Battery.Capacity.SI
	ruling, err := packOf(s).JudgeOnBattery(last.Reading.Value, last.Uncertainty, minutes, ampere, ampereHour)
	if err != nil {
		c.Missing = refused(err)
		return c
	}
	c.Row = row
	if c.Ruling == "" || ruling == checks.Fail {
		c.Ruling = ruling
	}
	if c.Ruling == checks.Undecided && !row.Short {
		c.Missing = lacksForTrial(packOf(s), row, minutes, ampereHour, load.Unknown)
	}
	if c.Ruling == checks.Pass && packOf(s).AsIfCharged(last.Reading.Value, last.Uncertainty) {
		c.Ruling, row.Charging = checks.Undecided, true
		c.Row = row
	}
	if ruling == checks.Fail && s.Supply.Temperature.Given() && s.Supply.Temperature.SI < coldBattery {
		c.Ruling = checks.Undecided // what is published was measured warmer
	}
	c.unlessCells(packOf(s), func(o checks.Pack) bool {
		return failsOnBattery(o, last.Reading.Value, last.Uncertainty, minutes, ampere, ampereHour)
	})
	if c.Ruling != checks.Fail {
		c.assume(cellsKey, s.Supply.Battery.Cells > 0)
	}
	return c
}

// coldBattery is the temperature in °C below which no published discharge says what a
// good battery stands at.
const coldBattery = 15

// ageOf holds the battery's age against its life. Age alone never fails.
func ageOf(r *record.Record) Computed {
	b := r.Site().Supply.Battery
	fitted, err := time.Parse(time.DateOnly, b.Fitted)
	if err != nil {
		return Computed{Row: AgeRow{}, Missing: lack(LackFitted)}
	}
	usual, _ := checks.Chemistry(b.Chemistry).ServiceLife()
	row := AgeRow{Fitted: b.Fitted, Age: r.Begun().Sub(fitted), Life: usual}
	if b.Life.Given() {
		row.Life, row.ByMaker = b.Life.Duration(), true
	}
	c := Computed{Row: row, Ruling: checks.Pass}
	if row.BeforeFitted() || row.Age > row.Life {
		c.Ruling = checks.Undecided
	}
	return c
}

// BeforeFitted tells that the battery was fitted after the visit, by the file's date.
func (r AgeRow) BeforeFitted() bool { return r.Age < -24*time.Hour }

// systemCurrentsOf hold what the whole system was measured to draw against what the file
// declares.
func systemCurrentsOf(a *Assessment) []Computed {
	s := a.record.Site()
	declared := loadsOf(s, currents{})
	var out []Computed
	for _, of := range []struct {
		step     string
		declared float64
		alarm    bool
	}{{programme.IDStandbyCurrent, declared.Standby, false}, {programme.IDAlarmCurrent, declared.Alarm, true}} {
		if a.record.Find(of.step) == nil {
			continue
		}
		c, read := Computed{Row: SystemCurrentRow{Alarm: of.alarm}, Step: of.step}, a.systemCurrent(of.step)
		if read == nil || read.Value == 0 {
			c.Missing = lack(LackSystemCurrent)
			out = append(out, c)
			continue
		}
		if of.alarm && len(unprovedLoads(a.record, read)) > 0 && !above(read.Value, of.declared) {
			c.Missing = lack(LackLoad) // too much it is even so
			out = append(out, c)
			continue
		}
		c.Row = SystemCurrentRow{of.alarm, of.declared, read.Value, len(declared.Unknown) == 0}
		if len(declared.Unknown) > 0 { // there is nothing to hold it against
			c.Missing = lack(LackCurrent, declared.Unknown...)
			out = append(out, c)
			continue
		}
		c.Ruling = checks.Pass
		if above(read.Value, of.declared) {
			c.Ruling = checks.Undecided
		}
		out = append(out, c)
	}
	return out
}

// farOf holds the voltage at the farthest detector under alarm load against the least at
// which that works.
func farOf(a *Assessment) []Computed {
	step := a.record.Find(programme.IDFarVoltage)
	if step == nil {
		return nil
	}
	_, d, err := a.record.Site().Find(step.Step().Point)
	if err != nil || d.Power == nil {
		return nil
	}
	name := programme.NameOf(a.record.Site(), step.Step()).Detector
	c := Computed{Row: FarRow{}, Step: programme.IDFarVoltage}
	l := readingLine(a.record, step)
	c.lacks(LackFarVoltage, l.Taken)
	c.lacks(LackMinimum, d.Power.Minimum.Given())
	if len(c.Missing) > 0 || name == nil {
		return []Computed{c}
	}
	c.Row = FarRow{Detector: *name, Volt: l.Reading.Value, Uncertainty: l.Uncertainty, Minimum: d.Power.Minimum.Text}
	decision, err := checks.Decide(l.Reading.Value, l.Uncertainty, checks.AtLeast(d.Power.Minimum.SI))
	switch {
	case err != nil:
		c.Missing = refused(err)
	case decision.Ruling == checks.Pass && len(unprovedLoads(a.record, l.Reading)) > 0: // too low it would be even so
		c.Missing = lack(LackLoad)
	default:
		c.Ruling = decision.Ruling
	}
	return []Computed{c}
}
