//go:build unix

package main

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
)

// inHand is a technician whose phone is paired.
func inHand(t *testing.T, b *building, a *attended) *hand {
	t.Helper()
	p := browser.New(t)
	p.Before(`localStorage.setItem('lw-walk', '1');
		window.faults = []; addEventListener('error', (e) => faults.push(e.message));
		addEventListener('unhandledrejection', (e) => faults.push(String(e.reason?.stack ?? e.reason)));`)
	p.Go(a.address)
	t.Cleanup(func() { assert.Empty(t, browser.Eval[[]string](p, "window.faults ?? []"), "faults of the page") })
	return &hand{Phone: p, t: t, b: b, say: usual}
}

// A whole hand-over of the studio, alone, by the count of a phone: no touch for a detector
// that is as it should be.
func TestAHandOverByCounting(t *testing.T) {
	t.Parallel() // both wait most of the time
	if outsidetool.Racing {
		t.Skip("the browser is what is slow here")
	}
	b := newBuilding(t)
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.say = append([]said{{"alarm/*/detector", "5.1"}}, h.say...) // not that by which one enters
	begun := time.Now()
	h.visit("walk/1.1/ready")
	h.Tap(`[data-word="count"]`)
	h.visit("")
	a.ends(0)
	r, err := lastRecord(b.dir)
	require.NoError(t, err)
	for _, o := range r.Outcomes() {
		if o.Last() != nil && o.Step().Stage == programme.StageWalkTest && !busy(t, o) {
			assert.Equal(t, record.Proved, o.Last().Verdict(), o.Step().ID)
			require.NotNil(t, o.Last().Operate.Tap(), o.Step().ID)
			assert.Equal(t, record.ByCount, o.Last().Operate.Tap().By, o.Step().ID)
			if len(o.Attempts()) == 1 { // none did not count, as where this computer was busy
				assert.Zero(t, h.touches("walk/"+string(o.Step().Point)+"/*"), "a healthy detector takes no touch")
			}
		}
	}
	assert.Empty(t, r.Breaches())
	b.sealed(0)
	// Lists of each kind of detector, values, faults that the controller reports, and one real alarm.
	further := h.touches("list/walk-test/*", "list/walk-test/*/*", "*/*/value", "supply/battery-*", "supply/*-fault",
		"alarm", "alarm/*", "alarm/*/*")
	t.Logf("%d touches, %d of them for lists of detectors, values, faults and the alarm, %d questions and waits, %s",
		h.Touches, further, len(h.asked), time.Since(begun).Round(time.Second))
	assert.Less(t, h.Touches-further, 60)
	assert.Less(t, further, 40)
}

// busy tells that this computer, on which all of it runs, stood still when a report came, so that
// its time is not known.
func busy(t *testing.T, o *record.Outcome) bool {
	t.Helper()
	is := o.Last().Operate.Judge().NotTimed == record.StampedLate
	if is {
		t.Logf("%s: the computer was busy", o.Step().ID)
	}
	return is
}

// A whole hand-over in the technician's own order, with a silent, a crossed and a chattering
// detector and a cellar without a network, to names and a certificate.
func TestAHandOverInOnesOwnOrder(t *testing.T) {
	t.Parallel()
	if outsidetool.Racing {
		t.Skip("the browser is what is slow here")
	}
	b := newBuilding(t)
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.say = append([]said{{"alarm/*/detector", "5.1"}}, h.say...) // not that by which one enters
	h.wired = wired{"1.1": "2.1", "3.2": "flutter", "4.1": ""}
	begun := time.Now()
	h.visit("walk/1.1/ready")
	h.Tap(`[data-word="roam"]`)
	h.visit("walk-test/roam")
	touchesBefore := h.Touches

	h.walksPast("1.1") // and 2.1 is reported
	h.WaitText("#reports, #beside, main", "2.1")
	h.press("#key-not-that")
	h.reply("walk-test/roam/instead", "1.1")
	time.Sleep(2500 * time.Millisecond) // from one door to the other
	h.walksPast("2.1")
	h.credited("2.1")
	for _, window := range []string{"3.1", "3.3", "3.4"} {
		h.move(window, true)
		h.reply("walk-test/roam/zone-3", window)
		h.move(window, false)
		h.credited(window)
	}
	before := h.Touches
	for _, healthy := range []string{"5.1", "6.1", "7.1", "8.1", "9.1", "12.1"} {
		h.walksPast(healthy)
		h.credited(healthy)
	}
	assert.Equal(t, before, h.Touches, "a healthy detector takes no touch")
	for range 5 { // 4.1 is silent: it is waited for, once more where this computer was busy
		h.aim("4.1")
		h.Tap("#now")
		h.comes("walk/4.1/operate")
		h.comes("walk-test/roam")
		if h.standing("4.1") == "failed" {
			break
		}
	}
	for _, cover := range []string{"10.1", "10.2"} {
		h.move(cover, true)
		h.reply("walk-test/roam/zone-10", cover)
		h.move(cover, false)
		h.credited(cover)
	}
	// The cellar: a touch is kept until there is a network again.
	b.link.Cut()
	h.Wait(`document.querySelector('.net.off')`)
	h.aim("11.1")
	h.Tap("#now")
	time.Sleep(500 * time.Millisecond)
	h.move("11.1", true)
	time.Sleep(1500 * time.Millisecond)
	h.move("11.1", false)
	time.Sleep(8 * time.Second)
	b.link.Mend()
	h.credited("11.1")
	h.move("3.2", true)
	h.reply("walk-test/roam/zone-3", "3.2")
	h.move("3.2", false)
	time.Sleep(2 * time.Second)
	roamed := h.Touches - touchesBefore
	h.press("#key-room")
	h.visit("") // nothing is open any more once what was found is left as it is
	a.ends(1)   // what was found is told
	r, err := lastRecord(b.dir)
	require.NoError(t, err)
	want := map[string]record.Verdict{"1.1": record.Crossed, "2.1": record.Reported, "3.1": record.Reported,
		"3.2": record.Unsteady, "3.3": record.Reported, "3.4": record.Reported, "4.1": record.Silent, "5.1": record.Reported,
		"6.1": record.Reported, "7.1": record.Reported, "8.1": record.Reported, "9.1": record.Reported,
		"10.1": record.Reported, "10.2": record.Reported, "11.1": record.Proved, "12.1": record.Reported}
	verdicts := map[string]record.Verdict{}
	for _, o := range r.Outcomes() {
		if o.Last() == nil || o.Step().Stage != programme.StageWalkTest {
			continue
		}
		point := string(o.Step().Point)
		verdicts[point] = o.Last().Verdict()
		if busy(t, o) {
			want[point] = record.Reported
		}
	}
	assert.Equal(t, want, verdicts)
	assert.Empty(t, r.Breaches())
	b.sealed(1)
	t.Logf("%d touches, %d of them while roaming, %s", h.Touches, roamed, time.Since(begun).Round(time.Second))
}

func lastRecord(dir string) (*record.Record, error) {
	v, err := job.At(dir).Visit("")
	if err != nil {
		return nil, err
	}
	return v.Record()
}
