package record

import (
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

func entry(t *testing.T, n int, f Fact) journal.Entry {
	t.Helper()
	body, err := json.Marshal(f)
	require.NoError(t, err)
	return journal.Entry{N: n, At: at(time.Duration(n) * time.Second), Run: 1,
		Elapsed: time.Duration(n-1) * time.Second, Kind: f.Kind(), Body: body}
}

// Folding says the same as taking one entry after the other.
func TestFoldTakesAllEntries(t *testing.T) {
	opened := openedHonestly(t, asItIs)
	entries := []journal.Entry{entry(t, 1, opened), entry(t, 2, Note{Step: checkStep, Text: "a"}), entry(t, 3,
		answer(checkStep, Done))}
	r, err := Fold(entries)
	require.NoError(t, err)
	byHand := &Record{}
	for _, e := range entries {
		require.NoError(t, byHand.Take(e))
	}
	assert.Equal(t, byHand, r)
	assert.Equal(t, 3, r.Entries())
	assert.Equal(t, at(time.Second), r.Begun())
	assert.Equal(t, at(3*time.Second), r.Latest())
	assert.Equal(t, at(3*time.Second), r.Attended())
	assert.Equal(t, at(3*time.Second), r.Find(checkStep).At())
	assert.Equal(t, []string{"a"}, r.Find(checkStep).Notes())
	assert.Equal(t, opened, r.Opened())
	assert.Equal(t, "H-1", r.Site().Reference)
	assert.Equal(t, 1, r.Runs())
	assert.Len(t, r.Outcomes(), len(opened.Programme))
}

func TestWhatFoldRefuses(t *testing.T) {
	opened := entry(t, 1, openedHonestly(t, asItIs))
	later := journal.Entry{N: 2, At: at(0), Run: 1, Kind: "weather", Body: json.RawMessage(`{}`)}
	unreadable := journal.Entry{N: 2, At: at(0), Run: 1, Kind: kindAnswer, Body: json.RawMessage(`{"step":7}`)}
	noSite := openedHonestly(t, asItIs)
	noSite.Site = "reference: H-1"
	for name, tc := range map[string]struct {
		entries []journal.Entry
		is      error
		says    string
	}{
		"nothing at all":      {nil, ErrNoSense, "it has no first entry"},
		"another first entry": {[]journal.Entry{entry(t, 1, answer(checkStep, Done))}, ErrNoSense, "entry 1: "},
		"opened twice": {[]journal.Entry{opened, entry(t, 2, openedHonestly(t, asItIs))}, ErrNoSense,
			"entry 2: "},
		"a kind of a later version": {[]journal.Entry{opened, later}, ErrUnknownKind,
			`entry 2: unknown kind of entry "weather"`},
		"a body of another form": {[]journal.Entry{opened, unreadable}, ErrNoSense,
			"entry 2 (answer): the journal makes no sense: its body cannot be read"},
		"no site": {[]journal.Entry{entry(t, 1, noSite)}, nil, "entry 1 (opened): "},
	} {
		r, err := Fold(tc.entries)
		assert.Nil(t, r, name)
		assert.ErrorContains(t, err, tc.says, name)
		if tc.is != nil {
			assert.ErrorIs(t, err, tc.is, name)
		}
	}
}

// A pause lasts from its entry to the next run; an end without one from the last entry
// of the visit itself.
func TestBreaks(t *testing.T) {
	minute := time.Minute
	paused := Break{From: at(minute), To: at(3 * minute), Why: StopByTechnician}
	for name, tc := range map[string]struct {
		facts  []any
		breaks []Break
	}{
		"none": {nil, nil},
		"paused still": {[]any{minute, Paused{By: StopByTechnician}},
			[]Break{{From: at(minute), Why: StopByTechnician}}},
		"paused": {[]any{minute, Paused{By: StopByTechnician}, 2 * minute, Resumed{}}, []Break{paused}},
		"ended without": {[]any{minute, answer(checkStep, Done), minute, Resumed{}},
			[]Break{{From: at(minute), To: at(2 * minute), Why: StopUnpaused}}},
		"paused, then without": {
			[]any{minute, Paused{By: StopByTechnician}, 2 * minute, Resumed{}, minute, Resumed{}},
			[]Break{paused, {From: at(3 * minute), To: at(4 * minute), Why: StopUnpaused}}},
	} {
		r := recordOf(t, tc.facts...)
		assert.Equal(t, tc.breaks, r.Breaks(), name)
	}
}

func TestOutages(t *testing.T) {
	up, down := signal.Connection{Up: true}, signal.Connection{Detail: ""}
	second := time.Second
	for name, tc := range map[string]struct {
		facts     []any
		outages   []Break
		connected bool
	}{
		"listening":                  {nil, nil, true},
		"connected anew":             {[]any{up, second, up}, nil, true},
		"lost":                       {[]any{up, second, down}, []Break{{From: at(second), Why: ""}}, false},
		"lost without having been":   {[]any{Paused{By: StopByTechnician}, Resumed{}, down}, nil, false},
		"told twice that it is lost": {[]any{up, second, down, second, down}, []Break{{From: at(second), Lasted: second}}, false},
		"back": {[]any{up, second, down, second, up, second, up},
			[]Break{{From: at(second), To: at(2 * second), Lasted: second}}, true},
		"lost twice": {[]any{second, down, second, up, second, down, second, up},
			[]Break{{From: at(second), To: at(2 * second), Lasted: second}, {From: at(3 * second), To: at(4 * second), Lasted: second}}, true},
		"a new run is not connected": {[]any{up, Paused{By: StopByTechnician}, Resumed{}}, nil, false},
		"but listens again": {[]any{up, Paused{By: StopByTechnician}, Resumed{},
			signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer}}, nil, true},
	} {
		r := recordOf(t, tc.facts...)
		assert.Equal(t, tc.outages, r.Outages(), name)
		assert.Equal(t, tc.connected, r.Connected(), name)
	}
}

// Whoever reads a record cannot change it.
func TestReadersGetCopies(t *testing.T) {
	r := recordOf(
		t,
		answer(checkStep, Defect),
		answer(checkStep, Done),
		Note{Step: checkStep, Text: "a"},
		Energised{Output: "Sounder", On: true, By: "controller"},
		Instrument{Step: programme.IDVoltmeter, Name: "meter"},
		signal.Signal{Address: "far", State: signal.Active},
		Signed{Step: programme.IDCustomer, Role: programme.Customer, Name: "y", Accepted: []Acceptance{{ID: "L1",
			Said: json.RawMessage(`{}`)}}},
	)
	check, meter, customer := r.Find(checkStep), r.Find(programme.IDVoltmeter), r.Find(programme.IDCustomer)
	check.Answer().Result = Fails
	check.Earlier()[0].Result = Works
	check.Notes()[0] = "b"
	meter.Instrument().Name = "another"
	customer.Signed().Name = "z"
	customer.Signed().Accepted[0].ID = "L2"
	r.Strangers()["far"] = 7
	r.Outcomes()[0] = nil
	r.Sources()[0].Simulated = true
	assert.Equal(t, Done, check.Answer().Result)
	assert.Equal(t, []Answer{answer(checkStep, Defect)}, check.Earlier())
	assert.Equal(t, []string{"a"}, check.Notes())
	assert.Equal(t, "meter", meter.Instrument().Name)
	assert.Equal(t, "y", customer.Signed().Name)
	assert.Equal(t, "L1", customer.Signed().Accepted[0].ID)
	assert.Equal(t, map[string]int{"far": 1}, r.Strangers())
	assert.NotNil(t, r.Outcomes()[0])
	assert.False(t, r.Simulated())
	assert.Nil(t, meter.Answer())
	assert.Nil(t, meter.Signed())
	assert.Nil(t, check.Instrument())
}

func TestLocalTimeIsThatOfThePremises(t *testing.T) {
	opened := openedHonestly(t, asItIs)
	opened.UTCOffset = 5*3600 + 1800
	r, err := told(t, opened)
	require.NoError(t, err)
	assert.Equal(t, "2026-11-24T14:30:00+05:30", r.Local(at(0)).Format(time.RFC3339))
}

// An output may be on from the moment it was to be energised until it is told that it
// is off; why it could not be switched off stays.
func TestEnergisedOutputs(t *testing.T) {
	on := func(name string) Energised { return Energised{Output: name, On: true, By: "controller"} }
	failed := Energised{Output: "Sounder", On: true, By: "controller", Failed: "no route"}
	for name, tc := range map[string]struct {
		facts []any
		on    []string
		stuck string
	}{
		"none":           {nil, nil, ""},
		"both, in order": {[]any{on("Sounder"), on("Chime")}, []string{"Chime", "Sounder"}, ""},
		"off again":      {[]any{on("Sounder"), Energised{Output: "Sounder", By: "controller"}}, nil, ""},
		"the other off": {[]any{on("Sounder"), on("Chime"), Energised{Output: "Chime", By: "controller"}},
			[]string{"Sounder"}, ""},
		"stuck":           {[]any{on("Sounder"), failed}, []string{"Sounder"}, "no route"},
		"stuck, then off": {[]any{on("Sounder"), failed, Energised{Output: "Sounder", By: "hand"}}, nil, "no route"},
	} {
		r := recordOf(t, tc.facts...)
		assert.Equal(t, tc.on, r.Energised(), name)
		assert.Equal(t, len(tc.on) > 0 && tc.on[len(tc.on)-1] == "Sounder", r.IsOn("Sounder"), name)
		assert.Equal(t, tc.stuck, r.Stuck("Sounder"), name)
		assert.Empty(t, r.Stuck("Chime"), name)
	}
}
