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

// New is a visit that may be begun now, and the first entry of its journal. Nothing is
// written. A retest follows the visit begun last that was not set aside.
func (f Folder) New(s *site.Site, kind programme.VisitKind, now time.Time) (Visit, record.Opened, error) {
	list, err := f.checklist(kind)
	if err != nil {
		return Visit{}, record.Opened{}, err
	}
	v, err := f.free(kind, now)
	if err != nil {
		return Visit{}, record.Opened{}, err
	}
	opened := record.Opened{Visit: kind, Number: s.Reference + "/" + v.Name, SiteName: siteName, Site: string(s.Raw)}
	if kind == programme.Retest {
		opened.Follows, opened.Programme, err = f.retest(s, list)
	} else {
		opened.Programme = programme.OfKind(kind, s, list)
	}
	return v, opened, err
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
