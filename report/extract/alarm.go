package extract

import (
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
)

// AlarmStep is a step of one alarm from end to end.
type AlarmStep struct {
	Step     string         `json:"step"`
	Text     string         `json:"text"`
	Result   string         `json:"result,omitempty" jsonschema:"description=not tested\\, done\\, or absent"`
	Remark   string         `json:"remark,omitempty"`
	Attempts int            `json:"attempts"`
	Instants []AlarmInstant `json:"instants" jsonschema:"description=of the last attempt\\, in their order"`
}

// AlarmInstant is what happened at an instant of it.
type AlarmInstant struct {
	What        string   `json:"what"`
	Text        string   `json:"text"`
	SeenBy      string   `json:"seen_by" jsonschema:"enum=key,enum=report,enum=signal,enum=centre"`
	At          string   `json:"at,omitempty" jsonschema:"format=date-time"`
	SinceSecond *float64 `json:"since_second,omitempty" jsonschema:"description=the intrusion\\, or the first instant"`
	Uncertainty *float64 `json:"uncertainty_second,omitempty" jsonschema:"description=expanded\\, k = 2"`
	Never       bool     `json:"never,omitempty"`
	NotTimed    string   `json:"not_timed,omitempty"`
	Detector    string   `json:"detector,omitempty"`
	Output      string   `json:"output,omitempty"`
	Path        string   `json:"path,omitempty"`
	Said        string   `json:"said,omitempty" jsonschema:"description=by the centre's clock\\, as typed"`
	Reference   string   `json:"reference,omitempty"`
	Limit       string   `json:"limit,omitempty" jsonschema:"description=as declared"`
	Verdict     string   `json:"verdict,omitempty" jsonschema:"enum=pass,enum=undecided,enum=fail"`
}

func alarmOf(a *judge.Assessment) []AlarmStep {
	out := []AlarmStep{}
	for _, l := range a.Alarm() {
		step := l.Outcome.Step()
		s := AlarmStep{Step: step.ID, Text: english.Say(programme.NameOf(a.Record().Site(), step)),
			Result: string(l.Result), Remark: l.Outcome.Remark(), Attempts: l.Attempts, Instants: []AlarmInstant{}}
		for _, row := range l.Rows {
			s.Instants = append(s.Instants, alarmInstantOf(row))
		}
		out = append(out, s)
	}
	return out
}

func alarmInstantOf(row judge.AlarmEvent) AlarmInstant {
	i := AlarmInstant{What: string(row.What), Text: english.Say(row), SeenBy: string(row.By), At: stamp(row.At),
		Never: row.Never, NotTimed: string(row.NotTimed), Output: row.Output, Path: row.Path, Said: row.Said,
		Reference: row.Reference, Limit: row.Limit, Verdict: string(row.Ruling)}
	if row.Detector != nil {
		i.Detector = string(row.Detector.Point)
	}
	if row.Uncertainty > 0 && row.NotTimed == "" && !row.Never {
		i.SinceSecond, i.Uncertainty = seconds(row.Since), seconds(row.Uncertainty)
	}
	return i
}
