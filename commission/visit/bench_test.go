package visit

import (
	"bytes"
	"context"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

var morning = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)

const benchSite = `
reference: B-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
cables: {reused: "no"}
monitoring: {centre: Northmoor}
controller: {description: controller}
supply: {battery: {chemistry: lead-acid}, hold: 60 s}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Windows, kind: window, wiring: normally closed, address: z2, detectors: [Left, Right]}
  - number: 3
    name: Hall
    kind: motion
    wiring: normally closed
    address: z3
    detectors: [{name: Motion, powered: {current: 15 mA}}]
outputs:
  - {name: Sounder, kind: sounder, address: s}
  - {name: Chime, kind: chime, follows: [1]}
`

const benchAnswers = `
answers:
  - {when: walk/2.2/ready, say: skip}
  - {when: walk/2.2/reason, say: locked}
  - {when: "*/not-proved", say: as it is}
  - {when: "*/voltage", say: as shown}
  - {when: "*/energise", say: "yes"}
  - {when: "supply/voltmeter", say: meter}
  - {when: "supply/voltmeter/*", say: ""}
  - {when: supply/charged, say: "yes"}
  - {when: supply/path, say: "no"}
  - {when: supply/cold-restart, say: restart}
  - {when: supply/alarm-load, say: energise}
  - {when: supply/alarm-current, say: energise}
  - {when: supply/far-voltage, say: energise}
  - {when: supply/*-fault, say: at the controller}
  - {when: supply/battery-*, say: done}
  - {when: supply/mains-*, say: done}
  - {when: outputs/Chime/zone-1/heard, say: heard, after: 3 s}
  - {when: "*/heard", say: "yes"}
  - {when: "*/level", say: 90 dB at 3 m}
  - {when: "*/current", say: ""}
  - {when: "*/cut-off", say: ""}
  - {when: outputs/Sounder, say: energise}
  - {when: alarm, say: begin}
  - {when: alarm/setting/begin, say: begun, after: 30 s}
  - {when: alarm/*/set, say: set, after: 60 s}
  - {when: alarm/entry/open, say: opened, after: 30 s}
  - {when: alarm/*/unset, say: unset, after: 60 s}
  - {when: alarm/intrusion/detector, say: "2.1"}
  - {when: alarm/intrusion/operate, say: opened, after: 30 s}
  - {when: alarm/intrusion/Sounder, say: sounds, after: 1500 ms}
  - {when: alarm/intrusion/at-rest, say: at-rest, after: 3 s}
  - {when: alarm/path-1/received, say: "09:12:31"}
  - {when: alarm/path-1/reference, say: "77"}
  - {when: "inspection/*", say: done}
  - {when: list/walk-test/*, say: rest}
  - {when: "hand-over/*", say: done}
  - {when: sign-off/technician, say: sign}
  - {when: sign-off/customer, say: accept}
  - {when: sign-off/customer/drawing, say: ""}
  - {when: "sign-off/*", say: Ignace}
`

func siteOf(t testing.TB, text string) *site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	return s
}

func answersOf(t testing.TB, text string) *scripted.Answers {
	t.Helper()
	a, err := scripted.Read("answers.yaml", []byte(text))
	require.NoError(t, err)
	return a
}

func openedFor(t testing.TB, s *site.Site) record.Opened {
	t.Helper()
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	list.Looks = nil // see looks_test.go, and the talks
	return openedWith(s, list)
}

func openedWith(s *site.Site, list programme.Checklist) record.Opened {
	return record.Opened{Visit: programme.Handover, Number: s.Reference + "/1", SiteName: "site.yaml",
		Site: string(s.Raw), Programme: programme.Of(s, list)}
}

// said is what was said until now: a test may read it beside the visit that writes it.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

// bench is a visit on a bench, its operator scripted.
type bench struct {
	config Config
	out    said
}

func newBench(t testing.TB, source signal.Source, c clock.Clock, answers string) *bench {
	t.Helper()
	b := &bench{}
	b.config = Config{Operator: scripted.New(answersOf(t, answers), c, &b.out, words.English{}), Source: source,
		Clock: c, Tool: "test"}
	if reads, is := source.(Reader); is {
		b.config.Readers = []Reader{reads}
	}
	return b
}

// start runs a whole visit in a new folder and returns its journal and error.
func (b *bench) start(t testing.TB, ctx context.Context, s *site.Site,
	opened record.Opened) (string, *record.Record, error) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	v, err := Start(b.config, path, opened)
	require.NoError(t, err)
	err = v.Run(ctx)
	require.NoError(t, v.Close())
	return path, v.Record(), err
}
