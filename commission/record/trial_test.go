package record

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const trialSite = `
reference: T-1
premises: {name: Kiln house, address: 1 Clay Lane}
installer: {company: Slipware Alarms}
controller: {description: eight-zone controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z2, detectors: [Left, Right]}
  - {number: 3, name: Hall, kind: motion, wiring: normally closed, address: z3, detectors: [PIR]}
  - {number: 4, name: Yard, kind: motion, wiring: normally closed, address: z4, detectors: [PIR]}
  - {number: 5, name: Cover, kind: tamper, wiring: normally closed, address: z5, detectors: [Cover]}
`

func readSite(t testing.TB, text string) *site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	return s
}

// play feeds a timeline such as "420ms z1 active; 3s silent" to a trial as the
// live wait would: signals until the deadline, or a key. It returns what the
// trial shows and when it ended.
func play(t *testing.T, trial *Trial, timeline string) (Judgement, time.Duration) {
	t.Helper()
	for _, event := range strings.Split(timeline, ";") {
		words := strings.Fields(event)
		if len(words) == 0 {
			continue
		}
		at, err := time.ParseDuration(words[0])
		require.NoError(t, err)
		if at > trial.Deadline() {
			break
		}
		if len(words) == 2 {
			trial.endedBy, trial.ended = End(words[1]), at
			return trial.Judge(), at
		}
		trial.hear(Heard{Since: at, Address: words[1], State: signal.State(strings.Join(words[2:], " "))})
	}
	trial.endedBy, trial.ended = ByTime, trial.Deadline()
	return trial.Judge(), trial.ended
}

// Limits of the site: response 2 s, listening 15 s, steady 1 s; restore 5 s for
// contacts and 30 s for motion (common practice, no source). Uncertainty 50 ms.
func TestWhatATrialShows(t *testing.T) {
	const ms = time.Millisecond
	s := readSite(t, trialSite)
	for _, tc := range []struct {
		name     string
		zone     int
		half     Half
		before   signal.State
		timeline string
		verdict  Verdict
		response time.Duration
		ended    time.Duration
	}{
		{"contact answers", 1, Operate, signal.Restored, "420ms z1 active", Proved, 420 * ms, 1420 * ms},
		{"state unknown before", 1, Operate, signal.Unknown, "420ms z1 active", Proved, 420 * ms, 1420 * ms},
		{"a signal before the cue is no response", 1, Operate, signal.Restored, "-10ms z1 active",
			Silent, 0, 15 * time.Second},
		{"a repeated state is no response", 1, Operate, signal.Active, "300ms z1 active",
			Silent, 0, 15 * time.Second},
		{"late", 1, Operate, signal.Restored, "2610ms z1 active", Late, 2610 * ms, 3610 * ms},
		{"very late", 1, Operate, signal.Restored, "14900ms z1 active", Late, 14900 * ms, 15900 * ms},
		{"within its uncertainty of the limit", 1, Operate, signal.Restored, "1960ms z1 active",
			Undecided, 1960 * ms, 2960 * ms},
		{"just clear of it", 1, Operate, signal.Restored, "1950ms z1 active", Proved, 1950 * ms, 2950 * ms},
		{"nothing comes", 1, Operate, signal.Restored, "", Silent, 0, 15 * time.Second},
		{"after the wait", 1, Operate, signal.Restored, "15001ms z1 active", Silent, 0, 15 * time.Second},
		{"technician says that nothing came", 1, Operate, signal.Restored, "4s silent",
			Silent, 0, 4 * time.Second},
		{"another zone answers", 1, Operate, signal.Restored, "500ms z2 active", Crossed, 0, 2500 * ms},
		{"another zone, then the right one", 1, Operate, signal.Restored, "500ms z2 active; 900ms z1 active",
			Proved, 900 * ms, 1900 * ms},
		{"a motion detector passed on the way", 1, Operate, signal.Restored, "500ms z3 active; 900ms z1 active",
			Proved, 900 * ms, 1900 * ms},
		{"only a motion detector passed", 1, Operate, signal.Restored, "500ms z3 active",
			Silent, 0, 15 * time.Second},
		{"motion zones swapped", 3, Operate, signal.Restored, "500ms z4 active", Crossed, 0, 5500 * ms},
		{"opening is reported as closing", 1, Operate, signal.Active, "500ms z1 restored",
			Inverted, 0, 2500 * ms},
		{"the same with state unknown", 1, Operate, signal.Unknown, "500ms z1 restored", Inverted, 0, 2500 * ms},
		{"was still open, closed and opened", 1, Operate, signal.Active, "200ms z1 restored; 900ms z1 active",
			Proved, 900 * ms, 1900 * ms},
		{"chatter", 1, Operate, signal.Restored, "400ms z1 active; 500ms z1 restored; 600ms z1 active",
			Unsteady, 400 * ms, 1600 * ms},
		{"chatter without end", 1, Operate, signal.Restored, "1s z1 active; 1500ms z1 restored; 2s z1 active; " +
			"2500ms z1 restored; 3s z1 active; 16s z1 restored",
			Unsteady, time.Second, 4 * time.Second},
		{"trouble is no answer", 1, Operate, signal.Restored, "400ms z1 trouble", Silent, 0, 15 * time.Second},
		{"tamper is no answer of a door", 1, Operate, signal.Restored, "400ms z1 tamper",
			Silent, 0, 15 * time.Second},
		{"tamper is the answer of a cover", 5, Operate, signal.Restored, "400ms z5 tamper",
			Proved, 400 * ms, 1400 * ms},
		{"motion is not held steady", 3, Operate, signal.Restored, "700ms z3 active", Proved, 700 * ms, 700 * ms},
		{"broken off by a key", 1, Operate, signal.Restored, "400ms z1 active; 500ms again", Void, 0, 500 * ms},
		{"connection lost", 1, Operate, signal.Restored, "1s lost", Void, 0, time.Second},

		{"contact closes", 1, Restore, signal.Active, "600ms z1 restored", Proved, 600 * ms, 1600 * ms},
		{"closes late", 1, Restore, signal.Active, "6s z1 restored", Late, 6 * time.Second, 7 * time.Second},
		{"never closes", 1, Restore, signal.Active, "", Silent, 0, 15 * time.Second},
		{"closes with chatter", 1, Restore, signal.Active, "600ms z1 restored; 650ms z1 active; 700ms z1 restored",
			Unsteady, 600 * ms, 1700 * ms},
		{"motion settles", 3, Restore, signal.Active, "4s z3 restored", Proved, 4 * time.Second, 5 * time.Second},
		{"motion seen again before it settles", 3, Restore, signal.Active,
			"4s z3 restored; 4500ms z3 active; 9s z3 restored", Proved, 9 * time.Second, 10 * time.Second},
		{"motion goes off again and stays so", 3, Restore, signal.Active, "4s z3 restored; 4500ms z3 active",
			Unsteady, 4500 * ms, 45 * time.Second},
		{"a pulse that was over before the cue", 3, Restore, signal.Restored, "", Proved, 0, time.Second},
		{"motion never settles", 3, Restore, signal.Active, "", Silent, 0, 45 * time.Second},
	} {
		t.Run(tc.name, func(t *testing.T) {
			trial := newTrial(s, s.Zone(tc.zone), tc.half, 50*time.Millisecond, tc.before)
			j, ended := play(t, trial, tc.timeline)
			assert.Equal(t, tc.verdict, j.Verdict)
			if tc.verdict != Void {
				assert.Equal(t, tc.response, j.Response)
			}
			assert.Equal(t, tc.ended, ended)
			if tc.verdict == Crossed {
				require.NotNil(t, j.Other)
				assert.NotEqual(t, tc.zone, j.Other.Number)
			}
		})
	}
}

// Whatever comes, a wait ends, and a verdict is given; no signal of another
// zone can prove a detector.
func FuzzTrial(f *testing.F) {
	f.Add([]byte{1, 2, 3, 4, 5, 6, 7, 8}, false, true)
	f.Add([]byte{0, 0, 255, 255, 4, 0}, true, false)
	s, err := site.Read("site.yaml", []byte(trialSite))
	if err != nil {
		f.Fatal(err)
	}
	states := []signal.State{signal.Active, signal.Restored, signal.Tamper, signal.Trouble, signal.NotUnderstood}
	f.Fuzz(func(t *testing.T, data []byte, restore, motion bool) {
		half := Operate
		if restore {
			half = Restore
		}
		on := 1
		if motion {
			on = 3
		}
		trial := newTrial(s, s.Zone(on), half, 50*time.Millisecond, signal.Unknown)
		now, own := time.Duration(0), false
		for i := 0; i+1 < len(data); i += 2 {
			now += time.Duration(data[i]) * 20 * time.Millisecond
			if now > trial.Deadline() {
				break
			}
			zone := int(data[i+1]) % 5
			own = own || zone == on-1
			trial.hear(Heard{Since: now, Address: fmt.Sprintf("z%d", zone+1), State: states[int(data[i+1]/5)%len(states)]})
		}
		if d := trial.Deadline(); d < 0 || d > time.Minute {
			t.Fatalf("the wait would end after %v", d)
		}
		trial.endedBy, trial.ended = ByTime, trial.Deadline()
		j := trial.Judge()
		if _, known := severity[j.Verdict]; !known {
			t.Fatalf("verdict %q", j.Verdict)
		}
		if !own && j.Answered() {
			t.Fatal("proved by another zone")
		}
	})
}
