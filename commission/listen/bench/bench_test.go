package bench

import (
	"fmt"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/kit/testbroker"
	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/listen/payload"
	"loopwitness/commission/listen/simulated"
	"loopwitness/commission/listen/web"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// listener is a visit, as far as a source sees it.
type listener struct {
	mu    sync.Mutex
	lines []string
	live  int
}

func (l *listener) note(line string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.lines = append(l.lines, line)
}

func (l *listener) Signal(s signal.Signal) {
	if s.Kept == "" {
		l.mu.Lock()
		l.live++
		l.mu.Unlock()
	}
	l.note(strings.TrimSpace(fmt.Sprintf("%s %s %s", s.Address, s.State, s.Kept)))
}
func (l *listener) System(s signal.System) {
	l.note(strings.TrimSpace(fmt.Sprintf("%s %v %s", s.Aspect, s.Present, s.Kept)))
}
func (l *listener) Connection(c signal.Connection) { l.note(fmt.Sprintf("%s %v", c.Why, c.Up)) }
func (l *listener) Sample(s signal.Sample)         { l.note(fmt.Sprintf("%.1f V", s.Volt)) }

func (l *listener) has(line string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Contains(l.lines, line)
}

func (l *listener) forget() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.lines, l.live = nil, 0
}

func (l *listener) hears(t *testing.T, lines ...string) {
	t.Helper()
	for _, line := range lines {
		require.Eventually(t, func() bool { return l.has(line) }, 20*time.Second, 2*time.Millisecond, "%q is not heard", line)
	}
}

// shown are the events of a bench.
type shown struct {
	mu  sync.Mutex
	all []Event
}

func (s *shown) event(e Event) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.all = append(s.all, e)
}

func (s *shown) has(what What, of, detail string) bool {
	s.mu.Lock()
	defer s.mu.Unlock()
	return slices.ContainsFunc(s.all, func(e Event) bool { return e.What == what && e.Of == of && e.Detail == detail })
}

func (s *shown) shows(t *testing.T, what What, of, detail string) {
	t.Helper()
	require.Eventually(t, func() bool { return s.has(what, of, detail) }, 20*time.Second, 2*time.Millisecond,
		"%s %s %s is not shown", what, of, detail)
}

func states(value string) payload.Rule {
	return payload.Rule{Value: value,
		States: map[signal.State][]string{signal.Active: {"open"}, signal.Restored: {"closed"}}}
}

// running is a bench that speaks, and what it shows.
func running(t *testing.T, c Config, scenario Scenario) (*Bench, *shown) {
	t.Helper()
	c.Practice = true
	events := &shown{}
	b, err := New(readStudio(t), clock.Real{}, c, scenario, events.event)
	require.NoError(t, err)
	require.NoError(t, b.Start(t.Context()))
	t.Cleanup(func() { _ = b.Close() })
	return b, events
}

func listening(t *testing.T, source signal.Source) *listener {
	t.Helper()
	l := &listener{}
	require.NoError(t, source.Start(t.Context(), l))
	t.Cleanup(func() { _ = source.Close() })
	return l
}

// A controller over MQTT, by rules that share a topic, with all that it tells of itself.
func TestSpeaksMQTT(t *testing.T) {
	at := testbroker.Run(t, testbroker.Options{}).Address
	config := mqtt.Config{Practice: true, Broker: &url.URL{Scheme: "tcp", Host: at},
		Signals: []mqtt.SignalRule{{Topic: "studio/zones", Address: "z1", Rule: states("/1")},
			{Topic: "studio/zones", Address: "z2", Rule: states("/2")}},
		Outputs:  []mqtt.OutputRule{{Address: "siren", Topic: "studio/siren", On: "ON", Off: "OFF"}},
		Presence: &mqtt.PresenceRule{Topic: "studio/there", Here: "up", Away: "down"},
		Supply:   &mqtt.SupplyRule{Topic: "studio/supply", Value: "/mv", Scale: 0.001},
		System: []mqtt.SystemRule{{Aspect: signal.MainsFault, Topic: "studio/mains", Present: []string{"failed"},
			Absent: []string{"good"}}},
	}
	b, events := running(t, Config{MQTT: &config}, Scenario{Building: simulated.Options{
		Told:    map[signal.Aspect]simulated.FaultTold{signal.MainsFault: {Reported: 10 * time.Millisecond}},
		Outputs: map[string]simulated.OutputFault{"Sounder": {CutOff: 300 * time.Millisecond}}}})
	events.shows(t, Connected, at, "")
	source := mqtt.New(config, clock.Real{})
	l := listening(t, source)
	assert.True(t, source.About().Simulated)
	l.hears(t, "z1 restored retained", "z2 restored retained", "mains-fault false retained", "controller up true")

	b.Do(Command{Do: Open, At: "2.2"})
	l.hears(t, "z2 active", "z1 restored")
	b.Do(Command{Do: MainsOff})
	l.hears(t, "mains-fault true")

	// An output is switched, and cuts itself off.
	require.NoError(t, source.Energise(t.Context(), &site.Output{Name: "Sounder", Address: "siren"}, true))
	events.shows(t, Ordered, "Sounder", "on")
	events.shows(t, Works, "Sounder", "")
	events.shows(t, Stops, "Sounder", "")

	// It restarts, with a window open: the broker tells that it is gone, and it tells all again.
	l.forget()
	b.Do(Command{Do: Restart, For: 300 * time.Millisecond})
	l.hears(t, "controller gone false")
	b.Do(Command{Do: Open, At: "1.1"}) // which nobody hears
	l.hears(t, "controller up true", "z2 active", "mains-fault true")

	// Silence: nothing is told.
	l.forget()
	b.Do(Command{Do: Silence, For: 500 * time.Millisecond})
	b.Do(Command{Do: Close, At: "2.2"})
	time.Sleep(600 * time.Millisecond)
	assert.False(t, l.has("z2 restored"))

	// A storm: all of it comes, and at the end the states as they are.
	l.forget()
	b.Do(Command{Do: Storm, Rate: 2000, For: time.Second})
	events.shows(t, Stormy, "", "1 s")
	want := 2 * (2000 + 2) // two rules at each message
	require.Eventually(t, func() bool { l.mu.Lock(); defer l.mu.Unlock(); return l.live >= want }, 20*time.Second,
		5*time.Millisecond)
	l.mu.Lock()
	assert.Equal(t, want, l.live)
	assert.Equal(t, "z2 restored", l.lines[len(l.lines)-1])
	l.mu.Unlock()

	// It ends, and says so.
	l.forget()
	require.NoError(t, b.Close())
	l.hears(t, "controller gone false")
}

// A controller that calls: each of the shapes that a rule can ask for.
func TestCallsWebHooks(t *testing.T) {
	t.Parallel()
	on := func(path, address, value string) web.HookSignal {
		return web.HookSignal{Path: path, Address: address, Rule: states(value)}
	}
	for name, shape := range map[string]web.HookConfig{
		"the path names the zone": {Signals: []web.HookSignal{on("/zone/+", "{1}", "")}},
		"the body names it":       {ID: "/id", Signals: []web.HookSignal{on("/events", "/zone", "/state")}},
		"in a list":               {Many: "/all", ID: "/id", Signals: []web.HookSignal{on("/events", "/zone", "/state")}},
		"plain, in a list":        {Many: "/all", ID: "X-Id", Signals: []web.HookSignal{on("/zone/+", "{1}", "")}},
		"one path for all":        {Signals: []web.HookSignal{on("/all", "z1", "/1"), on("/all", "z2", "/2")}},
	} {
		t.Run(name, func(t *testing.T) {
			config := shape
			config.At, config.Secret, config.Token, config.Practice = freeaddress.Of(t), "kiln-kiln-kiln", "vase-vase-vase", true
			config.Hosts = []string{"witness.studio.example"}
			config.Presence = &web.HookPresence{Path: "/there", Here: "up", Away: "down"}
			config.System = []web.HookSystem{{Path: "/mains", Itself: web.Itself{Aspect: signal.MainsFault,
				Present: []string{"failed"}, Absent: []string{"good"}}}}
			if config.Many != "" {
				config.Presence.Value, config.System[0].Value = "/there", "/mains"
			}
			l := listening(t, web.NewHook(config, clock.Real{}))
			b, _ := running(t, Config{Hook: &config}, Scenario{Building: simulated.Options{
				Told: map[signal.Aspect]simulated.FaultTold{signal.MainsFault: {Reported: 10 * time.Millisecond}}}})
			l.hears(t, "controller up true", "z1 restored", "mains-fault false")
			b.Do(Command{Do: Open, At: "1.1"})
			l.hears(t, "z1 active")
			b.Do(Command{Do: MainsOff})
			l.hears(t, "mains-fault true")
		})
	}
}

// A listener that does not know that it is practice lets it say nothing.
func TestPracticeIsRefusedWhereItIsNotSaid(t *testing.T) {
	config := web.HookConfig{At: freeaddress.Of(t), Token: "vase-vase-vase", Signals: []web.HookSignal{{Path: "/zone/+",
		Address: "{1}", Rule: states("")}}}
	l := listening(t, web.NewHook(config, clock.Real{}))
	_, events := running(t, Config{Hook: &config}, Scenario{})
	events.shows(t, CallFailed, "", "403 Forbidden: "+web.ErrPractice.Error())
	l.mu.Lock()
	assert.Empty(t, l.lines)
	l.mu.Unlock()

	asked := web.PollConfig{URL: "http://" + freeaddress.Of(t) + "/status", Every: 50 * time.Millisecond, Timeout: time.Second,
		Signals: []web.PollSignal{{Address: "z1", Rule: states("/1")}}}
	running(t, Config{Poll: &asked}, Scenario{})
	source, err := web.NewPoll(asked, clock.Real{})
	require.NoError(t, err)
	t.Cleanup(func() { _ = source.Close() })
	assert.ErrorIs(t, source.Start(t.Context(), &listener{}), web.ErrPractice)
}

// A controller that is asked, and whose outputs are switched by requests.
func TestAnswersRequests(t *testing.T) {
	t.Parallel()
	host := "http://" + freeaddress.Of(t)
	config := web.PollConfig{URL: host + "/status?all=1", Every: 50 * time.Millisecond, Timeout: 500 * time.Millisecond,
		Login: web.Login{User: "ada", Password: "kiln"}, Practice: true, Signals: []web.PollSignal{
			{Address: "z1", Rule: states("/zones/1")}, {Address: "z2", Rule: states("/zones/2")}},
		System: []web.Itself{{Aspect: signal.MainsFault, Value: "/mains", Present: []string{"failed"},
			Absent: []string{"good"}}}}
	switches := web.SwitchConfig{Login: web.Login{Token: "vase-vase-vase"}, Practice: true, Outputs: []web.OutputRule{{Address: "siren",
		Method: "PUT", OnURL: host + "/siren", OffURL: host + "/siren", On: "1", Off: "0", ContentType: "text/plain"}}}
	b, events := running(t, Config{Poll: &config, HTTP: &switches}, Scenario{})

	wrong := config
	wrong.Password = "vase"
	source, err := web.NewPoll(wrong, clock.Real{})
	require.NoError(t, err)
	assert.Error(t, source.Start(t.Context(), &listener{}))
	require.NoError(t, source.Close())
	events.shows(t, NotLetIn, "", "")

	source, err = web.NewPoll(config, clock.Real{})
	require.NoError(t, err)
	l := listening(t, source)
	l.hears(t, "z1 restored retained", "mains-fault false retained")
	b.Do(Command{Do: Open, At: "2.1"})
	l.hears(t, "z2 active")
	b.Do(Command{Do: Restart, For: 400 * time.Millisecond})
	l.hears(t, "broken false", "back again true")

	outputs, err := web.NewOutputs(switches)
	require.NoError(t, err)
	t.Cleanup(outputs.Close)
	siren := &site.Output{Name: "Sounder", Address: "siren"}
	require.NoError(t, outputs.Energise(t.Context(), siren, true))
	events.shows(t, Works, "Sounder", "")
	require.NoError(t, outputs.Energise(t.Context(), siren, false))
	events.shows(t, Stops, "Sounder", "")
	unaware := switches
	unaware.Practice = false
	installed, err := web.NewOutputs(unaware)
	require.NoError(t, err)
	t.Cleanup(installed.Close)
	assert.ErrorIs(t, installed.Energise(t.Context(), siren, true), web.ErrPractice)
	assert.ErrorIs(t, installed.Energise(t.Context(), siren, false), web.ErrPractice)
	other := switches
	other.Outputs = slices.Clone(switches.Outputs)
	other.Outputs[0].On = "yes"
	strange, err := web.NewOutputs(other)
	require.NoError(t, err)
	t.Cleanup(strange.Close)
	assert.Error(t, strange.Energise(t.Context(), siren, true))
	events.shows(t, Ordered, "/siren", "not understood")

	config.URL = "https" + strings.TrimPrefix(config.URL, "http")
	_, err = New(readStudio(t), clock.Real{}, Config{Practice: true, Poll: &config}, Scenario{}, nil)
	assert.ErrorIs(t, err, errTLS)
}

// A system that is set: the entry route gives time to unset it, anything else raises the alarm.
func TestRaisesAlarms(t *testing.T) {
	t.Parallel()
	config := web.PollConfig{URL: "http://" + freeaddress.Of(t) + "/", Practice: true, Signals: []web.PollSignal{{Address: "z1",
		Rule: states("")}}}
	b, events := running(t, Config{Poll: &config}, Scenario{Building: simulated.Options{
		Delays: map[string]time.Duration{"z1": time.Millisecond, "z2": time.Millisecond}}})
	assert.True(t, events.has(NotReported, "z2", ""))
	assert.False(t, events.has(NotReported, "z1", ""))
	b.Do(Command{Do: Set}) // and thought better of
	events.shows(t, Itself, "setting", "yes")
	b.Do(Command{Do: Unset})
	events.shows(t, Itself, "setting", "no")
	time.Sleep(500 * time.Millisecond) // longer than the exit time
	assert.False(t, events.has(Itself, "set", "yes"))

	b.Do(Command{Do: Set})
	events.shows(t, Itself, "set", "yes")
	b.Do(Command{Do: Open, At: "1.1"})
	events.shows(t, Itself, "entering", "yes")
	b.Do(Command{Do: Unset})
	events.shows(t, Itself, "set", "no")
	time.Sleep(time.Second) // longer than the entry time
	assert.False(t, events.has(Itself, "alarm", "yes"))

	b.Do(Command{Do: Set})
	require.Eventually(t, func() bool { return b.stands("set") }, 10*time.Second, time.Millisecond)
	b.Do(Command{Do: Open, At: "2.1"})
	events.shows(t, Itself, "alarm", "yes")
	events.shows(t, Works, "Sounder", "")
	b.Do(Command{Do: Open, At: "2.2"})
	events.shows(t, Itself, "confirmed", "yes")
	b.Do(Command{Do: Unset})
	events.shows(t, Itself, "alarm", "no")
	events.shows(t, Stops, "Sounder", "")
}

func (b *Bench) stands(a signal.Aspect) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.aspects[a]
}
