package simulated

import (
	"bytes"
	"context"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
	"loopwitness/commission/words"
)

const studio = `
reference: S-1
premises: {name: Studio, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: lead-acid}, hold: 60 s}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Windows, kind: window, wiring: normally closed, address: z2, detectors: [Left]}
outputs:
  - {name: Sounder, kind: sounder, address: s}
  - {name: Strobe, kind: strobe, address: t}
  - {name: Chime, kind: chime, follows: [1]}
`

// building is a simulated controller that has read the beginning of a visit.
type building struct {
	*Controller
	clock *clock.Simulated
	heard []string // after the last fact
}

func (b *building) Signal(s signal.Signal) {
	b.heard = append(b.heard, strings.TrimSpace(s.Address+" "+string(s.State)+" "+s.Kept))
}
func (b *building) Connection(signal.Connection) {}

func newBuilding(t *testing.T, opt Options) *building {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(studio))
	require.NoError(t, err)
	c := clock.NewSimulated(time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC))
	controller, err := New(s, c, opt)
	require.NoError(t, err)
	b := &building{Controller: controller, clock: c}
	require.NoError(t, controller.Start(context.Background(), b))
	assert.Equal(t, []string{"z1 restored retained", "z2 restored retained"}, b.heard)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	b.Took(c.Now(), record.Opened{Programme: programme.Of(s, list)})
	return b
}

// after tells a fact, and what is reported of it in the next minute.
func (b *building) after(f record.Fact) []string {
	b.heard = nil
	b.Took(b.clock.Now(), f)
	for end := b.clock.Now().Add(time.Minute); b.clock.Pass(end); {
	}
	return b.heard
}

// The building does what the journal says that the technician was told.
func TestTheBuildingFollowsTheJournal(t *testing.T) {
	b := newBuilding(t, Options{Seed: 3, Faults: []Fault{{At: "2.1", Kind: Swapped, With: 1, Trials: 1}}})
	assert.Equal(t, []string{"z1 active"}, b.after(record.Cue{Step: "walk/1.1", Half: record.Operate}))
	assert.Equal(t, []string{"z1 restored"}, b.after(record.Cue{Step: "walk/1.1", Half: record.Restore}))
	assert.Empty(t, b.after(record.Ended{Step: "walk/1.1", By: record.ByTime}))
	assert.Equal(t, []string{"z1 active"}, b.after(record.Cue{Step: "walk/2.1", Half: record.Operate}), "swapped")
	assert.Equal(t, []string{"z1 restored"}, b.after(record.Ended{Step: "walk/2.1", By: record.ByTime}), "and let go")
	assert.Equal(
		t,
		[]string{"z2 active"},
		b.after(record.Cue{Step: "walk/2.1", Half: record.Operate}),
		"mended after one trial",
	)
	assert.Equal(t, []string{"z1 active"}, b.after(record.Cue{Step: "outputs/Chime/zone-1", Half: record.Operate}))
	assert.Equal(
		t,
		[]string{"z1 restored"},
		b.after(record.Ended{Step: "outputs/Chime/zone-1", By: record.ByHeard}),
		"let go when it was heard",
	)
	assert.Equal(
		t,
		[]string{"z1 restored"},
		b.after(record.Cue{Step: programme.IDRestart, Half: record.Operate}),
		"the first report",
	)
	for _, f := range []record.Fact{
		record.Note{Step: "walk/1.1"},
		record.Answer{Step: "walk/1.1", Result: record.LeftOut},
		record.Cue{Step: "gone", Half: record.Operate},
	} {
		assert.Empty(t, b.after(f), f.Kind())
	}
}

// A building that reads the journal of an earlier run does nothing of it again, but
// knows how things stand.
func TestTheBuildingGoesOnAfterABreak(t *testing.T) {
	b := newBuilding(t, Options{Seed: 3, Faults: []Fault{{At: "2.1", Kind: Silent, Trials: 1}}})
	b.heard = nil
	b.Took(b.clock.Now(), record.Cue{Step: "walk/2.1", Half: record.Operate})
	b.Took(b.clock.Now(), record.Cue{Step: "walk/1.1", Half: record.Operate})
	b.Took(b.clock.Now(), record.Answer{Step: programme.IDMainsOff, Result: record.Done})
	assert.Empty(t, b.after(record.Resumed{}), "nobody waits any more")
	assert.Equal(
		t,
		[]string{"z2 active"},
		b.after(record.Cue{Step: "walk/2.1", Half: record.Operate}),
		"it was mended in the break",
	)
	assert.Less(t, b.volts(), 13.0, "mains is still removed")
}

// The practice voltmeter shows what the journal makes of the supply, and only where a
// voltage of the supply is asked for.
func TestThePracticeVoltmeter(t *testing.T) {
	b := newBuilding(t, Options{Seed: 3})
	a, err := scripted.Read("answers.yaml", []byte("answers:\n  - {when: v, say: as shown}\n"))
	require.NoError(t, err)
	var told bytes.Buffer
	joined := Join(visit.Config{Source: b.Controller, Clock: b.clock,
		Operator: scripted.New(a, b.clock, &told, words.English{})})
	_, err = joined.Operator.Ask(t.Context(), ask.Question{ID: "which", What: ask.Identify{}, Optional: true})
	require.NoError(t, err)
	assert.Contains(t, told.String(), "simulated voltmeter")
	assert.Equal(t, []visit.Reader{b.Controller}, joined.Readers)
	read := func() float64 {
		t.Helper()
		answer, err := joined.Operator.Ask(context.Background(), ask.Question{ID: "v",
			What: ask.SupplyVoltage{
				Step: programme.Name{ID: programme.IDMainsPresent},
			}, Takes: ask.Quantity{In: checks.Voltage}})
		require.NoError(t, err)
		volts, err := strconv.ParseFloat(strings.TrimSuffix(answer.Text, " V"), 64)
		require.NoError(t, err)
		return volts
	}
	assert.InDelta(t, 13.62, read(), 0.03)
	b.Took(b.clock.Now(), record.Answer{Step: programme.IDMainsOff, Result: record.LeftOut})
	assert.InDelta(t, 13.62, read(), 0.03, "not removed")
	b.Took(b.clock.Now(), record.Answer{Step: programme.IDMainsOff, Result: record.Done})
	assert.InDelta(t, 13.2, read(), 0.05)
	for end := b.clock.Now().Add(3 * time.Minute); b.clock.Pass(end); {
	}
	quiet := read()
	assert.InDelta(t, 12.76, quiet, 0.05)
	b.Took(b.clock.Now(), record.Energised{Output: "Sounder", On: true})
	assert.Less(t, read(), quiet-0.02)
	b.Took(b.clock.Now(), record.Energised{Output: "Sounder"})
	assert.InDelta(t, quiet, read(), 0.03)
	b.Took(b.clock.Now(), record.Answer{Step: programme.IDMainsOn, Result: record.Done})
	assert.InDelta(t, 13.62, read(), 0.03)

	observed := func(output string) string {
		t.Helper()
		answer, err := joined.Operator.Ask(t.Context(), ask.Question{ID: "v", What: ask.Observed{Output: output},
			Takes: ask.YesNo{}})
		require.NoError(t, err)
		return answer.Text
	}
	assert.Equal(t, ask.No, observed("Sounder"))
	b.Took(b.clock.Now(), record.Energised{Output: "Sounder", On: true})
	assert.Equal(t, ask.Yes, observed("Sounder"))
	assert.Equal(t, ask.No, observed("Strobe"))

	_, err = joined.Operator.Ask(
		context.Background(),
		ask.Question{ID: "v", What: ask.UncertaintyMatter, Takes: ask.Quantity{In: checks.Voltage}},
	)
	assert.ErrorIs(t, err, ask.ErrUnanswered, "nothing is shown beside another question")
}

// A visit of a real controller has nothing simulated about it.
func TestJoinLeavesOtherVisitsAlone(t *testing.T) {
	c := visit.Config{Tool: "x"}
	assert.Equal(t, c, Join(c))
}
