package record

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Facts that no visit writes are refused, with their entry named.
func TestHostileFactsAreRefused(t *testing.T) {
	operated := half("walk/1.1", Operate, "z1", signal.Active)
	for name, facts := range map[string][]any{
		"a cue to a step that is not there": {Cue{Step: "walk/9.9", Half: Operate}},
		"a cue to another half":             {Cue{Step: "walk/1.1", Half: "kick"}},
		"another half of what was operated": story(operated, []any{Cue{Step: "walk/1.1", Half: "kick"}}),
		"a cue while another waits": {Cue{Step: "walk/1.1", Half: Operate},
			Cue{Step: "walk/2.1", Half: Operate}},
		"a cue while the same waits": {Cue{Step: "walk/1.1", Half: Operate},
			Cue{Step: "walk/1.1", Half: Operate}},
		"restoring what was not operated": {Cue{Step: "walk/1.1", Half: Restore}},
		"restoring twice":                 story(tried("walk/1.1", "z1"), []any{Cue{Step: "walk/1.1", Half: Restore}}),
		"restoring a chime": {Cue{Step: chimeStep, Half: Operate}, Ended{Step: chimeStep, By: BySilent},
			Cue{Step: chimeStep, Half: Restore}},
		"restoring a restart": {Cue{Step: programme.IDRestart, Half: Operate},
			Ended{Step: programme.IDRestart, By: BySilent}, Cue{Step: programme.IDRestart, Half: Restore}},
		"the end of another wait": {Cue{Step: "walk/1.1", Half: Operate}, Ended{Step: "walk/2.1", By: ByTime}},
		"hearing a detector": {Cue{Step: "walk/1.1", Half: Operate},
			signal.Signal{Address: "z1", State: signal.Active}, Ended{Step: "walk/1.1", By: ByHeard}},
		"hearing a restart": {Cue{Step: programme.IDRestart, Half: Operate},
			Ended{Step: programme.IDRestart, By: ByHeard}},
		"an answer to a step that is not there": {answer("walk/9.9", LeftOut)},
		"an answer that the step does not have": {answer("walk/1.1", Works)},
		"opening a step that is not there":      {Reopened{"walk/9.9"}},
		"a remark on a step that is not there":  {Note{Step: "walk/9.9", Text: "a"}},
		"given to a step that is not there":     {PartAnswer{"walk/9.9", "name", "x", false}},
		"a reading at a step that is not there": {volts("supply/standby-9", 12, "12 V")},
		"a meter for a step that is not there":  {Instrument{Step: "supply/ohmmeter", Name: "m"}},
		"a name under a step that is not there": {Signed{Step: "sign-off/witness", Role: "witness", Name: "w"}},
		"a name without a role under a check":   {Signed{Step: checkStep, Name: "w"}},
		"a quantity that nobody reads":          {Reading{Step: programme.IDMainsPresent, Quantity: "weight", Value: 1}},
		"a sound level at a detector":           {Reading{Step: "walk/1.1", Quantity: LevelReading, Value: 90}},
		"a loop at an output":                   {Reading{Step: "outputs/Sounder", Quantity: LoopReading, Value: 90}},
		"a voltage in words":                    {volts(programme.IDMainsPresent, 0, "enough")},
		"a voltage better than it can be": {Reading{Step: programme.IDMainsPresent, Quantity: VoltageReading,
			Value: 12, Unit: "V", AsTyped: "12 V", Uncertainty: -0.1}},
		"a photograph of what the site has not": {photo(1, func(p *Photographed) { p.About = "zone/9" })},
		"a text that is too long by a byte":     {noteOf(oneline.Longest + 1)},
		"restoring again what went unrestored": story(operated, []any{
			Cue{Step: "walk/1.1", Half: Restore}, 15 * time.Second, Ended{Step: "walk/1.1", By: BySilent},
			Cue{Step: "walk/1.1", Half: Restore}}),
		"restoring while the operated one waits": {Cue{Step: "walk/1.1", Half: Operate},
			Cue{Step: "walk/1.1", Half: Restore}},
	} {
		t.Run(name, func(t *testing.T) {
			n := len(facts)
			refuses(t, fmt.Sprintf("entry %d (%s): ", 2+n, facts[n-1].(Fact).Kind()),
				facts...) // after opened and listening
		})
	}
}

// noteOf is a remark of so many bytes.
func noteOf(size int) Note { return Note{Step: checkStep, Text: strings.Repeat("w", size)} }

// What is long and honest is taken: 4,000 bytes of what is typed, 64 KiB of an entry,
// 8 MiB of one with a name and what was accepted, and more of the site file.
func TestHowLongTextsMayBe(t *testing.T) {
	r := recordOf(t, noteOf(4000))
	raw := func(size int) signal.Signal {
		body := bodyOf(t, signal.Signal{Address: "z1", State: signal.Active, Raw: "w"})
		return signal.Signal{Address: "z1", State: signal.Active, Raw: strings.Repeat("w", size-len(body)+1)}
	}
	recordOf(t, raw(64<<10))
	refuses(t, "longer than the 65536 bytes", raw(64<<10+1))
	assert.Len(t, r.Find(checkStep).Notes(), 1)
	shown := func(size int) Signed {
		signed := customer
		signed.Accepted = []Acceptance{{ID: "L1", Said: json.RawMessage(`{}`), Shown: "w"}}
		signed.Accepted[0].Shown = strings.Repeat("w", size-len(bodyOf(t, signed))+1)
		return signed
	}
	recordOf(t, shown(8<<20))
	refuses(t, "longer than the 8388608 bytes", shown(8<<20+1))
	opened := openedHonestly(t, asItIs)
	opened.Site += strings.Repeat("# a long remark about what is fitted here, and why\n", 1400)
	_, err := told(t, opened)
	assert.NoError(t, err)
}

// A restored half that was broken off may be taken anew, and so may all of it.
func TestCuesThatMayFollow(t *testing.T) {
	operated := half("walk/1.1", Operate, "z1", signal.Active)
	broken := []any{Cue{Step: "walk/1.1", Half: Restore}, time.Second, Ended{Step: "walk/1.1", By: ByAgain}}
	r := recordOf(t, story(operated, broken, half("walk/1.1", Restore, "z1", signal.Restored))...)
	assert.Len(t, r.Find("walk/1.1").Attempts(), 1)
	assert.True(t, r.Find("walk/1.1").Concluded())
	r = recordOf(t, story(tried("walk/1.1", "z1"), tried("walk/1.1", "z1"))...)
	assert.Len(t, r.Find("walk/1.1").Attempts(), 2)
	r = recordOf(t, Ended{Step: "walk/1.1", By: ByTime})
	assert.Empty(t, r.Find("walk/1.1").Attempts(),
		"its wait was ended by the loss of the connection in the same moment")
}

// More programmes that no site gives.
func TestMoreForgedProgrammes(t *testing.T) {
	instead := func(id string, step programme.Step) func([]programme.Step) []programme.Step {
		return changed(id, func(s *programme.Step) { *s = step })
	}
	own := programme.Step{ID: "inspection/own", Stage: programme.StageInspection, Kind: programme.StepCheck,
		Text: "kiln cold"}
	of := func(change func(*programme.Step)) programme.Step {
		step := own
		change(&step)
		return step
	}
	look := func(at site.Point) programme.Step {
		return programme.Step{ID: "walk/" + string(at) + "/own", Stage: programme.StageWalkTest, Kind: programme.StepCheck,
			Item: "own", Text: "kiln cold", Point: at}
	}
	for name, tc := range map[string]struct {
		step programme.Step
		says string
	}{
		"a check that is called as a detector": {of(func(s *programme.Step) { s.ID = "walk/1.1" }),
			"as the programme has it"},
		"a check in another stage": {of(func(s *programme.Step) { s.Stage = programme.StageSupply }),
			"as the programme has it"},
		"a detector that is inspected": {of(func(s *programme.Step) { s.Kind = programme.StepDetector }),
			"as the programme has it"},
		"a check of a detector that is inspected": {of(func(s *programme.Step) { s.Point = "1.1" }),
			"as the programme has it"},
		"a look at a detector that is not": {look("9.9"), "no detector 9.9"},
		"a look that is called after another detector": {of(func(s *programme.Step) {
			*s = look("1.1")
			s.ID = "walk/2.1/own"
		}), "as the programme has it"},
		"a value that nobody knows": {of(func(s *programme.Step) { s.Value = "colour" }), "as the programme has it"},
		"a check of an output that is not": {of(func(s *programme.Step) { s.Output = "Siren" }),
			`no output "Siren"`},
		"a check that another check is called": {of(func(s *programme.Step) {
			s.ID = openedHonestly(t,
				asItIs).Programme[0].ID
		}), "stands twice"},
		"a step of the supply that is inspected": {programme.Step{ID: programme.IDMainsOff,
			Stage: programme.StageInspection, Kind: programme.StepAct}, "as the programme has it"},
	} {
		_, err := told(t, openedHonestly(t, instead(checkStep, tc.step)))
		assert.ErrorIs(t, err, ErrNoSense, name)
		assert.ErrorContains(t, err, "entry 1 (opened): ", name)
		assert.ErrorContains(t, err, tc.says, name)
	}
	for _, step := range []programme.Step{own, look("1.1"), of(func(s *programme.Step) { s.Value = "text" }),
		of(func(s *programme.Step) { s.Output = "Sounder" })} {
		_, err := told(t, openedHonestly(t, instead(checkStep, step)))
		assert.NoError(t, err, "a company's own list")
	}
	twice := func(p []programme.Step) []programme.Step { return append(p, p[len(p)-1]) }
	_, err := told(t, openedHonestly(t, twice))
	assert.ErrorIs(t, err, ErrNoSense)
}

// Runs follow one another. A photograph is added in a run of its own, after which the
// visit goes on in a later one.
func TestWhichRunAnEntryMayBelongTo(t *testing.T) {
	type told struct {
		run  int
		fact Fact
	}
	done := answer(checkStep, Done)
	first, second := photo(1, nil), photo(2, nil)
	for name, tc := range map[string]struct {
		before []told
		last   told
		fits   bool
	}{
		"the same run":                       {nil, told{1, done}, true},
		"a run that did not begin":           {nil, told{2, done}, false},
		"a run that begins":                  {nil, told{2, Resumed{}}, true},
		"that goes on":                       {[]told{{2, Resumed{}}}, told{2, done}, true},
		"the run before it":                  {[]told{{2, Resumed{}}}, told{1, done}, false},
		"a run that begins again":            {nil, told{1, Resumed{}}, false},
		"one that begins after a later":      {[]told{{2, Resumed{}}, {3, Resumed{}}}, told{2, Resumed{}}, false},
		"a photograph during the visit":      {nil, told{1, first}, true},
		"a photograph later":                 {nil, told{2, first}, true},
		"a photograph before":                {[]told{{2, Resumed{}}, {3, Resumed{}}}, told{2, first}, false},
		"a run that is left out":             {nil, told{3, Resumed{}}, false},
		"one left out before a photograph":   {nil, told{3, first}, false},
		"one left out after it":              {[]told{{2, first}}, told{4, Resumed{}}, false},
		"a second photograph, in its own":    {[]told{{2, first}}, told{3, second}, true},
		"a second photograph with it":        {[]told{{2, first}}, told{2, second}, true},
		"the visit goes on after it":         {[]told{{2, first}}, told{3, Resumed{}}, true},
		"and not in the run of a photograph": {[]told{{2, first}}, told{2, Resumed{}}, false},
		"nor does a photograph begin a run":  {[]told{{2, first}}, told{2, done}, false},
	} {
		r := recordOf(t)
		for _, f := range tc.before {
			require.NoError(t, take(t, r, f.run, time.Minute, f.fact), name)
		}
		err := take(t, r, tc.last.run, 2*time.Minute, tc.last.fact)
		assert.Equal(t, tc.fits, err == nil, "%s: %v", name, err)
		if err != nil {
			assert.ErrorIs(t, err, ErrNoSense, name)
			assert.ErrorContains(t, err, fmt.Sprintf("it belongs to run %d, which did not begin", tc.last.run), name)
			var refused *Refusal
			require.ErrorAs(t, err, &refused, name)
			assert.Equal(t, LawRuns, refused.Law, name)
		}
	}
}

// A body that another reader might read otherwise is refused as one of a later version.
func TestBodiesThatMayBeReadInTwoWays(t *testing.T) {
	for name, body := range map[string]string{
		"a key twice":           `{"step":"inspection/fixing","result":"done","result":"defect"}`,
		"a key in capitals":     `{"step":"inspection/fixing","Result":"done"}`,
		"a key of a later tool": `{"step":"inspection/fixing","result":"done","weather":"dry"}`,
		"another order":         `{"result":"done","step":"inspection/fixing"}`,
		"spaces":                `{"step": "inspection/fixing", "result": "done"}`,
		"an empty remark":       `{"step":"inspection/fixing","result":"done","remark":""}`,
	} {
		r := recordOf(t)
		err := r.Take(journal.Entry{N: 3, At: at(0), Run: 1, Kind: kindAnswer, Body: json.RawMessage(body)})
		assert.ErrorIs(t, err, ErrUnknownKind, name)
		assert.ErrorContains(t, err, "entry 3 (answer): ", name)
	}
}
