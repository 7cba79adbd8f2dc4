package learn

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/scripted"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/signal"
	"loopwitness/commission/words"
)

// lines are a board as it reads: point, name, standing; and what each zone reports.
func lines(b ask.Board) (all []string) {
	for _, z := range b.Zones {
		all = append(all, fmt.Sprintf("%d %s %s%s", z.Name.Number, z.Name.Name, z.Now, z.Garbled))
		for _, d := range z.Detectors {
			all = append(all, fmt.Sprintf("%s %s %s", d.Point, d.Name, d.Standing))
		}
	}
	return all
}

// The board has what the file has and what was learnt, told apart.
func TestBoard(t *testing.T) {
	l := New(knownSite(t), []Said{
		{What: Detector, Address: "z7", Name: "Shop door", Kind: "door"},
		{What: Detector, Address: "z3", Name: "Right", Kind: "window"},
		{What: Same, Address: "z3"},
	})
	b := l.Board()
	assert.Equal(t, &ask.LearningStatus{Zones: 1, Detectors: 2}, b.Learnt)
	assert.True(t, b.Connected)
	got := strings.Join(lines(b), "\n")
	for _, want := range []string{"3.1 Left known", "3.2 Right learnt", "7.1 Shop door learnt"} {
		assert.Contains(t, got, want)
	}
	assert.Len(t, l.addresses(), len(b.Zones))
	assert.Empty(t, New(nil, nil).Board().Zones)
}

// watched is a technician to whom the board is shown; during is what happens while a question
// stands.
type watched struct {
	ask.Operator
	during func(q ask.Question)

	mu    sync.Mutex
	board ask.Board
}

func (w *watched) Board(b ask.Board) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.board = b
}

func (w *watched) shown() ask.Board {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.board
}

func (w *watched) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	time.Sleep(5 * time.Second)
	w.during(q)
	return w.Operator.Ask(ctx, q)
}

// What a zone reports is on the board while a question stands, and that the connection is lost.
func TestTheBoardShowsWhatReportsAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a, err := scripted.Read("answers.yaml", []byte("answers: [{when: '*/name', say: n}, {when: '*/kind', say: door},"+
			" {when: learn/walk, say: finish, after: 10s}]"))
		require.NoError(t, err)
		p := &watched{Operator: scripted.New(a, clock.Real{}, &bytes.Buffer{}, words.English{})}
		var seen []string
		p.during = func(q ask.Question) {
			b := p.shown()
			for _, z := range b.Zones {
				if z.Name.Number == 3 {
					seen = append(seen, fmt.Sprintf("%s %s%s %t", q.ID, z.Now, z.Garbled, b.Connected))
				}
			}
		}
		w := Walk{
			Operator: p,
			Source:   timeline("1s z7 active\n2s z3 restored\n7s z3 garbled\n8s down\n12s z3 active\n12s up\n"),
			Clock:    clock.Real{},
			Learner:  New(knownSite(t), []Said{{What: Complete, Address: "z3"}}),
			Keep:     func([]Said) error { return nil },
		}
		require.NoError(t, w.Listen(t.Context()))
		stop := w.KeepShowing()
		require.NoError(t, w.Run(t.Context()))
		stop()
		assert.Equal(t, []string{"learn/z7/name restored true", `learn/z7/kind not understood"ajar" false`,
			"learn/z7/location active true"}, seen)
		assert.Equal(t, &ask.LearningStatus{Zones: 1, Detectors: 1}, p.shown().Learnt, "as it ended")
		assert.Equal(t, signal.Active, p.shown().Zones[0].Now)
	})
}

// album keeps photographs in memory.
type album struct {
	kept map[string]string
	n    int
}

func (a *album) Keep(address, _ string, _ []byte) (string, error) {
	a.n++
	name := fmt.Sprintf("photograph-%d.jpg", a.n)
	a.kept[name] = address
	return name, nil
}

func (a *album) Forget(names []string) error {
	for _, n := range names {
		if a.kept[n] == "" {
			return errors.New("it is not kept")
		}
		delete(a.kept, n)
	}
	return nil
}

// A photograph is of the thing that is asked about while it is taken, and goes with it: one of a
// thing that is not named, or is taken back, is not kept.
func TestPhotographsOfThings(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		a, err := scripted.Read("answers.yaml", []byte(`answers:
  - {when: learn/z8/name, say: back}
  - {when: "*/name", say: thing}
  - {when: "*/kind", say: door}
  - {when: learn/walk, say: [forget, forget, forget, forget, finish], after: 100s}
`))
		require.NoError(t, err)
		pictures := &album{kept: map[string]string{}}
		p := &watched{Operator: scripted.New(a, clock.Real{}, &bytes.Buffer{}, words.English{})}
		w := Walk{Operator: p, Source: timeline("1s z7 active\n30s z8 active\n60s z9 active\n"), Clock: clock.Real{},
			Learner: New(nil, nil), Keep: func([]Said) error { return nil }, Photographs: pictures}
		p.during = func(q ask.Question) {
			_, err := w.Photograph(ask.ThingAt("z1"), "", nil)
			assert.ErrorIs(t, err, errNotAsked)
			if strings.HasSuffix(q.ID, "/name") {
				_, err = w.Photograph(q.Shows, "", nil)
				assert.NoError(t, err)
			}
		}
		require.NoError(t, w.Listen(t.Context()))
		require.NoError(t, w.Run(t.Context()))
		assert.Equal(t, 3, pictures.n)
		assert.Equal(t, map[string]string{"photograph-1.jpg": "z7"}, pictures.kept)
		require.Len(t, w.Learner.Said(), 1)
		assert.Equal(t, []string{"photograph-1.jpg"}, w.Learner.Said()[0].Photographs)
		_, err = w.Photograph(ask.ThingAt("z7"), "", nil)
		assert.ErrorIs(t, err, errNotAsked)
		_, err = (&Walk{}).Photograph(ask.ThingAt("z7"), "", nil)
		assert.Error(t, err)
	})
}
