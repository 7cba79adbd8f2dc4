package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Each default of ours that a row took is named by its key, and no value that somebody declared.
func TestDefaultsOfARow(t *testing.T) {
	ours := Assumable{Value: 1, Assumed: true}
	const rating, cells, loads = "hour_rating: 20 h, ", "cells: 6, ", "  loads: []\n"
	for name, c := range map[string]struct {
		row     Row
		without []string // of the honest site
		keys    []string
	}{
		"all declared":         {StandbyRow{}, nil, nil},
		"rate of a battery":    {StandbyRow{Rate: ours}, nil, []string{"supply.battery.hour_rating"}},
		"exponent":             {StandbyRow{Exponent: ours}, nil, []string{"supply.battery.exponent"}},
		"ageing":               {StandbyRow{Ageing: ours}, nil, []string{"supply.standby.ageing"}},
		"temperature":          {StandbyRow{Temperature: ours}, nil, []string{temperatureKey}},
		"loads":                {StandbyRow{}, []string{loads}, []string{"supply.loads"}},
		"efficiency":           {EnergyRow{Efficiency: ours}, nil, []string{"supply.battery.efficiency"}},
		"output":               {EnergyRow{Output: ours}, nil, []string{"supply.battery.output"}},
		"adapter":              {AdapterRow{}, nil, nil},
		"adapter, no current":  {AdapterRow{}, []string{", current: 700 mA"}, []string{"supply.charger.current"}},
		"cells of a charger":   {ChargerRow{}, []string{cells}, []string{cellsKey}},
		"cells that are given": {ChargerRow{}, nil, nil},
		"voltage of a charger": {ChargerRow{OfAdapter: true}, nil, []string{"supply.charger.voltage"}},
		"cells of a battery":   {SagRow{}, []string{cells}, []string{cellsKey, formKey}},
		"form of a battery":    {ChargingRow{}, nil, []string{formKey}},
		"recharge":             {RechargeRow{To: ours}, nil, []string{"supply.recharge.to"}},
		"life":                 {AgeRow{}, nil, []string{"supply.battery.life"}},
		"life by its maker":    {AgeRow{ByMaker: true}, nil, nil},
		"tolerance":            {LoopRow{Tolerance: ours}, nil, []string{zoneTolerance}},
	} {
		var changes []string
		for _, one := range c.without {
			changes = append(changes, one, "")
		}
		s, err := site.Read("site.yaml", []byte(replaced(t, honestSite, changes...)))
		require.NoError(t, err, name)
		assert.Equal(t, c.keys, defaultsIn(s, c.row), name)
	}
}

// What holds with a default of ours holds in a hand-over, and is undecided in a take-over.
func TestNoDefaultDecidesATakeOver(t *testing.T) {
	for kind, want := range map[programme.VisitKind]checks.Ruling{programme.Handover: checks.Pass,
		programme.TakeOver: checks.Undecided} {
		s := opening{visit: kind}.begin(t)
		s.take(nil)
		charger := s.computedRow("charging")
		assert.Equal(t, want, charger.Ruling, kind)
		assert.Equal(t, kind == programme.TakeOver, len(charger.Assumed) > 0, kind)
		assert.Equal(t, checks.Pass, s.computedRow("standby").Ruling, "all of it is declared: %s", kind)
	}
}

// afterAlarm is a visit after an alarm at the honest site.
func afterAlarm(t *testing.T) *story {
	t.Helper()
	at, err := site.Read("site.yaml", []byte(honestSite))
	require.NoError(t, err)
	s := &story{t: t, record: &record.Record{}}
	s.opens(programme.AfterAlarm, honestSite, programme.OfKind(programme.AfterAlarm, at, ownList))
	s.tell(listening)
	return s
}

// Detectors that an alarm did not concern are one limitation, with the reason, and none each;
// which are concerned has to be said.
func TestWhatAVisitAfterAnAlarmLeavesOut(t *testing.T) {
	for _, c := range []struct {
		name         string
		said         []any
		want, window []string
	}{
		{"only one", []any{record.Extent{Step: programme.IDExtent, Concerned: []site.Point{"1.1"}, OnlyThese: true,
			Reason: "tested in May"}}, []string{"beyond-extent"}, nil},
		{"one first", []any{record.Extent{Step: programme.IDExtent, Concerned: []site.Point{"1.1"}}}, nil,
			[]string{"not-tested"}},
		{"nobody said", nil, []string{"extent-not-said"}, []string{"not-tested"}},
	} {
		s := afterAlarm(t)
		s.tell(c.said...)
		a := Assess(s.record)
		assert.Equal(t, c.want, s.codes(a.Limitations(), string(PartExtent)), c.name)
		assert.Equal(t, c.window, s.codes(a.Limitations(), "2.1"), c.name)
		for _, f := range a.Limitations() {
			if what, is := f.What.(BeyondExtent); is {
				assert.Equal(t, []any{[]site.Point{"2.1"}, "tested in May"}, []any{what.Of, f.Because})
			}
		}
	}
}
