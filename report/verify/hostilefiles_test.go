//go:build linux

package verify

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
	"loopwitness/report/pdffile"
	"loopwitness/report/seal"
)

// Audit, 7: small files stall verify. Each is as large as a bound lets it be, or larger. None is
// intact, however much of it was not looked at.
func TestHostileFiles(t *testing.T) {
	if testing.Short() {
		t.Skip("takes minutes, most of it to make the files")
	}
	try := func(name string, file func() []byte) {
		t.Run(name, func(t *testing.T) {
			s := checkApart(t, file())
			t.Logf("%.2f s, %d MiB, %d KiB printed: %.200s", s.time.Seconds(), s.memory>>20, s.printed>>10, texts(&s.report))
			const printed = 512 << 10
			assert.Less(t, s.time, 10*time.Second)
			assert.Less(t, s.memory, int64(512<<20))
			assert.Less(t, s.printed, printed)
			assert.NotEqual(t, Intact, s.report.Outcome)
			if s.report.Outcome == Unchecked {
				assert.NotEqual(t, Holds, s.report.Shown.Reply)
			}
		})
	}
	try("zones", func() []byte { return forged(t, begun(t, siteOf(2000, names(2)...)).Bytes(), asItIs) })
	try("detectors", func() []byte { return forged(t, begun(t, siteOf(5, names(999)...)).Bytes(), asItIs) })
	try("notes", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for range 500 {
			w.add(record.Note{Step: w.steps[0].ID, Text: strings.Repeat("word ", 12<<10)})
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("short notes", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for range 70 {
			var fs []record.Fact
			for range 2000 {
				fs = append(fs, record.Note{Step: w.steps[0].ID, Text: "a b"})
			}
			w.add(fs...)
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("answers", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for range 500 {
			w.add(record.Answer{Step: w.steps[0].ID, Result: record.Defect, Remark: strings.Repeat("word ", 12<<10)})
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("sitechanges", func() []byte {
		text := siteOf(2000, names(2)...)
		w := begun(t, text)
		for i := range 14 {
			w.add(record.SiteChanged{Site: text + fmt.Sprint("# ", i, "\n"), Programme: w.steps})
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("connections", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for range 100 {
			var fs []record.Fact
			for range 600 {
				fs = append(fs, signal.Connection{Up: false, Why: signal.Broken}, signal.Connection{Up: true})
			}
			w.add(fs...)
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("signals", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for i := range 55 {
			var fs []record.Fact
			for j := range 2000 {
				fs = append(fs, signal.Signal{Address: fmt.Sprint("x", i, j), State: signal.Active})
			}
			w.add(fs...)
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("trials", func() []byte {
		w := begun(t, siteOf(1, "a"))
		step := w.detector()
		for range 100 {
			var fs []record.Fact
			for range 500 {
				fs = append(fs, record.Cue{Step: step, Half: record.Operate}, record.Ended{Step: step, By: record.ByTime})
			}
			w.add(fs...)
		}
		return forged(t, w.Bytes(), asItIs)
	})
	const switched = "outputs:\n" +
		"  - {name: S, kind: sounder, address: s}\n  - {name: C, kind: chime, address: c, follows: [1]}\n"
	try("flood", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for w.Len() < journal.MostBytes-1000 && w.entries < mostEntries {
			w.add(signal.Signal{Address: "z1", State: signal.Active})
		}
		t.Log(w.entries, w.Len())
		return forged(t, w.Bytes(), asItIs)
	})
	try("absences", func() []byte {
		w := begun(t, siteOf(1, "a")+switched)
		for range 45_000 {
			w.add(record.Absent{LastedNS: 1})
		}
		for range 45_000 {
			w.add(record.Energised{Output: "S", On: true, By: record.SwitchedByController},
				record.Energised{Output: "S", By: record.SwitchedByController})
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("chimes", func() []byte {
		w := begun(t, siteOf(1, "a")+switched)
		for range 60_000 {
			w.add(record.Cue{Step: "outputs/C/zone-1", Half: record.Operate},
				record.Ended{Step: "outputs/C/zone-1", By: record.ByHeard})
			w.now = w.now.Add(-2 * time.Millisecond) // all in one instant
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("stated", func() []byte {
		return forged(t, recorded(t), func(s *evidence.Statement, _ *seal.Contents) {
			for i := range 500000 {
				s.Stated = append(s.Stated, certificate.Stated{Key: fmt.Sprint(i), Text: "x"})
			}
		})
	})
	try("judged", func() []byte {
		return forged(t, recorded(t), func(s *evidence.Statement, _ *seal.Contents) {
			s.Judged = []byte(`{"a":[` + strings.Repeat("1,", 3_000_000) + "1]}")
		})
	})
	try("judged objects", func() []byte {
		return forged(t, recorded(t), func(s *evidence.Statement, _ *seal.Contents) {
			s.Judged = []byte(`{"a":[` + strings.Repeat("{},", 2_000_000) + "1]}")
		})
	})
	try("one line", func() []byte { return forged(t, []byte(strings.Repeat("[", 31<<20)), asItIs) })
	try("zeros", func() []byte { return forged(t, []byte(strings.Repeat("\x00", 31<<20)), asItIs) })
	try("attachments", func() []byte {
		return forged(t, recorded(t), func(_ *evidence.Statement, c *seal.Contents) {
			for i := range 2000 {
				c.Attachments = append(c.Attachments, seal.Attachment{Name: fmt.Sprint("x", i), Media: "a", Content: []byte("x")})
			}
		})
	})
	try("remarks", func() []byte {
		w := begun(t, siteOf(5, names(999)...))
		for _, s := range w.steps {
			if s.Kind == "detector" {
				w.add(record.Answer{Step: s.ID, Result: record.AsItIs, Remark: strings.Repeat("word ", 1000)})
			}
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("remarks800", func() []byte {
		w := begun(t, siteOf(5, names(999)...))
		for _, s := range w.steps {
			if s.Kind == "detector" {
				w.add(record.Answer{Step: s.ID, Result: record.AsItIs, Remark: strings.Repeat("w ", 240)})
			}
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("corrected notes", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for range 70000 {
			w.add(record.Note{Step: w.steps[0].ID, Text: "a"})
		}
		for i := range 130 {
			w.add(record.Corrected{Entry: 4 + i, Field: "text", Text: fmt.Sprint(i), Reason: "typed wrong", By: "me"})
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("signed", func() []byte {
		w := begun(t, siteOf(1, "a"))
		step := programme.IDCustomer
		acc := make([]record.Acceptance, 100_000)
		for i := range acc {
			acc[i] = record.Acceptance{ID: "F1", Said: []byte("{}"), Shown: "x"}
		}
		w.add(record.Signed{Step: step, Role: "customer", Name: "x", Accepted: acc, Position: "owner"})
		return forged(t, w.Bytes(), asItIs)
	})
	try("accepted", func() []byte {
		w := begun(t, siteOf(1, "a"))
		acc := make([]record.Acceptance, 1_200_000)
		for i := range acc {
			acc[i] = record.Acceptance{ID: "F1", Said: []byte("{}"), Shown: "x"}
		}
		w.add(record.Signed{Step: programme.IDCustomer, Role: "customer", Name: "x", Accepted: acc, Position: "owner"})
		return forged(t, w.Bytes(), asItIs)
	})
	try("parts", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for i := range 90000 {
			w.add(record.PartAnswer{Step: w.steps[0].ID, Question: fmt.Sprint("q", i), Text: "a"})
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("struck", func() []byte {
		w := begun(t, siteOf(1, "a"))
		step := w.detector()
		for i := range 1800 {
			w.add(record.Cue{Step: step, Half: record.Operate}, record.Ended{Step: step, By: record.ByTime}, record.Struck{Step: step, Trial: i + 1, Reason: "kicked"})
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("corrections", func() []byte {
		w := begun(t, siteOf(1, "a"))
		w.add(record.Answer{Step: w.steps[0].ID, Result: record.Done, Remark: "a"})
		for i := range 2 {
			var fs []record.Fact
			for j := range 2000 {
				fs = append(fs, record.Corrected{Entry: 4, Field: "remark", Text: fmt.Sprint(i, j), Reason: "typed wrong", By: "me"})
			}
			w.add(fs...)
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("undertakings", func() []byte {
		w := begun(t, siteOf(1, "a"))
		for i := range 2 {
			var fs []record.Fact
			for j := range 2000 {
				fs = append(fs, record.Undertaken{Said: []byte(fmt.Sprintf("{\"a\":%d}", i*2000+j)), Action: "put-right", By: "2027-01-01", Who: "me"})
			}
			w.add(fs...)
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("runs", func() []byte {
		w := begun(t, siteOf(1, "a"))
		_ = w
		for i := range 20000 {
			_ = i
			var fs []record.Fact
			fs = append(fs, record.Paused{By: "technician"})
			w.add(fs...)
			w.again()
			w.add(record.Resumed{Tool: "x"}, signal.Listening{Way: signal.OverMQTT, TimedBy: signal.ByComputer, UncertaintyNS: 5e7})
		}
		return forged(t, w.Bytes(), asItIs)
	})
	try("objects", func() []byte {
		n := make([]pdffile.Object, 2)
		n[0] = pdffile.Dict{"A": pdffile.Ref(3)}
		n[1] = pdffile.Dict{}
		all := pdffile.Array{}
		for range 400_000 {
			all = append(all, pdffile.Dict{"A": pdffile.Array{}})
		}
		n = append(n, all)
		return pdffile.From(n).Bytes()
	})
	try("numbers", func() []byte {
		n := make([]pdffile.Object, 2)
		n[0] = pdffile.Dict{"A": pdffile.Ref(3)}
		n[1] = pdffile.Dict{}
		all := pdffile.Array{}
		for range 950_000 {
			all = append(all, pdffile.Number("123456789012345678901234567890123456789012345678901234567890"))
		}
		n = append(n, all)
		return pdffile.From(n).Bytes()
	})
	try("references", func() []byte {
		n := make([]pdffile.Object, 2)
		n[0] = pdffile.Dict{"A": pdffile.Ref(3)}
		n[1] = pdffile.Dict{}
		for i := range 100_000 {
			n = append(n, pdffile.Dict{"A": pdffile.Ref(i + 4)})
		}
		n = append(n, pdffile.Dict{})
		return pdffile.From(n).Bytes()
	})
	try("big string", func() []byte {
		n := make([]pdffile.Object, 2)
		n[0] = pdffile.Dict{"A": pdffile.String{Bytes: make([]byte, 30<<20)}}
		n[1] = pdffile.Dict{}
		return pdffile.From(n).Bytes()
	})
	try("big stream", func() []byte {
		n := make([]pdffile.Object, 2)
		n[0] = pdffile.Dict{"A": pdffile.Ref(3)}
		n[1] = pdffile.Dict{}
		n = append(n, pdffile.Stream{Dict: pdffile.Dict{}, Raw: make([]byte, 63<<20)})
		return pdffile.From(n).Bytes()
	})
	try("photographs", func() []byte {
		w := begun(t, siteOf(1, "a"))
		return forged(t, w.photographs(15, 8000, 5000), w.attach)
	})
}

// detector is the first step that tries a detector.
func (w *writing) detector() string {
	for _, s := range w.steps {
		if s.Kind == programme.StepDetector {
			return s.ID
		}
	}
	w.t.Fatal("no detector")
	return ""
}

// photographs are so many pictures of that size, and the record of a visit with them.
func (w *writing) photographs(n, width, height int) []byte {
	w.again()
	p := image.NewGray(image.Rect(0, 0, width, height))
	for i := range n {
		p.Pix[0] = uint8(i)
		var b bytes.Buffer
		require.NoError(w.t, (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, p))
		name := fmt.Sprintf("photograph-%d.png", i+1)
		w.pictures = append(w.pictures, seal.Attachment{Name: name, Media: "image/png", Content: b.Bytes()})
		w.add(record.Photographed{Name: name, About: "site", SHA256: evidence.Digest(b.Bytes()), Bytes: b.Len(),
			Media: "image/png", Width: width, Height: height})
	}
	return w.Bytes()
}

func (w *writing) attach(_ *evidence.Statement, c *seal.Contents) {
	c.Attachments = append(c.Attachments, w.pictures...)
}

// What is not looked at is neither intact nor failing.
func TestWhatIsNotLookedAtIsNotIntact(t *testing.T) {
	w := begun(t, siteOf(1, "a"))
	for range mostEntries {
		w.add(record.Note{Step: "x"})
	}
	id := newIdentity(t, "x")
	r := Check("c.pdf", forgedBy(t, id, w.Bytes(), func(s *evidence.Statement, _ *seal.Contents) {
		s.SealedBy = by(id)
	}), Options{})
	assert.Equal(t, Unchecked, r.Outcome, texts(r))
	assert.Equal(t, NotCompared, r.Follows.Reply)
	assert.Equal(t, NotCompared, r.Shown.Reply)
	assert.Contains(t, texts(r), "too much: ")
}

func TestPhotographsBeyondTheBoundAreNotLookedAt(t *testing.T) {
	for n, bound := range map[int]bool{1: false, 9: true} {
		w := begun(t, siteOf(1, "a"))
		r := Check("c.pdf", forged(t, w.photographs(n, 8000, 5000), w.attach), Options{})
		assert.Equal(t, bound, r.has(TooMuch), texts(r))
		if bound {
			assert.Contains(t, texts(r), "from photograph-8.png on its photographs were not looked at")
		}
	}
}

func TestDifferencesAreToldUpToABound(t *testing.T) {
	var d differing
	for i := range mostDifferences + 5 {
		d.add(fmt.Sprint(i), strings.Repeat("é", longestDifference), "")
	}
	assert.Len(t, d.told, mostDifferences)
	assert.Equal(t, 5, d.further)
	assert.Equal(t, mostDifferences+5, d.count())
	assert.Equal(t, strings.Repeat("é", longestDifference/2)+"…", d.told[0].States)
	r := &Report{}
	for range mostProblems + 3 {
		r.problem(BadRecord, "x")
	}
	r.problem(Form, "y")
	r.conclude()
	assert.Len(t, r.Problems, mostProblems+1)
	assert.Equal(t, "x (and 3 more of this kind)", r.Problems[mostProblems-1].Text)
	assert.Equal(t, Fails, r.Sealed.Reply)
}
