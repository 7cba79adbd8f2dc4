package record

import (
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/programme"
	"loopwitness/commission/site"
)

// Photograph is a photograph of the visit, what it shows by the site file of then, and when
// it was added.
type Photograph struct {
	Photographed
	Shows Motif
	Added time.Time
	Entry int // that added it
}

// About is what a photograph shows: zone/3, detector/3.1, output/sounder, supply,
// controller or site.
type About string

// What has no name of its own.
const (
	AboutSupply     About = "supply"
	AboutController About = "controller"
	AboutSite       About = "site"
)

// Code names what it is, for what has no name of its own.
func (a About) Code() string { return "photograph/" + string(a) }

// Motif is what a photograph shows: one of its fields is set.
type Motif struct {
	Part     About
	Zone     *programme.ZoneName
	Detector *programme.DetectorName
	Output   string // as typed
}

// Code names it.
func (Motif) Code() string { return "photograph/motif" }

// Title is what a photograph shows. It is an error if the site has no such thing.
func (a About) Title(s *site.Site) (Motif, error) {
	kind, which, _ := strings.Cut(string(a), "/")
	switch {
	case a == AboutSupply || a == AboutController || a == AboutSite:
		return Motif{Part: a}, nil
	case kind == "zone":
		if n, err := strconv.Atoi(which); err == nil {
			if z := s.Zone(n); z != nil {
				name := programme.NameOfZone(z)
				return Motif{Zone: &name}, nil
			}
		}
		return Motif{}, fmt.Errorf("the site has no zone %q", which)
	case kind == "detector":
		z, d, err := s.Find(site.Point(which))
		if err != nil {
			return Motif{}, err
		}
		name := programme.DetectorName{Point: site.Point(which), Name: d.Name, Zone: programme.NameOfZone(z)}
		return Motif{Detector: &name}, nil
	case kind == "output":
		if o := s.Output(which); o != nil {
			return Motif{Output: o.Name}, nil
		}
		return Motif{}, fmt.Errorf("the site has no output %q", which)
	}
	return Motif{}, fmt.Errorf(
		"%q is nothing that a photograph can be about; take zone/3, detector/3.1, output/NAME, supply, controller or site",
		a,
	)
}

// longestCaption is in characters.
const longestCaption = 200

// CheckCaption tells what a caption cannot be.
func CheckCaption(caption string) error {
	if len([]rune(caption)) > longestCaption {
		return fmt.Errorf("a caption is one line of at most %d characters", longestCaption)
	}
	return oneline.Check(caption)
}

var sha256Form = regexp.MustCompile(`^[0-9a-f]{64}$`)

// NextPhotograph is the file name of the next photograph. That of one that was taken back is
// not given again.
func (r *Record) NextPhotograph(media string) string {
	return fmt.Sprintf("photograph-%d%s", len(r.photographs)+len(r.withdrawals)+1, photograph.Ending(media))
}

func (r *Record) photographed(e journal.Entry, p Photographed) error {
	shows, err := p.About.Title(r.site)
	if err != nil {
		return refuse(LawPhotograph, err)
	}
	if err := CheckCaption(p.Caption); err != nil {
		return refuse(LawPhotograph, err)
	}
	switch {
	case slices.ContainsFunc(p.Removed, unknownHidden):
		return refuse(LawPhotograph, fmt.Errorf("nobody removes %q from a photograph", p.Removed))
	case photograph.Ending(p.Media) == "", p.Name != r.NextPhotograph(p.Media), !sha256Form.MatchString(p.SHA256):
		return refuse(LawPhotograph, errors.New("its photograph cannot be one"))
	case len(r.photographs) >= photograph.Most:
		return refuse(LawPhotograph, fmt.Errorf("more than %d photographs", photograph.Most))
	case p.Bytes < 1 || p.Bytes > photograph.MostBytes, p.Taken != "" && !isInstant(p.Taken),
		p.Width < 1 || p.Height < 1 || p.Height > photograph.MaxPixels/p.Width:
		return refuse(LawPhotograph, errors.New("its photograph cannot be one"))
	}
	bytes, pixels := p.Bytes, p.Width*p.Height
	for _, there := range r.photographs {
		bytes += there.Bytes
		pixels += there.Width * there.Height
	}
	if bytes > photograph.MostBytes || pixels > photograph.MostPixels {
		return refuse(LawPhotograph, errors.New("its photographs are too large"))
	}
	r.photographs = append(r.photographs, Photograph{p, shows, e.At, e.N})
	return nil
}

// isInstant tells whether a camera's clock can have shown it.
func isInstant(text string) bool {
	_, err := time.Parse(time.DateTime, text)
	return err == nil
}

// unknownHidden tells that these are no data that a visit removes from a photograph.
func unknownHidden(h photograph.Hidden) bool {
	return h != photograph.Location && h != photograph.OtherData
}
