// Package job is the folder of a job. Only this package builds paths in it.
//
//	site.yaml                           what is fitted
//	controller.yaml                     how to listen; may hold secrets
//	checklist-<kind>.yaml               instead of the built-in one
//	visits/<date>-<kind>/journal.jsonl  the record of a visit
//	visits/<date>-<kind>/photographs/
//	visits/running.lock                 held by the visit that is running
//	phone.pem                           what the page on a phone is served with; secret
//	phones.json                         hashes of the phones that are paired with the visit
//	learnt/photographs.json             what the photographs beside it show: of the walk that learnt the site
//	certificates/<visit>-rev<n>.pdf
//
// Visits stand in the order in which they were begun, as the first entry of each journal
// tells: the times of files are lost when a folder is copied.
package job

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// ErrNoSite says that the folder is no job's, or not yet.
var ErrNoSite = errors.New("there is no site file")

const siteName = "site.yaml"

// Folder is a job.
type Folder struct{ dir string }

// At is the job in a folder, which need not exist.
func At(dir string) Folder { return Folder{dir} }

// Dir is the folder as it was named.
func (f Folder) Dir() string { return f.dir }

// SitePath is where the site file is.
func (f Folder) SitePath() string { return filepath.Join(f.dir, siteName) }

// DraftPath is where an interview that was broken off leaves what it has of a site.
func (f Folder) DraftPath() string { return filepath.Join(f.dir, "site-draft.yaml") }

// LearnDraftPath is where a walk through a site that was broken off leaves what it has.
func (f Folder) LearnDraftPath() string { return filepath.Join(f.dir, "learn-draft.yaml") }

// LabelsPath is where sheets of labels are written.
func (f Folder) LabelsPath() string { return filepath.Join(f.dir, "labels.pdf") }

// ControllerPath is where it stands how to listen.
func (f Folder) ControllerPath() string { return filepath.Join(f.dir, "controller.yaml") }

// Site reads the site file. Errors wrap ErrNoSite or strictyaml.ErrRefused.
func (f Folder) Site() (*site.Site, error) {
	data, err := strictyaml.ReadFile(f.SitePath())
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%w: %s", ErrNoSite, f.SitePath())
	}
	if err != nil {
		return nil, err
	}
	return site.Read(f.SitePath(), data)
}

// Source makes the source of signals that controller.yaml asks for; without the file,
// the technician watches the controller's own indication.
func (f Folder) Source(s *site.Site, c clock.Clock) (signal.Source, error) {
	config, err := f.Config(s)
	if err != nil {
		return nil, err
	}
	return config.Source(s, c)
}

// checklist is the job's own, or the built-in one.
func (f Folder) checklist(kind programme.VisitKind) (programme.Checklist, error) {
	path := filepath.Join(f.dir, "checklist-"+string(kind)+".yaml")
	data, err := strictyaml.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		path, data = programme.BuiltInChecklist(kind)
		err = nil
	}
	if err != nil {
		return programme.Checklist{}, err
	}
	return programme.ReadChecklist(path, data)
}
