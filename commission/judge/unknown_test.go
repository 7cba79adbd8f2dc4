package judge

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/programme"
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
