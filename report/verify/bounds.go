package verify

import (
	"bytes"
	"errors"
	"fmt"
	"image"
	"unicode/utf8"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
	"loopwitness/report/evidence"
	"loopwitness/report/pdffile"
)

// A file may come from anybody. Whatever is in it, checking one of 64 MiB ends within 10 s
// of one processor and 512 MiB of memory (TestHostileFiles measures that). Where a bound is
// met, the rest is not looked at, and its question is answered with neither yes nor no.
const (
	// MaxFile is the largest file that is checked, in bytes.
	MaxFile = 192 << 20

	maxJournal   = journal.MostBytes
	maxStatement = 16 << 20  // bytes, unpacked
	mostUnpacked = 128 << 20 // bytes of all attachments
	mostEntries  = journal.MostBytes / shortestEntry
	// shortestEntry is less than the line of the shortest signal, in bytes: what signals fill is always checked.
	shortestEntry = 170
	mostSites     = 8 << 20    // bytes of all site files in a record
	mostLogos     = 16         // that differ, in a record: each is decoded
	mostAmended   = 5000       // corrections, undertakings and struck attempts, which somebody types
	mostLookups   = 10_000_000 // those, each with every entry that it may be about

	// mostPixels is what is decoded of photographs, each pixel as often as its weight.
	mostPixels = photograph.MostPixels
	// mostCompared is how many pixels of small pictures are compared one by one.
	mostCompared = 40_000_000
	// mostDecoded is what one photograph may take while it is decoded, in bytes.
	mostDecoded = 200 << 20

	mostDifferences   = 1000 // that are told one by one, of each question
	longestDifference = 400  // bytes of each of its texts
	mostProblems      = 20   // of each kind that are told one by one
	longestProblem    = 1000 // bytes
)

// errTooMuch says that a bound was met.
var errTooMuch = errors.New("it holds more than is checked")

// cut shortens a text to so many bytes.
func cut(text string, longest int) string {
	if len(text) <= longest {
		return text
	}
	for longest > 0 && !utf8.RuneStart(text[longest]) {
		longest--
	}
	return text[:longest] + "…"
}

// differing gathers differences: the first ones, and how many more there are.
type differing struct {
	told    []Difference
	further int
}

func (d *differing) add(about, states, gives string) {
	if len(d.told) == mostDifferences {
		d.further++
		return
	}
	d.told = append(d.told, Difference{cut(about, longestDifference), cut(states, longestDifference),
		cut(gives, longestDifference)})
}

func (d *differing) count() int { return len(d.told) + d.further }

// unpacking takes attachments out of a file, all together no more than mostUnpacked.
type unpacking struct {
	file *pdffile.File
	left int
}

func (u *unpacking) inflate(s pdffile.Stream, limit int) ([]byte, error) {
	out, err := u.file.Inflate(s, min(limit, u.left))
	if errors.Is(err, pdffile.ErrTooLarge) {
		return nil, fmt.Errorf("%w: an attachment is longer than %d MiB, or all together than %d MiB", errTooMuch,
			limit>>20, mostUnpacked>>20)
	}
	u.left -= len(out)
	return out, err
}

// boundedRecord refuses a record of more than is folded.
func boundedRecord(c journal.Contents) error {
	if len(c.Entries) > mostEntries {
		return fmt.Errorf("%w: its record has more than %d entries", errTooMuch, mostEntries)
	}
	sites, amended, logos := 0, 0, map[string]bool{}
	for _, e := range c.Entries {
		switch e.Kind {
		case record.Opened{}.Kind(), record.SiteChanged{}.Kind():
			sites += len(e.Body)
			if _, logo, has := bytes.Cut(e.Body, []byte(`"logo":{`)); has { // in a text, quotes are escaped
				content, _, _ := bytes.Cut(logo, []byte("}"))
				logos[evidence.Digest(content)] = true
			}
		case record.Corrected{}.Kind(), record.Undertaken{}.Kind(), record.Struck{}.Kind():
			amended++
		}
	}
	if amended > mostAmended || amended*len(c.Entries) > mostLookups {
		return fmt.Errorf("%w: its record of %d entries has %d corrections, undertakings and struck attempts", errTooMuch,
			len(c.Entries), amended)
	}
	if len(logos) > mostLogos {
		return fmt.Errorf("%w: its record has more than %d logos", errTooMuch, mostLogos)
	}
	if sites > mostSites {
		return fmt.Errorf("%w: its record has more than %d MiB of site files", errTooMuch, mostSites>>20)
	}
	return nil
}

// looking counts down what is decoded of photographs, and compared of small pictures.
type looking struct{ left, compare int }

func (l *looking) mayCompare() bool { return l.compare > 0 }

// charge refuses a photograph that takes too much to be decoded. Weights are as measured
// with this library: what does not decode in one pass takes several times as long.
func (l *looking) charge(name string, content []byte) error {
	c, kind, err := image.DecodeConfig(bytes.NewReader(content))
	if err != nil {
		return nil // whoever decodes it tells
	}
	weight, bytes := photograph.Effort(content, kind, c)
	pixels := c.Width * c.Height
	if c.Width > photograph.MaxPixels || c.Height > photograph.MaxPixels || pixels > photograph.MaxPixels {
		return nil // refused before it is decoded
	}
	if pixels*bytes > mostDecoded {
		return fmt.Errorf("%w: %s takes more memory than the %d MiB that a photograph may", errTooMuch, name,
			mostDecoded>>20)
	}
	if l.left -= pixels * weight; l.left < 0 {
		return fmt.Errorf("%w: from %s on its photographs were not looked at; they have too many pixels", errTooMuch, name)
	}
	return nil
}
