package record

import (
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/signal"
)

// What zones report while a technician walks in their own order. A report has to stand for
// the time that the site gives, 1 s; a detector that is left open is in no hurry (common
// practice, no source).
func TestOperations(t *testing.T) {
	sec := time.Second
	whole := func(point string, since int64) []Fact {
		return []Fact{operated(point, since, false), over(point), restored(point, since), over(point)}
	}
	for _, tc := range []struct {
		name, timeline string
		after, now     time.Duration
		facts          []Fact
		want           []Operation
	}{
		{"opened", "1s z2 active", 0, 3 * sec, nil, []Operation{{Zone: 2, At: sec}}},
		{"left open for ten minutes", "1s z2 active", 0, 10 * time.Minute, nil, []Operation{{Zone: 2, At: sec}}},
		{"closed, and has not stood", "1s z2 active; 4s z2 restored", 0, 5 * sec, nil,
			[]Operation{{Zone: 2, At: sec, Restored: 4 * sec, Over: 5 * sec}}},
		{"closed, and has stood", "1s z2 active; 4s z2 restored", 0, 5*sec + 1, nil,
			[]Operation{{Zone: 2, At: sec, Restored: 4 * sec, Over: 5 * sec}}},
		{"opened and closed at once", "1s z2 active; 1100ms z2 restored", 0, 9 * sec, nil,
			[]Operation{{Zone: 2, At: sec, Restored: 1100 * time.Millisecond, Over: 2100 * time.Millisecond}}},
		{"chatters", "1s z2 active; 1100ms z2 restored; 1200ms z2 active; 5s z2 restored", 0, 9 * sec, nil,
			[]Operation{{Zone: 2, At: sec, Restored: 1100 * time.Millisecond, Over: 6 * sec, Chatters: true}}},
		{"told twice", "1s z2 active; 2s z2 active; 4s z2 restored; 4500ms z2 restored", 0, 9 * sec, nil,
			[]Operation{{Zone: 2, At: sec, Restored: 4 * sec, Over: 5 * sec}}},
		{"two of a bank", "1s z1 active; 3s z1 restored; 6s z1 active", 0, 7 * sec, nil,
			[]Operation{{Zone: 1, At: sec, Restored: 3 * sec, Over: 4 * sec}, {Zone: 1, At: 6 * sec}}},
		{"a bystander on the way", "500ms z3 active; 1s z2 active; 3s z3 restored; 4s z2 restored", 0, 9 * sec, nil,
			[]Operation{{Zone: 3, At: sec / 2, Restored: 3 * sec, Over: 4 * sec},
				{Zone: 2, At: sec, Restored: 4 * sec, Over: 5 * sec}}},
		{"before anybody walked", "1s z2 active; 4s z2 restored; 9s z2 active", 5 * sec, 10 * sec, nil,
			[]Operation{{Zone: 2, At: 9 * sec}}},
		{"open before anybody walked", "1s z2 active; 8s z2 restored", 5 * sec, 10 * sec, nil, nil},
		{"credited already", "1s z2 active; 4s z2 restored", 0, 20 * sec, whole("2.1", 1000*ms), nil},
		{"one of two credited", "1s z1 active; 4s z1 restored; 8s z1 active; 10s z1 restored", 0, 20 * sec,
			whole("1.1", 1000*ms),
			[]Operation{{Zone: 1, At: 8 * sec, Restored: 10 * sec, Over: 11 * sec}}},
		{"nobody's", "1s z9 active", 0, 9 * sec, nil, nil},
		{"the connection was lost while it was open", "1s z2 active; 2s lost; 3s back; 4s z2 restored", 0, 9 * sec, nil, nil},
		{"the connection was lost before it had stood", "1s z2 active; 2s z2 restored; 2900ms lost; 3s back", 0, 9 * sec,
			nil, nil},
		{"the connection was lost after it had stood", "1s z2 active; 2s z2 restored; 3001ms lost; 4s back", 0, 9 * sec, nil,
			[]Operation{{Zone: 2, At: sec, Restored: 2 * sec, Over: 3 * sec}}},
		{"credited after the connection was lost", "1s z2 active; 2s z2 restored; 3001ms lost; 4s back", 0, 20 * sec,
			whole("2.1", 1000*ms), nil},
		{"at rest all the while", "1s z2 restored", 0, 9 * sec, nil, nil},
	} {
		begin := 10 * sec
		r, err := ownTold(t, tc.timeline, 20*sec, tc.facts...)
		require.NoError(t, err, tc.name)
		got := r.Operations(begin + tc.after)
		for i := range got {
			got[i].At -= begin
			for _, at := range []*time.Duration{&got[i].Restored, &got[i].Over} {
				*at = max(0, *at-begin)
			}
		}
		assert.Equal(t, tc.want, got, tc.name)
		for _, op := range got {
			assert.Equal(t, tc.now > op.Over && op.Restored > 0, op.Stood(tc.now), tc.name)
		}
	}
}

// Whatever is an operation that is over is one that a credit of both halves proves, or shows
// to chatter; and then it is none any more.
func TestAnOperationIsWhatATrialWouldSee(t *testing.T) {
	for _, timeline := range []string{
		"1s z2 active; 4s z2 restored", "1s z2 active; 1001ms z2 restored",
		"1s z2 active; 3s z2 restored; 3999ms z2 active; 6s z2 restored",
		"1s z2 active; 3s z2 restored; 4001ms z2 active; 8s z2 restored",
		"1s z3 active; 2s z3 restored; 2500ms z3 active; 4s z3 restored",
	} {
		r, err := ownTold(t, timeline, 20*time.Second)
		require.NoError(t, err)
		for _, op := range r.Operations(0) {
			require.NotZero(t, op.Over, timeline)
			point := strconv.Itoa(op.Zone) + ".1"
			at := (op.At - 10*time.Second).Nanoseconds()
			again, err := ownTold(t, timeline, 20*time.Second, operated(point, at, false), over(point),
				restored(point, at), over(point))
			require.NoError(t, err)
			want := Reported
			if op.Chatters {
				want = Unsteady
			}
			o := again.Find("walk/" + point)
			assert.Equal(t, want, o.Attempts()[0].Verdict(), timeline)
			for _, left := range again.Operations(0) {
				assert.Greater(t, left.At, op.At, timeline)
			}
		}
	}
}

// A walk looks at what was heard whenever anything is, so that as many events as are kept must
// take a few milliseconds at most.
func BenchmarkOperations(b *testing.B) {
	site := strings.Split(ownSite, "zones:")[0] + "zones:\n"
	for n := range 500 {
		site += strings.NewReplacer("N", strconv.Itoa(n+1)).Replace(
			"  - {number: N, name: Zone N, kind: door, wiring: normally closed, address: zN, detectors: [One]}\n")
	}
	r := &Record{site: readSite(b, site), states: map[string]signal.State{}}
	for i := range 2 * mostRecent {
		state := []signal.State{signal.Active, signal.Restored}[i/500%2]
		r.recent.add(time.Duration(i+1)*20*time.Millisecond,
			signal.Signal{Address: "z" + strconv.Itoa(i%500+1), State: state}, signal.Unknown)
	}
	for b.Loop() {
		require.Equal(b, 4192, len(r.Operations(0)))
	}
}

// What is expected in a room: the rest of a bank, and what stands at the same place of the same
// area. What has no place is expected nowhere.
func TestWhatIsExpectedInARoom(t *testing.T) {
	const rooms = `
reference: H-1
premises: {name: Bench, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Bank, area: up, kind: window, wiring: normally closed, address: z1,
     detectors: [{name: A, location: hall}, B]}
  - {number: 2, name: Door, area: up, kind: door, wiring: normally closed, address: z2,
     detectors: [{name: C, location: hall}]}
  - {number: 3, name: Door, area: down, kind: door, wiring: normally closed, address: z3,
     detectors: [{name: D, location: hall}]}
  - {number: 4, name: Door, area: up, kind: door, wiring: normally closed, address: z4, detectors: [E]}
  - {number: 5, name: Door, area: up, kind: door, wiring: normally closed, address: z5, detectors: [F]}
`
	opened := openedHonestly(t, asItIs)
	opened.Site, opened.Programme = rooms, programmeOf(t, rooms)
	for _, tc := range []struct {
		operated string
		before   []any
		want     []string
	}{
		{"1.1", nil, []string{"1.2", "2.1"}},
		{"1.2", nil, []string{"1.1"}},
		{"2.1", nil, []string{"1.1"}},
		{"3.1", nil, nil},
		{"4.1", nil, nil},
		{"1.1 2.1", nil, []string{"1.2"}},
		{"1.1", []any{Answer{Step: "walk/1.2", Result: LeftOut, Remark: "locked"}}, []string{"2.1"}},
	} {
		r, err := told(t, opened, tc.before...)
		require.NoError(t, err)
		var operated []*Outcome
		for _, point := range strings.Fields(tc.operated) {
			operated = append(operated, r.Find("walk/"+point))
		}
		var got []string
		for _, o := range r.InRoom(operated) {
			got = append(got, string(o.step.Point))
		}
		assert.Equal(t, tc.want, got, tc.operated)
	}
	r, err := told(t, opened)
	require.NoError(t, err)
	assert.Len(t, r.OfZone(1), 2)
	assert.Empty(t, r.OfZone(9))
}
