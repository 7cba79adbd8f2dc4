package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// What holds for a sound battery only has no verdict where this one is shown not to be; a
// fail stays one.
func TestRowsThatRestOnASoundBattery(t *testing.T) {
	for name, tc := range map[string]struct {
		battery Computed
		hollow  bool
	}{
		"a charger that ruins it": {Computed{Row: ChargerRow{}, Ruling: checks.Fail}, true},
		"not charged":             {Computed{Row: ChargingRow{}, Ruling: checks.Fail}, true},
		"worn":                    {Computed{Row: SagRow{}, Ruling: checks.Fail}, true},
		"of high resistance":      {Computed{Row: InternalRow{}, Ruling: checks.Fail}, true},
		"only undecided":          {Computed{Row: SagRow{}, Ruling: checks.Undecided}, false},
		"another fault":           {Computed{Row: AdapterRow{}, Ruling: checks.Fail}, false},
	} {
		all := []Computed{{Row: StandbyRow{}, Ruling: checks.Pass}, {Row: EnergyRow{}, Ruling: checks.Pass},
			{Row: RechargeRow{}, Ruling: checks.Fail}, {Row: AgeRow{}, Ruling: checks.Pass}, tc.battery}
		hollow(all)
		want := checks.Pass
		if tc.hollow {
			want = ""
		}
		for _, c := range all[:2] {
			assert.Equal(t, want, c.Ruling, name)
			assert.Equal(t, tc.hollow, c.Hollow, name)
		}
		assert.Equal(t, checks.Fail, all[2].Ruling, name)
		assert.Equal(t, checks.Pass, all[3].Ruling, name)
		assert.Equal(t, tc.battery.Ruling, all[4].Ruling, name)
	}
}

// Zones whose cut cable looks like rest are noted, and limit nothing.
func TestZonesThatNobodyWatches(t *testing.T) {
	s := begin(t)
	a := Assess(s.record)
	assert.NotContains(t, s.about(a.Notes(), "loops"), "unwatched", "a cut opens a normally closed loop")
	open := begin(t, "{number: 2, name: Window, kind: window, wiring: normally closed,",
		"{number: 2, name: Window, kind: window, wiring: normally open,")
	told := open.about(Assess(open.record).Notes(), "loops")
	assert.Contains(t, told, "unwatched")
	assert.Contains(t, told, `"number":2`)
	assert.NotContains(t, told, `"number":1`)
}

// The same keys that nobody declared are told once, with the rows that hold by them, those
// of detectors by their points.
func TestDefaultsAreToldOnce(t *testing.T) {
	var d RestsOnDefaults
	d.add(AdapterRow{})
	for _, p := range []site.Point{"1.1", "2.1"} {
		row := DropRow{}
		row.Detector.Point = p
		d.add(row)
	}
	d.add(AdapterRow{})
	assert.Equal(t, []RowsOf{{Row: "adapter"}, {Row: "drop", Of: []site.Point{"1.1", "2.1"}}, {Row: "adapter"}}, d.Rows)
	a := &Assessment{computed: settleAll([]Computed{
		{Row: AdapterRow{}, Ruling: checks.Pass, Assumed: []string{"a"}},
		{Row: StandbyRow{}, Ruling: checks.Pass, Assumed: []string{"b"}},
		{Row: AgeRow{}, Ruling: checks.Pass, Assumed: []string{"a"}},
		{Row: SagRow{}, Ruling: checks.Undecided, Assumed: []string{"a"}},
		{Row: InternalRow{}, Ruling: checks.Pass},
	})}
	a.findDefaulted()
	assert.Len(t, a.limitations, 2)
	assert.Equal(t, RestsOnDefaults{[]RowsOf{{Row: "adapter"}, {Row: "age"}}, []string{"a"}}, a.limitations[0].What)
	assert.Equal(t, RestsOnDefaults{[]RowsOf{{Row: "standby"}}, []string{"b"}}, a.limitations[1].What)
	assert.False(t, a.computed[3].Defaulted, "it was undecided anyway")
	assert.Equal(t, checks.Undecided, a.computed[0].Ruling)
}

// A voltage of iron phosphate that charges, and that sources do not agree on for years, is
// noted once.
func TestDisputedFloatIsNoted(t *testing.T) {
	disputed := ChargingReading{Charge: Charge{PerCell: 3.45, Reason: checks.FloatDisputed}}
	row := ChargingRow{Readings: []ChargingReading{{}, disputed, disputed}}
	for ruling, want := range map[checks.Ruling]int{checks.Pass: 1, checks.Undecided: 1, checks.Fail: 0} {
		a := &Assessment{computed: []Computed{{Row: AgeRow{}}, {Row: row, Ruling: ruling}}}
		a.findDisputed()
		assert.Len(t, a.notes, want, ruling)
	}
	none := &Assessment{computed: []Computed{{Row: ChargingRow{Readings: []ChargingReading{{}}}, Ruling: checks.Pass}}}
	none.findDisputed()
	assert.Empty(t, none.notes)
}

// What was not observed counts as not tested, also where no step of its own says so.
func TestNotTestedCountsWhatWasNotObserved(t *testing.T) {
	lacks := func(l LackCode) Finding { return Finding{What: NotComputed{Lacks: lack(l)}} }
	a := &Assessment{limitations: []Finding{lacks(LackCutOff), lacks(LackLevel), lacks(LackSystemCurrent),
		lacks(LackFarVoltage), lacks(LackRating), {What: NotTested{}}, {What: Practice{}}}}
	assert.Equal(t, 5, a.NotTested())
}

// A bound of a few operations is of no use.
func TestBoundsOfUse(t *testing.T) {
	assert.False(t, Proof{Operations: 19}.Useful())
	assert.True(t, Proof{Operations: 20}.Useful())
}

// A visit that shows a bad battery gives what rests on a sound one no verdict; iron
// phosphate at a voltage that is disputed is noted, and has its caution.
func TestBadBatteryAndDisputedFloatInAVisit(t *testing.T) {
	s := begin(t)
	s.tell(answer(programme.IDMainsOff, record.Done), leastHold, reads("supply/standby-4", 11.5))
	standby := s.computedRow("standby")
	assert.Equal(t, checks.Fail, s.computedRow("sag").Ruling)
	assert.True(t, standby.Hollow)
	assert.Empty(t, standby.Ruling)

	s = begin(t, "lead-acid, cells: 6", "lithium-iron-phosphate, cells: 4")
	s.take(map[string][]any{programme.IDMainsPresent: {reads(programme.IDMainsPresent, 14.2)},
		programme.IDCharging: {reads(programme.IDCharging, 14.2)}})
	a := Assess(s.record)
	assert.Contains(t, s.about(a.Notes(), "supply"), "float-disputed")
	assert.Contains(t, a.Cautions(), CautionLithiumIon)
	assert.NotContains(t, a.Cautions(), CautionLeadAcid)
}
