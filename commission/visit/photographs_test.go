package visit_test

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
)

func folded(t testing.TB, path string) *record.Record {
	t.Helper()
	contents, err := journal.ReadFile(path)
	require.NoError(t, err)
	r, err := record.Fold(contents.Entries)
	require.NoError(t, err)
	return r
}

// What is not a photograph in the journal is refused, whoever wrote it there.
func TestPhotographEntriesAreChecked(t *testing.T) {
	_, path := wholeVisit(t)
	good := record.Photographed{Name: "photograph-1.jpg", About: "site", SHA256: strings.Repeat("ab", 32),
		Media: photograph.JPEG, Width: 60, Height: 40, Bytes: 500}
	for name, change := range map[string]func(*record.Photographed){
		"a path":         func(p *record.Photographed) { p.Name = "../../controller.yaml" },
		"another number": func(p *record.Photographed) { p.Name = "photograph-2.jpg" },
		"another kind":   func(p *record.Photographed) { p.Media = "image/svg+xml" },
		"no hash":        func(p *record.Photographed) { p.SHA256 = "none" },
		"about nothing":  func(p *record.Photographed) { p.About = "zone/99" },
		"a long caption": func(p *record.Photographed) { p.Caption = strings.Repeat("a", 201) },
		"two lines":      func(p *record.Photographed) { p.Caption = "a\nb" },
		"no size":        func(p *record.Photographed) { p.Width = 0 },
		"too large":      func(p *record.Photographed) { p.Bytes = photograph.MostBytes + 1 },
		"a pixel bomb":   func(p *record.Photographed) { p.Width, p.Height = 1<<20, 1<<20 },
	} {
		t.Run(name, func(t *testing.T) {
			raw, err := os.ReadFile(path)
			require.NoError(t, err)
			copied := filepath.Join(t.TempDir(), "journal.jsonl")
			require.NoError(t, os.WriteFile(copied, raw, 0o644))
			bad := good
			change(&bad)
			w, _, _, err := journal.Open(copied)
			require.NoError(t, err)
			_, err = w.Append(time.Now(), bad.Kind(), bad)
			require.NoError(t, err)
			require.NoError(t, w.Close())
			contents, err := journal.ReadFile(copied)
			require.NoError(t, err)
			_, err = record.Fold(contents.Entries)
			assert.ErrorIs(t, err, record.ErrNoSense)
		})
	}
}

// The customer's drawn signature is taken into the journal, small and grey; a file
// that is no picture is refused when it is named.
func TestDrawnSignature(t *testing.T) {
	dir := t.TempDir()
	lines := image.NewRGBA(image.Rect(0, 0, 900, 300))
	for x := range 700 {
		for d := range 6 {
			lines.SetRGBA(100+x, 40+x*x/3000+d, color.RGBA{0, 0, 90, 255})
		}
	}
	var b bytes.Buffer
	require.NoError(t, png.Encode(&b, lines))
	drawn := filepath.Join(dir, "signature.png")
	require.NoError(t, os.WriteFile(drawn, b.Bytes(), 0o644))

	s, err := site.Read("site.yaml", []byte(visit.BenchSite))
	require.NoError(t, err)
	run := func(file string) (string, error) {
		list, err := programme.ReadChecklist(programme.BuiltInChecklist(programme.Handover))
		require.NoError(t, err)
		answers := strings.Replace(
			visit.BenchAnswers,
			`sign-off/customer/drawing, say: ""`,
			fmt.Sprintf("sign-off/customer/drawing, say: %q", file),
			1,
		)
		require.NotEqual(t, visit.BenchAnswers, answers)
		path := filepath.Join(t.TempDir(), "journal.jsonl")
		v, err := visit.Start(simulatedConfig(t, s, answers, &bytes.Buffer{}), path, record.Opened{Visit: programme.Handover,
			Number: "B-1/1", SiteName: "site.yaml", Site: visit.BenchSite, Programme: programme.Of(s, list)})
		require.NoError(t, err)
		err = v.Run(context.Background())
		require.NoError(t, v.Close())
		return path, err
	}
	path, err := run(drawn)
	require.NoError(t, err)
	kept := folded(t, path).Customer().Drawing
	require.NoError(t, photograph.CheckDrawing(kept))
	p, err := png.Decode(bytes.NewReader(kept))
	require.NoError(t, err)
	assert.Equal(t, 720, p.Bounds().Dx(), "cut to its strokes")

	text := filepath.Join(dir, "text.png")
	require.NoError(t, os.WriteFile(text, []byte("no picture"), 0o644))
	for file, want := range map[string]string{
		filepath.Join(dir, "gone.png"): "no such file",
		dir:                            "",
		text:                           "neither a JPEG nor a PNG",
	} {
		_, err := run(file)
		assert.ErrorContains(t, err, want)
	}
}

// A journal that tells of more photographs than a visit keeps, or of a drawing that is
// none, is refused.
func TestFoldBoundsPhotographsAndDrawings(t *testing.T) {
	_, path := wholeVisit(t)
	raw, err := os.ReadFile(path)
	require.NoError(t, err)
	fold := func(facts ...record.Fact) error {
		copied := filepath.Join(t.TempDir(), "journal.jsonl")
		require.NoError(t, os.WriteFile(copied, raw, 0o644))
		w, _, _, err := journal.Open(copied)
		require.NoError(t, err)
		for _, f := range facts {
			_, err = w.Append(time.Now(), f.Kind(), f)
			require.NoError(t, err)
		}
		require.NoError(t, w.Close())
		contents, err := journal.ReadFile(copied)
		require.NoError(t, err)
		_, err = record.Fold(contents.Entries)
		return err
	}
	var many []record.Fact
	for i := range photograph.Most + 1 {
		many = append(
			many,
			record.Photographed{Name: fmt.Sprintf("photograph-%d.jpg", i+1), About: "site",
				SHA256: strings.Repeat("ab", 32), Media: photograph.JPEG, Width: 6, Height: 4, Bytes: 5},
		)
	}
	assert.NoError(t, fold(many[:photograph.Most]...))
	assert.ErrorIs(t, fold(many...), record.ErrNoSense)
	large := record.Photographed{About: "site", SHA256: strings.Repeat("ab", 32), Media: photograph.JPEG,
		Width: 6000, Height: 6000, Bytes: 5}
	var vast []record.Fact
	for i := range 20 {
		large.Name = fmt.Sprintf("photograph-%d.jpg", i+1)
		vast = append(vast, large)
	}
	assert.ErrorContains(t, fold(vast...), "its photographs are too large")
	assert.ErrorIs(t,
		fold(record.Signed{Step: "sign-off/customer", Role: "customer", Name: "x", Drawing: []byte("no picture")}),
		record.ErrNoSense)
}
