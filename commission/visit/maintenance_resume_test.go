package visit_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
)

// toldByKeys is a controller that tells nothing of itself: the technician's keys do.
type toldByKeys struct{ *simulated.Controller }

func (c toldByKeys) About() signal.Listening {
	about := c.Controller.About()
	about.Tells = nil
	return about
}

func (c toldByKeys) Start(ctx context.Context, to signal.Receiver) error {
	return c.Controller.Start(ctx, struct{ signal.Receiver }{to})
}

const maintainedSite = `
reference: B-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
monitoring: {centre: Northmoor, paths: [{name: broadband}, {name: radio, within: 60 s}]}
setting: {exit_time: 30 s, entry_time: 30 s, sounder_within: 5 s, confirmed: "yes", entry_detector: "1.1"}
controller: {description: controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Panes, kind: glass-break, wiring: normally closed, address: z2, detectors: [Left, Right]}
outputs:
  - {name: Sounder, kind: sounder, address: s, cut_off: 3 min}
  - {name: Strobe, kind: strobe, address: f}
`

const maintainedAnswers = `answers:
  - {when: list/outstanding, say: [1 2, rest]}
  - {when: outstanding/2025-11-24-handover/F1, say: "no"}
  - {when: outstanding/2025-11-24-handover/L1, say: not tested}
  - {when: outstanding/2025-11-24-handover/L1/reason, say: no ladder}
  - {when: "outstanding/*", say: "yes"}
  - {when: list/walk-test/door, say: each}
  - {when: walk/1.1/play, say: defect}
  - {when: walk/1.1/play/note, say: the leaf rattles}
  - {when: walk/1.1/gap, say: done}
  - {when: list/walk-test/glass-break, say: rest}
  - {when: list/walk-test/glass-break/tester, say: tone tester 5}
  - {when: inspection/on-test-from, say: value}
  - {when: inspection/on-test-from/value, say: "08:30"}
  - {when: inspection/on-test/value, say: the operator}
  - {when: inspection/*, say: done}
  - {when: "*/not-proved", say: as it is}
  - {when: alarm, say: begin}
  - {when: alarm/energise, say: "yes"}
  - {when: alarm/setting/begin, say: begun, after: 3 s}
  - {when: alarm/setting/set, say: set, after: 30 s}
  - {when: alarm/*/set, say: set, after: 33 s} # later than the simulated exit
  - {when: alarm/entry/unset, say: unset, after: 11 s}
  - {when: alarm/intrusion/detector, say: "2.2"}
  - {when: alarm/intrusion/second, say: "2.1"}
  - {when: alarm/intrusion/unset, say: unset, after: 60 s}
  - {when: alarm/intrusion/at-rest, say: at-rest, after: 5 s}
  - {when: "alarm/*/clock", say: ready, after: 20 s}
  - {when: "alarm/*/clock-said", say: as shown}
  - {when: alarm/path-1/received, say: "09:30:00"}
  - {when: alarm/path-1/reference, say: 4471-88}
  - {when: alarm/path-2/received, say: never}
  - {when: "sign-off/*", say: Ignace}
`

// A maintenance visit that remembers an earlier one, looks at detectors one by one, notes values
// and raises an alarm that only keys tell of, is the same after a break behind any entry.
func TestResumingAMaintenanceAfterEveryEntry(t *testing.T) {
	s, err := site.Read("site.yaml", []byte(maintainedSite))
	require.NoError(t, err)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Maintenance))
	require.NoError(t, err)
	opened := record.Opened{Number: "B-1/2", SiteName: "site.yaml", Site: maintainedSite}
	for _, step := range programme.OfKind(programme.Maintenance, s, list) {
		if step.Stage == programme.StageWalkTest || step.Stage == programme.StageAlarm ||
			slices.Contains([]string{"inspection/on-test", "inspection/on-test-from"}, step.ID) {
			opened.Programme = append(opened.Programme, step)
		}
	}
	opened = visit.After(t, opened, s, "F1 fault inspection/gone\nL1 advice inspection/gone\nL2 advice inspection/other")
	config := func(out *bytes.Buffer) visit.Config {
		c := simulatedConfig(t, s, maintainedAnswers, out)
		c.Source = toldByKeys{c.Source.(*simulated.Controller)}
		return c
	}
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	var out bytes.Buffer
	v, err := visit.Start(config(&out), path, opened)
	require.NoError(t, err)
	require.NoError(t, v.Run(context.Background()), out.String())
	require.NoError(t, v.Close())
	require.Empty(t, v.Record().Breaches())
	want := results(v.Record())
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, said := range []string{"outstanding/", `"text":"no ladder"`, "the leaf rattles", "tone tester 5",
		`"what":"set"`, `"what":"centre-clock"`, `"received"`} {
		require.Contains(t, string(data), said)
	}
	lines := bytes.SplitAfter(bytes.TrimSuffix(data, []byte("\n")), []byte("\n"))
	for n := 1; n < len(lines); n++ {
		cut := append(bytes.Join(lines[:n], nil), lines[n][:n%len(lines[n])]...)
		t.Run(fmt.Sprint(n), func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, want, resultsAfter(t, cut, config), strings.TrimSpace(string(lines[n-1])))
		})
	}
}
