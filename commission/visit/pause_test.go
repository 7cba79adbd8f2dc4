package visit

import (
	"context"
	"errors"
	"path/filepath"
	"strings"
	"testing"
	"testing/synctest"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
)

// breakingOff is an operator who breaks off at a certain question or wait, and at all
// that come after it.
type breakingOff struct {
	ask.Operator
	at, met int
	how     string // a key, "closed" for keys that can no longer come, "" for an error
	watched bool   // it was a wait
	asked   []string
}

// breaks counts a question or wait, and tells whether it is broken off.
func (o *breakingOff) breaks(id string) bool {
	o.met++
	if o.met > o.at {
		o.asked = append(o.asked, id)
	}
	return o.met >= o.at
}

func (o *breakingOff) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	if o.breaks(q.ID) {
		return ask.Answer{}, ask.ErrPaused
	}
	return o.Operator.Ask(ctx, q)
}

func (o *breakingOff) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	if !o.breaks(w.ID) {
		return o.Operator.Watch(ctx, w)
	}
	o.watched = o.watched || o.met == o.at
	if o.met > o.at || o.how == "" {
		return nil, ask.ErrPaused
	}
	inner, err := o.Operator.Watch(ctx, w)
	keys := make(chan ask.Pressed, 1)
	if o.how == "closed" {
		close(keys)
	} else {
		keys <- ask.Pressed{Key: ask.Key(o.how)}
	}
	return withKeys{inner, keys}, err
}

type withKeys struct {
	ask.Watching
	keys chan ask.Pressed
}

func (w withKeys) Pressed() <-chan ask.Pressed { return w.keys }

// Whoever breaks off, at whatever question or wait of whatever visit, is asked nothing
// more but what concerns an output that sounds. What was written until then stays as it
// would have been; nothing is written for them but that the visit was paused.
func TestAPauseAtEachQuestion(t *testing.T) {
	files, err := filepath.Glob("testdata/*.txtar")
	require.NoError(t, err)
	for _, file := range files {
		archive, err := txtar.ParseFile(file)
		require.NoError(t, err)
		t.Run(strings.TrimSuffix(filepath.Base(file), ".txtar"), func(t *testing.T) {
			whole, _, _ := brokenOff(t, archive, 1<<30, "")
			for at := 1; ; at++ {
				kept, o, err := brokenOff(t, archive, at, "")
				if o.met < at {
					break
				}
				assertPaused(t, whole, kept, o, err)
				if !o.watched {
					continue
				}
				for _, key := range []ask.Key{ask.Interrupted, ask.Gone} {
					kept, o, err := brokenOff(t, archive, at, string(key))
					assertPaused(t, whole, kept, o, err)
				}
				if _, o, err = brokenOff(t, archive, at, "closed"); o.met > at {
					assert.ErrorIs(t, err, ask.ErrPaused, "at %d", at)
				}
			}
		})
	}
}

// brokenOff runs the first part of a talk on a disk in memory, broken off.
func brokenOff(t *testing.T, archive *txtar.Archive, at int, how string) (
	kept []journal.Entry, o *breakingOff, is error,
) {
	t.Helper()
	synctest.Test(t, func(t *testing.T) {
		k := newTalk(t, archive)
		d := &disk{}
		ctx, cancel := context.WithTimeout(t.Context(), longestTalk)
		defer cancel()
		k.stop = cancel
		config, opened := k.visit(t, textOf(archive, "answers"))
		o = &breakingOff{Operator: config.Operator, at: at, how: how}
		config.Operator = o
		v, err := begin(config, journal.On(d), opened)
		require.NoError(t, err)
		is = v.Run(ctx)
		kept = d.kept(t)
	})
	return kept, o, is
}

func assertPaused(t *testing.T, whole, kept []journal.Entry, o *breakingOff, err error) {
	t.Helper()
	if o.met < o.at || errors.Is(err, context.Canceled) {
		return // it ended before
	}
	require.ErrorIs(t, err, ask.ErrPaused, "at %d", o.at)
	for _, id := range o.asked {
		assert.Contains(t, id, "off-by-hand", "at %d", o.at)
	}
	same := 0
	for same < len(kept) && same < len(whole) && kept[same].Kind == whole[same].Kind &&
		string(kept[same].Body) == string(whole[same].Body) {
		same++
	}
	same = min(same, len(kept)-1) // where the whole visit is paused as well
	for _, e := range kept[same : len(kept)-1] {
		assert.Contains(t, `ended {"step":"…","by":"pause"} energised signal connection`, e.Kind, "at %d", o.at)
		if e.Kind == "ended" {
			assert.Contains(t, string(e.Body), `"by":"pause"`)
		}
	}
	assert.Equal(t, `paused {"by":"technician"}`, kept[len(kept)-1].Kind+" "+string(kept[len(kept)-1].Body))
}
