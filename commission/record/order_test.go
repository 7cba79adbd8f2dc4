package record

import (
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
)

// What comes next: the step that the technician chose, then the rest of their stage,
// then the programme's order.
func TestNext(t *testing.T) {
	done := answer(checkStep, Done)
	first := openedHonestly(t, asItIs).Programme[0].ID
	second := openedHonestly(t, asItIs).Programme[1].ID
	enter := func(stage programme.Stage, step string) Entered { return Entered{stage, step} }
	for name, tc := range map[string]struct {
		facts []any
		next  string
		stage programme.Stage
	}{
		"begun":            {nil, first, ""},
		"one done":         {[]any{answer(first, Done)}, second, ""},
		"a later one done": {[]any{done}, first, ""},
		"a stage":          {[]any{enter(programme.StageWalkTest, "")}, "walk/1.1", programme.StageWalkTest},
		"a step of it": {[]any{enter(programme.StageWalkTest, "walk/2.1")}, "walk/2.1",
			programme.StageWalkTest},
		"that step done": {story([]any{enter(programme.StageWalkTest, "walk/2.1")}, tried("walk/2.1",
			"z2")), "walk/1.1", programme.StageWalkTest},
		"the stage done": {story([]any{enter(programme.StageWalkTest, "")}, tried("walk/1.1", "z1"),
			tried("walk/2.1", "z2")), first, programme.StageWalkTest},
		"a step that is not there": {[]any{enter(programme.StageOutputs, "walk/9.9")}, "outputs/Sounder",
			programme.StageOutputs},
		"the programme's order again": {[]any{enter(programme.StageOutputs, "outputs/Chime/zone-1"), enter("", "")},
			first, ""},
	} {
		r := recordOf(t, tc.facts...)
		require.NotNil(t, r.Next(), name)
		assert.Equal(t, tc.next, r.Next().Step().ID, name)
		assert.Equal(t, tc.stage, r.Stage(), name)
		assert.False(t, r.Done(), name)
	}
}

// All is done when every step is concluded: here a programme of the walk test and the
// signatures only.
func TestWhenAllIsDone(t *testing.T) {
	short := func(p []programme.Step) []programme.Step {
		return slices.DeleteFunc(p, func(s programme.Step) bool {
			return s.Stage != programme.StageWalkTest && s.Stage != programme.StageSignOff
		})
	}
	facts := story(tried("walk/1.1", "z1"), []any{answer("walk/2.1", LeftOut)}, []any{
		Signed{Step: programme.IDTechnician, Role: programme.Technician, Name: "x"},
		Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "y"},
	})
	for n := range facts {
		if f, is := facts[n].(time.Duration); is && f > 0 {
			continue
		}
		r, err := told(t, openedHonestly(t, short), facts[:n]...)
		require.NoError(t, err)
		assert.False(t, r.Done(), n)
		assert.NotNil(t, r.Next(), n)
	}
	r, err := told(t, openedHonestly(t, short), facts...)
	require.NoError(t, err)
	assert.True(t, r.Done())
	assert.Nil(t, r.Next())
	assert.Equal(t, "y", r.Customer().Name)
	all, open := r.Count("")
	assert.Equal(t, []int{4, 0}, []int{all, open})
}

func TestCountsAndWhatIsOpenBefore(t *testing.T) {
	r := recordOf(t, tried("walk/1.1", "z1")...)
	inspections := 0
	for _, o := range r.Outcomes() {
		if o.Step().Stage == programme.StageInspection {
			inspections++
		}
	}
	all, open := r.Count(programme.StageWalkTest)
	assert.Equal(t, []int{2, 1}, []int{all, open})
	all, open = r.Count(programme.StageInspection)
	assert.Equal(t, []int{inspections, inspections}, []int{all, open})
	all, open = r.Count("")
	assert.Equal(t, []int{len(r.Outcomes()), len(r.Outcomes()) - 1}, []int{all, open})
	all, open = r.Count("attic")
	assert.Equal(t, []int{0, 0}, []int{all, open})

	assert.Empty(t, r.OpenBefore(programme.StageInspection))
	assert.Len(t, r.OpenBefore(programme.StageWalkTest), inspections)
	before := stepIDs(r.OpenBefore(programme.StageSupply))
	assert.Len(t, before, inspections+1)
	assert.Equal(t, "walk/2.1", before[inspections])
}

// A step that is taken again is open; on standby, mains has to be removed again for it.
func TestReopened(t *testing.T) {
	standby := []any{answer(programme.IDMainsOff, Done), volts("supply/standby-1", 12, "12 V")}
	back := []any{answer(programme.IDMainsOn, Done), volts(programme.IDMainsBack, 13.7, "13.7 V")}
	mains := []string{programme.IDMainsOff, programme.IDMainsOn, programme.IDMainsBack}
	open := func(r *Record) (ids []string) {
		for _, id := range append(mains, "supply/standby-1", checkStep) {
			if !r.Find(id).Concluded() {
				ids = append(ids, id)
			}
		}
		return ids
	}
	all := story([]any{answer(checkStep, Done)}, standby, back)
	assert.Empty(t, open(recordOf(t, all...)))
	for id, again := range map[string][]string{
		checkStep:             {checkStep},
		"supply/standby-1":    append(slices.Clone(mains), "supply/standby-1"),
		programme.IDMainsBack: {programme.IDMainsBack},
	} {
		r := recordOf(t, story(all, []any{Reopened{id}})...)
		assert.Equal(t, again, open(r), id)
		assert.Nil(t, r.Find(id).Answer(), id)
	}
	off := recordOf(t, story([]any{answer(checkStep, Done)}, standby, []any{Reopened{"supply/standby-1"}})...)
	assert.True(t, off.Find(programme.IDMainsOff).Concluded(), "mains is removed still")
	off = recordOf(t, story([]any{answer(checkStep, Done)}, standby, []any{Reopened{checkStep}})...)
	assert.True(t, off.Find(programme.IDMainsOff).Concluded())
}

// An answer that is replaced, or whose step is taken again, stays among the earlier ones.
func TestEarlierAnswers(t *testing.T) {
	defect := Answer{Step: checkStep, Result: Defect, Remark: "loose"}
	for name, tc := range map[string]struct {
		facts   []any
		result  Result
		remark  string
		earlier []Answer
	}{
		"none":     {nil, "", "", nil},
		"one":      {[]any{defect}, Defect, "loose", nil},
		"replaced": {[]any{defect, answer(checkStep, Done)}, Done, "", []Answer{defect}},
		"reopened": {[]any{defect, Reopened{checkStep}}, "", "", []Answer{defect}},
		"anew": {[]any{defect, Reopened{checkStep}, Reopened{checkStep}, answer(checkStep, Done)}, Done, "",
			[]Answer{defect}},
	} {
		o := recordOf(t, tc.facts...).Find(checkStep)
		assert.Equal(t, tc.result, o.Result(), name)
		assert.Equal(t, tc.remark, o.Remark(), name)
		assert.Equal(t, tc.earlier, o.Earlier(), name)
		assert.Equal(t, tc.result != "", o.Concluded(), name)
	}
}

// An answer among several is remembered over a break, not within a run, and not once
// the step was concluded or opened again.
func TestGivenAnswers(t *testing.T) {
	name, licence := PartAnswer{checkStep, "name", "Ada", false}, PartAnswer{checkStep, "licence", "7", false}
	for story, tc := range map[string]struct {
		facts []any
		name  string // "" for not remembered
	}{
		"nothing":              {nil, ""},
		"within the run":       {[]any{name, licence}, ""},
		"after a break":        {[]any{name, licence, Resumed{}}, "Ada"},
		"another question":     {[]any{licence, Resumed{}}, ""},
		"asked again since":    {[]any{name, Resumed{}, PartAnswer{checkStep, "name", "Bea", false}}, ""},
		"and a further break":  {[]any{name, Resumed{}, PartAnswer{checkStep, "name", "Bea", false}, Resumed{}}, "Bea"},
		"the step concluded":   {[]any{name, answer(checkStep, Done), Resumed{}}, ""},
		"the step taken again": {[]any{name, Reopened{checkStep}, Resumed{}}, ""},
	} {
		r := recordOf(t, tc.facts...)
		_, there := r.AnsweredBefore(r.Find(checkStep), "name")
		assert.Equal(t, tc.name != "", there, story)
		if there {
			text, _ := r.AnsweredBefore(r.Find(checkStep), "name")
			assert.Equal(t, tc.name, text, story)
		}
	}
}
