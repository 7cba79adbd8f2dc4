package record

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

var someHash = strings.Repeat("1", 64)

// earlierVisit left one finding, and proved a detector.
func earlierVisit() Earlier {
	at := time.Date(2025, 5, 1, 9, 0, 0, 0, time.UTC)
	return Earlier{Visit: programme.Handover, Number: "T-1/2025-05-01-handover", Journal: someHash, Company: "Bellbird",
		Begun: at, Ended: at.Add(time.Hour), Result: "unsatisfactory", Rules: 4,
		Outstanding: []Outstanding{{ID: "F1", Severity: "fault", Step: "inspection/x", Steps: []string{"inspection/x"},
			Said: []byte(`{"code":"not-so"}`)}},
		Detectors: []DetectorThen{{Point: "1.1", Name: "Front", Kind: "door", Verdict: Proved, Response: time.Second}}}
}

// LawEarlier at its limits: each change of what a visit takes in, and whether it stands.
func TestWhatAVisitTakesIn(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*Opened)
		stands bool
	}{
		"as it is":                {func(*Opened) {}, true},
		"none":                    {func(o *Opened) { o.Earlier = nil }, true},
		"ten":                     {func(o *Opened) { o.Earlier = manyEarlier(10) }, true},
		"eleven":                  {func(o *Opened) { o.Earlier = manyEarlier(11) }, false},
		"by a hand-over":          {func(o *Opened) { o.Visit = programme.Handover }, false},
		"by a take-over":          {func(o *Opened) { o.Visit = programme.TakeOver }, true},
		"a visit of no kind":      {func(o *Opened) { o.Earlier[0].Visit = "party" }, false},
		"a number of a sentence":  {func(o *Opened) { o.Earlier[0].Number = "B-1/all is well" }, false},
		"no hash":                 {func(o *Opened) { o.Earlier[0].Journal = "" }, false},
		"a certificate of nobody": {func(o *Opened) { o.Earlier[0].Certificate = someHash }, false},
		"a certificate": {func(o *Opened) {
			o.Earlier[0].Certificate, o.Earlier[0].SealedBy = someHash, &SealedBy{Name: "M", Fingerprint: someHash}
		}, true},
		"an end before its beginning": {func(o *Opened) { o.Earlier[0].Ended = o.Earlier[0].Begun.Add(-1) }, false},
		"a finding twice": {func(o *Opened) {
			o.Earlier[0].Outstanding = append(o.Earlier[0].Outstanding, o.Earlier[0].Outstanding[0])
		}, false},
		"a finding of another number": {func(o *Opened) { o.Earlier[0].Outstanding[0].ID = "X1" }, false},
		"of no severity":              {func(o *Opened) { o.Earlier[0].Outstanding[0].Severity = "dire" }, false},
		"that says no object": {func(o *Opened) { o.Earlier[0].Outstanding[0].Said = []byte(`"all is well"`) },
			false},
		"a detector twice": {func(o *Opened) {
			o.Earlier[0].Detectors = append(o.Earlier[0].Detectors, o.Earlier[0].Detectors[0])
		}, false},
		"a detector of no kind":        {func(o *Opened) { o.Earlier[0].Detectors[0].Kind = "dog" }, false},
		"of no verdict":                {func(o *Opened) { o.Earlier[0].Detectors[0].Verdict = "fine" }, false},
		"that answered before its cue": {func(o *Opened) { o.Earlier[0].Detectors[0].Response = -1 }, false},
		"a site file":                  {func(o *Opened) { o.Earlier[0].Site = "reference: T" }, true},
		"one of an older visit":        {func(o *Opened) { o.Earlier = manyEarlier(2); o.Earlier[0].Site = "x" }, false},
		"a visit unread without name":  {func(o *Opened) { o.EarlierUnread = []string{" "} }, false},
		"a sample":                     {func(o *Opened) { o.Sampling = &Sampling{Share: 0.5, Reason: "agreed"} }, true},
		"a sample of nothing":          {func(o *Opened) { o.Sampling = &Sampling{Reason: "agreed"} }, false},
		"a sample of more than all":    {func(o *Opened) { o.Sampling = &Sampling{Share: 1.01, Reason: "agreed"} }, false},
		"for no reason":                {func(o *Opened) { o.Sampling = &Sampling{Share: 0.5} }, false},
		"of a retest": {func(o *Opened) {
			o.Visit, o.Sampling = programme.Retest, &Sampling{Share: 0.5, Reason: "agreed"}
		}, false},
	} {
		o := Opened{Visit: programme.Maintenance, Earlier: []Earlier{earlierVisit()}}
		c.change(&o)
		err := o.lawfulEarlier()
		if c.stands {
			assert.NoError(t, err, name)
			continue
		}
		refusal := new(Refusal)
		if assert.ErrorAs(t, err, &refusal, name) {
			assert.Equal(t, LawEarlier, refusal.Law, name)
		}
	}
}

func manyEarlier(n int) (all []Earlier) {
	for i := range n {
		e := earlierVisit()
		e.Begun, e.Ended = e.Begun.AddDate(0, i, 0), e.Ended.AddDate(0, i, 0)
		all = append(all, e)
	}
	return all
}

// What is asked for follows from what was left and what the visit takes: LawProgramme.
func TestWhatIsAskedFor(t *testing.T) {
	s := readSite(t, honestSite)
	whole := programme.Of(s, programme.Checklist{})
	require.NotEmpty(t, whole)
	walk := ""
	var point site.Point
	s.Each(func(p site.Point, _ *site.Zone, _ *site.Detector) {
		if walk == "" {
			walk, point = "walk/"+string(p), p
		}
	})
	_, d, err := s.Find(point)
	require.NoError(t, err)
	visit := func(steps ...string) Earlier {
		e := earlierVisit()
		e.Detectors = []DetectorThen{{Point: point, Name: d.Name, Kind: d.Kind, Verdict: Silent}}
		e.Outstanding[0].Steps = steps
		return e
	}
	other := visit(walk)
	other.Detectors[0].Name = "another"
	older, sealed := visit("inspection/y"), visit("inspection/y")
	sealed.Certificate = someHash
	broken := visit()
	broken.Result = string(notFinished)
	for name, c := range map[string]struct {
		earlier []Earlier
		want    int
	}{
		"a step that the visit has":        {[]Earlier{visit(walk)}, 0},
		"one that it has not":              {[]Earlier{visit("inspection/x")}, 1},
		"both":                             {[]Earlier{visit(walk, "inspection/x")}, 1},
		"none: it is judged anew":          {[]Earlier{visit()}, 0},
		"another detector at that place":   {[]Earlier{other}, 1},
		"only of the latest":               {[]Earlier{older, visit(walk)}, 0},
		"and of a certificate":             {[]Earlier{sealed, visit(walk)}, 1},
		"and before one that was not done": {[]Earlier{older, broken}, 1},
		"two of the same name":             {[]Earlier{sealed, visit("inspection/x")}, 2},
	} {
		asked := Asked(c.earlier, whole, s)
		assert.Len(t, asked, c.want, name)
		ids := map[string]bool{}
		for _, st := range asked {
			assert.False(t, ids[st.ID], "%s: %s twice", name, st.ID)
			ids[st.ID] = true
		}
		o := Opened{Earlier: c.earlier}
		assert.NoError(t, o.asRemembered(s, o.Completed(s, whole, nil), nil), name)
		if c.want > 0 {
			assert.ErrorIs(t, o.asRemembered(s, whole, nil), ErrNoSense, name)
		}
	}
}

// The detector of the latest visit that took it counts; one of another name or kind is not it.
func TestWhenADetectorWasProvedLast(t *testing.T) {
	visits := manyEarlier(3)
	for i, v := range []Verdict{Proved, Reported, Silent} {
		visits[i].Detectors[0].Verdict = v
		visits[i].Number = "T-1/" + string(rune('1'+i))
	}
	front := &site.Detector{Name: "Front", Kind: "door"}
	last := LastProofs(visits)
	assert.Equal(t, programme.LastProof{At: visits[1].Begun, Visit: "T-1/2", Missed: true}, last("1.1", front))
	assert.Equal(t, programme.LastProof{At: visits[1].Begun, Visit: "T-1/2"}, LastProofs(visits[:2])("1.1", front))
	assert.Zero(t, last("1.1", &site.Detector{Name: "Back", Kind: "door"}))
	assert.Zero(t, last("1.1", &site.Detector{Name: "Front", Kind: "window"}))
	assert.Zero(t, last("1.2", front))
}
