//go:build unix

package main

import (
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone"
	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/record"
)

// A page that is loaded anew, a network that goes and a phone that sleeps, each in the middle
// of a trial: what is judged is what the journal says, and the page goes on.
func TestWhatHappensToAPhoneInTheMiddleOfATrial(t *testing.T) {
	b := newKiosk(t)
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.visit("walk/1.1/ready")

	all := map[string]taken{}
	all["1.1"] = h.trial("1.1", func(stands func(string) bool) (report span, ok bool) {
		if !stands("operate") {
			return report, false
		}
		h.Reload()
		if !stands("operate") {
			return report, false
		}
		report = h.operates("1.1", true)
		if !stands("restore") {
			return report, false
		}
		h.Reload()
		h.move("1.1", false)
		return report, true
	})
	all["2.1"] = h.trial("2.1", func(stands func(string) bool) (report span, ok bool) {
		if !stands("operate") {
			return report, false
		}
		h.sleeps(time.Second)
		report = h.operates("2.1", true)
		if !stands("restore") {
			return report, false
		}
		h.move("2.1", false)
		return report, true
	})
	// The clock of the page has stood still since the clocks were compared first.
	all["3.1"] = h.trial("3.1", func(stands func(string) bool) (report span, ok bool) {
		if !stands("operate") {
			return report, false
		}
		b.link.Cut()
		defer b.link.Mend()
		h.Wait(`document.querySelector('.net.off')`)
		report = h.operates("3.1", true)
		time.Sleep(1200 * time.Millisecond)
		h.move("3.1", false)
		time.Sleep(300 * time.Millisecond)
		return report, true
	})

	r := b.record()
	for point, done := range all {
		last := lastOf(t, r, point)
		assert.Equal(t, record.Proved, last.Verdict(), point)
		holdsTruth(t, done, last.Operate)
		proved := 0
		for _, each := range outcomeOf(t, r, point).Attempts() {
			if each.Verdict() == record.Proved {
				proved++
			}
		}
		assert.Equal(t, 1, proved, point)
	}
	assert.Empty(t, r.Breaches())
}

// The terminal takes the questions back in the middle of a trial, and a phone takes them
// again: the trial is one, and each is told.
func TestTheQuestionsChangeHandsInTheMiddleOfATrial(t *testing.T) {
	b := newKiosk(t)
	c, address := b.console("visit", "start", "--kind", "handover")
	h := inHand(t, b, &attended{address: address})
	h.visit("walk/1.1/ready")
	done := h.trial("1.1", func(stands func(string) bool) (report span, ok bool) {
		if !stands("operate") {
			return report, false
		}
		c.sendNow("t")
		c.expect("NOW open the door")
		h.WaitText("#strips", "The questions are at the terminal")
		assert.False(t, h.glance().Holds)
		h.Tap("#hold")
		h.WaitText("#sheet", "Take them from there?")
		h.Tap("#sure")
		h.until(func(g glance) bool { return g.Holds }, "the questions")
		if !stands("operate") {
			return report, false
		}
		report = h.operates("1.1", true)
		if !stands("restore") {
			return report, false
		}
		h.move("1.1", false)
		return report, true
	})
	c.sendNow(ctrlC)
	c.exit(exitNotRun)
	h.WaitText("#main", "The visit is paused: nothing is lost.")
	r := b.record()
	last := lastOf(t, r, "1.1")
	assert.Equal(t, record.Proved, last.Verdict())
	holdsTruth(t, done, last.Operate)
	assert.Empty(t, r.Breaches())
}

// Two phones want the same question, and the same NOW: what one gave is taken, the other is
// told, and nothing stands twice in the journal.
func TestTwoPhonesWantTheSame(t *testing.T) {
	b := newKiosk(t)
	a := b.attend("visit", "start", "--kind", "handover")
	first, second := inHand(t, b, a), inHand(t, b, a)
	first.until(func(g glance) bool { return g.Holds && g.ID == "inspection/told" }, "the first question")
	second.until(func(g glance) bool { return !g.Holds && g.ID == "inspection/told" }, "the first question")
	assert.Contains(t, second.Text("#strips"), "The questions are on")

	// together has both phones run a script at once; each tells what came of it.
	together := func(one, other string) [2]phone.Taken {
		t.Helper()
		var taken [2]phone.Taken
		var both sync.WaitGroup
		for i, by := range []struct {
			h      *hand
			script string
		}{{first, one}, {second, other}} {
			both.Go(func() {
				taken[i] = browser.Eval[phone.Taken](by.h.Phone, `(async () => { const {once} = await import('/link.js'),
					{state, randomKey} = await import('/state.js'), {tap} = await import('/clock.js'); `+by.script+` })()`)
			})
		}
		both.Wait()
		return taken
	}
	takes := `await once('/hold', {key: randomKey(), sure: true});`
	says := `return await once('/answer', {key: randomKey(), serial: state.talk.serial, text: 'done'});`
	now := `return await once('/press', {key: randomKey(), serial: state.talk.serial, press: 'ready', expects: '1.1',
		tap: tap(performance.now(), 'touch')});`

	// Who does not hold the questions is refused, whatever their page shows.
	taken := together(says, says)
	assert.True(t, taken[0].OK, "%+v", taken)
	assert.Equal(t, "Another device holds the questions.", taken[1].Refused)

	first.stands("ready", "1.1")
	first.Wait(`document.querySelector('#now:not(:disabled)')`)
	second.Tap("#hold")
	second.WaitText("#sheet", "Take them from there?")
	second.Tap("#sure")
	second.until(func(g glance) bool { return g.Holds && g.Kind == "ready" }, "the questions")
	first.WaitText("#strips", "The questions are on")
	assert.False(t, first.Has("#now"))
	second.Wait(`document.querySelector('#now:not(:disabled)')`)

	// The first takes them back and touches NOW just when the second touches it.
	taken = together(takes+now, now)
	all, given := b.journal(), 0
	for _, each := range taken {
		if each.OK {
			given++
		} else {
			assert.True(t, each.Stale || each.Refused != "", "%+v", each)
		}
	}
	assert.LessOrEqual(t, given, 1, "%+v", taken)
	assert.Equal(t, given, strings.Count(all, `"kind":"cue"`), all)
	assert.Equal(t, 1, strings.Count(all, `"kind":"answer"`), all)
	assert.Equal(t, 3, strings.Count(all, `"kind":"held"`), all)
	second.WaitText("#strips", "The questions are on")
	first.until(func(g glance) bool { return g.Holds && g.Point == "1.1" }, "the questions")
	assert.Empty(t, b.record().Breaches())
}

// A program that is killed in the middle of a trial goes on with the same phone, and the
// visit ends well.
func TestAPhoneGoesOnAfterTheProgramWasKilled(t *testing.T) {
	b := newKiosk(t)
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.visit("walk/1.1/ready")
	for in := false; !in; {
		serial := h.glance().Serial
		h.now()
		h.move("1.1", true)
		h.until(func(g glance) bool { in = g.Kind == "restore"; return in || g.Kind == "ready" && g.Serial > serial }, "a trial")
		if !in { // this computer was too busy
			h.move("1.1", false)
		}
	}
	require.NoError(t, a.cmd.Process.Kill())
	_ = a.cmd.Wait()
	h.move("1.1", false)
	h.Wait(`document.querySelector('.net.off')`)
	a = b.attend("visit", "resume")
	h.stands("ready", "1.1")
	assert.True(t, h.glance().Holds, "without pairing anew")
	h.visit("")
	a.ends(0)
	h.WaitText("#main", "The visit is complete")
	r := b.record()
	assert.Equal(t, record.Proved, lastOf(t, r, "1.1").Verdict())
	assert.Empty(t, r.Breaches())
}

// sounds lets the sounder be energised by the phone, up to the question whether it is heard.
func (h *hand) sounds() {
	h.t.Helper()
	h.say = append([]said{{"inspection/told", "leave"}, {"stage", "outputs"}}, h.say...)
	h.visit("outputs/Sounder/heard")
	assert.Equal(h.t, "sounder ON", <-h.b.heard)
	h.WaitText("#sounding", "Sounder")
}

// told waits for what an output is told next.
func (b *building) told(want string, within time.Duration) time.Time {
	b.t.Helper()
	select {
	case heard := <-b.heard:
		require.Equal(b.t, want, heard)
	case <-time.After(within):
		b.t.Fatalf("%s is not told; the program says %s", want, b.last)
	}
	return time.Now()
}

// A sounder does not stay on when nobody could silence it any more: a phone that is out of
// reach is silent, and after ten seconds of that the output is switched off, as it was said
// before.
func TestASounderIsSwitchedOffWhenThePhoneIsSilent(t *testing.T) {
	b := newKiosk(t)
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.sounds()
	assert.Contains(t, strings.Join(strings.Fields(a.out.String()), " "), "If this phone is out of reach for 10 s, it is switched off.")
	b.link.Cut()
	cut := time.Now()
	off := b.told("sounder OFF", 20*time.Second).Sub(cut)
	t.Logf("off %s after the link was cut", off)
	assert.Greater(t, off, 4*time.Second, "the last that was heard of it may be 5 s old, not more")
	assert.Less(t, off, 12*time.Second)
	b.link.Mend()
	h.Wait(`document.querySelector('.net.on')`)
	h.Wait(`!document.querySelector('#sounding').innerText`)
	h.Tap("#tab-told")
	h.WaitText("#told", "The phone has not been heard of for 10\u00a0s. Sounder is switched off.")
}

// The button on every screen switches it off at once, also by a phone that does not hold the
// questions, and the measurement is known to be taken without it.
func TestThePhoneSilencesASounderAtOnce(t *testing.T) {
	b := newKiosk(t)
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.sounds()
	h.Tap("#tab-board")
	pressed := time.Now()
	h.Tap("#silence")
	off := b.told("sounder OFF", 5*time.Second).Sub(pressed)
	t.Logf("off %s after the touch", off)
	assert.Less(t, off, 2*time.Second)
	h.Wait(`!document.querySelector('#silence')`)
	assert.Contains(t, a.out.String(), "Switching off, as you asked: Sounder")
	assert.Empty(t, b.record().Breaches())
}

// Ctrl-C at the terminal pauses while a phone has the questions, and the page says so; the
// answer that came just before is kept.
func TestCtrlCPausesAVisitOnAPhone(t *testing.T) {
	b := newKiosk(t)
	c, address := b.console("visit", "start", "--kind", "handover")
	h := inHand(t, b, &attended{address: address})
	h.visit("walk/1.1/ready")
	h.now()
	h.stands("operate", "1.1")
	c.sendNow(ctrlC)
	c.expect("Paused; nothing is lost.")
	c.exit(exitNotRun)
	h.WaitText("#main", "The visit is paused: nothing is lost.")
	assert.False(t, h.Has("#now"))
	r := b.record()
	assert.Empty(t, r.Breaches())
	assert.Equal(t, 1, strings.Count(b.journal(), `"kind":"answer"`))

	a := b.attend("visit", "resume")
	h.stands("ready", "1.1") // by itself
	assert.True(t, h.glance().Holds)
	assert.NotContains(t, a.out.String(), "A phone is paired")
}
