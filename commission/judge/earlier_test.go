package judge

import (
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

const someHash = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"

// What a later visit takes in of an earlier one is what that one shows.
func TestWhatIsRemembered(t *testing.T) {
	const two = "walk/2.1"
	s := begin(t)
	a := s.take(map[string][]any{two: append(attempt(two, "z2", -1, 0), answer(two, record.AsItIs))})
	then := a.Remembered(someHash)
	assert.Equal(t, []any{programme.Handover, "H-1/1", someHash, "Bellbird", string(Unsatisfactory), Rules, honestSite},
		[]any{then.Visit, then.Number, then.Journal, then.Company, then.Result, then.Rules, then.Site})
	assert.Equal(t, s.record.Begun(), then.Begun)
	assert.False(t, then.Ended.Before(then.Begun))
	require.NotEmpty(t, then.Outstanding)
	assert.Equal(t, []any{"F1", string(Fault), two, []string{two}}, []any{then.Outstanding[0].ID,
		then.Outstanding[0].Severity, then.Outstanding[0].Step, then.Outstanding[0].Steps})
	assert.Len(t, then.Outstanding, len(a.Findings())+len(a.Limitations()))
	require.Len(t, then.Detectors, 2)
	assert.Equal(t, record.DetectorThen{Point: "1.1", Name: "Door", Kind: "door", Verdict: record.Proved, Trials: 1,
		Response: fast, Uncertainty: 50 * time.Millisecond, Restored: fast, RestoredUncertainty: 50 * time.Millisecond},
		then.Detectors[0])
	assert.Equal(t, record.DetectorThen{Point: "2.1", Name: "Window", Kind: "window", Verdict: record.Silent, Trials: 1},
		then.Detectors[1], "what was not answered has no time")
	by := map[string]record.ReadingThen{}
	for _, r := range then.Readings {
		by[r.Step+"/"+string(r.Quantity)] = r
	}
	present := by[programme.IDMainsPresent+"/voltage"]
	assert.Equal(t, "V", present.Unit)
	assert.Zero(t, present.AfterSeconds)
	assert.Greater(t, by["supply/standby-4/voltage"].AfterSeconds, by["supply/standby-2/voltage"].AfterSeconds)
	assert.Greater(t, present.Uncertainty, 0.0)
}

// A reading at the wrong time shows nothing, and one that was not taken is none.
func TestReadingsThatShowNothingAreNotRemembered(t *testing.T) {
	s := begin(t)
	s.tell(reads("supply/standby-1", 12.4)) // mains was not removed
	for _, r := range Assess(s.record).Remembered(someHash).Readings {
		assert.NotEqual(t, "supply/standby-1", r.Step)
	}
}

// A time is remembered with what it was taken from: times from a count are compared with such
// times alone.
func TestWhatATimeWasTakenFromIsRemembered(t *testing.T) {
	s := begin(t)
	s.counts("walk/1.1", "z1", 100*time.Millisecond)
	s.proves("walk/2.1", "z2")
	var cues []record.TapBy
	for _, d := range Assess(s.record).Remembered(someHash).Detectors {
		cues = append(cues, d.Cue)
	}
	assert.Equal(t, []record.TapBy{record.ByCount, ""}, cues)
}

// What rests on a step that a visit did not even have was not found by it.
func TestAStepThatAVisitDidNotHaveLeavesNothing(t *testing.T) {
	s := opening{visit: programme.AfterAlarm}.begin(t) // its programme asks for no extent
	a := Assess(s.record)
	assert.Contains(t, s.codes(a.Limitations(), string(PartExtent)), "extent-not-said")
	for _, o := range a.Remembered(someHash).Outstanding {
		assert.NotContains(t, o.Steps, programme.IDExtent)
	}
}

// Of a visit that was broken off only what it came to is remembered.
func TestABrokenOffVisitLeavesWhatItCameTo(t *testing.T) {
	s := begin(t)
	s.tell(append(attempt("walk/2.1", "z2", -1, 0), answer("walk/2.1", record.AsItIs))...)
	then := Assess(s.record).Remembered(someHash)
	assert.Equal(t, string(NotFinished), then.Result)
	for _, o := range then.Outstanding {
		if len(o.Steps) > 0 {
			assert.Equal(t, []string{"walk/2.1"}, o.Steps)
		}
	}
}

// opened is the first entry of a maintenance visit of the honest site after others.
func openedAfter(t testing.TB, text string, earlier ...record.Earlier) record.Opened {
	t.Helper()
	at, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	o := record.Opened{Visit: programme.Maintenance, Number: at.Reference + "/2", SiteName: "site.yaml", Site: text,
		Earlier: earlier}
	o.Programme = o.Completed(at, programme.Of(at, builtIn(t, programme.Maintenance)), nil)
	return o
}

// after begins a visit a year later.
func after(t testing.TB, o record.Opened) *story {
	s := &story{t: t, record: &record.Record{}, from: time.Date(2027, 11, 24, 9, 0, 0, 0, time.UTC)}
	s.tell(o, listening)
	return s
}

// handed is a hand-over with a defect of the checklist that no maintenance looks at, a silent
// detector and a line that was not looked at.
func handed(t testing.TB) record.Earlier {
	const two = "walk/2.1"
	s := begin(t)
	a := s.take(map[string][]any{
		two:                     append(attempt(two, "z2", -1, 0), answer(two, record.AsItIs)),
		"inspection/fixing":     {answer("inspection/fixing", record.Defect, "loose at the hinge")},
		"inspection/insulation": {answer("inspection/insulation", record.LeftOut, "no light")},
	})
	return a.Remembered(someHash)
}

func askedOf(o record.Opened) (ids []string) {
	for _, st := range o.Programme {
		if st.Kind == programme.StepOutstanding {
			ids = append(ids, st.ID)
		}
	}
	return ids
}

// What rests on steps that the later visit takes is not asked for; what was answered gives the
// same finding again, the limitation again, or none.
func TestWhatWasOutstandingIsCarriedOn(t *testing.T) {
	o := openedAfter(t, honestSite, handed(t))
	asked := askedOf(o)
	require.Len(t, asked, 2)
	assert.True(t, strings.HasPrefix(asked[0], "outstanding/1/F"), asked[0])
	assert.True(t, strings.HasPrefix(asked[1], "outstanding/1/L"), asked[1])
	for _, c := range []struct {
		name             string
		first, second    record.Answer
		findings, limits []string
	}{
		{"put right both", answer(asked[0], record.Yes, ""), answer(asked[1], record.Yes, ""), nil, nil},
		{"still so", answer(asked[0], record.No, ""), answer(asked[1], record.No, ""), []string{"still-so"},
			[]string{"still-so"}},
		{"not looked at", answer(asked[0], record.LeftOut, "no ladder"), answer(asked[1], record.LeftOut, "no light"), nil,
			[]string{"still-unknown", "still-unknown"}},
	} {
		s := after(t, o)
		a := s.take(map[string][]any{asked[0]: {c.first}, asked[1]: {c.second}})
		assert.Equal(t, c.findings, s.codes(a.Findings(), string(PartEarlier)), c.name)
		assert.Equal(t, c.limits, s.codes(a.Limitations(), string(PartEarlier)), c.name)
		for _, f := range a.Findings() {
			if f.What.Code() == "still-so" {
				assert.Equal(t, Fault, f.Severity())
				assert.Equal(t, []string{"inspection/fixing"}, a.RestsOn(f))
			}
		}
	}
	s := after(t, o)
	assert.Equal(t, []string{"still-unknown", "still-unknown"}, s.codes(Assess(s.record).Limitations(),
		string(PartEarlier)),
		"open ones limit, too")
}

// Each thing that was left is told with what came of it: by an answer, or by a new trial.
func TestWhatCameOfWhatWasOutstanding(t *testing.T) {
	o := openedAfter(t, honestSite, handed(t))
	asked := askedOf(o)
	how := func(a *Assessment) map[Settling]int {
		all := map[Settling]int{}
		for _, l := range a.Outstanding() {
			all[l.How]++
		}
		return all
	}
	answers := map[string][]any{asked[0]: {answer(asked[0], record.Yes, "")}, asked[1]: {answer(asked[1], record.No, "")}}
	well := after(t, o).take(answers)
	got := how(well)
	assert.Equal(t, []int{1, 1, 0}, []int{got[AnsweredRight], got[AnsweredStill], got[TriedAgain]})
	assert.GreaterOrEqual(t, got[TriedWell], 1, "the detector that was silent")
	const two = "walk/2.1"
	answers[two] = append(attempt(two, "z2", -1, 0), answer(two, record.AsItIs))
	silent := after(t, o).take(answers)
	for _, l := range silent.Outstanding() {
		if len(l.Then.Steps) == 1 && l.Then.Steps[0] == two {
			assert.Equal(t, TriedAgain, l.How)
			assert.Equal(t, []string{"F1"}, l.Now)
		}
	}
	open := how(Assess(after(t, o).record))
	assert.Equal(t, []int{2, 0, 0}, []int{open[AnsweredNot], open[TriedWell], open[TriedAgain]})
}

// Through any number of visits something is told as it was found first.
func TestWhatIsStillSoIsToldSinceItWasFound(t *testing.T) {
	first := handed(t)
	o := openedAfter(t, honestSite, first)
	asked := askedOf(o)
	second := after(t, o).take(map[string][]any{asked[0]: {answer(asked[0], record.No, "")},
		asked[1]: {answer(asked[1], record.LeftOut, "no light")}}).Remembered(strings.Repeat("1", 64))
	first.Site = ""
	third := openedAfter(t, honestSite, first, second)
	again := askedOf(third)
	require.Len(t, again, 2)
	assert.True(t, strings.HasPrefix(again[0], "outstanding/2/F"), again[0])
	s := after(t, third)
	a := s.take(map[string][]any{again[0]: {answer(again[0], record.No, "")}, again[1]: {answer(again[1], record.No, "")}})
	for _, f := range append(a.Findings(), a.Limitations()...) {
		if still, is := f.What.(StillSo); is {
			assert.Equal(t, []any{"H-1/1", first.Begun.UTC()}, []any{still.Then.Visit, still.Then.Begun}, "%s", f.Said())
		}
	}
	assert.Equal(t, []string{"still-so"}, s.codes(a.Findings(), string(PartEarlier)))
	assert.Equal(t, []string{"still-so"}, s.codes(a.Limitations(), string(PartEarlier)))
}

// A visit that was broken off hides nothing that the one before it had found.
func TestABrokenOffVisitHidesNothing(t *testing.T) {
	first := handed(t)
	middle := after(t, openedAfter(t, honestSite, first))
	broken := Assess(middle.record).Remembered(strings.Repeat("2", 64))
	require.Equal(t, string(NotFinished), broken.Result)
	first.Site = ""
	o := openedAfter(t, honestSite, first, broken)
	assert.Len(t, askedOf(o), 2, "as before, each once")
	found := false
	for _, c := range record.CarriedOn(o.Earlier) {
		found = found || len(c.What.Steps) == 1 && c.What.Steps[0] == "walk/2.1"
	}
	assert.True(t, found, "the detector that was silent")
}

// A detector of another name is another one: its trial shows nothing of the one before.
func TestAnotherDetectorIsNoNewTrial(t *testing.T) {
	o := openedAfter(t, strings.Replace(honestSite, "detectors: [Window]", "detectors: [Skylight]", 1), handed(t))
	assert.Len(t, askedOf(o), 3)
}

// Detectors that were not sampled are one limitation, by the visits that proved them last.
func TestWhatWasNotSampledIsNamed(t *testing.T) {
	text := strings.Replace(honestSite, "detectors: [Door]", "detectors: [Door, Gate]", 1)
	at, err := site.Read("site.yaml", []byte(text))
	require.NoError(t, err)
	detector := func(p site.Point, name, kind string) record.DetectorThen {
		return record.DetectorThen{Point: p, Name: name, Kind: site.DetectorKind(kind), Verdict: record.Proved}
	}
	earlier := record.Earlier{Visit: programme.Handover, Number: "H-1/1", Journal: someHash, Result: string(Satisfactory),
		Begun: time.Date(2026, 11, 1, 9, 0, 0, 0, time.UTC), Ended: time.Date(2026, 11, 1, 11, 0, 0, 0, time.UTC),
		Detectors: []record.DetectorThen{detector("1.1", "Door", "door"), detector("1.2", "Gate", "door"),
			detector("2.1", "Window", "window")}}
	o := record.Opened{Visit: programme.Maintenance, Number: "H-1/2", SiteName: "site.yaml", Site: text,
		Earlier: []record.Earlier{earlier}, Sampling: &record.Sampling{Share: 0.5, Reason: "agreed"}}
	o.Sampling.Points = o.Sampled(at, nil)
	o.Programme = o.Completed(at, programme.Of(at, ownList), nil)
	s := after(t, o)
	a := Assess(s.record)
	assert.JSONEq(t, `{"code":"not-sampled","subject":{"part":"extent"},"with":{"share":0.5,"reason":"agreed",
		"of":[{"visit":"H-1/1","day":"2026-11-01","points":["1.2"]}]}}`, s.about(a.Limitations(), string(PartExtent)))
	assert.NotContains(t, s.codes(a.Limitations(), "1.2"), "no-part")
	assert.Len(t, a.Detectors(), 2)
}

// A visit that could not be read limits: nobody knows what it left.
func TestAVisitThatCouldNotBeReadLimits(t *testing.T) {
	o := openedAfter(t, honestSite)
	o.EarlierUnread = []string{"2026-11-01-handover"}
	s := after(t, o)
	assert.Contains(t, s.about(Assess(s.record).Limitations(), string(PartEarlier)), "2026-11-01-handover")
}

func TestWhatChangedInTheSiteFile(t *testing.T) {
	o := openedAfter(t, strings.Replace(honestSite, "capacity: 7 Ah", "capacity: 9 Ah", 1), handed(t))
	since, all := Assess(after(t, o).record).SiteChanges()
	assert.Equal(t, "H-1/1", since)
	assert.Equal(t, []site.Change{{What: site.BatteryChanged, Key: "supply.battery.capacity", Before: "7 Ah",
		Now: "9 Ah"}}, all)
	o.Earlier[0].Site = "{"
	since, all = Assess(after(t, o).record).SiteChanges()
	assert.Empty(t, since)
	assert.Empty(t, all, "a file that cannot be read tells nothing")
}

// Every finding of the kept records is known again from its codes, and every code that this
// version says can be.
func TestEveryFindingIsRecalled(t *testing.T) {
	for code := range consequences {
		assert.Contains(t, statements, code)
	}
	paths, err := filepath.Glob(filepath.Join(journals, "*.jsonl"))
	require.NoError(t, err)
	all := 0
	for _, path := range paths {
		c, err := journal.ReadFile(path)
		require.NoError(t, err)
		r, err := record.Fold(c.Entries)
		require.NoError(t, err)
		a := Assess(r)
		for _, f := range append(a.Findings(), a.Limitations()...) {
			again, known := Recall(f.Said())
			all++
			if assert.True(t, known, "%s", f.Said()) {
				assert.Equal(t, []any{f.What.Code(), f.Severity(), f.Remedy()},
					[]any{again.What.Code(), again.Severity(), again.Remedy()})
			}
		}
	}
	assert.Greater(t, all, 50)
}

// What another version says, or nobody, is not known, and never a fault.
func TestWhatAnotherVersionSaysIsNotKnown(t *testing.T) {
	for _, said := range []string{``, `{}`, `[]`, `{"code":"tomorrow","with":{}}`, `{"code":"not-so","with":{"items":[]}}`,
		`{"code":"not-so","subject":{},"with":null}`, `{"code":"computed/drop","subject":{},"with":{"row":null}}`,
		`{"code":"shown/silent","subject":{},"with":{"half":"operate"}}`,
		`{"code":"computed/drop","subject":{"computed":7},"with":{"row":{}}}`} {
		_, known := Recall([]byte(said))
		assert.False(t, known, said)
	}
	assert.Equal(t, consequence{Fault, PutRight}, Then{Severity: "odd", Remedy: "odd"}.consequence())
	assert.Equal(t, consequence{Danger, StopCharging}, Then{Severity: Danger, Remedy: StopCharging}.consequence())
	still := Finding{What: StillSo{Then{Said: []byte(`{"code":"not-measured","subject":{},"with":{}}`)}}}
	_, known := Recall(still.Said())
	assert.True(t, known)
	_, known = Recall(Finding{What: StillSo{Then{Said: still.Said()}}}.Said())
	assert.False(t, known, "nothing is carried on twice")
}
