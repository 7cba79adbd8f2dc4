package job

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"image"
	"image/jpeg"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
)

// taken is a picture of some shade.
func taken(t testing.TB, shade uint8) []byte {
	t.Helper()
	p := image.NewGray(image.Rect(0, 0, 60, 40))
	for i := range p.Pix {
		p.Pix[i] = shade
	}
	var b bytes.Buffer
	require.NoError(t, jpeg.Encode(&b, p, nil))
	return b.Bytes()
}

// results are what came of each step.
func results(r *record.Record) (all []string) {
	for _, o := range r.Outcomes() {
		all = append(all, fmt.Sprint(o.Step().ID, o.Concluded(), o.Result(), o.Remark(), len(o.Attempts()), o.At()))
	}
	return all
}

// A photograph that is added to a complete visit changes nothing of what was
// proved; its kept copy is the one whose hash the journal has.
func TestAttach(t *testing.T) {
	v := put(t, At(t.TempDir()), "handover", pottery(t))
	before := folded(t, v)
	c := clock.NewSimulated(before.Latest().Add(time.Hour))
	added, err := v.Attach(c, "zone/1", "seen from the door", taken(t, 100))
	require.NoError(t, err)
	_, err = v.Attach(c, "detector/2.1", "", taken(t, 200))
	require.NoError(t, err)

	after := folded(t, v)
	assert.Equal(t, results(before), results(after))
	assert.Equal(t, before.Breaks(), after.Breaks())
	require.Len(t, after.Photographs(), 2)
	first := after.Photographs()[0]
	assert.Equal(t, added, first.Photographed)
	assert.Equal(t, []string{"photograph-1.jpg", "photograph-2.jpg"}, []string{first.Name, after.Photographs()[1].Name})
	kept, err := v.Photograph(first)
	require.NoError(t, err)
	sum := sha256.Sum256(kept)
	assert.Equal(t, hex.EncodeToString(sum[:]), added.SHA256)

	for want, test := range map[string]struct {
		about   record.About
		caption string
		file    []byte
	}{
		"the site has no zone":                            {"zone/99", "", taken(t, 1)},
		"the site has no zone \"x\"":                      {"zone/x", "", taken(t, 1)},
		"is nothing that a photograph can be about":       {"kiln", "", taken(t, 1)},
		"the site has no output":                          {"output/Organ", "", taken(t, 1)},
		"neither a JPEG nor a PNG":                        {"site", "", []byte("x")},
		"this picture of it already, as photograph-2.jpg": {"detector/2.1", "again", taken(t, 200)},
		"is nothing that a photograph can be about; take": {"", "", taken(t, 1)},
		"a caption is one line":                           {"site", strings.Repeat("a", 201), taken(t, 1)},
	} {
		_, err := v.Attach(c, test.about, test.caption, test.file)
		assert.ErrorContains(t, err, want)
	}
	assert.Len(t, folded(t, v).Photographs(), 2, "what was refused left no trace")

	require.NoError(t, os.Remove(v.photographPath(first.Name)))
	_, err = v.Photograph(first)
	require.ErrorIs(t, err, ErrPhotographGone)
	assert.ErrorContains(t, err, v.photographPath(first.Name))
}

// A visit keeps a bounded number of photographs.
func TestAttachedPhotographsAreBounded(t *testing.T) {
	v := put(t, At(t.TempDir()), "handover", pottery(t))
	c := clock.NewSimulated(time.Date(2027, 11, 24, 20, 0, 0, 0, time.UTC))
	for i := range photograph.Most {
		_, err := v.Attach(c, "site", "", taken(t, uint8(5*i)))
		require.NoError(t, err, i)
	}
	_, err := v.Attach(c, "site", "", taken(t, 255))
	require.ErrorIs(t, err, photograph.ErrRefused)
	assert.ErrorContains(t, err, fmt.Sprintf("at most %d photographs", photograph.Most))
}

// killed is a visit whose program was killed.
func killed(t testing.TB) Visit {
	t.Helper()
	const entries = 30
	return put(t, At(t.TempDir()), "handover", bytes.Join(bytes.SplitAfter(pottery(t), []byte("\n"))[:entries], nil))
}

// A photograph during a break moves neither the break's beginning nor its end.
func TestAttachDuringABreak(t *testing.T) {
	v := killed(t)
	last := folded(t, v).Latest()
	_, err := v.Attach(clock.NewSimulated(last.Add(time.Minute)), "site", "", taken(t, 9))
	require.NoError(t, err)
	w, _, _, err := journal.Open(v.Journal())
	require.NoError(t, err)
	resumed := record.Resumed{Tool: "loopwitness test"}
	_, err = w.Append(last.Add(time.Hour), resumed.Kind(), resumed)
	require.NoError(t, err)
	require.NoError(t, w.Close())
	breaks := folded(t, v).Breaks()
	require.Len(t, breaks, 1)
	assert.True(t, breaks[0].From.Equal(last), "the break began when the program was killed")
	assert.True(t, breaks[0].To.Equal(last.Add(time.Hour)))
}

// While a visit runs, its journal is its own.
func TestAttachToARunningVisit(t *testing.T) {
	v := killed(t)
	w, _, _, err := journal.Open(v.Journal())
	require.NoError(t, err)
	_, err = v.Attach(clock.NewSimulated(noon), "site", "", taken(t, 9))
	require.ErrorIs(t, err, journal.ErrHeld)
	assert.NoFileExists(t, v.photographPath("photograph-1.jpg"))
	require.NoError(t, w.Close())
}

// A crash between picture and entry leaves a picture that nothing tells of; the next one
// takes its place.
func TestPictureWithoutEntryIsReplaced(t *testing.T) {
	v := put(t, At(t.TempDir()), "handover", pottery(t))
	require.NoError(t, v.keep("photograph-1.jpg", taken(t, 1)))
	_, err := v.Attach(clock.NewSimulated(noon.AddDate(0, 1, 0)), "site", "", taken(t, 200))
	require.NoError(t, err)
	kept, err := v.Photograph(folded(t, v).Photographs()[0])
	require.NoError(t, err)
	assert.Equal(t, folded(t, v).Photographs()[0].SHA256, digest(kept))
}

// What is gone, or another file in its place, is lost; what stands there is not.
func TestLostPhotographs(t *testing.T) {
	v := put(t, At(t.TempDir()), "handover", pottery(t))
	c := clock.NewSimulated(noon.AddDate(0, 1, 0))
	for i := range 3 {
		_, err := v.Attach(c, "site", "", taken(t, uint8(50*i)))
		require.NoError(t, err)
	}
	assert.Empty(t, v.Lost(folded(t, v)))
	require.NoError(t, os.Remove(v.photographPath("photograph-1.jpg")))
	require.NoError(t, os.WriteFile(v.photographPath("photograph-3.jpg"), taken(t, 77), 0o600))
	assert.Equal(t, []string{"photograph-1.jpg", "photograph-3.jpg"}, v.Lost(folded(t, v)))

	// Each is put back by adding it again, without a further entry.
	entries := folded(t, v).Entries()
	for i, name := range map[int]string{0: "photograph-1.jpg", 2: "photograph-3.jpg"} {
		added, err := v.Attach(c, "site", "", taken(t, uint8(50*i)))
		require.NoError(t, err)
		assert.Equal(t, name, added.Name)
	}
	assert.Empty(t, v.Lost(folded(t, v)))
	assert.Equal(t, entries, folded(t, v).Entries())

	// Of another thing it is another photograph.
	require.NoError(t, os.Remove(v.photographPath("photograph-1.jpg")))
	added, err := v.Attach(c, "supply", "", taken(t, 0))
	require.NoError(t, err)
	assert.Equal(t, "photograph-4.jpg", added.Name)
	assert.Equal(t, []string{"photograph-1.jpg"}, v.Lost(folded(t, v)))
}

// A photograph is taken back before the visit is certified; its copy goes, its name is not
// given again.
func TestTakeBack(t *testing.T) {
	v := put(t, At(t.TempDir()), "handover", pottery(t))
	c := clock.NewSimulated(noon.AddDate(0, 1, 0))
	for i := range 2 {
		_, err := v.Attach(c, "site", "", taken(t, uint8(50*i)))
		require.NoError(t, err)
	}
	require.Error(t, v.TakeBack(c, record.TakenBack{Name: "photograph-1.jpg"}), "for no reason")
	require.Error(t, v.TakeBack(c, record.TakenBack{Name: "../journal.jsonl", Reason: "x"}))
	assert.FileExists(t, v.Journal())
	require.NoError(t, v.TakeBack(c, record.TakenBack{Name: "photograph-1.jpg", Reason: "x"}))
	assert.NoFileExists(t, v.photographPath("photograph-1.jpg"))
	require.NoError(t, os.Remove(v.photographPath("photograph-2.jpg")))
	require.NoError(t, v.TakeBack(c, record.TakenBack{Name: "photograph-2.jpg", Reason: "lost"}), "a lost one, too")
	assert.Empty(t, folded(t, v).Photographs())
	added, err := v.Attach(c, "site", "", taken(t, 0))
	require.NoError(t, err)
	assert.Equal(t, "photograph-3.jpg", added.Name)

	require.NoError(t, os.MkdirAll(v.folder.certificates(), 0o700))
	require.NoError(t, os.WriteFile(v.CertificatePath(1), nil, 0o600))
	require.ErrorIs(t, v.TakeBack(c, record.TakenBack{Name: "photograph-3.jpg", Reason: "x"}), ErrCertified)
}

// While a visit runs, nothing is taken back.
func TestTakeBackFromARunningVisit(t *testing.T) {
	v := killed(t)
	w, _, _, err := journal.Open(v.Journal())
	require.NoError(t, err)
	require.ErrorIs(t, v.TakeBack(clock.NewSimulated(noon), record.TakenBack{Name: "a", Reason: "x"}), journal.ErrHeld)
	require.NoError(t, w.Close())
}

// While a visit runs, a picture is named, checked and kept as one that is added afterwards, and
// whoever writes its entry tells the journal of it.
func TestPhotographsOfARunningVisit(t *testing.T) {
	v := put(t, At(t.TempDir()), "handover", pottery(t))
	r := folded(t, v)
	prepared, err := v.Photographs().Prepare("zone/1", "seen from the door", taken(t, 100))
	require.NoError(t, err)
	fact, err := prepared.Fact(r)
	require.NoError(t, err)
	assert.Equal(t, "photograph-1.jpg", fact.Name)
	require.NoError(t, prepared.Keep(fact))
	kept, err := v.Photograph(record.Photograph{Photographed: fact})
	require.NoError(t, err)
	assert.Len(t, kept, fact.Bytes)

	nowhere, err := v.Photographs().Prepare("zone/99", "", taken(t, 100))
	require.NoError(t, err)
	_, err = nowhere.Fact(r)
	assert.ErrorContains(t, err, "no zone")
	_, err = v.Photographs().Prepare("zone/1", "", []byte("no picture"))
	assert.ErrorIs(t, err, photograph.ErrRefused)
	_, err = v.Photographs().Prepare("zone/1", strings.Repeat("x", 201), taken(t, 100))
	assert.ErrorContains(t, err, "200 characters")

	_, err = v.Attach(clock.NewSimulated(r.Latest().Add(time.Hour)), "zone/1", "", taken(t, 100))
	require.NoError(t, err)
	_, err = prepared.Fact(folded(t, v))
	assert.ErrorContains(t, err, "already")
}
