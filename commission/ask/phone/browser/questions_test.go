package browser_test

import (
	"context"
	"crypto/rand"
	"image"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/ask"
	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/programme"
)

// Each kind of question is answered by touch, as the program reads it.
func TestQuestions(t *testing.T) {
	oneOf := ask.OneOf{
		Options: []ask.Option{{Word: "leave", Label: ask.LeaveChoice}, {Word: "again", Label: ask.AgainChoice}},
	}
	for _, tc := range []struct {
		name string
		q    ask.Question
		do   func(*browser.Phone)
		want string
	}{
		{"one of several", ask.Question{Takes: oneOf}, func(p *browser.Phone) { p.Tap("[data-word=again]") }, "again"},
		{"none of several", ask.Question{Takes: oneOf, Optional: true, Back: true}, func(p *browser.Phone) {
			p.WaitText("#leave-out", "back")
			p.Tap("#leave-out")
		}, ""},
		{"yes", ask.Question{Takes: ask.YesNo{}}, func(p *browser.Phone) { p.Tap("[data-word=yes]") }, "yes"},
		{"danger", ask.Question{Takes: ask.YesNo{Danger: true}}, func(p *browser.Phone) {
			assert.False(p.T(), p.Has("[data-word=yes]"))
			p.Fill("#text", "ye")
			assert.True(p.T(), p.Has("#send:disabled"))
			p.Fill("#text", "yes")
			p.Tap("#send")
		}, "yes"},
		{"danger refused", ask.Question{Takes: ask.YesNo{Danger: true}}, func(p *browser.Phone) { p.Tap("[data-word=no]") }, "no"},
		{"line", ask.Question{Takes: ask.Line{}}, func(p *browser.Phone) {
			p.Fill("#text", "  <b>ladder</b> “loose”  ")
			p.Tap("#send")
		}, "<b>ladder</b> “loose”"},
		{"left out", ask.Question{Takes: ask.Line{}, Optional: true}, func(p *browser.Phone) { p.Tap("#leave-out") }, ""},
		{"way back", ask.Question{Takes: ask.Line{}, WayBack: "zurück"}, func(p *browser.Phone) { p.Tap("#way-back") }, "zurück"},
		{"quantity", ask.Question{Takes: ask.Quantity{In: checks.Voltage, Unit: "V"}}, func(p *browser.Phone) {
			p.Fill("#text", "12,7") // as the keypad of some countries has it
			p.Tap("#send")
		}, "12.7 V"},
		{"quantity in another unit", ask.Question{Takes: ask.Quantity{In: checks.Current}}, func(p *browser.Phone) {
			p.Fill("#text", "35 mA")
			p.Tap("#send")
		}, "35 mA"},
		{"refused first", ask.Question{Takes: ask.Quantity{In: checks.Voltage, Unit: "V"}}, func(p *browser.Phone) {
			p.Fill("#text", "12 ohm")
			p.Tap("#send")
			p.Wait(`document.querySelector('#error')`)
			assert.Equal(p.T(), "12 ohm", browser.Eval[string](p, `document.querySelector('#text').value`), "it stays to be mended")
			p.Fill("#text", "12")
			p.Tap("#send")
		}, "12 V"},
		{"instead", ask.Question{Takes: ask.Quantity{In: checks.Voltage, Instead: ask.NotMeasured}},
			func(p *browser.Phone) { p.Tap("#instead") }, "none"},
		{"shown", ask.Question{Takes: ask.Quantity{In: checks.Voltage}, Shown: "12.7 V"}, func(p *browser.Phone) {
			p.Tap("#take-shown")
			p.Tap("#send")
		}, "12.7 V"},
		{"level", ask.Question{Takes: ask.SoundLevel{}}, func(p *browser.Phone) {
			p.Fill("#level", "96,5")
			p.Fill("#distance", "3")
			p.Fill("#weighting", "(A)")
			p.Fill("#ambient", "55")
			p.Fill("#class", "2")
			p.Tap("#send")
		}, "96.5 dB(A) at 3 m over 55 dB(A) class 2"},
		{"conductor", ask.Question{Takes: ask.Conductor{}}, func(p *browser.Phone) {
			p.Fill("#text", "22")
			p.Fill("#unit", "AWG")
			p.Tap("#send")
		}, "22 AWG"},
		{"day", ask.Question{Takes: ask.Date{From: "2026-01-01"}}, func(p *browser.Phone) {
			p.Fill("#text", "2027-03-01")
			p.Tap("#send")
		}, "2027-03-01"},
		{"name", ask.Question{Takes: ask.Names{Of: []string{"1.1", "3.2"}}}, func(p *browser.Phone) { p.Tap(`[data-word="3.2"]`) }, "3.2"},
		{"names", ask.Question{Takes: ask.Names{Several: true, Of: []string{"1.1", "2.1", "3.2"}}}, func(p *browser.Phone) {
			p.Tap(`[data-word="3.2"]`)
			p.Tap(`[data-word="2.1"]`)
			p.Tap(`[data-word="1.1"]`)
			p.Tap(`[data-word="2.1"]`) // not that one
			p.Tap("#send")
		}, "3.2, 1.1"},
		{"all of a list", ask.Question{Takes: ask.Items{Of: items}}, func(p *browser.Phone) {
			p.WaitText("#rest", "the other 3") // so many are open
			assert.True(p.T(), p.Has("#rest:disabled"), "its end was not in view")
			p.Into("#items-end")
			p.Tap("#rest")
		}, ask.ItemsRest},
		{"an exception of a list", ask.Question{Takes: ask.Items{Of: items}}, func(p *browser.Phone) { p.Tap(`[data-word="5"]`) }, "5"},
		{"a list one by one", ask.Question{Takes: ask.Items{Of: items}}, func(p *browser.Phone) { p.Tap("#each") }, ask.ItemsEach},
		{"to leave a list", ask.Question{Takes: ask.Items{Of: items}}, func(p *browser.Phone) { p.Tap("#leave") }, ask.ItemsLeave},
	} {
		t.Run(tc.name, func(t *testing.T) {
			t.Parallel()
			v := begin(t)
			tc.q.ID, tc.q.What = "q", ask.Verbatim("What is it?")
			given := v.asks(tc.q)
			p := browser.Open(t, v.technician())
			tc.do(p)
			assert.Equal(t, tc.want, got(t, given).Text)
		})
	}
}

// To take the last answer again is a button.
func TestRedo(t *testing.T) {
	t.Parallel()
	v := begin(t)
	given := v.asks(ask.Question{ID: "q", What: ask.NoteMatter, Takes: ask.Line{}, Redo: ask.LoopMatter})
	p := browser.Open(t, v.technician())
	p.Tap("#redo")
	assert.True(t, got(t, given).Redo)
}

// A touch just after a card had moved the answers is none; a key of a keyboard is.
func TestMovedAnswers(t *testing.T) {
	t.Parallel()
	v := begin(t)
	given := v.asks(ask.Question{ID: "q", What: ask.NoteMatter, Takes: ask.OneOf{Options: []ask.Option{
		{Word: "leave", Label: ask.LeaveChoice}, {Word: "again", Label: ask.AgainChoice}}}})
	p := browser.Open(t, v.technician())
	p.Wait(`document.querySelectorAll('.option')[1]?.dataset.word === 'leave'`)
	v.Tell(ask.LoudCaution{})
	p.Wait(`document.querySelector('.card.caution') && !document.body.classList.contains('shifted')`)
	browser.Eval[bool](p, `(() => { document.querySelector('.understood').click(); return true; })()`)
	p.Wait(`!document.querySelector('.card.caution')`)
	// As a finger would: nothing waits until what has moved is still.
	assert.True(t, browser.Eval[bool](p, `(() => { const e = document.querySelector('[data-word=again]');
		const moved = document.body.classList.contains('shifted');
		e.dispatchEvent(new PointerEvent('pointerdown', {bubbles: true, isPrimary: true}));
		e.dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true, detail: 1}));
		return moved; })()`))
	gotNothing(t, given)
	// A finger that is down while the answers move is for none of them.
	p.Wait(`!document.body.classList.contains('shifted')`)
	browser.Eval[bool](p, `document.querySelector('[data-word=again]').dispatchEvent(
		new PointerEvent('pointerdown', {bubbles: true, isPrimary: true}))`)
	v.Tell(ask.LoudCaution{})
	p.Wait(`document.body.classList.contains('shifted') && document.querySelector('[data-word=leave]').dispatchEvent(
		new MouseEvent('click', {bubbles: true, cancelable: true, detail: 1})) === false`)
	gotNothing(t, given)
	browser.Eval[bool](p, `(() => { document.querySelector('.understood').click(); return true; })()`)
	p.Wait(`document.body.classList.contains('shifted')`)
	browser.Eval[bool](p, `(() => { document.querySelector('[data-word=again]').click(); return true; })()`)
	assert.Equal(t, "again", got(t, given).Text)
}

// The second touch of two that were one too many does not answer the next question, which nobody has read yet.
func TestTouchedTwice(t *testing.T) {
	t.Parallel()
	v := begin(t)
	question := func(what ask.Phrase) ask.Question { return ask.Question{ID: "q", What: what, Takes: ask.YesNo{}} }
	first := v.asks(question(ask.Verbatim("Is it shut?")))
	p := browser.Open(t, v.technician())
	browser.Eval[bool](p, `(() => { new MutationObserver((_, watch) => {
		if (document.querySelector('#what')?.innerText !== 'Is it bolted?') return;
		watch.disconnect();
		const e = document.querySelector('[data-word=yes]');
		e.dispatchEvent(new PointerEvent('pointerdown', {bubbles: true, isPrimary: true}));
		window.again = !e.dispatchEvent(new MouseEvent('click', {bubbles: true, cancelable: true, detail: 1}));
	}).observe(document.body, {childList: true, subtree: true}); return true; })()`)
	p.Tap("[data-word=yes]")
	assert.Equal(t, "yes", got(t, first).Text)
	second := v.asks(question(ask.Verbatim("Is it bolted?")))
	p.Wait(`window.again`)
	gotNothing(t, second)
	p.Tap("[data-word=no]")
	assert.Equal(t, "no", got(t, second).Text)
}

// A finger that is down when the question changes is for none of both, however long it stays.
func TestATouchThatLasts(t *testing.T) {
	t.Parallel()
	v := begin(t)
	question := func(what ask.Phrase) ask.Question { return ask.Question{ID: "q", What: what, Takes: ask.YesNo{}} }
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	go func() { _, _ = v.Ask(ctx, question(ask.Verbatim("Do you hear it?"))) }()
	p := browser.Open(t, v.technician())
	p.Steady("[data-word=yes]")
	lift := p.Press("[data-word=yes]")
	stop() // its time is up
	second := v.asks(question(ask.Verbatim("Did it stop?")))
	p.WaitText("#what", "Did it stop?")
	p.Wait(`!document.body.classList.contains('shifted')`)
	lift()
	gotNothing(t, second)
	p.Tap("[data-word=no]")
	assert.Equal(t, "no", got(t, second).Text)
}

// What is being typed stays through notices, a look at the board, and a loss of the network;
// the answer arrives once.
func TestTypedStays(t *testing.T) {
	t.Parallel()
	v := begin(t)
	given := v.asks(ask.Question{ID: "q", What: ask.NoteMatter, Takes: ask.Line{}})
	p := browser.Open(t, v.technician())
	p.Fill("#text", "the hatch sticks")
	v.Tell(proved)
	p.Wait(`document.querySelector('#result')`)
	p.Tap("#tab-board")
	p.Wait(`document.querySelector('#zones')`)
	p.Tap("#tab-task")
	v.link.Cut()
	p.WaitText("#head", "no network")
	p.Tap("#send")
	v.link.Mend()
	assert.Equal(t, "the hatch sticks", got(t, given).Text)
}

// A signature is kept as its strokes, on a sheet of 1000 by 400.
func TestSignature(t *testing.T) {
	t.Parallel()
	v := begin(t)
	given := v.asks(
		ask.Question{
			ID:    "technician/drawing",
			What:  ask.SignatureOf{Name: "Ignace", Role: "customer"},
			Takes: ask.Signature{},
		},
	)
	p := browser.Open(t, v.technician())
	p.Wait(`document.querySelector('#send:disabled')`)
	p.Draw("#signature", browser.Point{X: 0.9, Y: 0.9}, browser.Point{X: 0.95, Y: 0.95})
	p.Tap("#send")
	p.Wait(`document.querySelector('#error')`) // too little
	p.Tap("#clear")
	p.Draw("#signature", scrawl...)
	p.Draw("#signature", browser.Point{X: 0.1, Y: 0.9}, browser.Point{X: 0.5, Y: 0.85}, browser.Point{X: 0.9, Y: 0.9})
	p.Tap("#send")
	a := got(t, given)
	require.NotNil(t, a.Strokes)
	assert.Equal(t, 1000, a.Strokes.Width)
	assert.Equal(t, 400, a.Strokes.Height)
	require.Len(t, a.Strokes.Lines, 2, "the line that was cleared is none")
	first := a.Strokes.Lines[0]
	assert.InDelta(t, 100, first[0], 5)
	assert.InDelta(t, 240, first[1], 5)
	assert.InDelta(t, 800, first[len(first)-2], 5)
	assert.InDelta(t, 180, first[len(first)-1], 5)
}

// The customer can sign and do nothing else, until the technician's digits are given.
func TestCustomer(t *testing.T) {
	t.Parallel()
	v := begin(t)
	v.asks(ask.Question{ID: programme.IDCustomer, What: ask.AcceptanceMatter, WayBack: "back", Takes: ask.OneOf{
		Options: []ask.Option{{Word: "accept", Label: ask.AcceptChoice}, {Word: "refuses", Label: ask.RefuseChoice}}}})
	p := browser.Open(t, v.technician())
	p.Tap("#hand")
	assert.True(t, p.Has("#hand-now:disabled"), "without digits nobody takes it back")
	p.Fill("#code", "2468")
	p.Tap("#hand-now")
	p.Wait(`document.querySelector('#hand-back')`)
	for _, other := range []string{"#tabs button", "#way-back", "#photo", "#hold", "#hand"} {
		assert.False(t, p.Has(other), other)
	}
	p.Reload()
	p.Tap("#hand-back")
	p.Fill("#code", "1111")
	p.Tap("#hand-back-now")
	p.WaitText("#sheet", "not the digits")
	assert.False(t, p.Has("#tabs button"))
	p.Fill("#code", "2468")
	p.Tap("#hand-back-now")
	p.Wait(`document.querySelector('#tab-board') && document.querySelector('#way-back')`)
}

// A photograph of 12 MB is made smaller on the phone, where the program would refuse it; a
// smaller one goes as it is.
func TestPhotograph(t *testing.T) {
	t.Parallel()
	v := begin(t)
	v.waits(ready("3.1"))
	p := browser.Open(t, v.technician())
	large := filepath.Join(t.TempDir(), "large.png")
	size := noise(t, large, 2000, 1500)
	require.Greater(t, size, 8<<20)
	small := filepath.Join(t.TempDir(), "small.png")
	noise(t, small, 60, 40)
	for _, file := range []string{large, small} {
		p.Tap("#photo")
		p.Choose("#camera", file)
		p.Fill("#caption", "the terminals <b>of</b> zone 3")
		p.Tap("#photo-send")
		p.Wait(`!document.querySelector('#sheet').open`)
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	require.Len(t, v.photos, 2)
	assert.Less(t, v.photos[0].bytes, 8<<20+1)
	assert.Greater(t, v.photos[0].bytes, 1<<20, "not smaller than it has to be")
	assert.Equal(t, "detector/3.1", string(v.photos[0].about))
	assert.Equal(t, "the terminals <b>of</b> zone 3", v.photos[0].caption)
	info, err := os.Stat(small)
	require.NoError(t, err)
	assert.EqualValues(t, info.Size(), v.photos[1].bytes)
}

// noise is a picture that no compression makes smaller. Its size is in bytes.
func noise(t *testing.T, file string, width, height int) int {
	m := image.NewRGBA(image.Rect(0, 0, width, height))
	_, _ = rand.Read(m.Pix)
	for i := 3; i < len(m.Pix); i += 4 {
		m.Pix[i] = 255
	}
	f, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, png.Encode(f, m))
	info, err := f.Stat()
	require.NoError(t, err)
	require.NoError(t, f.Close())
	return int(info.Size())
}
