//go:build unix

package main

import (
	"fmt"
	"image"
	"image/jpeg"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/record"
)

// certified certifies the visit with a key of its own, has the file verified, and returns its
// path and its text.
func (b *building) certified(code int) (path, text string) {
	b.t.Helper()
	env := []string{passphraseVariable + "=tall blue vase"}
	ran := func(want int, args ...string) string {
		out, errs, is := at(b.t, b.dir, env, args...)
		require.Equal(b.t, want, is, "%v: %s%s", args, out, errs)
		return strings.Join(strings.Fields(out), " ")
	}
	ran(0, "key", "new", "--name", "Bellbird", "--key", "k.p12")
	ran(code, "certify", "--job", ".", "--key", "k.p12")
	found, err := filepath.Glob(filepath.Join(b.dir, "certificates", "*.pdf"))
	require.NoError(b.t, err)
	require.Len(b.t, found, 1)
	assert.Contains(b.t, ran(0, "verify", found[0]), "intact")
	return found[0], strings.Join(strings.Fields(toolSays(b.t, "pdftotext", "-layout", found[0], "-")), " ")
}

// toolSays is what a program of others says.
func toolSays(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(outsidetool.Find(t, name), args...).Output()
	require.NoError(t, err, "%s", out)
	return string(out)
}

// guards looks all the time whether a text became markup, or anything stands out of the screen
// to the side.
const guards = `window.wrong = [];
	const note = (w) => wrong.length < 20 && !wrong.includes(w) && wrong.push(w);
	document.addEventListener('securitypolicyviolation', (e) => note(e.violatedDirective + ' ' + e.blockedURI));
	setInterval(() => {
		if (window.pwned) note('a script ran');
		for (const e of document.querySelectorAll('body img, body script, body b b, body svg, body a')) note(e.outerHTML);
		const wide = document.documentElement.scrollWidth;
		if (wide > innerWidth) note('the page is ' + wide + ' wide');
		for (const e of document.querySelectorAll('body *')) {
			const b = e.getBoundingClientRect();
			if (b.width > 1 && (b.right > innerWidth + 1 || b.left < -1)) note(e.outerHTML.slice(0, 200));
		}
	}, 50);`

// Names that are markup, that run from right to left, or that are as long as they may be: they
// are texts on every screen of a narrow phone and on the certificate.
func TestHostileNamesOnAPhone(t *testing.T) {
	const markup = `<img src=x onerror="window.pwned=1">`
	characters := []rune(strings.Repeat("Wintergartenschiebetür", 10))
	long, mixed := string(characters[:200]), "עפרה "+string(characters[:60])
	b := newKiosk(t)
	b.write("site.yaml", fmt.Sprintf(`
reference: MQ-9
premises: {name: %q, address: "שביל הכבשן 5, חצר"}
installer: {company: "<script>window.pwned=1</script>"}
controller: {description: network controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: %q, kind: door, wiring: normally closed, address: z01, detectors: [%q]}
  - {number: 2, name: "חלון הסדנה מול הכבשן", kind: window, wiring: normally closed, address: z02,
     detectors: ["מגע החלון"]}
  - {number: 3, name: %q, kind: window, wiring: normally closed, address: z03, detectors: [%q]}
outputs:
  - {name: %q, kind: sounder, address: sounder, location: "צופר החצר"}
`, markup, markup, markup, long, long, markup))
	a := b.attend("visit", "start", "--kind", "handover")
	p := browser.New(t)
	p.Before(guards)
	p.Size(browser.Narrow, 640)
	p.Go(a.address)
	h := &hand{Phone: p, t: t, b: b, say: append([]said{{"outputs/*/heard", "yes"},
		{"outputs/*/level", "109"}, {"outputs/*/current", ""}, {"sign-off/technician/name", markup},
		{"sign-off/customer/name", mixed}, {"alarm/*/<*", "sounds"}}, usual...)}
	h.visit("walk/1.1/ready")
	h.WaitText("#head", markup)
	h.WaitText("#scene", markup)
	for _, tab := range []string{"#tab-board", "#tab-told", "#tab-more", "#tab-task"} {
		h.Tap(tab)
		time.Sleep(100 * time.Millisecond)
	}
	h.visit("")
	wrong := browser.Eval[[]string](p, `window.wrong`)
	a.ends(0)
	assert.Empty(t, wrong)
	assert.Empty(t, b.record().Breaches())
	file, text := b.certified(0)
	assert.Contains(t, text, "<img src=x")
	assert.Contains(t, text, "<script>")
	for _, page := range strings.Split(toolSays(t, "pdftotext", "-bbox", file, "-"), "<page ")[1:] {
		var width, height float64
		_, err := fmt.Sscanf(page, `width="%f" height="%f"`, &width, &height)
		require.NoError(t, err)
		for _, m := range regexp.MustCompile(`<word xMin="([-0-9.]+)".* xMax="([-0-9.]+)" yMax="([-0-9.]+)">(.*)</word>`).
			FindAllStringSubmatch(page, -1) {
			var left, right, bottom float64
			_, err := fmt.Sscan(m[1], &left)
			require.NoError(t, err)
			_, err = fmt.Sscan(m[2], &right)
			require.NoError(t, err)
			_, err = fmt.Sscan(m[3], &bottom)
			require.NoError(t, err)
			assert.True(t, left > 0 && right < width && bottom < height, "%s is outside of its page", m[4])
		}
	}
}

// A photograph that is larger than the program takes is made smaller by the phone, kept, and
// printed; names that were drawn are lines on the certificate, no picture.
func TestAPhotographAndDrawnNames(t *testing.T) {
	b := newKiosk(t)
	b.write("site.yaml", oneDoor())
	b.write("controller.yaml", b.listens())
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.visit("walk/1.1/ready")
	large := filepath.Join(b.dir, "large.jpg")
	noise(t, large, 12<<20)
	h.Tap("#photo")
	h.Choose("#camera", large)
	h.Fill("#caption", "The lintel above the door")
	h.Tap("#photo-send")
	h.Wait(`!document.querySelector('#sheet').open`)
	h.visit("")
	a.ends(0)

	r := b.record()
	assert.Empty(t, r.Breaches())
	kept, err := filepath.Glob(filepath.Join(b.dir, "visits", "*", "*", "*.jpg"))
	require.NoError(t, err)
	require.Len(t, kept, 1)
	f, err := os.Open(kept[0])
	require.NoError(t, err)
	defer f.Close()
	size, err := jpeg.DecodeConfig(f)
	require.NoError(t, err)
	assert.Greater(t, size.Width, 1500, "it is made no smaller than it must be")

	file, text := b.certified(0)
	assert.Contains(t, text, "The lintel above the door")
	images := strings.Split(strings.TrimSpace(toolSays(t, "pdfimages", "-list", file)), "\n")[2:]
	assert.Len(t, images, 1, "the photograph, and no other picture")
	plain := filepath.Join(b.dir, "plain.pdf")
	toolSays(t, "qpdf", "--qdf", "--object-streams=disable", file, plain)
	drawn := polylines(t, plain)
	for _, o := range r.Outcomes() {
		if s := o.Signed(); s != nil {
			require.NotNil(t, s.Strokes, s.Name)
			require.Len(t, s.Strokes.Lines, 2, s.Name)
			for _, line := range s.Strokes.Lines {
				at := slices.IndexFunc(drawn, func(paper []float64) bool { return sameShape(line, paper) })
				require.GreaterOrEqual(t, at, 0, "%s is not drawn on the certificate", s.Name)
				drawn = drawn[at+1:] // charts and signs are lines, too
			}
		}
	}
}

// polylines are the lines of at least four pieces of a PDF without compression, by the
// operators m and l (ISO 32000-1, 8.5.2, from memory).
func polylines(t *testing.T, path string) (all [][]float64) {
	t.Helper()
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	var line []float64
	for _, text := range strings.Split(string(data), "\n") {
		var x, y float64
		var operator string
		_, err := fmt.Sscanf(text, "%f %f %s", &x, &y, &operator)
		switch {
		case err == nil && operator == "m":
			line = []float64{x, y}
		case err == nil && operator == "l":
			line = append(line, x, y)
		case len(line) >= 10:
			all = append(all, line)
			fallthrough
		default:
			line = nil
		}
	}
	return all
}

// sameShape tells whether what is drawn on paper, whose y grows upwards, is what was drawn on
// glass: the same but for size and place.
func sameShape(glass []int16, paper []float64) bool {
	if len(paper) != len(glass) {
		return false
	}
	scale := (paper[2] - paper[0]) / (float64(glass[2]) - float64(glass[0]))
	if !(scale > 0) { // nor is what is no number
		return false
	}
	const most = .5 // points
	for i := 2; i < len(glass); i += 2 {
		x, y := scale*(float64(glass[i])-float64(glass[0])), -scale*(float64(glass[i+1])-float64(glass[1]))
		if math.Abs(x-(paper[i]-paper[0])) > most || math.Abs(y-(paper[i+1]-paper[1])) > most {
			return false
		}
	}
	return true
}

// oneDoor is the kiosk with its door alone.
func oneDoor() string {
	door, _, _ := strings.Cut(kioskSite, "  - {number: 2")
	return door
}

// noise is a picture that no compression makes small.
func noise(t *testing.T, path string, atLeast int64) {
	t.Helper()
	p := image.NewYCbCr(image.Rect(0, 0, 3200, 2400), image.YCbCrSubsampleRatio420)
	source := rand.NewChaCha8([32]byte{1})
	_, _ = source.Read(p.Y)
	_, _ = source.Read(p.Cb)
	_, _ = source.Read(p.Cr)
	f, err := os.Create(path)
	require.NoError(t, err)
	defer f.Close()
	require.NoError(t, jpeg.Encode(f, p, &jpeg.Options{Quality: 100}))
	info, err := f.Stat()
	require.NoError(t, err)
	require.Greater(t, info.Size(), atLeast)
}

// Where a person says what the controller shows, both instants are touches of one phone: the
// certificate says so.
func TestWhatTheControllerShowsIsTouched(t *testing.T) {
	b := newKiosk(t)
	b.write("site.yaml", oneDoor())
	b.write("controller.yaml", "listen: keyboard\n")
	a := b.attend("visit", "start", "--kind", "handover")
	h := inHand(t, b, a)
	h.visit("walk/1.1/ready")
	touch := h.now()
	h.stands("operate", "1.1")
	time.Sleep(600 * time.Millisecond)
	shown := during(func() { h.Tap("#key-indicated") })
	h.stands("restore", "1.1")
	time.Sleep(500 * time.Millisecond)
	h.Tap("#key-at-rest")
	h.visit("")
	a.ends(0)
	last := lastOf(t, b.record(), "1.1")
	assert.Equal(t, record.Proved, last.Verdict())
	holdsTruth(t, taken{touch, shown}, last.Operate)
	_, text := b.certified(0)
	assert.Contains(t, text, "by hand: a key was pressed when the indication changed")
	assert.Contains(t, text, "What the controller showed was told with a key of the same phone: "+
		"cue and report are by one clock.")
	assert.Contains(t, text, "t: timed from a touch of the phone.")
}
