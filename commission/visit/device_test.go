package visit

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// handheld is a phone of the technician's: it may be out of reach, is shown the board, and
// presses the keys that it is given for a watch.
type handheld struct {
	ask.Operator
	mu       sync.Mutex
	does     ask.OutOfTurn
	silent   time.Duration
	lost     time.Time // when it went out of reach, zero while it is
	boards   []ask.Board
	sounding [][]string
	draws    bool
	steps    []string // of questions, as ID=Step
	keys     map[string]func(chan<- ask.Pressed)
	strokes  *record.Strokes
	during   map[string]func() // what happens while a question stands
	pressed  chan ask.Pressed  // keys of the watches of that name, once they began
	of       string
}

func (p *handheld) Serve(does ask.OutOfTurn) {
	p.mu.Lock()
	p.does = does
	p.mu.Unlock()
	does.Held(record.Held{By: record.OnPhone, Device: "a phone"})
}
func (p *handheld) Silent() time.Duration {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.lost.IsZero() {
		return p.silent
	}
	return time.Since(p.lost)
}
func (p *handheld) Keeps() bool { return false }
func (p *handheld) Hail()       {}
func (p *handheld) Draws() bool { return p.draws }
func (p *handheld) Sounding(outputs []string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.sounding = append(p.sounding, outputs)
}

func (p *handheld) Board(b ask.Board) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.boards = append(p.boards, b)
}

// falls lets it be silent for so long, and no longer.
func (p *handheld) falls(silent time.Duration) { p.mu.Lock(); p.silent = silent; p.mu.Unlock() }

// leaves goes out of reach, until comesBack.
func (p *handheld) leaves()    { p.mu.Lock(); p.lost = time.Now(); p.mu.Unlock() }
func (p *handheld) comesBack() { p.mu.Lock(); p.lost = time.Time{}; p.mu.Unlock() }

func (p *handheld) Ask(ctx context.Context, q ask.Question) (ask.Answer, error) {
	p.mu.Lock()
	p.steps = append(p.steps, q.ID+"="+q.Step)
	p.mu.Unlock()
	if during := p.during[q.ID]; during != nil {
		during()
	}
	if _, is := q.Takes.(ask.Signature); is && p.strokes != nil {
		return ask.Answer{Strokes: p.strokes}, nil
	}
	return p.Operator.Ask(ctx, q)
}

func (p *handheld) Watch(ctx context.Context, w ask.Watch) (ask.Watching, error) {
	inner, err := p.Operator.Watch(ctx, w)
	if press := p.keys[w.ID]; press != nil {
		delete(p.keys, w.ID)
		p.pressed = make(chan ask.Pressed)
		p.of = w.ID
		go press(p.pressed)
	}
	if p.of == "" || p.of != w.ID {
		return inner, err
	}
	return withKeys{inner, p.pressed}, err
}

// inHand runs a visit of some steps of the bench with a phone, in fake time.
func inHand(
	t *testing.T,
	source signal.Source,
	answers string,
	p *handheld,
	steps ...string,
) (*record.Record, string, error) {
	t.Helper()
	b := newBench(t, source, clock.Real{}, answers)
	p.Operator = b.config.Operator
	b.config.Operator = p
	s := siteOf(t, benchSite)
	opened := openedFor(t, s)
	var some []programme.Step
	for _, step := range opened.Programme {
		for _, id := range steps {
			if step.ID == id || strings.HasSuffix(id, "*") && strings.HasPrefix(step.ID, strings.TrimSuffix(id, "*")) {
				some = append(some, step)
			}
		}
	}
	opened.Programme = some
	path, r, err := b.start(t, t.Context(), s, opened)
	contents, reading := journal.ReadFile(path)
	require.NoError(t, reading)
	folded, folding := record.Fold(contents.Entries)
	require.NoError(t, folding)
	assert.Equal(t, r, folded, "the live record is the folded one")
	breaksNoLaw(t, folded)
	return r, b.out.String(), err
}

const sounds = "answers:\n  - {when: outputs/Sounder, say: energise}\n  - {when: \"*/energise\", say: \"yes\"}\n" +
	"  - {when: \"*/heard\", say: \"yes\"}\n  - {when: \"*\", say: \"\"}\n"

// A sounder goes off when the phone that holds the questions has been silent for more than ten
// seconds, not before, and the step goes on (common practice, no source).
func TestASounderIsOffWhenThePhoneIsSilent(t *testing.T) {
	for silent, off := range map[time.Duration]bool{10 * time.Second: false, 10*time.Second + 1: true} {
		synctest.Test(t, func(t *testing.T) {
			source := &timeline{}
			p := &handheld{}
			on := true
			p.during = map[string]func(){"outputs/Sounder/heard": func() {
				p.falls(silent)
				time.Sleep(2 * time.Second)
				source.mu.Lock()
				on = source.sounding["Sounder"]
				source.mu.Unlock()
				p.falls(0)
			}}
			r, said, err := inHand(t, source, sounds, p, "outputs/Sounder")
			require.NoError(t, err, said)
			assert.Equal(t, !off, on, silent.String())
			assert.Equal(t, off, strings.Contains(said, "has not been heard of"), said)
			assert.Contains(t, said, "If this phone is out of reach for 10 s", "the caution says it before")
			assert.Equal(t, record.Works, r.Find("outputs/Sounder").Result())
			assert.Empty(t, r.Energised())
			assert.Equal(t, off, strings.Contains(said, "is OFF since"), "put again, of the time in which it was on")
			assert.Equal(t, !off, strings.Contains(said, "Sound level now"), "not of what is off")
			why, after := r.Find("outputs/Sounder").OffBecause()
			assert.Equal(t, off, why == record.OffPhoneSilent)
			assert.Equal(t, off, after)
		})
	}
}

func TestWhatADeviceDoesOutOfTurn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		p := &handheld{}
		p.during = map[string]func(){"outputs/Sounder/heard": func() {
			time.Sleep(time.Second)
			p.does.Quiet()
			source.mu.Lock()
			defer source.mu.Unlock()
			assert.False(t, source.sounding["Sounder"], "at once")
			time.Sleep(time.Second)
		}}
		r, said, err := inHand(t, source, sounds, p, "outputs/Sounder")
		require.NoError(t, err)
		assert.Contains(t, said, "Switching off, as you asked: Sounder")
		assert.Equal(t, []string{"a phone"}, r.Devices())
		assert.Equal(t, [][]string{{"Sounder"}, nil}, p.sounding)
		for _, asked := range p.steps {
			assert.Contains(t, asked, "=outputs/Sounder")
		}
		p.does.Held(record.Held{By: record.AtTerminal})
		p.does.Quiet()
		assert.Equal(t, []string{"a phone"}, r.Devices(), "nothing is written behind the end")
	})
}

// photographer keeps photographs in memory, and notes what came first.
type photographer struct {
	kept map[string][]byte
	did  []string
	fail error
	slow time.Duration // until one is durable
}

type shot struct {
	*photographer
	about record.About
	file  []byte
}

func (p *photographer) Prepare(about record.About, _ string, file []byte) (Prepared, error) {
	return shot{p, about, file}, nil
}

func (s shot) Fact(r *record.Record) (record.Photographed, error) {
	return record.Photographed{
		Name:   r.NextPhotograph("image/jpeg"),
		About:  s.about,
		Media:  "image/jpeg",
		Bytes:  len(s.file),
		SHA256: strings.Repeat("0", 64),
		Width:  2,
		Height: 2,
	}, nil
}

func (s shot) Keep(f record.Photographed) error {
	time.Sleep(s.slow)
	s.did = append(s.did, "kept "+f.Name)
	s.kept[f.Name] = s.file
	return s.fail
}

func (p *photographer) Took(_ time.Time, f record.Fact) {
	if shot, is := f.(record.Photographed); is {
		p.did = append(p.did, "wrote "+shot.Name)
	}
}

// The picture is durable before the journal tells of it; one that could not be kept is in no
// journal.
func TestAPhotographOfADevice(t *testing.T) {
	for _, fail := range []error{nil, errors.New("no room")} {
		synctest.Test(t, func(t *testing.T) {
			p := &handheld{}
			keeps := &photographer{kept: map[string][]byte{}, fail: fail}
			name, failed := "", error(nil)
			p.during = map[string]func(){"inspection/people-told": func() {
				name, failed = p.does.Photograph("supply", "", []byte("picture"))
			}}
			b := newBench(t, &timeline{}, clock.Real{}, "answers:\n  - {when: \"*\", say: done}\n")
			p.Operator = b.config.Operator
			b.config.Operator, b.config.Photographs, b.config.Readers = p, keeps, []Reader{keeps}
			s := siteOf(t, benchSite)
			opened := openedFor(t, s)
			opened.Programme = opened.Programme[3:4]
			require.Equal(t, "inspection/people-told", opened.Programme[0].ID)
			_, r, err := b.start(t, t.Context(), s, opened)
			require.NoError(t, err)
			if fail != nil {
				assert.ErrorIs(t, failed, fail)
				assert.Empty(t, r.Photographs())
				return
			}
			require.NoError(t, failed)
			assert.Equal(t, "photograph-1.jpg", name)
			assert.Equal(t, []string{"kept photograph-1.jpg", "wrote photograph-1.jpg"}, keeps.did)
			assert.Len(t, r.Photographs(), 1)
			_, err = p.does.Photograph("supply", "", []byte("picture"))
			assert.Error(t, err, "the visit is over")
		})
	}
}

// Of two that come at once both are kept, each under its name.
func TestTwoPhotographsAtOnce(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := &handheld{}
		keeps := &photographer{kept: map[string][]byte{}, slow: time.Second}
		p.during = map[string]func(){"inspection/people-told": func() {
			var both sync.WaitGroup
			for range 2 {
				both.Go(func() {
					_, err := p.does.Photograph("supply", "", []byte("picture"))
					assert.NoError(t, err)
				})
			}
			both.Wait()
		}}
		b := newBench(t, &timeline{}, clock.Real{}, "answers:\n  - {when: \"*\", say: done}\n")
		p.Operator = b.config.Operator
		b.config.Operator, b.config.Photographs = p, keeps
		s := siteOf(t, benchSite)
		opened := openedFor(t, s)
		opened.Programme = opened.Programme[3:4]
		_, r, err := b.start(t, t.Context(), s, opened)
		require.NoError(t, err)
		assert.Len(t, r.Photographs(), 2)
		assert.Len(t, keeps.kept, 2)
	})
}

// Both names are drawn where the technician's device can be drawn on.
func TestNamesAreDrawn(t *testing.T) {
	strokes := &record.Strokes{
		Width:  300,
		Height: 100,
		Lines:  [][]int16{{1, 2, 3, 4, 5, 6, 7, 8}, {9, 9, 8, 8, 7, 7, 6, 6}},
	}
	for _, draws := range []bool{true, false} {
		synctest.Test(t, func(t *testing.T) {
			p := &handheld{draws: draws, strokes: strokes}
			r, said, err := inHand(t, &timeline{}, benchAnswers, p, "sign-off/*")
			require.NoError(t, err, said)
			if draws {
				assert.Equal(t, strokes, r.Find(programme.IDTechnician).Signed().Strokes)
			} else {
				assert.Nil(t, r.Find(programme.IDTechnician).Signed().Strokes)
			}
			assert.Equal(t, strokes, r.Customer().Strokes)
			for _, asked := range p.steps {
				id, step, _ := strings.Cut(asked, "=")
				assert.True(t, strings.HasPrefix(id, step) && step != "", asked)
			}
		})
	}
}

// What was opened before the technician came to the detectors was not opened for a test,
// whatever a touch says by a clock that nobody knows.
func TestWhatWasOpenedBeforeTheWalkProvesNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{}
		p := &handheld{}
		p.during = map[string]func(){"inspection/people-told": func() {
			time.Sleep(time.Second)
			source.say("z1 active")
			time.Sleep(2 * time.Second)
			source.say("z1 restored")
			time.Sleep(2 * time.Second)
		}}
		p.keys = map[string]func(chan<- ask.Pressed){"walk/1.1/ready": func(keys chan<- ask.Pressed) {
			time.Sleep(time.Second)
			keys <- ask.Pressed{Key: ask.Ready, NotTimed: record.ClockUnknown}
		}}
		r, said, err := inHand(t, source, "answers:\n  - {when: inspection/people-told, say: done}\n"+
			"  - {when: \"walk/*/operate\", say: silent, after: 3 s}\n  - {when: \"*/not-proved\", say: as it is}\n", p,
			"inspection/people-told", "walk/1.1")
		require.NoError(t, err, said)
		a := r.Find("walk/1.1").Attempts()
		require.Len(t, a, 1, said)
		assert.Equal(t, record.Silent, a[0].Verdict(), said)
	})
}

// A walk with a phone: what the touches mean, and what is heard while it is out of reach.
func TestAWalkWithAPhone(t *testing.T) {
	const walk = "answers:\n  - {when: walk/1.1/ready, say: [roam, skip]}\n  - {when: \"walk/*/ready\", say: skip}\n" +
		"  - {when: \"*/reason\", say: locked}\n" +
		"  - {when: \"*/zone-2\", say: none}\n  - {when: \"*/not-proved\", say: as it is}\n"
	type trial struct {
		verdict record.Verdict
		took    time.Duration
		why     record.Untimed
	}
	at := func(source *timeline, in time.Duration, what string) { time.AfterFunc(in, func() { source.say(what) }) }
	for name, tc := range map[string]struct {
		walk func(source *timeline, p *handheld, g glass, keys chan<- ask.Pressed)
		want map[string]trial
	}{
		"a touch long before": {func(source *timeline, _ *handheld, g glass, keys chan<- ask.Pressed) {
			keys <- g.touched(time.Now(), ask.Touch)
			at(source, 16*time.Second, "z1 active")
			at(source, 18*time.Second, "z1 restored")
			time.Sleep(25 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"1.1": {record.Reported, 0, record.NoTouch}}},
		"a touch is one operation's": {func(source *timeline, _ *handheld, g glass, keys chan<- ask.Pressed) {
			keys <- g.touched(time.Now(), ask.Touch)
			at(source, 500*time.Millisecond, "z3 active")
			at(source, 1500*time.Millisecond, "z3 restored")
			at(source, 5*time.Second, "z1 active")
			at(source, 6*time.Second, "z1 restored")
			time.Sleep(12 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"3.1": {record.Proved, 500 * time.Millisecond, ""}, "1.1": {record.Reported, 0, record.NoTouch}}},
		"a touch of which nothing came in its room": {func(source *timeline, _ *handheld, g glass, keys chan<- ask.Pressed) {
			keys <- g.touched(time.Now(), ask.Touch)
			time.Sleep(time.Second)
			keys <- ask.Pressed{Key: ask.RoomDone}
			at(source, time.Second, "z1 active")
			at(source, 2*time.Second, "z1 restored")
			time.Sleep(9 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"1.1": {record.Reported, 0, record.NoTouch}}},
		"a touch that names its detector": {func(source *timeline, _ *handheld, g glass, keys chan<- ask.Pressed) {
			time.Sleep(time.Second)
			source.operate, source.restore = "500ms z2 active", "400ms z2 restored"
			touch := g.touched(time.Now(), ask.Touch)
			touch.To = "2.2"
			keys <- touch
			time.Sleep(9 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"2.2": {record.Proved, 500 * time.Millisecond, ""}}},
		"a touch that names one, and nothing comes": {func(source *timeline, _ *handheld, g glass, keys chan<- ask.Pressed) {
			time.Sleep(time.Second)
			source.operate = "500ms z1 active; 900ms z1 restored"
			touch := g.touched(time.Now(), ask.Touch)
			touch.To = "2.2"
			keys <- touch
			time.Sleep(9 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"2.2": {record.Crossed, 0, ""}}},
		"a touch that names what has reported": {func(source *timeline, _ *handheld, g glass, keys chan<- ask.Pressed) {
			at(source, time.Second, "z1 active")
			at(source, 4*time.Second, "z1 restored")
			time.Sleep(2 * time.Second)
			touch := g.touched(time.Now(), ask.Touch)
			touch.To = "1.1"
			keys <- touch
			time.Sleep(8 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"1.1": {record.Reported, 0, record.NoTouch}}},
		"touches that were kept in a cellar": {func(source *timeline, p *handheld, g glass, keys chan<- ask.Pressed) {
			began := time.Now()
			p.leaves()
			at(source, 1300*time.Millisecond, "z1 active")
			at(source, 4*time.Second, "z1 restored")
			at(source, 10600*time.Millisecond, "z3 active")
			at(source, 12*time.Second, "z3 restored")
			time.Sleep(60 * time.Second)
			p.comesBack()
			time.Sleep(time.Second)
			keys <- g.touched(began.Add(time.Second), ask.Touch)
			keys <- g.touched(began.Add(10*time.Second), ask.Touch)
			time.Sleep(8 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"1.1": {record.Proved, 300 * time.Millisecond, ""}, "3.1": {record.Proved, 600 * time.Millisecond,
			""}}},
		"touches that name their detectors, kept": {func(source *timeline, p *handheld, g glass, keys chan<- ask.Pressed) {
			began := time.Now()
			p.leaves()
			at(source, 1300*time.Millisecond, "z2 active")
			at(source, 4*time.Second, "z2 restored")
			at(source, 10600*time.Millisecond, "z1 active")
			at(source, 12*time.Second, "z1 restored")
			time.Sleep(30 * time.Second)
			for i, to := range []string{"2.1", "1.1"} {
				touch := g.touched(began.Add(time.Second+time.Duration(i)*9*time.Second), ask.Touch)
				touch.To = site.Point(to)
				keys <- touch
			}
			p.comesBack()
			time.Sleep(8 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"1.1": {record.Proved, 600 * time.Millisecond, ""}, "2.1": {record.Proved, 300 * time.Millisecond,
			""}}},
		"a touch by a clock that nobody knows": {func(source *timeline, _ *handheld, _ glass, keys chan<- ask.Pressed) {
			keys <- ask.Pressed{Key: ask.Touch, NotTimed: record.ClockUnknown}
			at(source, 2*time.Second, "z1 active")
			at(source, 3*time.Second, "z1 restored")
			time.Sleep(9 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"1.1": {record.Reported, 0, record.ClockUnknown}}},
		"one by a clock that nobody knows, after one of which nothing came": {func(source *timeline, _ *handheld, g glass,
			keys chan<- ask.Pressed) {
			keys <- g.touched(time.Now(), ask.Touch)
			time.Sleep(5 * time.Second)
			keys <- ask.Pressed{Key: ask.Touch, NotTimed: record.ClockUnknown}
			at(source, time.Second, "z1 active")
			at(source, 2*time.Second, "z1 restored")
			time.Sleep(9 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"1.1": {record.Reported, 0, record.ClockUnknown}}},
		"a touch that names the next of a bank while the last one stands open": {func(source *timeline, p *handheld, g glass,
			keys chan<- ask.Pressed) {
			p.leaves()
			at(source, time.Second, "z2 active")
			at(source, 8*time.Second, "z2 restored")
			for _, to := range []site.Point{"2.1", "2.2"} {
				time.Sleep(2 * time.Second)
				touch := g.touched(time.Now(), ask.Touch)
				touch.To = to
				keys <- touch
			}
			p.comesBack()
			time.Sleep(12 * time.Second)
			keys <- ask.Pressed{Key: ask.InOrder}
		}, map[string]trial{"2.1": {record.Reported, 0, record.NoTouch}, "2.2": {}}},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				device := glass{time.Now()}
				source := &timeline{}
				p := &handheld{}
				p.keys = map[string]func(chan<- ask.Pressed){roamID: func(keys chan<- ask.Pressed) {
					tc.walk(source, p, device, keys)
				}}
				r, said, err := inHand(t, source, walk, p, "walk/*")
				require.NoError(t, err, said)
				for _, asked := range p.steps {
					assert.NotContains(t, asked, "zone-2", "the touch says which one")
				}
				if name == "a touch that names its detector" {
					assert.True(t, slices.ContainsFunc(p.boards, func(b ask.Board) bool { return b.Current == "2.2" }),
						"it is its turn while it is on trial")
				}
				for point, want := range tc.want {
					o := r.Find("walk/" + point)
					if want.verdict == "" {
						assert.Empty(t, o.Attempts(), said)
						continue
					}
					if assert.NotEmpty(t, o.Attempts(), said) {
						a := o.Attempts()[len(o.Attempts())-1]
						j := a.Operate.Judge()
						assert.Equal(t, want, trial{a.Verdict(), j.Response, j.NotTimed}, said)
					}
				}
			})
		})
	}
}

// The board shows what is known, and comes again when that has changed.
func TestTheBoard(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		source := &timeline{operate: "420ms z1 active|", restore: "600ms z1 restored"}
		p := &handheld{}
		r, said, err := inHand(
			t,
			source,
			"answers:\n  - {when: walk/2.1/ready, say: skip}\n  - {when: \"*/reason\", say: locked}\n"+
				"  - {when: \"walk/*/operate\", say: silent, after: 2 s}\n  - {when: \"*/not-proved\", say: as it is}\n",
			p,
			"walk/1.1",
			"walk/2.*",
		)
		require.NoError(t, err, said)
		require.NotEmpty(t, p.boards)
		first, last := p.boards[0], p.boards[len(p.boards)-1]
		assert.Equal(t, "Bench", first.Site)
		assert.EqualValues(t, "1.1", first.Current)
		assert.Equal(t, [2]int{3, 3}, [2]int{first.All, first.Open})
		assert.Equal(t, ask.OpenStanding, first.Zones[0].Detectors[0].Standing)
		assert.Equal(t, BoardOf(r), last)
		assert.Equal(t, signal.Restored, last.Zones[0].Now)
		assert.Equal(t, ask.ProvedStanding, last.Zones[0].Detectors[0].Standing)
		assert.Equal(t, ask.LeftOutStanding, last.Zones[1].Detectors[0].Standing)
		assert.Equal(t, ask.FailedStanding, last.Zones[1].Detectors[1].Standing)
		assert.Equal(t, record.Silent, last.Zones[1].Detectors[1].Verdict)
		assert.Empty(t, last.Zones[2].Detectors, "no step of this visit")
		var active bool
		for _, b := range p.boards {
			active = active || b.Zones[0].Now == signal.Active
		}
		assert.True(t, active, "it was shown while it was")
	})
}

// What was left out after it had failed has failed, as the certificate says.
func TestABoardForgetsNoFailure(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r, said, err := inHand(t, &timeline{}, "answers:\n  - {when: walk/1.1/ready, say: [ready, skip]}\n"+
			"  - {when: \"walk/*/operate\", say: silent, after: 3 s}\n  - {when: \"*/not-proved\", say: again}\n"+
			"  - {when: \"*/reason\", say: locked}\n", &handheld{}, "walk/1.1")
		require.NoError(t, err, said)
		require.Equal(t, record.LeftOut, r.Find("walk/1.1").Result())
		is := BoardOf(r).Zones[0].Detectors[0]
		assert.Equal(t, ask.FailedStanding, is.Standing)
		assert.Equal(t, judge.Assess(r).Detectors()[0].Verdict, is.Verdict)
	})
}

// What is taken again is open, whatever it showed before.
func TestABoardOfWhatIsTakenAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p := &handheld{}
		_, said, err := inHand(t, &timeline{operate: "420ms z1 active|", restore: "600ms z1 restored"}, "answers:\n"+
			"  - {when: walk/1.1/ready, say: [ready, skip], after: 1 s}\n  - {when: walk/2.1/ready, say: [jump, skip]}\n"+
			"  - {when: walk/2.1/jump, say: \"1.1\"}\n  - {when: walk/2.1/jump/again, say: \"yes\"}\n"+
			"  - {when: \"*/reason\", say: locked}\n", p, "walk/1.1", "walk/2.1")
		require.NoError(t, err, said)
		var stood []ask.Standing
		for _, b := range p.boards {
			if is := b.Zones[0].Detectors[0]; is.Verdict == record.Proved && !slices.Contains(stood, is.Standing) {
				stood = append(stood, is.Standing)
			}
		}
		assert.Contains(t, stood, ask.OpenStanding)
	})
}

// Never longer than a look at the record: whoever shows a board need not be quick.
func BenchmarkBoardOf500Zones(b *testing.B) {
	var text bytes.Buffer
	text.WriteString(strings.Split(benchSite, "zones:")[0] + "zones:\n")
	for n := range 500 {
		_, _ = text.WriteString(strings.NewReplacer("N", strconv.Itoa(n+1)).Replace(
			"  - {number: N, name: Zone N, kind: door, wiring: normally closed, address: zN, detectors: [One, Two]}\n"))
	}
	s := siteOf(b, text.String())
	opened := openedFor(b, s)
	v, err := begin(Config{Clock: clock.Real{}}, journal.On(&disk{}), opened)
	require.NoError(b, err)
	r := v.Record()
	for b.Loop() {
		BoardOf(r)
	}
}
