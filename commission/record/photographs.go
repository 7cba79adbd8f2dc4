package record

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/site"
)

// Picture is a photograph of the visit, and when it was added.
type Picture struct {
	Photographed
	Added time.Time
}

// About is what a photograph shows: zone/3, detector/3.1, output/sounder, supply,
// controller or site.
type About string

// AboutForms says how About is written.
const AboutForms = "zone/3, detector/3.1, output/NAME, supply, controller or site"

// Title is what a photograph shows in words. It is an error if the site has no such
// thing.
func (a About) Title(s *site.Site) (string, error) {
	kind, which, _ := strings.Cut(string(a), "/")
	switch {
	case a == "supply":
		return "Supply", nil
	case a == "controller":
		return "Controller", nil
	case a == "site":
		return "Premises", nil
	case kind == "zone":
		if n, err := strconv.Atoi(which); err == nil {
			if z := s.Zone(n); z != nil {
				return fmt.Sprintf("Zone %d %s", z.Number, z.Name), nil
			}
		}
		return "", fmt.Errorf("the site has no zone %q", which)
	case kind == "detector":
		z, d, err := s.Find(site.Point(which))
		if err != nil {
			return "", err
		}
		return fmt.Sprintf("%s %s (zone %d)", which, d.Name, z.Number), nil
	case kind == "output":
		if o := s.Output(which); o != nil {
			return "Output " + o.Name, nil
		}
		return "", fmt.Errorf("the site has no output %q", which)
	}
	return "", fmt.Errorf("%q is nothing that a photograph can be about; take %s", a, AboutForms)
}

// CheckCaption tells what a caption cannot be.
func CheckCaption(caption string) error {
	const longest = 200
	if len([]rune(caption)) > longest || strings.ContainsAny(caption, "\r\n") {
		return fmt.Errorf("a caption is one line of at most %d characters", longest)
	}
	return nil
}

var sha256Form = regexp.MustCompile(`^[0-9a-f]{64}$`)

// NextPhotograph is the file name of the next photograph.
func (r *Record) NextPhotograph(media string) string {
	return fmt.Sprintf("photograph-%d%s", len(r.photographs)+1, photograph.Ending(media))
}

func (r *Record) photographed(e journal.Entry, p Photographed) error {
	if _, err := p.About.Title(r.site); err != nil {
		return fmt.Errorf("%w: %w", ErrNoSense, err)
	}
	if err := CheckCaption(p.Caption); err != nil {
		return fmt.Errorf("%w: %w", ErrNoSense, err)
	}
	switch {
	case photograph.Ending(p.Media) == "", p.Name != r.NextPhotograph(p.Media), !sha256Form.MatchString(p.SHA256):
		return fmt.Errorf("%w: its photograph cannot be one", ErrNoSense)
	case len(r.photographs) >= photograph.Most:
		return fmt.Errorf("%w: more than %d photographs", ErrNoSense, photograph.Most)
	case p.Bytes < 0 || p.Bytes > photograph.MostBytes || p.Width < 1 || p.Height < 1 || p.Height > photograph.MaxPixels/p.Width:
		return fmt.Errorf("%w: its photograph cannot be one", ErrNoSense)
	}
	bytes, pixels := p.Bytes, p.Width*p.Height
	for _, there := range r.photographs {
		bytes += there.Bytes
		pixels += there.Width * there.Height
	}
	if bytes > photograph.MostBytes || pixels > photograph.MostPixels {
		return fmt.Errorf("%w: its photographs are too large", ErrNoSense)
	}
	r.photographs = append(r.photographs, Picture{p, e.At})
	return nil
}
