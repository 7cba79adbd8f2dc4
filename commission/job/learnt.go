package job

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/kit/readfile"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
	"loopwitness/commission/visit"
)

// LearntPhotograph is a photograph that was taken while the site was learnt.
type LearntPhotograph struct {
	Name    string `json:"name"`    // of its file: photograph-1.jpg
	Address string `json:"address"` // under which what it shows reports
	// Detector is what the site file calls what it shows, and Place which one of its zone that
	// is, from 1; "" and 0 until the site file has it, and for the zone as a whole.
	Detector string              `json:"detector,omitempty"`
	Place    int                 `json:"place,omitempty"`
	Caption  string              `json:"caption,omitempty"`
	SHA256   string              `json:"sha256"` // hexadecimal, of the picture without its hidden data
	Bytes    int                 `json:"bytes"`
	Width    int                 `json:"width"`
	Height   int                 `json:"height"`
	Taken    string              `json:"taken,omitempty"`   // by the camera's clock
	Removed  []photograph.Hidden `json:"removed,omitempty"` // what was hidden in the file
}

// mostLearnt is larger than any list of photographs of a walk, in bytes.
const mostLearnt = 256 << 10

// learntName is what a photograph of a walk can be called: no path leads out of its folder.
var learntName = regexp.MustCompile(`^photograph-[1-9][0-9]{0,5}\.(jpg|png)$`)

func (f Folder) learntPath(name string) string { return filepath.Join(f.dir, "learnt", name) }

const learntList = "photographs.json"

// Learnt are the photographs that were taken while the site was learnt, in their order.
func (f Folder) Learnt() ([]LearntPhotograph, error) {
	path := f.learntPath(learntList)
	data, err := readfile.All(path, mostLearnt)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var all []LearntPhotograph
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&all); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	for _, p := range all {
		if !learntName.MatchString(p.Name) || oneline.Check(p.Address) != nil || oneline.Check(p.Detector) != nil ||
			record.CheckCaption(p.Caption) != nil {
			return nil, fmt.Errorf("%s: that is no photograph of a walk: %.60q", path, p.Name)
		}
	}
	return all, nil
}

func (f Folder) keepLearnt(all []LearntPhotograph) error {
	data, err := json.MarshalIndent(all, "", "  ")
	if err != nil {
		return err
	}
	return atomicfile.Replace(f.learntPath(learntList), append(data, '\n'), private)
}

// KeepLearnt keeps a photograph of what reports under an address: the picture without its
// hidden data. Errors wrap photograph.ErrRefused where that is the reason. Only one call at a
// time may change the list.
func (f Folder) KeepLearnt(address, caption string, file []byte) (name string, err error) {
	if err := record.CheckCaption(caption); err != nil {
		return "", err
	}
	p, err := photograph.Take(file)
	if err != nil {
		return "", err
	}
	all, err := f.Learnt()
	if err != nil {
		return "", err
	}
	l := LearntPhotograph{Address: address, Caption: caption, SHA256: digest(p.Content), Bytes: len(p.Content),
		Width: p.Width, Height: p.Height, Taken: p.Taken, Removed: p.Removed}
	if err := roomForLearnt(all, l); err != nil {
		return "", err
	}
	for n := 1; l.Name == ""; n++ {
		stem := fmt.Sprintf("photograph-%d.", n)
		has := func(p LearntPhotograph) bool { return strings.HasPrefix(p.Name, stem) }
		name := strings.TrimSuffix(stem, ".") + photograph.Ending(p.Media)
		_, err := os.Lstat(f.learntPath(name)) // a crash may have left it there
		switch {
		case errors.Is(err, fs.ErrNotExist) && !slices.ContainsFunc(all, has):
			l.Name = name
		case err != nil && !errors.Is(err, fs.ErrNotExist):
			return "", err
		}
	}
	if err := atomicfile.MakeFolder(filepath.Dir(f.learntPath(l.Name)), privateFolder); err != nil {
		return "", err
	}
	if err := atomicfile.Create(f.learntPath(l.Name), p.Content, private); err != nil {
		return "", fmt.Errorf("keep the photograph: %w", err)
	}
	return l.Name, f.keepLearnt(append(all, l))
}

// roomForLearnt tells why a walk does not take a further photograph: no visit could.
func roomForLearnt(all []LearntPhotograph, p LearntPhotograph) error {
	bytes, pixels := p.Bytes, p.Width*p.Height
	for _, there := range all {
		if there.SHA256 == p.SHA256 {
			return fmt.Errorf("%w: this picture was taken already", photograph.ErrRefused)
		}
		bytes += there.Bytes
		pixels += there.Width * there.Height
	}
	if len(all) >= photograph.Most || bytes > photograph.MostBytes || pixels > photograph.MostPixels {
		return fmt.Errorf("%w: at most %d photographs of %d MiB and %d million pixels in all are kept", photograph.ErrRefused,
			photograph.Most, photograph.MostBytes>>20, photograph.MostPixels/1_000_000)
	}
	return nil
}

// ChangeLearnt changes what is said of the photographs of a walk; those for which it returns
// false are removed with their files.
func (f Folder) ChangeLearnt(change func(*LearntPhotograph) (stays bool)) error {
	all, err := f.Learnt()
	if err != nil || len(all) == 0 {
		return err
	}
	var stay []LearntPhotograph
	var gone []string
	for _, p := range all {
		if change(&p) {
			stay = append(stay, p)
		} else {
			gone = append(gone, p.Name)
		}
	}
	if err := f.keepLearnt(stay); err != nil {
		return err
	}
	for _, name := range gone {
		if err := os.Remove(f.learntPath(name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}

// About is what the photograph shows by a site file: the detector, its zone where that has no
// such detector, and "" where no zone has the address.
func (p LearntPhotograph) About(s *site.Site) record.About {
	z := s.ZoneAt(p.Address)
	if z == nil {
		return ""
	}
	is := func(d site.Detector) bool { return p.Detector != "" && d.Name == p.Detector }
	at := p.Place - 1
	if at < 0 || at >= len(z.Detectors) || !is(z.Detectors[at]) {
		at = slices.IndexFunc(z.Detectors, is)
	}
	if at < 0 {
		return record.About(fmt.Sprintf("zone/%d", z.Number))
	}
	return record.About("detector/" + string(site.PointOf(z.Number, at)))
}

// LearntTakenIn are the names of the visits that have taken photographs of the walk in, by the
// SHA-256 of the picture. One that was set aside, or cannot be read, has none.
func (f Folder) LearntTakenIn() (map[string]string, error) {
	visits, err := f.Visits()
	if err != nil {
		return nil, err
	}
	in := map[string]string{}
	for _, v := range visits {
		r, err := v.Record()
		if err != nil || r.Discarded() != nil {
			continue
		}
		for _, p := range r.Photographs() {
			if p.Learnt {
				in[p.SHA256] = v.Name
			}
		}
	}
	return in, nil
}

// TakeLearntIn lets a visit that begins, and does not run yet, take in the photographs of the
// walk that no visit has; it tells which it could not take, and why.
func (f Folder) TakeLearntIn(v Visit, running *visit.Visit) (taken int, left []error) {
	all, err := f.Learnt()
	if err != nil {
		return 0, []error{err}
	}
	if len(all) == 0 {
		return 0, nil
	}
	in, err := f.LearntTakenIn()
	if err != nil {
		return 0, []error{err}
	}
	for _, p := range all {
		if in[p.SHA256] != "" {
			continue
		}
		if err := f.takeIn(v, running, p); err != nil {
			left = append(left, fmt.Errorf("%s: %w", f.learntPath(p.Name), err))
			continue
		}
		taken++
	}
	return taken, left
}

func (f Folder) takeIn(v Visit, running *visit.Visit, p LearntPhotograph) error {
	about := p.About(running.Record().Site())
	if about == "" {
		return fmt.Errorf("no zone of the site file has the address %q", p.Address)
	}
	content, err := photograph.ReadFile(f.learntPath(p.Name))
	if err != nil {
		return err
	}
	if digest(content) != p.SHA256 {
		return ErrPhotographGone
	}
	prepared, err := v.prepare(about, p.Caption, content)
	if err != nil {
		return err
	}
	prepared.fact.Taken, prepared.fact.Removed, prepared.fact.Learnt = p.Taken, p.Removed, true
	return running.TakeIn(prepared)
}
