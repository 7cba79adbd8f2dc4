package record

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
)

// A cue by a touch stands where the touch was.
func TestATouchStandsWhereItWas(t *testing.T) {
	tap, _ := touched(0)
	c := Cue{Step: "walk/1.1", Half: Operate, BeforeNS: int64(2 * time.Second), Tap: tap, UncertaintyNS: 30 * ms}
	holdsLaw(t, LawTouch, []lawCase{
		{"where it was", []any{12 * time.Second, c}, false},
		{"later", []any{12*time.Second + 1, c}, true},
		{"known better than its bounds", []any{12 * time.Second, func() Cue { c := c; c.UncertaintyNS--; return c }()}, true},
		{"before it seems to have been given", []any{10*time.Second - 20*time.Millisecond,
			Cue{Step: "walk/1.1", Half: Operate, Tap: tap, UncertaintyNS: 30 * ms}}, false},
		{"by more than is known", []any{10*time.Second - 31*time.Millisecond,
			Cue{Step: "walk/1.1", Half: Operate, Tap: tap, UncertaintyNS: 30 * ms}}, true},
		{"no touch", []any{12 * time.Second, Cue{Step: "walk/1.1", Half: Operate, BeforeNS: 1}}, false},
	})
}

// refusedFor asserts that a law refuses the last of facts that a visit in its own order tells.
func refusedFor(t *testing.T, law Law, name string, facts ...Fact) {
	t.Helper()
	_, err := ownTold(t, "1s z1 active; 4s z1 restored; 8s z1 active; 10s z1 restored", 20*time.Second, facts...)
	var refused *Refusal
	require.ErrorAs(t, err, &refused, name)
	assert.Equal(t, law, refused.Law, name)
}

func TestWhatNobodyWasToldToDo(t *testing.T) {
	const s = 1000 * ms
	refusedFor(t, LawOwnOrder, "timed without a touch", Cue{Step: "walk/1.1", Half: Operate, Own: true, BeforeNS: s})
	tap, _ := touched(s)
	refusedFor(t, LawOwnOrder, "a restore that is timed", operated("1.1", s, true), over("1.1"),
		Cue{Step: "walk/1.1", Half: Restore, Own: true, BeforeNS: s, Tap: tap})
	whole := []Fact{operated("1.1", s, false), over("1.1"), restored("1.1", s), over("1.1")}
	refusedFor(t, LawOnce, "a report twice", append(whole, operated("1.2", s, false))...)
	refusedFor(t, LawOnce, "an earlier one afterwards", operated("1.1", 8*s, false), over("1.1"),
		restored("1.1", 8*s), over("1.1"), operated("1.2", s, false))
	refusedFor(t, LawOnce, "before the run", Cue{Step: "walk/1.1", Half: Operate, Own: true, NotTimed: NoTouch,
		BeforeNS: -11 * s})
	for name, bad := range map[string]Tap{
		"nobody's": {By: "wink"}, "swapped": {EarliestNS: 2, LatestNS: 1, By: ByTouch},
		"too wide": {LatestNS: int64(2*WidestTap) + 1, By: ByCount}, "far away": {DeviceNS: math.MaxInt64, By: ByTouch},
	} {
		refusedFor(t, LawTouchBounds, name, Cue{Step: "walk/1.1", Half: Operate, BeforeNS: s, Tap: &bad})
	}
}

func TestStrokesAreADrawing(t *testing.T) {
	drawn := func() *Strokes {
		return &Strokes{Width: 100, Height: 40, Lines: [][]int16{{0, 0, 100, 40, 50, 20, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5}}}
	}
	r := recordOf(
		t,
		byTechnician(func(s *Signed) { s.Strokes = drawn() }),
		byCustomer(func(s *Signed) { s.Strokes = drawn() }),
	)
	assert.NotContains(t, broken(t, byTechnician(func(s *Signed) { s.Strokes = drawn() })), LawSignature)
	kept := r.Find(programme.IDCustomer).Signed().Strokes
	kept.Lines[0][0] = 9
	assert.Equal(t, drawn(), r.Find(programme.IDCustomer).Signed().Strokes, "a copy is given out")
	for name, change := range map[string]func(*Strokes){
		"off its sheet":           func(s *Strokes) { s.Lines[0][2] = 101 },
		"below it":                func(s *Strokes) { s.Lines[0][3] = 41 },
		"before it":               func(s *Strokes) { s.Lines[0][0] = -1 },
		"half a point":            func(s *Strokes) { s.Lines[0] = s.Lines[0][:15] },
		"a dot":                   func(s *Strokes) { s.Lines[0] = s.Lines[0][:14] },
		"a line without a point":  func(s *Strokes) { s.Lines = append(s.Lines, []int16{}) },
		"no sheet":                func(s *Strokes) { s.Width = 0 },
		"a sheet as large as one": func(s *Strokes) { s.Height = 4097 },
		"more than anybody draws": func(s *Strokes) { s.Lines = append(s.Lines, make([]int16, 2*20000)) },
	} {
		refusedBy(t, LawDrawing, byCustomer(func(s *Signed) { s.Strokes = drawn(); change(s.Strokes) }), name)
	}
	refusedBy(t, LawDrawing, byCustomer(func(s *Signed) { s.Strokes, s.Drawing = drawn(), []byte("picture") }), "twice")
	absent := func(s *Signed) { s.Name, s.Strokes = "", drawn() }
	assert.Contains(t, broken(t, byCustomer(absent)), LawSignature, "who is not there draws nothing")
}

// What a device says of itself is one line, as whatever a person types.
func TestADeviceDescribesItselfInOneLine(t *testing.T) {
	refusedBy(t, LawTypedLines, Held{By: OnPhone, Device: "phone\nTechnician: somebody"}, "two lines")
	refusedBy(t, LawTypedLines, Held{By: OnPhone, Device: "phone \u202Eenohp"}, "turned round")
	r := recordOf(t, Held{By: OnPhone, Device: "Bramble 7"}, Held{By: AtTerminal}, Held{By: OnPhone, Device: "Bramble 7"},
		Cue{Step: "walk/1.1", Half: Operate}, signal.Signal{Address: "z1", State: signal.Active})
	assert.Equal(t, []string{"Bramble 7"}, r.Devices())
	assert.Equal(t, OnPhone, r.Find("walk/1.1").Attempts()[0].Operate.Held())
	r = recordOf(t, Cue{Step: "walk/1.1", Half: Operate})
	assert.Equal(t, AtTerminal, r.Find("walk/1.1").Attempts()[0].Operate.Held())
}
