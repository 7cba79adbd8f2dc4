package record

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

const honestSite = `
reference: H-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: lead-acid}, hold: 60 s}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
  - {number: 2, name: Window, kind: window, wiring: normally closed, address: z2, detectors: [Window]}
outputs: [{name: Sounder, kind: sounder, address: s}, {name: Chime, kind: chime, follows: [1]}]
`

// told is a story of facts as somebody may write them by hand: it returns the first
// error.
func told(t *testing.T, opened Opened, facts ...any) (*Record, error) {
	t.Helper()
	r := &Record{}
	now, began, run := time.Duration(0), time.Duration(0), 1
	listening := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7}
	for i, f := range append([]any{opened, listening}, facts...) {
		if d, is := f.(time.Duration); is {
			now += d
			continue
		}
		body, is := f.(json.RawMessage)
		kind := kindAnswer
		if !is {
			body = bodyOf(t, f.(Fact))
			kind = f.(Fact).Kind()
		}
		if _, resumed := f.(Resumed); resumed {
			run, began = run+1, now
		}
		at := time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC).Add(now)
		if err := r.Take(journal.Entry{N: i + 1, At: at, Run: run, Elapsed: now - began, Kind: kind,
			Body: body}); err != nil {
			return r, err
		}
	}
	return r, nil
}

func openedHonestly(t *testing.T, change func([]programme.Step) []programme.Step) Opened {
	t.Helper()
	s := readSite(t, honestSite)
	list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
	require.NoError(t, err)
	list.Looks = nil // see looked_test.go
	return Opened{Visit: programme.Handover, Number: "H-1/1", SiteName: "site.yaml", Site: honestSite,
		Programme: change(programme.Of(s, list))}
}

func asItIs(p []programme.Step) []programme.Step { return p }

// changed alters the steps whose names begin so.
func changed(prefix string, change func(*programme.Step)) func([]programme.Step) []programme.Step {
	return func(p []programme.Step) []programme.Step {
		for i := range p {
			if strings.HasPrefix(p[i].ID, prefix) {
				change(&p[i])
			}
		}
		return p
	}
}

// A programme whose steps are not those of the site would let one zone answer for
// another, or a reading without load pass for one with it.
func TestForgedProgrammesAreRefused(t *testing.T) {
	for name, change := range map[string]func([]programme.Step) []programme.Step{
		"another zone answers": changed("walk/2.1", func(s *programme.Step) { s.Zone = 1 }),
		"no load":              changed(programme.IDAlarmLoad, func(s *programme.Step) { s.Load = false }),
		"another stage":        changed("supply/standby", func(s *programme.Step) { s.Stage = programme.StageOutputs }),
		"another text":         changed(programme.IDCustomer, func(s *programme.Step) { s.Role = "approval board" }),
		"a detector twice": changed("walk/2.1", func(s *programme.Step) {
			*s = programme.Step{ID: "walk/1.1b", Stage: programme.StageWalkTest, Kind: programme.StepDetector,
				Point: "1.1", Zone: 1}
		}),
		"an item that nobody has words for": changed("inspection/fixing",
			func(s *programme.Step) { s.Item = "unheard-of" }),
		"an item in another stage": changed("inspection/fixing", func(s *programme.Step) {
			s.Stage = programme.StageWalkTest
		}),
		"another order": func(p []programme.Step) []programme.Step {
			p[len(p)-1], p[len(p)-2] = p[len(p)-2], p[len(p)-1]
			return p
		},
	} {
		_, err := told(t, openedHonestly(t, change))
		assert.ErrorIs(t, err, ErrNoSense, name)
	}
	far := openedHonestly(t, asItIs)
	far.UTCOffset = -63072000
	_, err := told(t, far)
	assert.ErrorContains(t, err, "from UTC")
}

// Facts that do not belong to a step conclude nothing.
func TestForeignFactsAreRefused(t *testing.T) {
	for name, fact := range map[string]any{
		"a name for a check":       Signed{Step: "inspection/fixing", Role: "technician", Name: "x"},
		"a meter for a check":      Instrument{Step: "inspection/fixing", Name: "x"},
		"fails for a check":        Answer{Step: "inspection/fixing", Result: Fails},
		"done for a name":          Answer{Step: programme.IDCustomer, Result: Done},
		"done for a detector":      Answer{Step: "walk/1.1", Result: Done},
		"a customer as technician": Signed{Step: programme.IDTechnician, Role: "customer", Name: "x"},
		"a voltage at a detector": Reading{Step: "walk/1.1", Quantity: VoltageReading,
			Value: 12, Unit: "V", AsTyped: "12 V"},
		"a voltage that was not typed": Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading,
			Value: 13.7, Unit: "V", AsTyped: "2.1 V"},
		"millivolts": Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading,
			Value: 13.7, Unit: "mV", AsTyped: "13.7 V"},
		"a current that was not typed": Reading{Step: "outputs/Sounder", Quantity: CurrentReading,
			Value: 0.3, Unit: "A", AsTyped: "3 A"},
		"a current that is nearly so": Reading{Step: "outputs/Sounder", Quantity: CurrentReading,
			Value: 0.30000001, Unit: "A", AsTyped: "0.3 A"},
		"an ampere that is nearly so": Reading{Step: "outputs/Sounder", Quantity: CurrentReading,
			Value: 1 + 1.05e-9, Unit: "A", AsTyped: "1 A"},
		"a milliampere that is nearly so": Reading{Step: "outputs/Sounder", Quantity: CurrentReading,
			Value: 0.001 + 1e-10, Unit: "A", AsTyped: "1 mA"},
		"milliamperes": Reading{Step: "outputs/Sounder", Quantity: CurrentReading,
			Value: 0.3, Unit: "mA", AsTyped: "0.3 A"},
		"a current for a voltage": Reading{Step: programme.IDAlarmLoad, Quantity: CurrentReading,
			Value: 0.3, Unit: "A", AsTyped: "0.3 A"},
		"a voltage for a current": Reading{Step: programme.IDStandbyCurrent, Quantity: VoltageReading,
			Value: 12, Unit: "V", AsTyped: "12 V"},
		"a weighting that nobody has": with(decibels(96), func(f *Reading) {
			f.AsTyped, f.Weighting = "96 dB(B) at 3 m",
				"B"
		}),
		"a distance better than exact": with(decibels(96), func(f *Reading) { f.DistanceUncertainty = -0.1 }),
		"a weighted voltage": Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading,
			Value: 12, Unit: "V", AsTyped: "12 V", Weighting: "A"},
		"a voltage at a distance": Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading,
			Value: 12, Unit: "V", AsTyped: "12 V", DistanceUncertainty: 0.1},
		"a level that did not stop":     with(decibels(96), func(f *Reading) { f.Exceeded = true }),
		"an open level":                 with(decibels(96), func(f *Reading) { f.Open = true }),
		"another level":                 with(decibels(96), func(f *Reading) { f.Value = 126 }),
		"another distance":              with(decibels(96), func(f *Reading) { f.Distance = 1 }),
		"surroundings that nobody read": with(decibels(96), func(f *Reading) { f.Ambient = 40 }),
		"a class that nobody stated":    with(decibels(96), func(f *Reading) { f.MeterClass = 1 }),
		"a weighting that nobody typed": with(decibels(96), func(f *Reading) { f.Weighting = "A" }),
		"a level in another unit":       with(decibels(96), func(f *Reading) { f.Unit = "dB(A)" }),
		"a level without its text":      with(decibels(96), func(f *Reading) { f.AsTyped = "" }),
		"an open loop of some ohms": Reading{Step: "walk/1.1", Quantity: LoopReading, Value: 4700, Unit: "ohm", Open: true,
			AsTyped: "open"},
		"an open loop that reads 4k7": Reading{Step: "walk/1.1", Quantity: LoopReading, Unit: "ohm", Open: true,
			AsTyped: "4k7"},
		"an open loop in volts": Reading{Step: "walk/1.1", Quantity: LoopReading, Unit: "V", Open: true, AsTyped: "open"},
		"a loop over surroundings": Reading{Step: "walk/1.1", Quantity: LoopReading, Value: 4700, Unit: "ohm",
			AsTyped: "4k7", Ambient: 40},
		"a loop from a distance": Reading{Step: "walk/1.1", Quantity: LoopReading, Value: 4700, Unit: "ohm",
			AsTyped: "4k7", Distance: 1},
		"a loop of a class": Reading{Step: "walk/1.1", Quantity: LoopReading, Value: 4700, Unit: "ohm",
			AsTyped: "4k7", MeterClass: 1},
		"seconds typed otherwise": Reading{Step: "outputs/Sounder", Quantity: CutOffReading, Value: 90, Unit: "s",
			AsTyped: "15 min"},
		"a weighted resistance": Reading{Step: "walk/1.1", Quantity: LoopReading, Value: 96, Unit: "ohm",
			AsTyped: "96 ohm", Weighting: "A"},
		"a resistance that was not typed": Reading{Step: "walk/1.1", Quantity: LoopReading, Value: 6, Unit: "ohm",
			AsTyped: "62 ohm"},
		"an open loop that was not typed so": Reading{Step: "walk/1.1", Quantity: LoopReading, Unit: "ohm", AsTyped: "open"},
		"an open voltage": Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading,
			Value: 12, Unit: "V", AsTyped: "12 V", Open: true},
		"no battery to charge":    Answer{Step: programme.IDCharged, Result: NotApplicable},
		"a cue to a check":        Cue{Step: "inspection/fixing", Half: Operate},
		"a key twice":             json.RawMessage(`{"step":"outputs/Sounder","result":"fails","RESULT":"works"}`),
		"a key that nobody knows": json.RawMessage(`{"step":"outputs/Sounder","result":"works","approved":true}`),
		"a text without end":      Note{Step: "walk/1.1", Text: strings.Repeat("w", longestText)},
	} {
		_, err := told(t, openedHonestly(t, asItIs), fact)
		assert.Error(t, err, name)
	}
}

// with is a reading with a change.
func with(r Reading, change func(*Reading)) Reading {
	change(&r)
	return r
}

// What does belong to a step is taken, with all that may be said beside it.
func TestOwnFactsAreTaken(t *testing.T) {
	for name, fact := range map[string]Fact{
		"a level": Reading{Step: "outputs/Sounder", Quantity: LevelReading, Value: 96, Unit: "dB", Weighting: "A",
			Distance: 3, DistanceUncertainty: 0.1, Ambient: 55, MeterClass: 2, Confirmed: true,
			AsTyped: "96 dB(A) at 3 m ± 0.1 m over 55 dB class 2"},
		"a plain level":       decibels(96),
		"a level, weighted C": with(decibels(96), func(f *Reading) { f.AsTyped, f.Weighting = "96 dB(C) at 3 m", "C" }),
		"a level, unweighted": with(decibels(96), func(f *Reading) { f.AsTyped, f.Weighting = "96 dBZ at 3 m", "Z" }),
		"a current at rest": Reading{Step: programme.IDStandbyCurrent, Quantity: CurrentReading,
			Value: 0.21, Unit: "A", AsTyped: "210 mA"},
		"a current but for its last bits": Reading{Step: "outputs/Sounder", Quantity: CurrentReading,
			Value: 0.35, Unit: "A", AsTyped: "350 mA"},
		"an ampere but for less than its last digit": Reading{Step: "outputs/Sounder", Quantity: CurrentReading,
			Value: 1 + 0.95e-9, Unit: "A", AsTyped: "1 A"},
		"no volt at all": Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading, Unit: "V", AsTyped: "0 V"},
		"a confirmed voltage": Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading,
			Value: 121, Unit: "V", AsTyped: "121 V", Confirmed: true},
		"an open loop": Reading{Step: "walk/1.1", Quantity: LoopReading, Unit: "ohm", AsTyped: "open", Open: true},
		"a loop":       Reading{Step: "walk/1.1", Quantity: LoopReading, Value: 4700, Unit: "ohm", AsTyped: "4k7"},
		"charged":      Answer{Step: programme.IDCharged, Result: Yes},
		"not charged":  Answer{Step: programme.IDCharged, Result: No},
		"not known":    Answer{Step: programme.IDCharged, Result: LeftOut},
	} {
		_, err := told(t, openedHonestly(t, asItIs), fact)
		assert.NoError(t, err, name)
	}
	_, err := told(t, openedHonestly(t, asItIs), switched("Sounder", true), time.Minute,
		Reading{Step: "outputs/Sounder", Quantity: CutOffReading, Value: 60, Unit: "s", AsTyped: "> 1 min", Exceeded: true})
	assert.NoError(t, err, "not stopped")
}

// A bad trial does not vanish behind a better one that was not begun anew, nor behind
// an end that came too early.
func TestTrialsAreWatchedToTheirEnd(t *testing.T) {
	operated := []any{Cue{Step: "walk/1.1", Half: Operate}, 400 * time.Millisecond,
		signal.Signal{Address: "z1", State: signal.Active}, 2 * time.Second, Ended{Step: "walk/1.1", By: ByTime}}
	silent := append(operated, Cue{Step: "walk/1.1", Half: Restore}, 300*time.Second, Ended{Step: "walk/1.1", By: ByTime})
	_, err := told(t, openedHonestly(t, asItIs), append(silent, Cue{Step: "walk/1.1", Half: Restore})...)
	assert.ErrorContains(t, err, "a cue to restore what was restored already")

	early := []any{Cue{Step: "walk/1.1", Half: Operate}, 400 * time.Millisecond,
		signal.Signal{Address: "z1", State: signal.Active}, Ended{Step: "walk/1.1", By: ByTime}}
	r, err := told(t, openedHonestly(t, asItIs), early...)
	require.NoError(t, err)
	assert.Equal(t, Void, r.Find("walk/1.1").attempts[0].Operate.Judge().Verdict, "it had to stand for a while")
}

// Names given before anything was tested stand under nothing.
func TestNamesLapseWhenSomethingFollows(t *testing.T) {
	signed := []any{
		Signed{Step: programme.IDTechnician, Role: "technician", Name: "x"},
		Signed{
			Step:     programme.IDCustomer,
			Role:     "customer",
			Name:     "y",
			Accepted: []Acceptance{{ID: "L9", Said: json.RawMessage(`{"code":"whatever"}`), Shown: "whatever"}},
		},
	}
	r, err := told(t, openedHonestly(t, asItIs), append(signed, Answer{Step: "inspection/fixing", Result: Done})...)
	require.NoError(t, err)
	assert.Nil(t, r.Customer())
	assert.True(t, r.lapsed)
	assert.False(t, r.Find(programme.IDTechnician).Concluded())
}

// A run that did not begin hides a break.
func TestRunsBegin(t *testing.T) {
	r, err := told(t, openedHonestly(t, asItIs))
	require.NoError(t, err)
	body := json.RawMessage(`{"step":"inspection/fixing","result":"done"}`)
	err = r.Take(journal.Entry{N: 3, At: r.latest, Run: 77, Kind: kindAnswer, Body: body})
	assert.ErrorContains(t, err, "it belongs to run 77, which did not begin")
	assert.ErrorIs(t, err, ErrNoSense, fmt.Sprint(err))
}

// Behind a pause nobody attends: only what was under way still comes.
func TestNothingFollowsAPause(t *testing.T) {
	paused := Paused{By: StopByTechnician}
	const says = "behind the pause of run 1"
	proved := tried(struckStep, "z1")
	for _, f := range []Fact{answer(checkStep, Done), strike(1), Note{Step: checkStep, Text: "x"}, promised, technician,
		Cue{Step: struckStep, Half: Operate}, paused, corrects(3, NoteField, "x")} {
		refuses(t, says, story(proved, []any{paused, f})...)
	}
	measured := signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, Sampled: true}
	r := recordOf(t, measured, paused, signal.Signal{Address: "z1", State: signal.Active}, signal.Overrun{Lost: 1},
		signal.Sample{Volt: 12.6},
		signal.Connection{}, switched("Sounder", false), Resumed{}, answer(checkStep, Done), paused)
	assert.Len(t, r.Breaks(), 2)
	require.NoError(t, take(t, r, 3, time.Hour, photo(1, nil)), "in a run of its own")
}

// Whatever a controller sends can be read back from the journal, and what a person types,
// as it was taken.
func TestAnyTextIsReadBack(t *testing.T) {
	for _, text := range []string{"\xff\xfe", "�", `\ufffd`, "a\u2028b", "<&>", "\x00\x1b", "🏺", `"\`} {
		path := filepath.Join(t.TempDir(), "journal.jsonl")
		w, err := journal.Create(path)
		require.NoError(t, err)
		for _, f := range []Fact{
			openedHonestly(t, asItIs),
			signal.Signal{Address: "z1", State: signal.NotUnderstood, Raw: text},
			Note{Step: "walk/1.1", Text: oneline.Clean(text)},
		} {
			_, err := w.Append(time.Now(), f.Kind(), f)
			require.NoError(t, err)
		}
		require.NoError(t, w.Close())
		contents, err := journal.ReadFile(path)
		require.NoError(t, err)
		_, err = Fold(contents.Entries)
		assert.NoError(t, err, "%q", text)
	}
}
