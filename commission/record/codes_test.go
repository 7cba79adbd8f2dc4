package record

import (
	"cmp"
	"errors"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// Where a fact says why, or by whom, it says so by a code that we have words for: text of
// anybody cannot stand there as ours.
func TestCodesThatNobodyHasWordsForAreRefused(t *testing.T) {
	removed := func(what ...photograph.Hidden) Photographed {
		return photo(1, func(p *Photographed) { p.Removed = what })
	}
	for name, fact := range map[string]any{
		"a pause":       Paused{By: "the insurer"},
		"a switch":      Energised{Output: "Sounder", On: true, By: "approval board"},
		"a photograph":  removed(photograph.Location, "every doubt"),
		"no signals":    signal.Overrun{Lost: 0, LastedNS: 1},
		"no time":       signal.Overrun{Lost: 1, LastedNS: -1},
		"a month, more": signal.Overrun{Lost: 1, LastedNS: (31 * 24 * time.Hour).Nanoseconds() + 1},
		"no certainty":  signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: -1},
		"before itself": Cue{Step: "walk/1.1", Half: Operate, BeforeNS: -1},
		"too certain":   Cue{Step: "walk/1.1", Half: Operate, UncertaintyNS: -1},
		"an output":     Energised{Output: "Siren", On: true, By: SwitchedByHand},
		"too long":      signal.Overrun{Lost: 1, LastedNS: math.MaxInt64},
	} {
		_, err := told(t, openedHonestly(t, asItIs), fact)
		assert.ErrorIs(t, err, ErrNoSense, name)
	}
	for name, fact := range map[string]any{
		"a way":        signal.Listening{Way: "telepathy", TimedBy: signal.ByComputer},
		"a timing":     signal.Listening{Way: signal.OverMQTT, TimedBy: "accredited laboratory, traceable"},
		"a state":      signal.Signal{Address: "z1", State: "approved"},
		"no state":     signal.Signal{Address: "z1"},
		"a kept state": signal.Signal{Address: "z1", State: signal.Active, Kept: "in mind"},
		"a connection": signal.Connection{Why: "by magic"},
		"an end":       Ended{Step: "walk/1.1", By: "approval"},
		"no end":       Ended{Step: "walk/1.1"},
		"a stage":      Entered{Stage: "approval"},
	} {
		_, err := told(t, openedHonestly(t, asItIs), fact)
		assert.ErrorIs(t, err, ErrUnknownKind, name)
	}
	for _, kind := range []programme.VisitKind{"", "approval"} {
		opened := openedHonestly(t, asItIs)
		opened.Visit = kind
		_, err := told(t, opened)
		assert.ErrorIs(t, err, ErrUnknownKind, kind)
	}
	for tag, known := range map[string]bool{"": true, "en": true, "de": true, "fr": false, "deutsch": false, "de-AT": false} {
		opened := openedHonestly(t, asItIs)
		opened.Language = tag
		r, err := told(t, opened)
		if !known {
			assert.ErrorIs(t, err, ErrUnknownKind, tag)
			continue
		}
		require.NoError(t, err, tag)
		assert.Equal(t, cmp.Or(tag, "en"), r.Language(), "the visit's, else that of its site, else the first")
	}
	german := openedHonestly(t, asItIs)
	german.Site = "language: de\n" + german.Site
	r, err := told(t, german)
	require.NoError(t, err)
	assert.Equal(t, "de", r.Language())
	german.Language = "en"
	r, err = told(t, german)
	require.NoError(t, err)
	assert.Equal(t, "en", r.Language(), "whoever began the visit chose")
	for name, fact := range map[string]Fact{
		"by the technician": Paused{By: StopByTechnician}, "asked": Paused{By: StopAsked},
		"by an error":       Paused{By: StopByError},
		"by the controller": Energised{Output: "Sounder", On: true, By: SwitchedByController},
		"by hand":           Energised{Output: "Sounder", On: true, By: SwitchedByHand},
		"location":          removed(photograph.Location), "other data": removed(photograph.OtherData), "nothing": removed(),
		"one signal": signal.Overrun{Lost: 1}, "a month": signal.Overrun{Lost: 1, LastedNS: (31 * 24 * time.Hour).Nanoseconds()},
		"exact": signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer},
	} {
		_, err := told(t, openedHonestly(t, asItIs), fact)
		assert.NoError(t, err, name)
	}
}

// What a kind of entry says can be read without a record; a kind of a later version cannot.
func TestFactOf(t *testing.T) {
	f, err := FactOf(journal.Entry{N: 3, Kind: "note", Body: []byte(`{"step":"walk/1.1","text":"stiff"}`)})
	require.NoError(t, err)
	assert.Equal(t, Note{Step: "walk/1.1", Text: "stiff"}, f)
	_, err = FactOf(journal.Entry{N: 3, Kind: "séance"})
	assert.ErrorIs(t, err, ErrUnknownKind)
	assert.ErrorContains(t, err, "entry 3")
}

// While signals were lost, nothing is known of a zone, and no operation counts as missed.
func TestLostSignals(t *testing.T) {
	active := signal.Signal{Address: "z1", State: signal.Active}
	r, err := told(t, openedHonestly(t, asItIs), signal.Connection{Up: true}, active, signal.Overrun{Lost: 7, LastedNS: 5})
	require.NoError(t, err)
	assert.Equal(t, signal.Unknown, r.StateOf("z1"))
	assert.Equal(t, 7, r.Lost())

	r, err = told(t, openedHonestly(t, asItIs), Cue{Step: "walk/1.1", Half: Operate}, 9*time.Second,
		signal.Overrun{Lost: 1})
	require.NoError(t, err)
	trial := r.Find("walk/1.1").Attempts()[0].Operate
	assert.Equal(t, ByOverrun, trial.EndedBy())
	assert.Equal(t, Void, trial.Judge().Verdict)
	assert.False(t, trial.Missed(), "it may have been reported")
}

// What a zone reported before a cue that is delivered late is its own last report, whatever
// others reported since.
func TestTheStateBeforeALateCue(t *testing.T) {
	before := func(after ...any) signal.State {
		facts := append(
			[]any{signal.Connection{Up: true}, signal.Signal{Address: "z1", State: signal.Active}, 2 * time.Second},
			after...)
		facts = append(facts, 3*time.Second, Cue{Step: "walk/1.1", Half: Operate, BeforeNS: (4 * time.Second).Nanoseconds()})
		r, err := told(t, openedHonestly(t, asItIs), facts...)
		require.NoError(t, err)
		return r.Find("walk/1.1").Attempts()[0].Operate.before
	}
	assert.Equal(t, signal.Active, before())
	assert.Equal(t, signal.Active, before(signal.Signal{Address: "z2", State: signal.Restored}))
	assert.Equal(t, signal.Active, before(signal.Signal{Address: "z1", State: signal.Restored}),
		"it was so when the cue was given")
	assert.Equal(
		t,
		signal.Active,
		before(signal.Signal{Address: "z2", State: signal.Restored}, signal.Signal{Address: "z1", State: signal.Restored}),
	)
}

// A time that cannot be written as one on the premises is none of a visit.
func TestYearsOfNoVisit(t *testing.T) {
	for year, fits := range map[int]bool{-1: false, 0: false, 1: true, 2026: true, 9998: true, 9999: false} {
		r := recordOf(t)
		e := journal.Entry{N: 3, At: time.Date(year, 6, 1, 0, 0, 0, 0, time.UTC), Run: 1, Kind: kindNote,
			Body: []byte(`{"step":"walk/1.1","text":"stiff"}`)}
		err := r.Take(e)
		assert.Equal(t, fits, err == nil, "%d: %v", year, err)
		assert.Equal(t, !fits, errors.Is(err, ErrNoSense), year)
	}
}

// A cue that is delivered after mains was removed, and was given before, proves nothing
// on standby.
func TestALateCueFromBeforeMainsWasRemoved(t *testing.T) {
	for before, off := range map[time.Duration]bool{
		0: true, time.Second: true, 2 * time.Second: true, 3 * time.Second: false,
	} {
		r := recordOf(t, 5*time.Second, answer(programme.IDMainsOff, Done), 2*time.Second,
			Cue{Step: "supply/proof-1.1", Half: Operate, BeforeNS: before.Nanoseconds()})
		assert.Equal(t, off, r.Find("supply/proof-1.1").Attempts()[0].Operate.MainsOff(), before)
	}
	// One that is given at its entry stands behind the removal, also if the clock was set back between.
	r := recordOf(t)
	require.NoError(t, take(t, r, 1, time.Hour, answer(programme.IDMainsOff, Done)))
	require.NoError(t, take(t, r, 1, time.Minute, Cue{Step: "supply/proof-1.1", Half: Operate}))
	assert.True(t, r.Find("supply/proof-1.1").Attempts()[0].Operate.MainsOff())
}
