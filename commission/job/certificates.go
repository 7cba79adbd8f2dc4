package job

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
)

// CertificatePath is the file of a revision of the visit's certificate, from 1.
func (v Visit) CertificatePath(revision int) string {
	return filepath.Join(v.folder.certificates(), fmt.Sprintf("%s-rev%d.pdf", v.Name, revision))
}

// SummaryPath is the file of the summary of a revision.
func (v Visit) SummaryPath(revision int) string {
	return filepath.Join(v.folder.certificates(), fmt.Sprintf("%s-rev%d-summary.pdf", v.Name, revision))
}

func (f Folder) certificates() string { return filepath.Join(f.dir, "certificates") }

// LastRevision is the highest revision of the visit's certificate that there is, 0 for
// none. One that was removed is not taken again unless it was the last.
func (v Visit) LastRevision() (int, error) {
	entries, err := os.ReadDir(v.folder.certificates())
	if errors.Is(err, fs.ErrNotExist) {
		return 0, nil
	}
	if err != nil {
		return 0, err
	}
	// Some file systems take capitals and small letters for the same.
	form := regexp.MustCompile(`(?i)^` + regexp.QuoteMeta(v.Name) + `-rev(\d{1,9})\.pdf$`)
	revisions := []int{0}
	for _, e := range entries {
		if m := form.FindStringSubmatch(e.Name()); m != nil {
			n, _ := strconv.Atoi(m[1]) // at most nine digits
			revisions = append(revisions, n)
		}
	}
	return slices.Max(revisions), nil
}
