package job

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
)

// ErrPhotographGone says that a photograph that the journal tells of is not kept.
var ErrPhotographGone = errors.New("it is gone; put the file back, the journal tells of it")

func (v Visit) photographPath(name string) string { return v.path("photographs", name) }

// Photograph reads a kept photograph. Errors wrap ErrPhotographGone if it is not there.
func (v Visit) Photograph(p record.Photograph) ([]byte, error) {
	path := v.photographPath(p.Name)
	content, err := photograph.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w", path, ErrPhotographGone)
	}
	return content, err
}

// Attach adds a photograph to a visit that is not running: the picture without its
// hidden data beside the journal, its hash in it. Errors wrap photograph.ErrRefused or
// journal.ErrHeld where that is the reason.
func (v Visit) Attach(
	c clock.Clock, about record.About, caption string, file []byte,
) (added record.Photographed, err error) {
	if err := record.CheckCaption(caption); err != nil {
		return added, err
	}
	p, err := photograph.Take(file)
	if err != nil {
		return added, err
	}
	err = v.between(c, func(r *record.Record) (record.Fact, error) {
		if _, err := about.Title(r.Site()); err != nil {
			return nil, err
		}
		added = record.Photographed{Name: r.NextPhotograph(p.Media), About: about, Caption: caption,
			SHA256: digest(p.Content), Bytes: len(p.Content), Media: p.Media, Width: p.Width, Height: p.Height,
			Taken: p.Taken, Removed: p.Removed}
		if err := roomFor(r, added); err != nil {
			return nil, err
		}
		if err := v.keep(added.Name, p.Content); err != nil {
			return nil, fmt.Errorf("keep the photograph: %w", err)
		}
		return added, nil
	})
	return added, err
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
		if there.SHA256 == p.SHA256 {
			return fmt.Errorf("%w: the visit has this picture already, as %s", photograph.ErrRefused, there.Name)
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
