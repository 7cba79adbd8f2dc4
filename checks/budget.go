package checks

import (
	"fmt"
	"math"
)

// Load is what one part of the system draws, in A, at rest and in alarm.
type Load struct {
	Name           string
	Standby, Alarm float64
}

// Budget is the load of a system on its adapter.
type Budget struct {
	Standby, Alarm  float64 // A, all parts together
	Recharge        float64 // A, into the battery
	AdapterHeadroom float64 // A, adapter less standby load and recharge; NaN if the adapter is not known
	AlarmHeadroom   float64 // A, adapter less alarm load
}

// AddUp sums the loads and holds them against an adapter's rating in A (0 for not
// known) while a battery of a capacity in Ah recharges with a tenth of it
// (common practice, no source).
func AddUp(loads []Load, adapterAmpere, batteryAmpereHour float64) (Budget, error) {
	b := Budget{Recharge: recharge(batteryAmpereHour)}
	for _, l := range loads {
		if !(l.Standby >= 0) || !(l.Alarm >= 0) || math.IsInf(l.Standby+l.Alarm, 0) {
			return Budget{}, fmt.Errorf("%w: %s draws %v A, %v A in alarm", ErrQuantity, l.Name, l.Standby, l.Alarm)
		}
		b.Standby += l.Standby
		b.Alarm += l.Alarm
	}
	if !(adapterAmpere >= 0) || !(batteryAmpereHour >= 0) || math.IsInf(adapterAmpere, 0) {
		return Budget{}, fmt.Errorf("%w: an adapter of %v A, a battery of %v Ah", ErrQuantity, adapterAmpere,
			batteryAmpereHour)
	}
	if adapterAmpere == 0 {
		b.AdapterHeadroom, b.AlarmHeadroom = math.NaN(), math.NaN()
		return b, nil
	}
	b.AdapterHeadroom = adapterAmpere - b.Standby - b.Recharge
	b.AlarmHeadroom = adapterAmpere - b.Alarm
	return b, nil
}
