package browser_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// meanwhile is longer than the page takes to do what it may not do.
const meanwhile = 400 * time.Millisecond

// canTap waits until NOW can be touched.
func canTap(p *browser.Phone) {
	p.Compared()
	p.Steady("#now")
}

// The token is gone from the address before anything else is seen, and no script reads the
// cookie.
func TestPairing(t *testing.T) {
	t.Parallel()
	v := begin(t)
	p := browser.New(t)
	p.RecordErrors()
	p.Go(v.technician())
	assert.Equal(t, "", browser.Eval[string](p, `location.hash`))
	assert.Equal(t, "", browser.Eval[string](p, `document.cookie`))
	p.WaitText("#head", "Quince Lane Pottery")
	assert.Empty(t, p.Errors())
	p.Reload()
	p.WaitText("#head", "Quince Lane Pottery")

	stranger := browser.Open(t, "http://"+v.link.Address+"/#nobody-knows-this-one")
	stranger.WaitText("#main", "not paired")
	assert.NotContains(t, stranger.Text("body"), "Quince Lane")
}

// A touch of NOW is the cue: its instant is the touch's, within the bounds that are stated.
func TestNow(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, _ := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	canTap(p)
	before := time.Now()
	p.Tap("#now")
	k := got(t, pressed)
	after := time.Now()
	assert.Equal(t, ask.Ready, k.Key)
	assert.Empty(t, k.NotTimed)
	require.NotNil(t, k.Tap)
	assert.Equal(t, record.ByTouch, k.Tap.By)
	assert.False(t, k.At.Before(before.Add(-k.Uncertainty)), "%s before the touch", before.Sub(k.At))
	assert.False(t, k.At.After(after.Add(k.Uncertainty)), "%s after it had come", k.At.Sub(after))
}

// A device that stands still for half a second while the page begins knows the clocks as well as another.
func TestAPageThatBeginsSlowly(t *testing.T) {
	t.Parallel()
	v := begin(t)
	v.waits(ready("3.1"))
	p := browser.New(t)
	p.Before(`{ let asked = 0; const real = performance.now.bind(performance); performance.now = () => {
		if (++asked === 4) for (const until = Date.now() + 500; Date.now() < until;);
		return real(); }; }`)
	p.Go(v.technician())
	p.Compared()
	assert.Less(t, browser.Eval[float64](p, `(async (c) => c.halfWidth())(await import('/clock.js'))`), 100.0)
}

// A touch that comes when a detector's turn is over is not the cue of the next.
func TestTouchBetween(t *testing.T) {
	t.Parallel()
	v := begin(t)
	_, _, stop := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	canTap(p)
	stop()
	p.Wait(`(() => { const b = document.body.classList.contains('between') && document.querySelector('#now');
		b && b.dispatchEvent(new PointerEvent('pointerdown', {isPrimary: true, bubbles: true})); return Boolean(b); })()`)
	// Touched as soon as the screen has changed: that was meant for the one before.
	browser.Eval[bool](p, `(() => { new MutationObserver((_, watch) => { const b = document.querySelector('#now');
		if (!b || document.querySelector('.where .point')?.innerText !== '3.2') return;
		watch.disconnect();
		b.dispatchEvent(new PointerEvent('pointerdown', {isPrimary: true, bubbles: true}));
		window.hurried = true; }).observe(document.body, {childList: true, subtree: true}); return true; })()`)
	pressed, _, _ := v.waits(ready("3.2"))
	p.Wait(`window.hurried`)
	gotNothing(t, pressed)
	p.Tap("#now")
	assert.Equal(t, ask.Ready, got(t, pressed).Key)
}

// The second touch of two that were one too many is for no key of the next wait either, whose instants alone are
// spared.
func TestTouchedTwiceInAWalk(t *testing.T) {
	t.Parallel()
	v := begin(t)
	_, _, stop := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	atOnce := func(selector, shows string) {
		browser.Eval[bool](p, `(() => { window.hurried = null; new MutationObserver((_, watch) => {
			const key = () => document.querySelector(`+fmt.Sprintf("%q", selector)+`);
			if (!key() || !document.querySelector('#scene').innerText.includes(`+fmt.Sprintf("%q", shows)+`)) return;
			watch.disconnect();
			setTimeout(() => { key().dispatchEvent(new PointerEvent('pointerdown', {bubbles: true, isPrimary: true}));
				window.hurried = key().dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true, detail: 1})); }, 5);
		}).observe(document.body, {childList: true, subtree: true}); return true; })()`)
	}
	for _, tc := range []struct {
		watch           ask.Watch
		selector, shows string
		taken           bool
	}{
		{ready("3.2"), "#key-skip", "Skylight, south", false},
		{roaming, "#key-room", "any order", false},
		{ask.Watch{ID: "chime", Title: ask.Verbatim("Listen to it"), Keys: []ask.Key{ask.Heard, ask.Silent}}, "#key-heard", "Listen", true},
	} {
		atOnce(tc.selector, tc.shows)
		stop()
		var pressed <-chan ask.Pressed
		pressed, _, stop = v.waits(tc.watch)
		p.Wait(`window.hurried !== null`)
		assert.Equal(t, tc.taken, browser.Eval[bool](p, `window.hurried`), tc.selector)
		select {
		case k := <-pressed:
			assert.True(t, tc.taken, "%+v", k)
		case <-time.After(meanwhile):
			assert.False(t, tc.taken, tc.selector)
		}
	}
}

// After a detector that is proved a phone counts to the next without a touch; after anything else,
// and when the page was loaded, it waits for one.
func TestCount(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, stop := v.waits(ready("3.1"))
	p := browser.New(t)
	p.Before(`localStorage.setItem('lw-way', 'count'); localStorage.setItem('lw-walk', '3')`)
	p.Go(v.technician())
	p.WaitText("#count", "WAITS")
	p.Compared()
	began := time.Now()
	p.Tap("#now")
	k := got(t, pressed)
	require.NotNil(t, k.Tap)
	assert.Equal(t, record.ByCount, k.Tap.By)
	assert.Greater(t, k.At.Sub(began), 5*time.Second, "three seconds to walk, and three to count")
	v.Tell(proved)
	p.Wait(`document.querySelector('#result.good')`)
	stop()
	touches := p.Touches
	pressed, _, stop = v.waits(ready("3.2"))
	assert.Equal(t, record.ByCount, got(t, pressed).Tap.By)
	assert.Equal(t, touches, p.Touches)
	v.Tell(proved, silent)
	p.Wait(`document.querySelector('#result.bad')`)
	stop()
	_, _, stop = v.waits(ready("3.2"))
	p.WaitText(".where .point", "3.2")
	p.WaitText("#count", "WAITS")
	v.Tell(proved)
	p.Wait(`document.querySelector('#result.good')`)
	stop()
	chime := ready("3.1")
	chime.Step = "outputs/Chime/zone-3"
	v.waits(chime)
	p.Wait(`document.querySelector('#now') && !document.querySelector('#count')`)
}

// The count can be held, and its time to walk changed.
func TestCountWaits(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, _ := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	p.Compared()
	p.Tap("[data-word=count]")
	p.Tap("#walk-more")
	p.WaitText(".seconds", "9 s")
	p.Tap("#wait")
	p.WaitText("#count", "WAITS")
	gotNothing(t, pressed)
	p.Tap("#wait")
	p.Tap("#now") // count at once
	assert.Equal(t, record.ByCount, got(t, pressed).Tap.By)
}

// Out of reach, touches are kept past a reload of the page, and delivered in their order,
// each with when the next was given.
func TestAway(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, stop := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	canTap(p)
	v.link.Cut()
	p.WaitText("#head", "no network")
	began := time.Now()
	for _, point := range []string{"3.1", "3.2", "3.3"} {
		p.WaitText(".where .point", point)
		canTap(p)
		p.Tap("#now")
	}
	ended := time.Now()
	p.WaitText("#strips", "3 touches are kept")
	p.WaitText(".where .point", "6.1")
	v.link.Mend()
	p.Reload()

	var at []time.Time
	for _, point := range []site.Point{"3.1", "3.2", "3.3"} {
		if point != "3.1" {
			pressed, _, stop = v.waits(ready(point))
		}
		k := got(t, pressed)
		stop()
		assert.Equal(t, ask.Ready, k.Key)
		require.NotNil(t, k.Tap, "%s: %s", point, k.NotTimed)
		at = append(at, k.At)
		if point == "3.3" {
			assert.Zero(t, k.Until)
		} else {
			assert.True(t, k.Until.After(k.At), point)
		}
		assert.True(t, k.At.After(began) && k.At.Before(ended), "%s: %s", point, k.At)
	}
	assert.True(t, at[0].Before(at[1]) && at[1].Before(at[2]))
	p.Wait(`JSON.parse(localStorage.getItem('lw-taps')).length === 0`)
}

// Where the visit is at another detector than a kept touch, it is asked to go there.
func TestAwayElsewhere(t *testing.T) {
	t.Parallel()
	v := begin(t)
	_, _, stop := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	canTap(p)
	v.link.Cut()
	p.WaitText("#head", "no network")
	p.Tap("#away-other")
	p.Tap(`[data-point="6.1"]`)
	p.WaitText(".where .point", "6.1")
	canTap(p)
	p.Tap("#now")
	p.WaitText("#strips", "one touch")
	stop()
	pressed, _, stop := v.waits(ready("3.1"))
	v.link.Mend()
	k := got(t, pressed)
	assert.Equal(t, ask.Jump, k.Key)
	assert.Equal(t, site.Point("6.1"), k.To)
	stop()
	pressed, _, _ = v.waits(ready("6.1"))
	assert.Equal(t, ask.Ready, got(t, pressed).Key)
}

// After the page may have slept, nothing is timed until the clocks are compared again; who
// insists goes on untimed.
func TestSleep(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, _ := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	canTap(p)
	v.link.Cut()
	p.WaitText("#head", "no network")
	browser.Eval[bool](p, `document.dispatchEvent(new Event('visibilitychange'))`)
	p.Wait(`document.querySelector('#now:disabled')`)
	p.WaitText("#now", "not known")
	p.Tap("#untimed")
	v.link.Mend()
	k := got(t, pressed)
	assert.Equal(t, record.ClockUnknown, k.NotTimed)
	assert.Nil(t, k.Tap)
	p.Wait(`document.querySelector('#now:not(:disabled)')`)
}

// What a person saw at the controller has the instant of its touch.
func TestKeyboardSignals(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, stop := v.waits(operated("3.1", ask.Indicated))
	p := browser.Open(t, v.technician())
	p.Compared()
	p.Steady("#key-indicated")
	p.Tap("#key-indicated")
	k := got(t, pressed)
	assert.Equal(t, ask.Indicated, k.Key)
	require.NotNil(t, k.Tap)
	stop()
	pressed, _, _ = v.waits(restoring("3.1", ask.AtRest))
	p.Compared()
	p.Steady("#key-at-rest")
	p.Tap("#key-at-rest")
	assert.NotNil(t, got(t, pressed).Tap)
}

// A key whose instant counts has that of its touch.
func TestHeard(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, _ := v.waits(
		ask.Watch{ID: "chime", Title: ask.Verbatim("Open it, and listen"), Keys: []ask.Key{ask.Heard, ask.Silent}},
	)
	p := browser.Open(t, v.technician())
	p.Compared()
	p.Steady("#key-heard")
	p.Tap("#key-heard")
	k := got(t, pressed)
	assert.Equal(t, ask.Heard, k.Key)
	assert.NotNil(t, k.Tap)
}

// While roaming NOW times the next operation; a detector may be named on the board.
func TestRoam(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, stop := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	p.Tap("[data-word=roam]")
	assert.Equal(t, ask.Roam, got(t, pressed).Key)
	stop()
	pressed, _, _ = v.waits(roaming)
	p.WaitText("#scene h1", "any order")
	canTap(p)
	p.Tap("#now")
	k := got(t, pressed)
	assert.Equal(t, ask.Touch, k.Key)
	assert.NotNil(t, k.Tap)
	assert.Empty(t, k.To)
	v.Tell(proved)
	p.WaitText("#reports", "2.1 proved")
	p.Tap("#tab-board")
	p.Tap(`[data-point="3.2"]`)
	p.WaitText(".aim", "Skylight, south")
	canTap(p)
	p.Tap("#now")
	assert.Equal(t, site.Point("3.2"), got(t, pressed).To)
	p.Tap("#key-not-that")
	assert.Equal(t, ask.NotThat, got(t, pressed).Key)
	p.Tap("#key-room")
	assert.Equal(t, ask.RoomDone, got(t, pressed).Key)
	p.Tap("[data-word=tap]")
	assert.Equal(t, ask.InOrder, got(t, pressed).Key)
}

// While a key is on its way nothing else is taken, the way of going on neither: it would be shown and not sent.
func TestNothingIsChosenWhileAKeyIsOnItsWay(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, _ := v.waits(roaming)
	p := browser.Open(t, v.technician())
	p.Slow(time.Second, 1_000_000, 1_000_000)
	browser.Eval[bool](p, `(() => { new MutationObserver((_, watch) => {
		if (!document.querySelector('[data-word=tap]')?.disabled) return;
		watch.disconnect();
		window.wasOff = true; }).observe(document.body, {attributes: true, childList: true, subtree: true}); return true; })()`)
	p.Tap("#key-room")
	p.Wait(`window.wasOff`)
	assert.Equal(t, ask.RoomDone, got(t, pressed).Key)
	p.Tap("[data-word=tap]")
	assert.Equal(t, ask.InOrder, got(t, pressed).Key)
}

// While roaming there is one line a detector, the newest; what is struck has none, and what is left is
// named.
func TestRoamList(t *testing.T) {
	t.Parallel()
	v := begin(t)
	v.waits(roaming)
	p := browser.Open(t, v.technician())
	v.Tell(ask.ReportsActive{Step: named("2.1")}, silent, ask.ReportsActive{Step: named("3.1")})
	p.Wait(`document.querySelectorAll('#reports li').length === 3`)
	p.WaitText("#reports li:first-child", "3.1")
	v.Tell(proved, ask.Struck{Step: named("2.2"), Number: 1})
	p.Wait(`document.querySelectorAll('#reports li').length === 2`)
	p.WaitText("#reports li:first-child", "2.1 proved")
	assert.NotContains(t, p.Text("#reports"), "2.2")
	for _, name := range []string{"3.1 Skylight, north", "3.2 Skylight, south", "3.3 Hatch", "6.1 Cover"} {
		p.WaitText("#left", name)
	}
}

// A result stands until the next talk but one, unless it was struck, and nowhere but in the walk.
func TestResultGoes(t *testing.T) {
	t.Parallel()
	v := begin(t)
	_, _, stop := v.waits(ready("2.2"))
	p := browser.Open(t, v.technician())
	p.WaitText(".where .point", "2.2")
	next := func(w ask.Watch) {
		stop()
		_, _, stop = v.waits(w)
	}
	v.Tell(silent)
	p.Wait(`document.querySelector('#result.bad')`)
	next(ready("3.1"))
	p.WaitText(".where .point", "3.1")
	assert.True(t, p.Has("#result"))
	next(ready("3.2"))
	p.WaitText(".where .point", "3.2")
	assert.False(t, p.Has("#result"))

	v.Tell(silent)
	p.Wait(`document.querySelector('#result.bad')`)
	v.Tell(ask.Struck{Step: named("2.2"), Number: 1})
	p.Wait(`!document.querySelector('#result')`)

	v.Tell(proved)
	p.Wait(`document.querySelector('#result.good')`)
	next(ask.Watch{ID: "restart", Title: ask.PowerBackMatter, Keys: []ask.Key{ask.Ready}})
	p.WaitText("#scene h1", "power")
	assert.False(t, p.Has("#result"))
}

// Silence shows that it was touched, and what becomes of it out of reach.
func TestSilenceAway(t *testing.T) {
	t.Parallel()
	v := begin(t)
	v.asks(ask.Question{ID: "x", What: ask.NoteMatter, Takes: ask.YesNo{}})
	p := browser.Open(t, v.technician())
	p.Wait(`document.querySelector('[data-word=yes]')`)
	v.Tell(ask.LoudCaution{})
	p.Wait(`document.querySelector('.card.caution')`)
	v.Sounding([]string{"Sounder in the yard"})
	p.WaitText("#sounding", "Sounder in the yard")
	p.Wait(`!document.querySelector('.card.caution')`) // it was read before
	v.link.Cut()
	p.WaitText("#head", "no network")
	p.Tap("#silence")
	p.WaitText("#silence", "touched")
	p.WaitText("#silence-away", "stops by itself")
	v.link.Mend()
	p.Wait(`!document.querySelector('#silence')`)
}

// Out of reach NOW stays what it is while roaming: a touch of whatever is operated next.
func TestRoamAway(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, _ := v.waits(roaming)
	p := browser.New(t)
	p.Before(`localStorage.setItem('lw-way', 'count')`)
	p.Go(v.technician())
	canTap(p)
	v.link.Cut()
	p.WaitText("#head", "no network")
	canTap(p)
	p.Tap("#now")
	p.WaitText("#strips", "one touch")
	p.WaitText("#scene h1", "any order")
	assert.False(t, p.Has("#count"))
	v.link.Mend()
	k := got(t, pressed)
	assert.Equal(t, ask.Touch, k.Key)
	assert.NotNil(t, k.Tap)
}

// A touch of a detector on the board goes there.
func TestBoard(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, _ := v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	p.Tap("#tab-board")
	p.WaitText(`[data-point="2.2"]`, "not proved: silent")
	b := studio()
	b.Zones[1].Detectors[1].Standing, b.Zones[1].Detectors[1].Verdict = ask.ProvedStanding, record.Proved
	v.Board(b)
	p.Wait(`!document.querySelector('[data-point="2.2"]').innerText.includes('silent')`)
	p.Tap(`[data-point="2.2"]`)
	k := got(t, pressed)
	assert.Equal(t, ask.Jump, k.Key)
	assert.Equal(t, site.Point("2.2"), k.To)
	p.Wait(`document.querySelector('#now')`)
}

// What was told is shown in words and in a shape, sounded and shaken: good and bad
// differently, and not what was told before the phone was there.
func TestResults(t *testing.T) {
	t.Parallel()
	v := begin(t)
	v.Tell(silent)
	v.waits(ready("3.1"))
	p := browser.New(t)
	p.Before(`window.shaken = []; Object.defineProperty(Navigator.prototype, 'vibrate',
		{value: (pattern) => { shaken.push(String(pattern)); return true; }});
		window.spoken = []; speechSynthesis.speak = (u) => { if (u.text.trim()) spoken.push(u.text); };`)
	p.Go(v.technician())
	p.Tap("#tab-told")
	p.WaitText("#told", "2.2 silent")
	p.Tap("#tab-task")
	assert.Empty(t, browser.Eval[[]string](p, `shaken`))
	v.Tell(proved)
	p.WaitText("#result", "0.71")
	p.WaitText("#live", "2.1 proved")
	v.Tell(silent)
	p.Wait(`document.querySelector('#result.bad')`)
	shaken := browser.Eval[[]string](p, `shaken`)
	require.Len(t, shaken, 2)
	assert.NotEqual(t, shaken[0], shaken[1])
	spoken := browser.Eval[[]string](p, `spoken`)
	assert.Greater(t, len(spoken), 1)
	p.Tap("#tab-more")
	p.Tap("#main [data-word=off]")
	v.Tell(proved)
	p.Wait(`shaken.length === 3`)
	assert.Len(t, browser.Eval[[]string](p, `spoken`), len(spoken), "sound is off")
}

// Two phones race: one holds the questions, taking over is asked, and the other sees who has
// them.
func TestTakingOver(t *testing.T) {
	t.Parallel()
	v := begin(t)
	pressed, _, _ := v.waits(ready("3.1"))
	first := browser.Open(t, v.technician())
	first.Wait(`document.querySelector('#now')`)
	second := browser.Open(t, v.technician())
	second.WaitText("#strips", "The questions are on")
	assert.False(t, second.Has("#now"))
	second.Tap("#hold")
	second.Tap("#sure")
	canTap(second)
	first.Wait(`document.querySelector('#hold')`)
	assert.False(t, first.Has("#now"))
	second.Tap("#now")
	assert.Equal(t, ask.Ready, got(t, pressed).Key)

	mate := browser.Open(t, v.onlooker())
	mate.WaitText("#strips", "looking on")
	assert.False(t, mate.Has("#tab-task"))
	mate.WaitText("#zones", "Skylight, north")
	assert.False(t, mate.Has("button.detector"))
	mate.Tap("#tab-more")
	assert.False(t, mate.Has("#hold-more"))
}

// What sounds can be silenced from every screen.
func TestSilence(t *testing.T) {
	t.Parallel()
	v := begin(t)
	v.Sounding([]string{"Sounder in the yard"})
	v.asks(ask.Question{ID: "x", What: ask.NoteMatter, Takes: ask.Line{}})
	p := browser.Open(t, v.technician())
	for _, tab := range []string{"#tab-board", "#tab-told", "#tab-more", "#tab-task"} {
		p.Tap(tab)
		p.WaitText("#sounding", "Sounder in the yard")
	}
	p.Tap("#silence")
	p.Wait(`!document.querySelector('#silence')`)
	v.mu.Lock()
	defer v.mu.Unlock()
	assert.Equal(t, 1, v.quiet)
}
