package judge

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

// A loss of the connection without mains is a defect where it belongs to the switch-over or never
// came back; a stall, or a loss later that came back, limits until a hold that is as long shows
// none. Ten seconds and two: common practice, no source.
func TestWhatIsLostWithoutMains(t *testing.T) {
	const second = time.Second
	off, on := answer(programme.IDMainsOff, record.Done), answer(programme.IDMainsOn, record.Done)
	path := answer(programme.IDPath, record.Yes)
	down, up := signal.Connection{Why: signal.Broken, Detail: "EOF"}, signal.Connection{Up: true}
	listening := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7}
	hold := func(before, lost, after time.Duration) []any {
		return []any{off, before, down, lost, up, after, on, second}
	}
	clean := func(lasts time.Duration) []any { return []any{off, lasts, on, second} }
	then := func(parts ...[]any) (all []any) {
		for _, p := range parts {
			all = append(all, p...)
		}
		return all
	}
	const grave, once, short = "defect switch-over-lost", "limits switch-over-lost", "limits reporting-interrupted"
	for name, c := range map[string]struct {
		facts []any
		want  string
	}{
		"none":                           {clean(60 * second), ""},
		"a stall late":                   {hold(49*second, second/4, 11*second), short},
		"a stall at once":                {hold(second, 2*second, 60*second), short},
		"longer than a stall":            {hold(second, 2*second+1, 60*second), grave},
		"the last that belongs to it":    {hold(10*second, 5*second, 60*second), grave},
		"later, and back":                {hold(10*second+1, 5*second, 60*second), short},
		"later, and not back":            {[]any{off, 49 * second, down, 3 * second, path}, grave},
		"later, and back with mains":     {[]any{off, 49 * second, down, 3 * second, on, second, up}, grave},
		"a stall as mains comes back":    {[]any{off, 49 * second, down, second, on, second / 2, up}, short},
		"just lost":                      {[]any{off, 49 * second, down}, short},
		"just lost, and killed":          {[]any{off, 49 * second, down, record.Resumed{}, listening, on}, short},
		"later, and cut off by a break":  {[]any{off, 49 * second, down, 3 * second, record.Resumed{}, listening, on}, short},
		"a stall, then a hold as long":   {then(hold(49*second, second, 10*second), clean(60*second)), ""},
		"a stall, then a shorter hold":   {then(hold(49*second, second, 10*second), clean(59*second)), short},
		"a stall after a hold as long":   {then(clean(60*second), hold(49*second, second, 10*second)), short},
		"a stall twice":                  {then(hold(9*second, second, second), hold(9*second, second, second)), short},
		"a restart, then a hold as long": {then(hold(second, 5*second, second), clean(60*second)), once},
		"a restart twice":                {then(hold(second, 5*second, second), hold(second, 5*second, 60*second)), grave},
	} {
		s := started(t)
		s.tell(then([]any{listening, path}, c.facts)...)
		a, got := Assess(s.record), ""
		for _, kind := range []Statement{SwitchOverLost{}, ReportingInterrupted{}} {
			for range saysOf(a.Findings(), kind) {
				got += "defect " + kind.Code()
			}
			for range saysOf(a.Limitations(), kind) {
				got += "limits " + kind.Code()
			}
		}
		assert.Equal(t, c.want, got, name)
	}
	s := started(t)
	s.tell(then([]any{listening, path}, hold(49*second, second/4, second))...)
	assert.Equal(t, []Statement{ReportingInterrupted{second / 4}},
		saysOf(Assess(s.record).Limitations(), ReportingInterrupted{}))
}
