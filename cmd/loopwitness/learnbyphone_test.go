//go:build unix

package main

import (
	"bytes"
	"image"
	"image/png"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/learn"
	"loopwitness/commission/record"
)

// next waits for the next question or wait, of a name.
func (h *hand) next(id string) glance {
	h.t.Helper()
	for until := time.Now().Add(20 * time.Second); time.Now().Before(until); time.Sleep(10 * time.Millisecond) {
		if g := h.glance(); g.ID == id && g.Serial != h.done {
			h.done = g.Serial
			return g
		}
	}
	h.Picture("stuck")
	h.t.Fatalf("%s does not come; the phone shows %s\n%s", id, h.Text("body"), h.b.last)
	return glance{}
}

// says answers the next question, of a name.
func (h *hand) says(id, text string) {
	h.t.Helper()
	g := h.next(id)
	h.say = []said{{id, text}}
	h.answer(g)
}

// shoots adds a photograph to what is asked.
func (h *hand) shoots(file, caption string) {
	h.t.Helper()
	h.Tap("#photo")
	h.Choose("#camera", file)
	h.Fill("#caption", caption)
	h.Wait(`!document.querySelector('#photo-send').disabled`)
	h.Tap("#photo-send")
	h.Wait(`!document.querySelector('#sheet').open`)
}

// A site is learnt on a phone alone: three zones, one of them with two windows; a name that is
// given wrongly and one that is taken back; photographs, which the next visit has. The site
// file keeps every line that it had.
func TestLearningByPhone(t *testing.T) {
	t.Parallel()
	if outsidetool.Racing {
		t.Skip("the browser is what is slow here")
	}
	b := newBuilding(t)
	own := strings.Replace(ownFile, "address: z1", "address: z01", 1)
	b.write("site.yaml", own)
	b.write("controller.yaml", "listen: mqtt\nmqtt:\n  broker: tcp://"+b.address+"\n  signals:\n"+
		"    - {topic: studio/zone/+, address: \"{1}\", active: open, restored: closed}\n  outputs:\n"+
		"    - {address: siren, topic: studio/out/siren, on: \"ON\", off: \"OFF\"}\n")
	shot, wrong := filepath.Join(b.dir, "shot.jpg"), filepath.Join(b.dir, "wrong.png")
	b.write("shot.jpg", string(photo(t)))
	var plain bytes.Buffer
	require.NoError(t, png.Encode(&plain, image.NewGray(image.Rect(0, 0, 30, 30))))
	b.write("wrong.png", plain.String())
	a := b.attend("site", "learn")
	h := inHand(t, b, a)
	browser.Eval[bool](
		h.Phone,
		`(() => { window.spoken = []; speechSynthesis.speak = (u) => spoken.push(u.text); return true; })()`,
	)

	h.next("learn/walk")
	h.Picture("learn-walk")
	assert.Equal(t, "that was all", h.Text("#key-finish"))
	assert.Equal(t, "take the last one back", h.Text("#key-forget"))
	assert.Contains(t, h.Text("#head"), "learnt: 0 zones, 0 detectors")

	b.report("2", "open")
	g := h.next("learn/z02/name")
	assert.Contains(t, h.Text("#last"), "z02 reports active")
	assert.Contains(t, strings.Join(browser.Eval[[]string](h.Phone, "spoken"), "\n"), "z02 reports active")
	h.Picture("learn-name")
	h.say = []said{{"*/*/*", "Shop dor"}}
	h.answer(g)
	h.says("learn/z02/kind", "back")
	h.says("learn/z02/name", "Shop door")
	h.says("learn/z02/kind", "door")
	h.says("learn/z02/location", "front")

	h.next("learn/walk")
	b.report("3", "open")
	g = h.next("learn/z03/name")
	h.shoots(shot, "left of the sink")
	b.report("3", "closed")
	shut := time.Now()
	h.say = []said{{"*/*/*", "Left pane"}}
	h.answer(g)
	h.says("learn/z03/kind", "window")
	h.next("learn/z03/location")
	// What reports is on the board at once, though a question stands.
	h.Tap("#tab-board")
	h.WaitText("#zone-2", "active")
	b.report("2", "closed")
	h.WaitText("#zone-2", "at rest")
	assert.Contains(t, h.Text("#zone-2"), "learnt")
	assert.Contains(t, h.Text("#zone-1"), "in the site file")
	h.Picture("learn-board")
	h.Tap("#tab-task")
	h.Tap("#leave-out")

	h.next("learn/walk")
	time.Sleep(learn.Chatter - time.Since(shut) + 50*time.Millisecond)
	b.report("3", "open")
	h.says("learn/z03/2/which", "further")
	h.says("learn/z03/2/name", "Right pane")
	h.says("learn/z03/2/location", "")
	h.says("learn/z03/2/zone", "Shop windows")

	h.next("learn/walk")
	b.report("4", "open")
	g = h.next("learn/z04/name")
	h.shoots(wrong, "")
	h.say = []said{{"*/*/*", "Kiln door"}}
	h.answer(g)
	h.says("learn/z04/kind", "door")
	b.report("4", "closed")
	shut = time.Now()
	h.says("learn/z04/location", "")
	h.next("learn/walk")
	assert.FileExists(t, filepath.Join(b.dir, "learnt", "photograph-2.png"))
	h.Tap("#key-forget")
	h.next("learn/walk")
	assert.NoFileExists(t, filepath.Join(b.dir, "learnt", "photograph-2.png"), "taken back with its detector")
	time.Sleep(learn.Chatter - time.Since(shut) + 50*time.Millisecond)
	b.report("4", "open")
	h.says("learn/z04/name", "Yard door")
	h.says("learn/z04/kind", "door")
	h.says("learn/z04/location", "")
	h.next("learn/walk")
	h.Tap("#key-finish")
	h.says("learn/wiring", "one resistor")
	h.next("learn/review-1")
	h.Picture("learn-review")
	h.Tap(`[data-word="write"]`)
	h.next("learn/write")
	assert.Contains(t, h.Text("#about"), "Shop windows")
	h.Picture("learn-write")
	h.Tap(`[data-word="yes"]`)
	h.WaitText("#main", "The site is learnt, and its file is written.")
	a.ends(0)
	assert.Contains(t, a.out.String(), "site.yaml written")
	served, err := url.Parse(a.address)
	require.NoError(t, err)
	_, err = net.Dial("tcp", served.Host)
	assert.Error(t, err, "the page is off")

	now, err := os.ReadFile(filepath.Join(b.dir, "site.yaml"))
	require.NoError(t, err)
	zone := func(number, name, kind string) string {
		return "  - number: " + number + "\n    name: \"" + name + "\"\n    kind: \"" + kind +
			"\"\n    wiring: \"one resistor\"\n    end_of_line: \"4k7\"\n    address: \"z0" + number + "\"\n    detectors:\n"
	}
	assert.Equal(t, strings.Replace(own, "# the first\n", "# the first\n"+
		zone("2", "Shop door", "door")+"      - name: \"Shop door\"\n        location: \"front\"\n"+
		zone("3", "Shop windows", "window")+"      - name: \"Left pane\"\n      - name: \"Right pane\"\n"+
		zone("4", "Yard door", "door")+"      - name: \"Yard door\"\n", 1), string(now))
	t.Logf("%d touches", h.Touches)
	out, _, _ := at(t, b.dir, nil, "site", "show")
	assert.Regexp(t, `photograph-1.jpg +detector/3.1 +Left pane +z03 +left of the sink +–`, out)

	b.write("none.yaml", "answers: [{when: none, say: none}]\n")
	for n, want := range []string{"taken in from when the site was learnt: 1", ""} {
		out, errs, code := at(t, b.dir, nil, "visit", "start", "--kind", "handover", "--beside", "--answers", "none.yaml")
		assert.Equal(t, exitNotRun, code, "%s%s", out, errs)
		assert.Contains(t, out, want, "%s", errs)
		r, err := lastRecord(b.dir)
		require.NoError(t, err)
		if n > 0 {
			assert.Empty(t, r.Photographs(), "taken in twice")
			continue
		}
		require.Len(t, r.Photographs(), 1)
		p := r.Photographs()[0]
		assert.Equal(t, record.About("detector/3.1"), p.About)
		assert.Equal(t, "left of the sink", p.Caption)
		assert.True(t, p.Learnt)
		v, err := job.At(b.dir).Visit("")
		require.NoError(t, err)
		assert.Empty(t, v.Lost(r))
		assert.Empty(t, r.Breaches())
	}
}
