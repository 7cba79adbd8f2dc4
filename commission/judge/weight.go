package judge

import (
	"encoding/json"
	"strings"
)

// What weighs more stands first among findings as grave: a dead supply before a line of a checklist. The order is
// ours (*common practice, no source*): what keeps the whole system from working, what tells of an alarm, what starts
// one, the rest, what was only answered.
const (
	weighsNobody = iota // nobody would respond
	weighsSystem
	weighsAlarm
	weighsDetector
	weighsRest
	weighsAnswer
)

// weights are of statements by the first part of their code, up to a slash or all of it.
var weights = map[string]int{
	"still-on-test":   weighsNobody,
	"reading-outside": weighsSystem, "restart-silent": weighsSystem, "restart-late": weighsSystem,
	"switch-over-lost": weighsSystem, "mains-still-removed": weighsSystem, "battery-still-off": weighsSystem,
	"no-battery": weighsSystem, "not-charging-seen": weighsSystem, "none-proved": weighsSystem,
	"contradicted": weighsSystem,
	"not-observed": weighsAlarm, "switched-off-late": weighsAlarm, "no-output": weighsAlarm, "alarm-never": weighsAlarm,
	"alarm-not-tried": weighsAlarm, "alarm-time": weighsAlarm, "alarm-early": weighsAlarm, "alarm-not-seen": weighsAlarm,
	"not-received": weighsAlarm, "path-on-mains": weighsAlarm, "fault-silent": weighsAlarm, "fault-late": weighsAlarm,
	"fault-stays": weighsAlarm, "fault-lapsed": weighsAlarm,
	"shown": weighsDetector, "also-answered": weighsDetector,
	"not-so": weighsAnswer, "not-checked": weighsAnswer,
}

// rowWeights are of computed rows, by their codes.
var rowWeights = map[string]int{
	"adapter": weighsSystem, "standby": weighsSystem, "energy": weighsSystem, "charger": weighsSystem,
	"recharge": weighsSystem, "output-limit": weighsSystem, "charging": weighsSystem, "sag": weighsSystem,
	"internal": weighsSystem, "level": weighsAlarm, "cut-off": weighsAlarm, "margin": weighsAlarm,
	"drop": weighsDetector, "far": weighsDetector, "loop": weighsDetector,
}

// weight orders findings that are equally grave, the lowest first.
func (f Finding) weight() int {
	switch was := f.What.(type) {
	case StillSo:
		return was.Then.weight()
	case StillUnknown:
		return was.Then.weight()
	}
	if w := weightOf(f.What.Code()); w != weighsRest || f.Subject.Detector == nil {
		return w
	}
	return weighsDetector
}

// weightOf is that of a statement by its code.
func weightOf(code string) int {
	if row, is := strings.CutPrefix(code, "computed/"); is {
		if w, has := rowWeights[row]; has {
			return w
		}
		return weighsRest
	}
	first, _, _ := strings.Cut(code, "/")
	if w, has := weights[first]; has {
		return w
	}
	return weighsRest
}

// weight is that of what an earlier visit found.
func (t Then) weight() int {
	var said struct {
		Code string `json:"code"`
	}
	if json.Unmarshal(t.Said, &said) != nil {
		return weighsRest
	}
	return weightOf(said.Code)
}
