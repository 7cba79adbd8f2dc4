package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// The size of a phone, in CSS pixels, and that of the smallest.
const (
	Width, Height = 390, 844
	Narrow        = 320
)

// Phone is a page in the browser: it has cookies and a store of its own, and fingers.
type Phone struct {
	t   testing.TB
	ctx context.Context
	// Touches counts how often it was touched.
	Touches int
	before  []page.ScriptIdentifier // what runs before each page's own
	spent   bool                    // it cannot be as new again
}

// New is a phone that shows nothing yet. It goes with the test.
func New(t testing.TB) *Phone {
	t.Helper()
	all, p := start(t), &Phone{t: t}
	if p.ctx = takeIdle(); p.ctx == nil {
		p.ctx, _ = chromedp.NewContext(all, chromedp.WithNewBrowserContext()) // goes with the browser
	} else {
		p.Dark(false)
	}
	t.Cleanup(p.handBack)
	p.Size(Width, Height)
	return p
}

// Open is a phone that shows an address, ready.
func Open(t testing.TB, address string) *Phone {
	t.Helper()
	p := New(t)
	p.Go(address)
	return p
}

// Go goes to an address and waits until the page is ready.
func (p *Phone) Go(address string) {
	p.t.Helper()
	p.do(chromedp.Navigate(address))
	p.Wait(`document.body?.dataset.ready === 'yes'`)
}

// Reload loads the page anew.
func (p *Phone) Reload() {
	p.t.Helper()
	p.do(chromedp.Reload())
	p.Wait(`document.body?.dataset.ready === 'yes'`)
}

// Size is how large the screen is, in CSS pixels. It is as fine as a phone's only where
// pictures are kept to be looked at: finer screens take their time.
func (p *Phone) Size(width, height int64) {
	p.t.Helper()
	fine := 1.0
	if os.Getenv(pictures) != "" {
		fine = 2
	}
	p.do(chromedp.EmulateViewport(width, height, chromedp.EmulateMobile, chromedp.EmulateScale(fine),
		func(_ *emulation.SetDeviceMetricsOverrideParams, touch *emulation.SetTouchEmulationEnabledParams) {
			touch.Enabled = true
		}))
}

// Dark is whether the phone prefers dark screens.
func (p *Phone) Dark(dark bool) {
	p.t.Helper()
	scheme := "light"
	if dark {
		scheme = "dark"
	}
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme},
				{Name: "prefers-reduced-motion", Value: "reduce"}}})
		return err
	}))
}

// Slow is a network of phones, as the browser makes it: how long there and back, and bits a
// second to the phone and from it. It stays so: nobody else is given the phone.
func (p *Phone) Slow(latency time.Duration, down, up int) {
	p.t.Helper()
	p.spent = true
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, network.Enable, network.EnableParams{}); err != nil {
			return err
		}
		all := &network.Conditions{Latency: float64(latency.Milliseconds()), DownloadThroughput: float64(down) / 8,
			UploadThroughput: float64(up) / 8}
		_, err := cdp.Call(ctx, t, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*network.Conditions{all}})
		return err
	}))
}

// Before runs a script in every page before the page's own.
func (p *Phone) Before(script string) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		added, err := cdp.Call(ctx, t, page.AddScriptToEvaluateOnNewDocument,
			page.AddScriptToEvaluateOnNewDocumentParams{Source: script})
		p.before = append(p.before, added.Identifier)
		return err
	}))
}

// Tap touches the middle of an element, by a selector of CSS, as a finger does, once it can be
// touched: while one key is on its way the others are off. Where the screen moved at that moment, so that
// the touch met nothing or the page took none, it touches again, as a person would; twice at the most.
func (p *Phone) Tap(selector string) {
	p.t.Helper()
	canBe := `!document.body.classList.contains('shifted') && (document.querySelector(` + quoted(selector) +
		`)?.disabled === false || document.querySelector(` + quoted(selector) + ` + ':not(button, input, select)'))`
	for n := range 3 {
		if n == 0 {
			p.Wait(canBe)
		} else if !Eval[bool](p, `(async () => { for (let n = 0; n < 100 && !(`+canBe+`); n++)
			await new Promise((later) => setTimeout(later, 20)); return Boolean(`+canBe+`); })()`) {
			return // it was taken after all, and the screen is another
		}
		Eval[bool](p, `(() => { window.touchMet = null; addEventListener('pointerdown', (e) => {
			const it = e.target.closest?.(`+quoted(selector)+`);
			const stray = !it && e.target.closest?.('a, button, input, label, select, summary, textarea');
			const refused = it && it.id !== 'now' && it.closest('#scene, #panel') &&
				document.body.classList.contains('shifted');
			window.touchMet = stray ? 'other' : !it || refused ? 'nothing' : 'it';
		}, {capture: true, once: true});
		addEventListener('click', (e) => setTimeout(() => {
			if (!e.defaultPrevented && e.target.closest?.('a, button, input, label, select, summary, textarea')) window.touchMet = 'it';
		}), {capture: true, once: true});
		return true; })()`)
		p.TapAtOnce(selector)
		if !p.touchMetNothing() {
			return
		}
	}
	p.t.Fatalf("nothing takes a touch of %s", selector)
}

// touchMetNothing tells whether the last touch met nothing that could take it, neither when it began nor when it
// became a click; where it left the page it did not.
func (p *Phone) touchMetNothing() bool {
	met, err := p.evaluate(`(async () => { for (let n = 0; n < 100 && window.touchMet === null; n++)
		await new Promise((later) => setTimeout(later, 10));
		for (let n = 0; n < 30 && window.touchMet === 'nothing'; n++) await new Promise((later) => setTimeout(later, 10));
		return window.touchMet; })()`)
	return err == nil && string(met) == `"nothing"`
}

// TapAtOnce touches an element as it is: nobody looks first.
func (p *Phone) TapAtOnce(selector string) {
	p.t.Helper()
	x, y := p.middle(selector)
	p.Touches++
	p.do(chromedp.TapXY(x, y))
}

// Press puts a finger on the middle of an element, where it stays until it is lifted.
func (p *Phone) Press(selector string) (lift func()) {
	p.t.Helper()
	x, y := p.middle(selector)
	p.Touches++
	p.touch(input.DispatchTouchEventTypeTouchStart, &input.TouchPoint{X: x, Y: y})
	return func() { p.touch(input.DispatchTouchEventTypeTouchEnd) }
}

// Into scrolls until an element is in view.
func (p *Phone) Into(selector string) {
	p.t.Helper()
	p.Wait(`document.querySelector(` + quoted(selector) + `)`)
	p.middle(selector)
}

// Point is a point of a line that a finger draws, as parts of an element's width and height.
type Point struct{ X, Y float64 }

// Draw draws a line within an element.
func (p *Phone) Draw(selector string, line ...Point) {
	p.t.Helper()
	p.Wait(`document.querySelector(` + quoted(selector) + `)`)
	p.middle(selector) // into view
	box := Eval[[4]float64](p, `(() => { const b = document.querySelector(`+quoted(selector)+`).getBoundingClientRect();
		return [b.left, b.top, b.width, b.height]; })()`)
	p.Touches++
	for i, at := range line {
		kind := input.DispatchTouchEventTypeTouchMove
		if i == 0 {
			kind = input.DispatchTouchEventTypeTouchStart
		}
		p.touch(kind, &input.TouchPoint{X: box[0] + at.X*box[2], Y: box[1] + at.Y*box[3]})
	}
	// A finger that lifts while it moves flings, and the next touch would only stop that.
	time.Sleep(rests)
	last := line[len(line)-1]
	p.touch(
		input.DispatchTouchEventTypeTouchMove,
		&input.TouchPoint{X: box[0] + last.X*box[2] + 1, Y: box[1] + last.Y*box[3]},
	)
	p.touch(input.DispatchTouchEventTypeTouchEnd)
}

const rests = 150 * time.Millisecond

func (p *Phone) touch(kind input.DispatchTouchEventType, points ...*input.TouchPoint) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if points == nil {
			points = []*input.TouchPoint{}
		}
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points})
		return err
	}))
}

// middle scrolls an element into view and tells where it is.
func (p *Phone) middle(selector string) (x, y float64) {
	p.t.Helper()
	at := Eval[[2]float64](p, `(() => { const e = document.querySelector(`+quoted(selector)+`);
		e.scrollIntoView({block: 'center', behavior: 'instant'}); const b = e.getBoundingClientRect();
		return [b.left + b.width / 2, b.top + b.height / 2]; })()`)
	return at[0], at[1]
}

// Fill types a text into an input, as if at once.
func (p *Phone) Fill(selector, text string) {
	p.t.Helper()
	p.Wait(`document.querySelector(` + quoted(selector) + `)`)
	Eval[bool](p, `(() => { const e = document.querySelector(`+quoted(selector)+`); e.value = `+quoted(text)+`;
		e.dispatchEvent(new Event('input', {bubbles: true})); e.dispatchEvent(new Event('change', {bubbles: true}));
		return true; })()`)
}

// Choose gives a file to an input of files. The same file twice in a row changes nothing.
func (p *Phone) Choose(selector, file string) {
	p.t.Helper()
	p.do(chromedp.SetUploadFiles(chromedp.CSS(selector), []string{file}))
}

// Text is the text of an element, "" where there is none.
func (p *Phone) Text(selector string) string {
	p.t.Helper()
	return Eval[string](p, `document.querySelector(`+quoted(selector)+`)?.innerText ?? ''`)
}

// Has tells whether there is such an element.
func (p *Phone) Has(selector string) bool {
	p.t.Helper()
	return Eval[bool](p, `Boolean(document.querySelector(`+quoted(selector)+`))`)
}

// Wait waits until an expression of JavaScript is true.
func (p *Phone) Wait(expression string) {
	p.t.Helper()
	until := time.Now().Add(within)
	for {
		// The page looks again by itself for a while: to be asked each time takes longer than to look.
		is, err := p.evaluate(`(async () => { for (let n = 0; n < 12; n++) {
			if (` + expression + `) return true; await new Promise((later) => setTimeout(later, 20)); } return false; })()`)
		if err == nil && string(is) == "true" {
			return
		}
		if time.Now().After(until) {
			shown, _ := p.evaluate(`document.body?.innerText ?? ''`)
			p.Picture("failed-" + strings.ReplaceAll(p.t.Name(), "/", "-"))
			p.t.Fatalf("waited in vain for %s (%v); the page shows %s", expression, err, shown)
		}
		time.Sleep(10 * time.Millisecond)
	}
}

// settled is longer than the time after a change of the screen in which a touch of NOW is
// none, since it was meant for the screen before.
const settled = 400 * time.Millisecond

// Steady waits until an element can be touched: it is there, not disabled, and has not been
// drawn anew for a while by the page's own clock.
func (p *Phone) Steady(selector string) {
	p.t.Helper()
	Eval[bool](p, `Boolean(window.steady = null)`)
	p.Wait(fmt.Sprintf(`((e) => {
		if (window.steady !== e || document.body.classList.contains('between')) {
			window.steady = e; window.steadySince = performance.now(); }
		return e && !e.disabled && performance.now() - window.steadySince > %d; })(document.querySelector(%s))`,
		settled.Milliseconds(), quoted(selector)))
}

// Compared waits until the page has compared the clocks: what is touched is timed. On a busy computer that takes
// more than one comparison, for which it waits a while.
func (p *Phone) Compared() {
	p.t.Helper()
	p.Wait(`(await import('/clock.js')).bounds()`)
	const patience = time.Minute
	for until := time.Now().Add(patience); time.Now().Before(until); {
		if Eval[bool](p, `(async (c) => { for (let n = 0; n < 100 && c.halfWidth() > c.WIDE; n++)
			await new Promise((later) => setTimeout(later, 20)); return c.halfWidth() <= c.WIDE; })(await import('/clock.js'))`) {
			return
		}
	}
	p.t.Fatalf("the clocks are not known well after %s: %s", patience,
		Eval[string](p, `((c) => JSON.stringify([c.halfWidth(), c.grain, document.body.innerText]))(
			await import('/clock.js'))`))
}

// WaitText waits until an element shows a text.
func (p *Phone) WaitText(selector, text string) {
	p.t.Helper()
	p.Wait(`document.querySelector(` + quoted(selector) + `)?.innerText.includes(` + quoted(text) + `)`)
}

// Eval is the value of an expression of JavaScript, awaited if it is a promise.
func Eval[T any](p *Phone, expression string) T {
	p.t.Helper()
	var value T
	data, err := p.evaluate(expression)
	if err == nil {
		err = json.Unmarshal(data, &value)
	}
	if err != nil {
		p.t.Fatalf("%.200s: %v", expression, err)
	}
	return value
}

func (p *Phone) evaluate(expression string) ([]byte, error) {
	ctx, stop := context.WithTimeout(p.ctx, within)
	defer stop()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](
		`(async () => JSON.stringify((await (`+expression+`)) ?? null))()`, chromedp.EvalAwaitPromise))
	return []byte(text), err
}

func (p *Phone) do(steps ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	// The first call makes the tab, which goes with the deadline of it.
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.t.Fatalf("the browser: %v", err)
	}
}

// Picture keeps a picture of the screen, where a folder for them is given.
func (p *Phone) Picture(name string) {
	p.t.Helper()
	if folder := os.Getenv(pictures); folder != "" {
		p.PictureIn(folder, name)
	}
}

// PictureIn keeps a picture of the screen in a folder, in few bytes.
func (p *Phone) PictureIn(folder, name string) {
	p.t.Helper()
	data, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	if err == nil {
		err = KeepPicture(folder, name, data)
	}
	if err != nil {
		p.t.Errorf("a picture of %s: %v", name, err)
	}
}

func quoted(text string) string {
	data, err := json.Marshal(text)
	if err != nil {
		panic(fmt.Sprintf("a text: %v", err)) // every text can be written
	}
	return string(data)
}

// T is the test that the phone goes with.
func (p *Phone) T() testing.TB { return p.t }
