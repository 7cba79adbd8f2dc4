package due

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// Bounds of a walk: a folder that was named by mistake must not run for ever.
const (
	deepest     = 20        // folders below the one that is named
	mostEntries = 1_000_000 // files and folders that are looked at
)

// Trouble is a place that could not be looked at, and why.
type Trouble struct {
	Path string
	Why  error
}

// Reasons why a place was passed over.
var (
	ErrLink    = errors.New("a link to a folder, which is not followed; name it to have it looked through")
	ErrTooDeep = fmt.Errorf("more than %d folders deep: it is not looked through", deepest)
	ErrTooMany = fmt.Errorf("more than %d files and folders: the rest is not looked through", mostEntries)
	ErrNoJob   = errors.New("there is no job in it")
)

// Jobs are the folders of jobs below some folders, each once, in the order of their names. A
// folder with a site file or visits is a job; nothing below it is another. Links are not
// followed, but for a folder that is named itself.
func Jobs(named []string) (jobs []string, troubles []Trouble) {
	w := walk{seen: map[string]bool{}}
	for _, dir := range named {
		before, troubled := len(w.jobs), len(w.troubles)
		w.below(dir)
		if len(w.jobs) == before && len(w.troubles) == troubled && !w.again {
			w.trouble(dir, ErrNoJob)
		}
	}
	return w.jobs, w.troubles
}

type walk struct {
	jobs     []string
	troubles []Trouble
	seen     map[string]bool // real paths of jobs
	again    bool            // the folder led to a job that was found before
	entries  int
}

func (w *walk) trouble(path string, why error) { w.troubles = append(w.troubles, Trouble{path, why}) }

func (w *walk) below(named string) {
	w.again = false
	root := filepath.Clean(named)
	if target, err := filepath.EvalSymlinks(root); err == nil {
		root = target
	}
	if info, err := os.Stat(root); err == nil && !info.IsDir() {
		w.trouble(named, fs.ErrInvalid)
		return
	}
	_ = filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		w.entries++
		switch {
		case w.entries > mostEntries:
			w.trouble(named, ErrTooMany)
			return fs.SkipAll
		case err != nil:
			w.trouble(path, err)
			return nil // what stands beside it is looked through
		case d.Type()&fs.ModeSymlink != 0:
			if info, err := os.Stat(path); err == nil && info.IsDir() {
				w.trouble(path, ErrLink)
			}
			return nil
		case !d.IsDir():
			return nil
		case isJob(path):
			w.found(path)
			return fs.SkipDir
		case strings.Count(strings.TrimPrefix(path, root), string(filepath.Separator)) > deepest:
			w.trouble(path, ErrTooDeep)
			return fs.SkipDir
		}
		return nil
	})
}

func (w *walk) found(path string) {
	real, err := filepath.Abs(path)
	if err != nil {
		real = path
	}
	if w.again = w.seen[real]; !w.again {
		w.seen[real] = true
		w.jobs = append(w.jobs, path)
	}
}

// isJob tells whether a folder is a job's: it has a site file, or visits with a journal.
func isJob(path string) bool {
	if info, err := os.Stat(filepath.Join(path, "site.yaml")); err == nil && info.Mode().IsRegular() {
		return true
	}
	journals, _ := filepath.Glob(filepath.Join(globless(path), "visits", "*", "journal.jsonl"))
	return len(journals) > 0
}

// globless is a path of which no character is a pattern.
func globless(path string) string {
	return strings.NewReplacer(`\`, `\\`, `*`, `\*`, `?`, `\?`, `[`, `\[`).Replace(path)
}
