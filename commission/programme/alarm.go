package programme

import (
	"fmt"

	"loopwitness/commission/site"
)

// The steps of one alarm from end to end; those of the paths are counted behind
// "alarm/path-".
const (
	IDAlarmSetting   = "alarm/setting"
	IDAlarmEntry     = "alarm/entry"
	IDAlarmIntrusion = "alarm/intrusion"
)

// alarmSteps are those of a site whose alarm can be heard or is received.
func alarmSteps(s *site.Site) []Step {
	if !s.RaisesAlarm() {
		return nil
	}
	in := func(id string, kind StepKind) Step { return Step{ID: id, Stage: StageAlarm, Kind: kind} }
	steps := []Step{in(IDAlarmSetting, StepSetting), in(IDAlarmEntry, StepEntry), in(IDAlarmIntrusion, StepIntrusion)}
	for i, path := range s.Monitoring.SignalledBy() {
		receipt := in(fmt.Sprintf("alarm/path-%d", i+1), StepReceipt)
		receipt.Path = path.Name
		steps = append(steps, receipt)
	}
	return steps
}
