package job

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// New is a visit that may be begun now, and the first entry of its journal. Nothing is
// written. A retest follows the visit begun last.
func (f Folder) New(s *site.Site, kind programme.VisitKind, now time.Time) (Visit, record.Opened, error) {
	list, err := f.checklist(kind)
	if err != nil {
		return Visit{}, record.Opened{}, err
	}
	v, err := f.free(kind, now)
	if err != nil {
		return Visit{}, record.Opened{}, err
	}
	opened := record.Opened{Visit: kind, Document: s.Reference + "/" + v.Name, SiteName: siteName, Site: string(s.Raw)}
	if kind == programme.Retest {
		opened.Follows, opened.Programme, err = f.retest(s, list)
	} else {
		opened.Programme = programme.Of(s, list)
	}
	return v, opened, err
}

// retest is what a retest that begins now follows, and its programme.
func (f Folder) retest(s *site.Site, list programme.Checklist) (string, []programme.Step, error) {
	previous, err := f.Newest()
	if err != nil {
		return "", nil, fmt.Errorf("a retest follows an earlier visit: %w", err)
	}
	r, err := previous.Record()
	if err != nil {
		return "", nil, fmt.Errorf("a retest follows an earlier visit: %w", err)
	}
	return previous.Name, programme.OfRetest(s, list, r.Opened().Programme, judge.Unsatisfied(r)), nil
}

// free is a visit with a name that is not taken: <date>-<kind>, with a number from the
// second of a day on.
func (f Folder) free(kind programme.VisitKind, now time.Time) (Visit, error) {
	base := now.Format(time.DateOnly) + "-" + string(kind)
	v := Visit{Name: base, folder: f}
	for n := 2; ; n++ {
		_, err := os.Lstat(v.path())
		if errors.Is(err, fs.ErrNotExist) {
			return v, nil
		}
		if err != nil {
			return Visit{}, err
		}
		v.Name = fmt.Sprintf("%s-%d", base, n)
	}
}
