package atomicfile

import (
	"os"
	"path/filepath"
	"sync"
)

// unfinished are the files that are written now and have no name yet. It is held while one
// gets its name.
var unfinished = struct {
	sync.Mutex
	names map[string]bool
}{names: map[string]bool{}}

// Abandon removes what is half-written. From then on nothing is written any more: whoever
// tries waits for ever. It is for a program that is about to end.
func Abandon() {
	unfinished.Lock()
	removeUnfinished()
}

func removeUnfinished() {
	for name := range unfinished.names {
		_ = os.Remove(name)
	}
}

// begin makes a file beside path that has no name to be found by.
func begin(path string) (*os.File, error) {
	folder, name := filepath.Split(path)
	unfinished.Lock()
	defer unfinished.Unlock()
	f, err := os.CreateTemp(filepath.Clean(folder), "."+name+".*.part")
	if err == nil {
		unfinished.names[f.Name()] = true
	}
	return f, err
}

// finish removes what begin made, unless it was renamed.
func finish(f *os.File) {
	unfinished.Lock()
	defer unfinished.Unlock()
	_ = os.Remove(f.Name())
	delete(unfinished.names, f.Name())
}

// placed gives an unfinished file its name.
func placed(f *os.File, path string, place func(from, to string) error) error {
	unfinished.Lock()
	defer unfinished.Unlock()
	return place(f.Name(), path)
}
