package ears

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// fake is a source that tells what it is made to.
type fake struct {
	way            signal.Way
	fails          error
	to             signal.Receiver
	started, ended int
}

func (f *fake) About() signal.Listening {
	return signal.Listening{Way: f.way, TimedBy: signal.ByComputer, UncertaintyNS: int64(len(f.way))}
}

func (f *fake) Start(_ context.Context, to signal.Receiver) error {
	f.started++
	f.to = to
	return f.fails
}

func (f *fake) Close() error {
	f.ended++
	return f.fails
}

// switched is one that switches an output and guards it.
type switched struct {
	fake
	output string
	did    []string
}

func (s *switched) CanEnergise(o *site.Output) bool { return o.Name == s.output }
func (s *switched) Energise(_ context.Context, o *site.Output, on bool) error {
	s.did = append(s.did, o.Name)
	return nil
}

func (s *switched) GuardOff(_ context.Context, o *site.Output, _ func(error)) (func(), error) {
	s.did = append(s.did, "guard "+o.Name)
	return func() {}, nil
}

// heard is all that came, in its order.
type heard struct{ all []any }

func (h *heard) Signal(s signal.Signal)         { h.all = append(h.all, s) }
func (h *heard) Connection(c signal.Connection) { h.all = append(h.all, c) }

// whole takes more than that.
type whole struct{ heard }

func (w *whole) System(s signal.System) { w.all = append(w.all, s) }
func (w *whole) Sample(s signal.Sample) { w.all = append(w.all, s) }
func (w *whole) Kept() (func(context.Context) error, error) {
	return func(context.Context) error { return nil }, signal.ErrNotKept
}

// All that is heard is marked with whose it is, and goes where it can be taken.
func TestWhatIsHeardIsMarked(t *testing.T) {
	one, two := &fake{way: signal.OverMQTT}, &fake{way: signal.OverHook}
	all := Join([]Ear{{one, []string{"z1"}}, {two, nil}})
	assert.Equal(t, []string{"z1"}, all.About().Ears[0].Addresses)
	assert.Equal(t, int64(len(signal.OverHook)), all.About().UncertaintyNS, "the worst")
	to := &whole{}
	require.NoError(t, all.Start(t.Context(), to))
	one.to.Signal(signal.Signal{Address: "z1"})
	two.to.Signal(signal.Signal{Address: "z2"})
	two.to.Connection(signal.Connection{Up: true})
	one.to.(signal.SystemReceiver).System(signal.System{Aspect: signal.Set})
	one.to.(signal.Sampler).Sample(signal.Sample{Volt: 12})
	assert.Equal(
		t,
		[]any{signal.Signal{Address: "z1", Ear: signal.OverMQTT}, signal.Signal{Address: "z2", Ear: signal.OverHook},
			signal.Connection{Up: true, Ear: signal.OverHook}, signal.System{Aspect: signal.Set, Ear: signal.OverMQTT},
			signal.Sample{Volt: 12}},
		to.all,
	)
	_, err := two.to.(signal.Keeper).Kept()
	assert.ErrorIs(t, err, signal.ErrNotKept)
	require.NoError(t, all.Close())
	assert.Equal(t, []int{1, 1}, []int{one.ended, two.ended})

	bare := &heard{}
	require.NoError(t, all.Start(t.Context(), bare))
	one.to.(signal.SystemReceiver).System(signal.System{})
	one.to.(signal.Sampler).Sample(signal.Sample{})
	assert.Empty(t, bare.all)
	_, keeps := one.to.(signal.Keeper)
	assert.False(t, keeps, "nobody says that what nobody keeps is kept")
}

// All are started, or none stays.
func TestOneThatDoesNotStart(t *testing.T) {
	broken := errors.New("no such host")
	one, two, three := &fake{
		way: signal.OverMQTT,
	}, &fake{
		way:   signal.ByPolling,
		fails: broken,
	}, &fake{
		way: signal.OverHook,
	}
	err := Join([]Ear{{one, nil}, {two, nil}, {three, nil}}).Start(t.Context(), &heard{})
	assert.ErrorIs(t, err, broken)
	assert.ErrorContains(t, err, "poll: no such host")
	var which *NotStarted
	require.ErrorAs(t, err, &which)
	assert.Equal(t, signal.ByPolling, which.Way)
	assert.Equal(t, []int{1, 0, 0}, []int{one.ended, two.ended, three.ended})
	assert.Zero(t, three.started)
}

// An output keeps the source that switches it, and its guard.
func TestOutputsKeepTheirGuards(t *testing.T) {
	one, two := &fake{way: signal.OverHook}, &switched{fake: fake{way: signal.OverMQTT}, output: "Siren"}
	all := Join([]Ear{{one, nil}, {two, nil}})
	siren, lamp := &site.Output{Name: "Siren"}, &site.Output{Name: "Lamp"}
	assert.True(t, all.CanEnergise(siren))
	assert.False(t, all.CanEnergise(lamp))
	require.NoError(t, all.Energise(t.Context(), siren, true))
	assert.Error(t, all.Energise(t.Context(), lamp, true))
	_, err := all.GuardOff(t.Context(), siren, func(error) {})
	require.NoError(t, err)
	_, err = all.GuardOff(t.Context(), lamp, func(error) {})
	assert.Error(t, err)
	assert.Equal(t, []string{"Siren", "guard Siren"}, two.did)
}
