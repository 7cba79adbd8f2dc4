package learn

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const known = `
reference: K
premises: {name: Kiln, address: b}
installer: {company: c}
controller: {description: d}
supply: {battery: {chemistry: none}}
zones:
  - {number: 3, name: Windows, kind: window, wiring: normally closed, address: z3, detectors: [Left]}
  - {number: 4, name: Hall, kind: motion, wiring: normally closed, address: z4, detectors: [Hall]}
`

func knownSite(t testing.TB) *site.Site {
	t.Helper()
	s, err := site.Read("site.yaml", []byte(known))
	require.NoError(t, err)
	return s
}

var begin = time.Date(2026, 11, 24, 9, 0, 0, 0, time.UTC)

// What counts as something that was opened, line by line: "at address state"; kept, where
// the broker had it; "next" takes what waits, "said" answers it.
func TestOperations(t *testing.T) {
	for name, tc := range map[string]struct {
		timeline string
		want     string // addresses as they are asked about; * where a zone has them
	}{
		"opened and closed":           {"0 z1 active; 2 z1 restored; next", "z1"},
		"two of them":                 {"0 z1 active; 2 z1 restored; 3 z2 active; next; next", "z1 z2"},
		"nothing":                     {"next", "-"},
		"what the broker kept":        {"0 z1 active kept; next; 1 z2 restored kept; next", "- -"},
		"a state told again":          {"0 z1 active; next; said; 60 z1 active; next", "z1 -"},
		"told at rest from time on":   {"0 z1 restored; 60 z1 restored; next", "-"},
		"it stood open, and closes":   {"0 z1 active kept; 5 z1 restored; next", "z1"},
		"and is opened then":          {"0 z1 active kept; 5 z1 restored; next; said; 9 z1 active; next", "z1 z1*"},
		"told when reconnected":       {"0 z1 active; next; said; 5 z1 active kept; 9 z1 restored; next", "z1 -"},
		"a loose contact":             {"0 z1 active; 0.1 z1 restored; 0.3 z1 active; next; said; next", "z1 -"},
		"just as fast as a hand":      {"0 z1 active; 0.5 z1 restored; next; said; 1.5 z1 active; next", "z1 z1*"},
		"just too fast":               {"0 z1 active; 0.5 z1 restored; next; said; 1.499 z1 active; next", "z1 -"},
		"again":                       {"0 z1 active; 2 z1 restored; next; said; 9 z1 active; next", "z1 z1*"},
		"a lid":                       {"0 z1 tamper; next; said; 5 z1 restored; next", "z1 -"},
		"trouble is no operation":     {"0 z1 trouble; next; 5 z1 restored; next", "- -"},
		"a zone of the file":          {"0 z3 active; next", "z3*"},
		"many at once":                {"0 z1 active; 0 z2 active; 0 z3 active; next; next; next; next", "z1 z2 z3* -"},
		"twice while one is asked":    {"0 z1 active; next; 1 z2 active; 3 z2 restored; 5 z2 active; said; next; next", "z1 z2 -"},
		"motion while one is asked":   {"0 z1 active; next; 1 z4 active; said; next", "z1 -"},
		"a window while one is asked": {"0 z1 active; next; 1 z3 active; said; next", "z1 z3*"},
		"motion otherwise":            {"0 z4 active; next", "z4*"},
		"another of it while asked":   {"0 z1 active; next; 3 z1 restored; 5 z1 active; said; next", "z1 z1*"},
		"complete":                    {"0 z3 active; next; complete; 5 z3 restored; 9 z3 active; next", "z3* -"},
		"forgotten":                   {"0 z1 active; next; forget; 5 z1 restored; 9 z1 active; next", "z1 z1"},
		"not understood":              {"0 z1 not-understood; next; 1 z1 active; next", "- z1"},
		"an address that is no text":  {"0 z\u202e1 active; next", "-"},
		"kept, then quickly another":  {"0 z1 restored kept; 0.2 z1 active; next", "z1"},
		"a lid stood open":            {"0 z1 tamper kept; 5 z1 restored; next", "z1"},
		"motion after an answer":      {"0 z1 active; next; said; 5 z4 active; next", "z1 z4*"},
		"motion after none":           {"0 z1 active; next; forget; 5 z4 active; next", "z1 z4*"},
		"late, once more": {"0 z1 active; next; said; 3 z1 restored; 6 z1 active again; 9 z1 restored; " +
			"next", "z1 -"},
		"inverted": {"0 z1 active kept; 5 z1 restored; 8 z1 active; next; said; next", "z1 -"},
	} {
		l := New(knownSite(t), nil)
		var got []string
		var last Operation
		for _, step := range strings.Split(tc.timeline, "; ") {
			words := strings.Fields(step)
			switch words[0] {
			case "next":
				o, some := l.Next()
				last = o
				switch {
				case !some:
					got = append(got, "-")
				case o.Zone != nil:
					got = append(got, o.Address+"*")
				default:
					got = append(got, o.Address)
				}
			case "said":
				l.Say(Said{What: Detector, Address: last.Address, Name: "n", Kind: "door"})
			case "complete":
				l.Say(Said{What: Complete, Address: last.Address})
			case "forget":
				l.Forget()
			default:
				var seconds float64
				_, err := fmt.Sscan(words[0], &seconds)
				require.NoError(t, err, step)
				s := signal.Signal{At: begin.Add(time.Duration(seconds * float64(time.Second))), Address: words[1],
					State: signal.State(strings.ReplaceAll(words[2], "-", " "))}
				if len(words) > 3 {
					s.Kept = map[string]string{"kept": signal.Retained, "again": signal.Again}[words[3]]
				}
				require.NoError(t, s.Check(), step)
				l.Heard(s)
			}
		}
		assert.Equal(t, tc.want, strings.Join(got, " "), name)
	}
}

// What a site becomes by what was said of it.
func TestWhatIsLearnt(t *testing.T) {
	said := []Said{
		{What: Detector, Address: "z07", Name: "Shop door", Kind: "door", Location: "front"},
		{What: Detector, Address: "z8", Name: "Left window", Kind: "window"},
		{What: Same, Address: "z8"},
		{What: Detector, Address: "z3", Name: "Right", Kind: "window", Location: "north"},
		{What: Detector, Address: "z8", Name: "Right window", Zone: "Shop windows", Kind: "window"},
		{What: Detector, Address: "z8", Name: "Lid", Kind: "tamper"},
		{What: Detector, Address: "kiln", Name: "Kiln", Kind: "smoke"},
		{What: Detector, Address: "b/z8", Name: "Back", Kind: "door"},
		{What: Complete, Address: "z8"},
		{What: Detector, Address: "z07", Name: "Shop hatch", Kind: "window"},
	}
	l := New(knownSite(t), said)
	assert.Equal(t, []site.Zone{
		{Number: 7, Name: "Shop door", Kind: "door", Address: "z07",
			Detectors: []site.Detector{{Name: "Shop door", Kind: "door", Location: "front"},
				{Name: "Shop hatch", Kind: "window"}}},
		{Number: 8, Name: "Shop windows", Kind: "window", Address: "z8",
			Detectors: []site.Detector{{Name: "Left window", Kind: "window"}, {Name: "Right window", Kind: "window"},
				{Name: "Lid", Kind: "tamper"}}},
		{Number: 9, Name: "Kiln", Kind: "smoke", Address: "kiln",
			Detectors: []site.Detector{{Name: "Kiln", Kind: "smoke"}}},
		{Number: 10, Name: "Back", Kind: "door", Address: "b/z8",
			Detectors: []site.Detector{{Name: "Back", Kind: "door"}}},
	}, l.Zones())
	assert.Equal(t, map[int][]site.Detector{3: {{Name: "Right", Kind: "window", Location: "north"}}}, l.Further())
	zones, detectors := l.Learnt()
	assert.Equal(t, []int{4, 8}, []int{zones, detectors})
	assert.Equal(t, said, l.Said())

	for _, want := range []string{"Shop hatch", "Back", "Kiln", "Lid", "Right window", "Right", "Left window", "Shop door"} {
		back, was := l.TakeBack()
		assert.True(t, was)
		assert.Equal(t, want, back.Name)
	}
	_, was := l.TakeBack()
	assert.False(t, was)
	assert.Empty(t, l.Zones())
	assert.Empty(t, l.Further())
	assert.Equal(t, knownSite(t), l.Site(), "the site of the file is as it was")
}

// A draft may come from anybody: only what can have been said is taken.
func TestSound(t *testing.T) {
	for _, s := range []Said{{What: Detector, Address: "z1", Name: "n", Kind: "door"}, {What: Same, Address: "z1"},
		{What: Complete, Address: "z1"}} {
		assert.True(t, s.Sound(), s)
	}
	for _, s := range []Said{{}, {What: Detector, Address: "z1", Name: "n"}, {What: Detector, Address: "z1", Kind: "door"},
		{What: Detector, Name: "n", Kind: "door"}, {What: "door", Address: "z1", Name: "n", Kind: "door"}, {What: Same},
		{What: Complete, Address: " z1"}, {What: Same, Address: "z\u202e1"}, {What: Detector, Address: "z1", Name: "n",
			Kind: "dragon"}} {
		assert.False(t, s.Sound(), s)
	}
	assert.Empty(t, New(knownSite(t), nil).ZoneName("z1"))
	assert.Equal(t, "Hall", New(knownSite(t), nil).ZoneName("z4"))
}

// The number of a zone is the last one in its address, if it can be one.
func TestNumbers(t *testing.T) {
	for address, want := range map[string]int{"z5": 5, "5": 5, "z005": 5, "b2-17": 17, "zone 9 open": 9, "z3": 11, "z": 11,
		"0": 11, "z10000": 11, "z12345": 11, "z9999": 9999} {
		l := New(&site.Site{Zones: []site.Zone{{Number: 3, Address: "x"}, {Number: 10, Address: "y"}}},
			[]Said{{What: Detector, Address: address, Name: "n", Kind: "door"}})
		assert.Equal(t, want, l.Zones()[0].Number, address)
	}
}

// What anybody may send is bounded.
func TestAddressesAreBounded(t *testing.T) {
	l := New(nil, nil)
	for i := range mostAddresses + 5 {
		l.Heard(signal.Signal{At: begin, Address: fmt.Sprint(i), State: signal.Active})
		l.Heard(signal.Signal{At: begin, Address: fmt.Sprint(i), State: signal.NotUnderstood})
	}
	assert.Len(t, l.states, mostAddresses)
	assert.Len(t, l.garbled, mostAddresses)
	assert.Len(t, l.waiting, mostAddresses)
}

// What is not understood is told once, and told again when it is something else.
func TestGarbledIsToldOnce(t *testing.T) {
	l := New(nil, nil)
	assert.False(t, l.AnythingHeard())
	hear := func(address, raw string) Of {
		return l.Heard(signal.Signal{At: begin, Address: address, State: signal.NotUnderstood, Raw: raw})
	}
	assert.Equal(t, []Of{Garbled, Nothing, Garbled, Garbled},
		[]Of{hear("z1", "ajar"), hear("z1", "ajar"), hear("z1", "wide"), hear("z2", "wide")})
	assert.True(t, l.AnythingHeard())
}

// Whatever is heard and said, no two zones have one number or one address, none has those
// of the file, and a break changes nothing.
func TestLearntSitesAreSound(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := &site.Site{Zones: []site.Zone{{Number: 3, Address: "z3"}, {Number: 9999, Address: "x"}}}
		l := New(s, nil)
		addresses := []string{"z1", "z3", "1", "01", "x1y", "x", "z10000", "z0", "z9999"}
		for range rapid.IntRange(0, 40).Draw(r, "steps") {
			l.Heard(signal.Signal{At: begin.Add(rapid.Custom(func(r *rapid.T) time.Duration {
				return time.Duration(rapid.IntRange(0, 100).Draw(r, "s")) * time.Second
			}).Draw(r, "at")), Address: rapid.SampledFrom(addresses).Draw(r, "address"),
				State: rapid.SampledFrom([]signal.State{signal.Active, signal.Restored, signal.Tamper}).Draw(r, "state")})
			if o, some := l.Next(); some {
				l.Say(Said{What: rapid.SampledFrom([]What{Detector, Same, Complete}).Draw(r, "what"), Address: o.Address,
					Name: "n", Kind: "door"})
			}
			if rapid.IntRange(0, 9).Draw(r, "back") == 0 {
				l.TakeBack()
			}
		}
		again := New(s, l.Said())
		if fmt.Sprint(again.Zones(), again.Further()) != fmt.Sprint(l.Zones(), l.Further()) {
			r.Fatal("a break changes what was learnt")
		}
		numbers, seen := map[int]bool{3: true, 9999: true}, map[string]bool{"z3": true, "x": true}
		for _, z := range l.Zones() {
			if numbers[z.Number] || seen[z.Address] || z.Number < 1 || z.Number > 9999 || len(z.Detectors) == 0 {
				r.Fatalf("%+v", z)
			}
			numbers[z.Number], seen[z.Address] = true, true
		}
	})
}
