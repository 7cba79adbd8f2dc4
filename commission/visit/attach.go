package visit

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/natefinch/atomic"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
)

// PhotographPath is where the photograph of that name is kept, beside the journal at
// path.
func PhotographPath(path, name string) string {
	return filepath.Join(filepath.Dir(path), "photographs", name)
}

// Attach adds a photograph to a visit that is not running: the picture without its
// hidden data beside the journal at path, its hash in it. Errors wrap
// photograph.ErrRefused or journal.ErrHeld where that is the reason.
func Attach(c clock.Clock, path string, about record.About, caption string, file []byte) (added record.Photographed, err error) {
	if err := record.CheckCaption(caption); err != nil {
		return added, err
	}
	p, err := photograph.Take(file)
	if err != nil {
		return added, err
	}
	w, contents, recovered, err := journal.Open(path)
	if err != nil {
		return added, err
	}
	defer func() { err = errors.Join(err, w.Close()) }()
	if recovered.Bytes > 0 {
		return added, fmt.Errorf("the journal ended in an unfinished line, which was set aside in %s; try again", recovered.File)
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return added, fmt.Errorf("%s: %w", path, err)
	}
	if _, err := about.Title(r.Site()); err != nil {
		return added, err
	}
	if err := roomFor(r, p); err != nil {
		return added, err
	}
	sum := sha256.Sum256(p.Content)
	added = record.Photographed{Name: r.NextPhotograph(p.Media), About: about, Caption: caption, SHA256: hex.EncodeToString(sum[:]),
		Bytes: len(p.Content), Media: p.Media, Width: p.Width, Height: p.Height, Taken: p.Taken, Removed: p.Removed}
	kept := PhotographPath(path, added.Name)
	if err := os.MkdirAll(filepath.Dir(kept), 0o755); err != nil {
		return added, err
	}
	if err := atomic.WriteFile(kept, bytes.NewReader(p.Content)); err != nil {
		return added, fmt.Errorf("keep the photograph: %w", err)
	}
	_, err = w.Append(c.Now(), added.Kind(), added)
	return added, err
}

func roomFor(r *record.Record, p photograph.Photograph) error {
	total, pixels, sum := len(p.Content), p.Width*p.Height, sha256.Sum256(p.Content)
	for _, there := range r.Photographs() {
		if there.SHA256 == hex.EncodeToString(sum[:]) {
			return fmt.Errorf("%w: the visit has this picture already, as %s", photograph.ErrRefused, there.Name)
		}
		total += there.Bytes
		pixels += there.Width * there.Height
	}
	if len(r.Photographs()) >= photograph.Most || total > photograph.MostBytes || pixels > photograph.MostPixels {
		return fmt.Errorf("%w: a visit keeps at most %d photographs of %d MiB and %d million pixels in all", photograph.ErrRefused, photograph.Most, photograph.MostBytes>>20, photograph.MostPixels/1_000_000)
	}
	return nil
}
