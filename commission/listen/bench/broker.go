package bench

import (
	"context"
	"maps"
	"slices"
	"strconv"

	"loopwitness/commission/listen/mqtt"
	"loopwitness/commission/signal"
)

// broker speaks over MQTT.
type broker struct {
	b        *Bench
	config   mqtt.Config
	speaker  *mqtt.Speaker
	retained bool
	texts    map[string]*text // by topic
	known    known
}

func newBroker(b *Bench, c mqtt.Config, retained bool) *broker {
	return &broker{b: b, config: c, speaker: mqtt.NewSpeaker(c, b.clock), retained: retained, texts: map[string]*text{},
		known: known{}}
}

func (w *broker) start(ctx context.Context) error {
	w.b.mu.Lock()
	for i := range w.b.site.Zones {
		a := w.b.site.Zones[i].Address
		w.stand(a, w.b.states[a])
	}
	for _, r := range w.config.System {
		w.on(written(r.Topic)).put(r.Value, said(r.Present, r.Absent, false))
	}
	w.b.mu.Unlock()
	w.standsAt(w.b.building.Volts())
	return w.speaker.Start(ctx, func(c mqtt.Command) {
		switch {
		case c.Retained: // of another time
		case c.Known:
			w.b.ordered(c.Address, c.On)
		default:
			w.b.tell(Event{What: Ordered, Of: c.Address, Detail: "not understood"})
		}
	}, w.all)
}

// on is the text that stands on a topic.
func (w *broker) on(topic string) *text {
	t := w.texts[topic]
	if t == nil {
		t = &text{}
		w.texts[topic] = t
	}
	return t
}

// stand lets an address stand in a state, on the topic of the first rule that knows both.
func (w *broker) stand(address string, s signal.State) (topic string, is bool) {
	for _, r := range w.config.Signals {
		text, known := word(r.Rule, s)
		if topic, is := w.known.reporting(r.Topic, r.Address, address); is && known {
			w.on(topic).put(r.Value, text)
			return topic, true
		}
	}
	return "", false
}

// standsAt lets the supply stand at a voltage.
func (w *broker) standsAt(v float64) {
	if u := w.config.Supply; u != nil {
		w.on(u.Topic).put(u.Value, strconv.FormatFloat(v/u.Scale, 'f', -1, 64))
	}
}

func (w *broker) say(topic string) { w.speaker.Say(topic, w.texts[topic].bytes(), w.retained) }

// all tells how everything stands.
func (w *broker) all() {
	w.b.tell(Event{What: Connected, Of: w.config.Broker.Host})
	w.b.mu.Lock()
	defer w.b.mu.Unlock()
	for _, topic := range slices.Sorted(maps.Keys(w.texts)) {
		w.say(topic)
	}
}

func (w *broker) signal(address string, s signal.State) {
	if topic, is := w.stand(address, s); is {
		w.say(topic)
	}
}

func (w *broker) system(a signal.Aspect, present bool) {
	for _, r := range w.config.System {
		if r.Aspect == a {
			topic := written(r.Topic)
			w.on(topic).put(r.Value, said(r.Present, r.Absent, present))
			w.say(topic)
		}
	}
}

func (w *broker) volt(v float64) {
	if u := w.config.Supply; u != nil {
		w.standsAt(v)
		w.say(u.Topic)
	}
}

func (w *broker) reports(address string) bool {
	return slices.ContainsFunc(w.config.Signals, func(r mqtt.SignalRule) bool {
		_, is := w.known.reporting(r.Topic, r.Address, address)
		return is
	})
}

func (w *broker) leave() { w.speaker.Drop() }

// arrive lets it connect, and then tell all, with what happened meanwhile.
func (w *broker) arrive() {
	for a, s := range w.b.states {
		w.stand(a, s)
	}
	for _, r := range w.config.System {
		w.on(written(r.Topic)).put(r.Value, said(r.Present, r.Absent, w.b.aspects[r.Aspect]))
	}
	w.speaker.Return()
}

func (w *broker) close() { _ = w.speaker.Close() }
