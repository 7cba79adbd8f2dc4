package dryrun

import (
	"bytes"
	"context"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/listen/ears"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

// divided is a simulated building that two ears share, in fake time: what it reports of some addresses
// comes by the one, all else by the other. It implements signal.Receiver for the building.
type divided struct {
	building *simulated.Controller
	about    map[signal.Way]signal.Listening
	to       map[signal.Way]signal.Receiver
	mirrors  bool // each hears what belongs to the other, too
	lost     signal.Way
}

// half is one of the ears.
type half struct {
	*divided
	way signal.Way
}

func (h half) About() signal.Listening { return h.about[h.way] }

func (h half) Start(ctx context.Context, to signal.Receiver) error {
	if h.to[h.way] = to; len(h.to) < len(h.about) {
		return nil
	}
	return h.building.Start(ctx, h.divided)
}

func (h half) Close() error { return h.building.Close() }

// withOutputs is the half that switches outputs.
type withOutputs struct{ half }

func (w withOutputs) CanEnergise(o *site.Output) bool { return w.building.CanEnergise(o) }
func (w withOutputs) Energise(ctx context.Context, o *site.Output, on bool) error {
	return w.building.Energise(ctx, o, on)
}

func (w withOutputs) GuardOff(ctx context.Context, o *site.Output, lost func(error)) (func(), error) {
	return w.building.GuardOff(ctx, o, lost)
}

var polled = []string{"z2", "z3"}

func (d *divided) Signal(s signal.Signal) {
	is := slices.Contains(polled, s.Address)
	if (is || d.mirrors) && d.lost != signal.ByPolling {
		d.to[signal.ByPolling].Signal(s)
	}
	if (!is || d.mirrors) && d.lost != signal.OverMQTT {
		d.to[signal.OverMQTT].Signal(s)
	}
}

func (d *divided) Connection(c signal.Connection) {
	for _, to := range d.to {
		to.Connection(c)
	}
}

func (d *divided) System(s signal.System) {
	d.to[signal.OverMQTT].(signal.SystemReceiver).System(s)
}

// losing loses an ear for a second, some time after the first cue of a step.
type losing struct {
	*divided
	clock clock.Clock
	step  string
	ear   signal.Way
	done  bool
}

func (l *losing) Took(_ time.Time, f record.Fact) {
	if c, is := f.(record.Cue); !is || c.Step != l.step || l.done {
		return
	}
	l.done = true
	to := l.to[l.ear]
	l.clock.AfterFunc(50*time.Millisecond, func() {
		l.lost = l.ear
		to.Connection(signal.Connection{Why: signal.Broken, Detail: "EOF"})
	})
	l.clock.AfterFunc(time.Second, func() {
		l.lost = ""
		to.Connection(signal.Connection{Up: true, Why: signal.BackAgain})
	})
}

// byTwoEars is a visit that listens with two ears; step and ear say what is lost, "" for nothing.
func byTwoEars(t *testing.T, talk io.Writer, mirrors bool, step string, ear signal.Way) (visit.Config, record.Opened) {
	t.Helper()
	v := base(t)
	c := clock.NewSimulated(Morning)
	opened, building, err := v.open(c)
	require.NoError(t, err)
	given := v.Answers
	if step != "" { // what is lost is back before the next cue
		given = bytes.Replace(given, []byte("answers:\n"),
			[]byte("answers:\n  - {when: "+step+"/ready, say: ready, after: 5 s}\n"), 1)
	}
	answers, err := scripted.Read("answers.yaml", given)
	require.NoError(t, err)
	d := &divided{building: building, to: map[signal.Way]signal.Receiver{}, mirrors: mirrors,
		about: map[signal.Way]signal.Listening{
			signal.OverMQTT: {Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7,
				Tells: building.About().Tells},
			signal.ByPolling: {Way: signal.ByPolling, TimedBy: signal.ByComputer, UncertaintyNS: 5e7 + 5e8,
				AskedNS: 5e8}}}
	config := simulated.Join(visit.Config{Operator: scripted.New(answers, c, talk, words.English{}),
		Source: building, Clock: c, Tool: "dry run"})
	config.Source = ears.Join([]ears.Ear{
		{Source: withOutputs{half{d, signal.OverMQTT}}, Addresses: []string{"z1", "z4", "z5"}},
		{Source: half{d, signal.ByPolling}, Addresses: polled}})
	config.Readers = append(config.Readers, &losing{divided: d, clock: c, step: step, ear: ear})
	return config, opened
}

func ranByTwo(t *testing.T, talk io.Writer, mirrors bool, step string, ear signal.Way) (*judge.Assessment, []byte) {
	t.Helper()
	config, opened := byTwoEars(t, talk, mirrors, step, ear)
	var kept memory
	running, err := visit.StartOn(config, journal.On(&kept), opened)
	require.NoError(t, err)
	require.NoError(t, running.Run(t.Context()))
	require.NoError(t, running.Close())
	return judge.Assess(running.Record()), kept.Bytes()
}

// A whole visit with two ears: every zone has the times of its own.
func TestAVisitWithTwoEars(t *testing.T) {
	a, _ := ranByTwo(t, io.Discard, false, "", "")
	r := a.Record()
	assert.True(t, r.Done())
	for _, d := range a.Detectors() {
		want := 50 * time.Millisecond
		if d.Zone.Number == 2 || d.Zone.Number == 3 {
			want = 550 * time.Millisecond
		}
		assert.Equal(t, record.Proved, d.Operated.Verdict, d.Name.Point)
		assert.Equal(t, want, d.Operated.Uncertainty, d.Name.Point)
	}
	assert.Empty(t, r.Outages())
	assert.Empty(t, r.Elsewhere())
	for _, b := range r.Breaches() {
		assert.NotContains(t,
			[]record.Law{record.LawEars, record.LawWay, record.LawUncertainty, record.LawListensOnce}, b.Law)
	}
	for _, o := range r.Site().Outputs {
		if o.Kind == site.Sounder {
			assert.NotEmpty(t, a.Outputs(), "outputs are switched by the ear that can")
		}
	}
}

// What each hears of the other's zones is told and counted, and proves nothing.
func TestEarsThatMirrorEachOther(t *testing.T) {
	var talk bytes.Buffer
	a, _ := ranByTwo(t, &talk, true, "", "")
	assert.Equal(t, record.Proved, a.Detectors()[0].Operated.Verdict)
	assert.NotEmpty(t, a.Record().Elsewhere()["z1"])
	assert.Contains(t, talk.String(), "meanwhile zone 1 was reported by another way of listening than its own")
	n := 0
	for _, f := range a.Limitations() {
		if _, is := f.What.(judge.HeardElsewhere); is {
			n++
		}
	}
	assert.Equal(t, 5, n, "each zone")
	assert.Equal(t, 50*time.Millisecond, a.Detectors()[0].Operated.Uncertainty)
}

// The loss of an ear in the middle of a trial voids it where the zone is its own, and else does not.
func TestAnEarIsLostInATrial(t *testing.T) {
	for name, tc := range map[string]struct {
		step  string
		ear   signal.Way
		tries int
	}{
		"its own": {"walk/1.1", signal.OverMQTT, 2}, "the other": {"walk/1.1", signal.ByPolling, 1},
		"its own, polled": {"walk/3.1", signal.ByPolling, 2}, "the other, of a polled one": {"walk/3.1", signal.OverMQTT, 1},
	} {
		var talk bytes.Buffer
		a, _ := ranByTwo(t, &talk, false, tc.step, tc.ear)
		attempts := a.Record().Find(tc.step).Attempts()
		require.Len(t, attempts, tc.tries, name)
		assert.Equal(t, record.Proved, attempts[tc.tries-1].Verdict(), name)
		assert.Equal(t, tc.tries == 2, attempts[0].Operate.EndedBy() == record.ByLost, name)
		require.Len(t, a.Record().Outages(), 1, name)
		assert.Equal(t, tc.ear, a.Record().Outages()[0].Ear, name)
		called := map[signal.Way]string{signal.OverMQTT: "MQTT", signal.ByPolling: "polling"}[tc.ear]
		assert.Contains(t, talk.String(), "NOT CONNECTED: "+called, name)
		assert.Contains(t, talk.String(), "Connected again: "+called, name)
	}
}

// A visit that ends in the middle of it goes on with two ears, and says the same as it read back.
func TestAVisitWithTwoEarsIsResumed(t *testing.T) {
	_, whole := ranByTwo(t, io.Discard, false, "", "")
	lines := bytes.SplitAfter(whole, []byte("\n"))
	cut := slices.IndexFunc(lines, func(l []byte) bool { return strings.Contains(string(l), `"step":"walk/3.1"`) })
	require.Positive(t, cut)
	path := filepath.Join(t.TempDir(), "journal.jsonl")
	require.NoError(t, os.WriteFile(path, bytes.Join(lines[:cut+1], nil), 0o600))
	config, _ := byTwoEars(t, io.Discard, false, "", "")
	running, err := visit.Resume(config, path)
	require.NoError(t, err)
	require.NoError(t, running.Run(t.Context()))
	r := running.Record()
	require.NoError(t, running.Close())
	assert.True(t, r.Done())
	assert.Len(t, r.Sources(), 2)
	assert.Equal(t, 550*time.Millisecond, r.Find("walk/3.1").Last().Operate.Rules().Uncertainty)
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	read, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	assert.Equal(t, judge.Assess(r).Result(), judge.Assess(read).Result())
	assert.Equal(t, r.Sources(), read.Sources())
}

// Somebody who lets a report come by the ear that has not its address proves nothing with it.
func TestAReportByTheWrongEar(t *testing.T) {
	_, whole := ranByTwo(t, io.Discard, false, "", "")
	contents, err := journal.Read(bytes.NewReader(whole))
	require.NoError(t, err)
	f := &Forged{Entries: contents.Entries}
	for _, i := range f.Where("signal", "address", "z1") {
		Edit(f, i, func(s *signal.Signal) { s.Ear = signal.ByPolling })
	}
	text, err := f.Bytes()
	require.NoError(t, err)
	contents, err = journal.Read(bytes.NewReader(text))
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	assert.False(t, r.Find("walk/1.1").Attempts()[0].Operate.Judge().Verdict.Proves())
	assert.NotEmpty(t, r.Elsewhere()["z1"])
}
