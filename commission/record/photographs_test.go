package record

import (
	"math"
	"strings"
	"testing"
	"time"

	"loopwitness/commission/programme"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// photo is the n-th photograph of a visit, changed if change is not nil.
func photo(n int, change func(*Photographed)) Photographed {
	names := map[int]string{1: "photograph-1.jpg", 2: "photograph-2.jpg"}
	p := Photographed{Name: names[n], About: "site", SHA256: strings.Repeat("0a", 32), Bytes: 1000,
		Media: "image/jpeg", Width: 40, Height: 30}
	if change != nil {
		change(&p)
	}
	return p
}

func TestWhatAPhotographCanBeAbout(t *testing.T) {
	s := readSite(t, honestSite)
	window := programme.ZoneName{Number: 2, Name: "Window"}
	for about, title := range map[About]Motif{
		"site": {Part: "site"}, "supply": {Part: "supply"}, "controller": {Part: "controller"}, "zone/2": {Zone: &window},
		"detector/2.1":   {Detector: &programme.DetectorName{Point: "2.1", Name: "Window", Zone: window}},
		"output/Sounder": {Output: "Sounder"},
	} {
		got, err := about.Title(s)
		require.NoError(t, err, about)
		assert.Equal(t, title, got)
	}
	for about, says := range map[About]string{
		"":             "nothing that a photograph can be about",
		"roof":         "nothing that a photograph can be about",
		"supply/1":     "nothing that a photograph can be about",
		"Site":         "nothing that a photograph can be about",
		"zone/":        `no zone ""`,
		"zone/9":       `no zone "9"`,
		"zone/two":     `no zone "two"`,
		"zone":         `no zone ""`,
		"detector/9.9": "no detector 9.9",
		"detector/2":   "no detector 2",
		"output/Siren": `no output "Siren"`,
	} {
		got, err := about.Title(s)
		assert.ErrorContains(t, err, says, about)
		assert.Empty(t, got, about)
	}
}

func TestCaptions(t *testing.T) {
	for caption, fits := range map[string]bool{
		"": true, "behind the kiln": true, strings.Repeat("ä", 200): true, strings.Repeat("ä", 201): false,
		"two\nlines": false, "two\rlines": false,
	} {
		assert.Equal(t, fits, CheckCaption(caption) == nil, caption)
	}
}

// A photograph is added beside the visit: nobody attended then, and it concludes nothing.
func TestAPhotographIsAdded(t *testing.T) {
	r := recordOf(t, time.Minute, answer(checkStep, Done))
	require.NoError(t, take(t, r, 2, time.Hour, photo(1, nil)))
	require.NoError(t, take(t, r, 3, 2*time.Hour, photo(2, func(p *Photographed) {
		p.Name,
			p.Media = "photograph-2.png", "image/png"
	})))
	assert.Equal(t, []string{"photograph-1.jpg", "photograph-2.png"}, []string{r.Photographs()[0].Name,
		r.Photographs()[1].Name})
	assert.Equal(t, Photograph{photo(1, nil), Motif{Part: AboutSite}, at(time.Hour), 4}, r.Photographs()[0])
	assert.Equal(t, "photograph-3.jpg", r.NextPhotograph("image/jpeg"))
	assert.Equal(t, at(2*time.Hour), r.Latest())
	assert.Equal(t, at(time.Minute), r.Attended())
	assert.Equal(t, 1, r.Runs())
	assert.Empty(t, r.Breaks())
	assert.Equal(t, 5, r.Entries())
}

// Sizes at their limits: 40 million pixels each; in all 48 pictures, 96 MiB, 600 million
// pixels.
func TestWhatPhotographsCanBe(t *testing.T) {
	for name, tc := range map[string]struct {
		change func(*Photographed)
		fits   bool
	}{
		"as it is":                 {nil, true},
		"a picture of one pixel":   {func(p *Photographed) { p.Width, p.Height = 1, 1 }, true},
		"no width":                 {func(p *Photographed) { p.Width = 0 }, false},
		"no height":                {func(p *Photographed) { p.Height = 0 }, false},
		"one byte":                 {func(p *Photographed) { p.Bytes = 1 }, true},
		"no bytes":                 {func(p *Photographed) { p.Bytes = 0 }, false},
		"a time of a camera":       {func(p *Photographed) { p.Taken = "2026-11-24 09:10:11" }, true},
		"words for a time":         {func(p *Photographed) { p.Taken = "before the fire" }, false},
		"as many pixels as may be": {func(p *Photographed) { p.Width, p.Height = 8000, 5000 }, true},
		"one row more":             {func(p *Photographed) { p.Width, p.Height = 8000, 5001 }, false},
		"a line of pixels":         {func(p *Photographed) { p.Width, p.Height = 40_000_000, 1 }, true},
		"a longer line":            {func(p *Photographed) { p.Width, p.Height = 40_000_001, 1 }, false},
		"a column too high":        {func(p *Photographed) { p.Width, p.Height = 1, 40_000_001 }, false},
		"more than can be counted": {func(p *Photographed) { p.Width, p.Height = math.MaxInt, math.MaxInt }, false},
		"all bytes that may be":    {func(p *Photographed) { p.Bytes = 96 << 20 }, true},
		"one byte more":            {func(p *Photographed) { p.Bytes = 96<<20 + 1 }, false},
		"another medium":           {func(p *Photographed) { p.Name, p.Media = "photograph-1", "text/html" }, false},
		"another number":           {func(p *Photographed) { p.Name = "photograph-2.jpg" }, false},
		"another place":            {func(p *Photographed) { p.Name = "../photograph-1.jpg" }, false},
		"another ending":           {func(p *Photographed) { p.Media = "image/png" }, false},
		"no hash":                  {func(p *Photographed) { p.SHA256 = "" }, false},
		"a hash in capitals":       {func(p *Photographed) { p.SHA256 = strings.Repeat("0A", 32) }, false},
		"a longer hash":            {func(p *Photographed) { p.SHA256 += "0" }, false},
		"a caption of two lines":   {func(p *Photographed) { p.Caption = "two\nlines" }, false},
		"of nothing":               {func(p *Photographed) { p.About = "roof" }, false},
	} {
		r := recordOf(t)
		err := take(t, r, 1, 0, photo(1, tc.change))
		assert.Equal(t, tc.fits, err == nil, "%s: %v", name, err)
		if !tc.fits {
			assert.ErrorIs(t, err, ErrNoSense, name)
			assert.ErrorContains(t, err, "entry 3 (photograph): ", name)
		}
	}
}

// added adds photographs one after the other and tells how many were taken.
func added(t *testing.T, n int, change func(*Photographed)) int {
	t.Helper()
	r := recordOf(t)
	for range n {
		p := photo(1, change)
		p.Name = r.NextPhotograph(p.Media)
		if take(t, r, 1, 0, p) != nil {
			break
		}
	}
	return len(r.Photographs())
}

func TestHowManyPhotographsThereCanBe(t *testing.T) {
	assert.Equal(t, 48, added(t, 60, nil), "in number")
	assert.Equal(t, 15, added(t, 60, func(p *Photographed) { p.Width, p.Height = 5000, 8000 }), "in pixels")
	assert.Equal(t, 8, added(t, 60, func(p *Photographed) { p.Bytes = 12 << 20 }), "in bytes")
	assert.Equal(t, 7, added(t, 60, func(p *Photographed) { p.Bytes = 12<<20 + 1 }), "in bytes")
}

// A size near the largest number that can be counted must not make the sum small.
func TestSizesOfPhotographsDoNotOverflow(t *testing.T) {
	refuses(t, "entry 4 (photograph): ", photo(1, nil), photo(2, func(p *Photographed) { p.Bytes = math.MaxInt }))
}
