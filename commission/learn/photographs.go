package learn

import (
	"errors"
	"sync"

	"loopwitness/commission/ask"
	"loopwitness/commission/record"
)

// Photographs keeps what is photographed on a walk. One call comes at a time.
type Photographs interface {
	// Keep makes a photograph of what reports under an address durable, and names it.
	Keep(address, caption string, file []byte) (name string, err error)
	// Forget removes photographs.
	Forget(names []string) error
}

var errNotAsked = errors.New("that is not asked about any more; a photograph can be taken while it is")

// Photograph keeps a photograph of the thing that is being asked about, and returns its name.
// It may be called from any goroutine.
func (w *Walk) Photograph(shows record.About, caption string, file []byte) (name string, err error) {
	if w.Photographs == nil {
		return "", errors.New("no photographs are kept here")
	}
	w.thing.mu.Lock()
	defer w.thing.mu.Unlock()
	if w.thing.address == "" || shows != ask.ThingAt(w.thing.address) {
		return "", errNotAsked
	}
	name, err = w.Photographs.Keep(w.thing.address, caption, file)
	if err == nil {
		w.thing.taken = append(w.thing.taken, name)
	}
	return name, err
}

func (w *Walk) forget(names []string) error {
	if len(names) == 0 {
		return nil
	}
	w.thing.mu.Lock()
	defer w.thing.mu.Unlock()
	return w.Photographs.Forget(names)
}

// thing is what is being asked about, and the photographs that were taken of it meanwhile.
type thing struct {
	mu      sync.Mutex
	address string // "" for nothing
	taken   []string
}

func (t *thing) begin(address string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.address, t.taken = address, nil
}

func (t *thing) end() (taken []string) {
	t.mu.Lock()
	defer t.mu.Unlock()
	taken = t.taken
	t.address, t.taken = "", nil
	return taken
}
