package job

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
	"loopwitness/commission/visit"
)

// ErrPhotographGone says that a photograph that the journal tells of is not kept.
var ErrPhotographGone = errors.New("it is gone; put the file back, the journal tells of it")

// errPutBack says that a photograph that was lost is kept again, and no entry is needed.
var errPutBack = errors.New("put back")

func (v Visit) photographPath(name string) string { return v.path("photographs", name) }

// Photograph reads a kept photograph. Errors wrap ErrPhotographGone if it is not there as it
// was added.
func (v Visit) Photograph(p record.Photograph) ([]byte, error) {
	path := v.photographPath(p.Name)
	content, err := photograph.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w", path, ErrPhotographGone)
	}
	if err == nil && digest(content) != p.SHA256 {
		return nil, fmt.Errorf("%s: another file stands in its place: %w", path, ErrPhotographGone)
	}
	return content, err
}

// Lost are the names of the photographs of the visit's record that are not there any more as
// they were added.
func (v Visit) Lost(r *record.Record) (names []string) {
	for _, p := range r.Photographs() {
		if _, err := v.Photograph(p); errors.Is(err, ErrPhotographGone) {
			names = append(names, p.Name)
		}
	}
	return names
}

// Attach adds a photograph to a visit that is not running: the picture without its
// hidden data beside the journal, its hash in it. One that the journal tells of, and whose
// file is lost, is put back. Errors wrap photograph.ErrRefused or journal.ErrHeld where that
// is the reason.
func (v Visit) Attach(
	c clock.Clock, about record.About, caption string, file []byte,
) (added record.Photographed, err error) {
	p, err := v.prepare(about, caption, file)
	if err != nil {
		return added, err
	}
	err = v.between(c, func(r *record.Record) (record.Fact, error) {
		var err error
		if added, err = p.named(r); err != nil {
			return nil, err
		}
		if lost, err := v.putBack(r, added, p.content); lost != nil || err != nil {
			added = *lost
			return nil, cmp.Or(err, errPutBack)
		}
		if err := roomFor(r, added); err != nil {
			return nil, err
		}
		return added, p.Keep(added)
	})
	if errors.Is(err, errPutBack) {
		err = nil
	}
	return added, err
}

// Photographs keeps photographs of the visit while it runs.
func (v Visit) Photographs() visit.Photographs { return photographs{v} }

type photographs struct{ visit Visit }

// Prepare reads a photograph's file. Errors wrap photograph.ErrRefused where that is the
// reason.
func (p photographs) Prepare(about record.About, caption string, file []byte) (visit.Prepared, error) {
	prepared, err := p.visit.prepare(about, caption, file)
	if err != nil {
		return nil, err // and no nil that is none
	}
	return prepared, nil
}

// prepared is a photograph that can be kept: without its hidden data, and not yet named.
type prepared struct {
	visit   Visit
	fact    record.Photographed
	content []byte
}

func (v Visit) prepare(about record.About, caption string, file []byte) (*prepared, error) {
	if err := record.CheckCaption(caption); err != nil {
		return nil, err
	}
	p, err := photograph.Take(file)
	if err != nil {
		return nil, err
	}
	return &prepared{v, record.Photographed{About: about, Caption: caption, SHA256: digest(p.Content),
		Bytes: len(p.Content), Media: p.Media, Width: p.Width, Height: p.Height, Taken: p.Taken, Removed: p.Removed},
		p.Content}, nil
}

// named is what the journal will say of it.
func (p *prepared) named(r *record.Record) (record.Photographed, error) {
	fact := p.fact
	fact.Name = r.NextPhotograph(fact.Media)
	_, err := fact.About.Title(r.Site())
	return fact, err
}

// Fact is what the journal will say of it, or why the visit does not take it.
func (p *prepared) Fact(r *record.Record) (record.Photographed, error) {
	fact, err := p.named(r)
	if err == nil {
		err = roomFor(r, fact)
	}
	return fact, err
}

// Keep stores the picture.
func (p *prepared) Keep(fact record.Photographed) error {
	if err := p.visit.keep(fact.Name, p.content); err != nil {
		return fmt.Errorf("keep the photograph: %w", err)
	}
	return nil
}

// putBack stores a photograph again whose file is lost, nil if there is none of that content
// about that.
func (v Visit) putBack(r *record.Record, p record.Photographed, content []byte) (*record.Photographed, error) {
	for _, there := range r.Photographs() {
		if there.SHA256 != p.SHA256 || there.About != p.About {
			continue
		}
		if _, err := v.Photograph(there); !errors.Is(err, ErrPhotographGone) {
			continue
		}
		return &there.Photographed, v.keep(there.Name, content)
	}
	return nil, nil
}

// TakeBack takes a photograph out of a visit that is neither running nor certified: the
// journal keeps that it was there and why it is not, and the kept copy is removed. Errors
// are as those of Discard.
func (v Visit) TakeBack(c clock.Clock, t record.TakenBack) error {
	revision, err := v.LastRevision()
	if err != nil {
		return err
	}
	if revision > 0 {
		return fmt.Errorf("%w: %s", ErrCertified, v.CertificatePath(revision))
	}
	was := ""
	err = v.between(c, func(r *record.Record) (record.Fact, error) {
		for _, p := range r.Photographs() {
			if p.Name == t.Name && p.Learnt {
				was = p.SHA256
			}
		}
		return t, r.MayTakeBack(t)
	})
	if err != nil {
		return err
	}
	path := v.photographPath(t.Name)
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s was taken back, and its kept copy could not be removed: %w", t.Name, err)
	}
	if was == "" {
		return nil
	}
	// Of one that was taken in, another copy stands where the site was learnt.
	err = v.folder.ChangeLearnt(func(p *LearntPhotograph) bool { return p.SHA256 != was })
	if err != nil {
		return fmt.Errorf("%s was taken back; where the site was learnt, a copy may stand: %w", t.Name, err)
	}
	return nil
}

func digest(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}

// keep stores a picture, in the place of one that a crash may have left there before its
// entry was written.
func (v Visit) keep(name string, content []byte) error {
	path := v.photographPath(name)
	if err := atomicfile.MakeFolder(filepath.Dir(path), privateFolder); err != nil {
		return err
	}
	return atomicfile.Replace(path, content, 0o600)
}

// roomFor tells why a visit does not take a further photograph.
func roomFor(r *record.Record, p record.Photographed) error {
	total, pixels := p.Bytes, p.Width*p.Height
	for _, there := range r.Photographs() {
		if there.SHA256 == p.SHA256 && there.About == p.About {
			return fmt.Errorf("%w: the visit has this picture of it already, as %s", photograph.ErrRefused, there.Name)
		}
		total += there.Bytes
		pixels += there.Width * there.Height
	}
	if len(r.Photographs()) >= photograph.Most || total > photograph.MostBytes || pixels > photograph.MostPixels {
		return fmt.Errorf("%w: a visit keeps at most %d photographs of %d MiB and %d million pixels in all",
			photograph.ErrRefused, photograph.Most, photograph.MostBytes>>20, photograph.MostPixels/1_000_000)
	}
	return nil
}
