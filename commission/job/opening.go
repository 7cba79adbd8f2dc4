package job

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// New is a visit that may be begun now, and the first entry of its journal, with nothing said
// about how it begins. See Begin.
func (f Folder) New(s *site.Site, kind programme.VisitKind, now time.Time) (Visit, record.Opened, error) {
	v, opened, _, err := f.Begin(s, Beginning{Kind: kind}, now)
	return v, opened, err
}

// Begin is a visit that may be begun now, the first entry of its journal, and the earlier
// visits that are left out, with why. Nothing is written. A retest follows the visit begun
// last that was not set aside.
func (f Folder) Begin(s *site.Site, b Beginning, now time.Time) (Visit, record.Opened, []LeftOut, error) {
	list, err := f.checklist(b.Kind)
	if err != nil {
		return Visit{}, record.Opened{}, nil, err
	}
	v, err := f.free(b.Kind, now)
	if err != nil {
		return Visit{}, record.Opened{}, nil, err
	}
	opened := record.Opened{Visit: b.Kind, Number: s.Reference + "/" + v.Name, SiteName: siteName, Site: string(s.Raw),
		Language: b.Language}
	if opened.Logo, err = f.Logo(s); err != nil {
		return v, opened, nil, err
	}
	whole := programme.OfKind(b.Kind, s, list)
	if b.Kind == programme.Retest {
		if opened.Follows, whole, err = f.retest(s, list); err != nil {
			return v, opened, nil, err
		}
	}
	left, err := f.remember(&opened, b)
	if err == nil {
		err = b.sample(&opened, s)
	}
	if err != nil {
		return v, opened, left, err
	}
	opened.Programme = opened.Completed(s, whole, nil)
	return v, opened, left, nil
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
