package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"sync"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"

	"loopwitness/commission/record"
)

// controller is a simulated controller at a broker, with the hands that operate its
// detectors: they follow the journal, as somebody follows the screen. It notes when its
// sounder is switched.
type controller struct {
	client  paho.Client
	place   string // first level of its topics
	journal func() string

	mu       sync.Mutex
	more     alteration
	longest  time.Duration // that the sounder was on
	rng      *rand.Rand
	read     int           // bytes of the journal
	operated string        // step whose detector is; followed by one goroutine
	on       time.Time     // since when the sounder is on; zero for off
	changed  chan struct{} // closed when the sounder is switched
	pending  []*time.Timer
	done     chan struct{}
	all      sync.WaitGroup
}

// alteration publishes beside a report. It is called by one goroutine at a time.
type alteration func(publish func(topic, payload string, retained bool), topic, payload string)

// alter has more published from now on.
func (c *controller) alter(more alteration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.more = more
}

// longestOn is the longest time that the sounder was on.
func (c *controller) longestOn() time.Duration {
	c.mu.Lock()
	defer c.mu.Unlock()
	if !c.on.IsZero() {
		return max(c.longest, time.Since(c.on))
	}
	return c.longest
}

// newController connects a controller. Close it.
func newController(at, place string, seed uint64, journal func() string) (*controller, error) {
	c := &controller{place: place, journal: journal, rng: rand.New(rand.NewPCG(seed, 3)), changed: make(chan struct{}),
		done: make(chan struct{})}
	client, err := dial(at, "controller-"+place, func(client paho.Client) {
		client.Subscribe(place+"/sounder/set", 1, c.switched)
	})
	if err != nil {
		return nil, err
	}
	c.client = client
	c.all.Go(c.follow)
	return c, nil
}

func (c *controller) close() {
	close(c.done)
	c.all.Wait()
	c.letGo()
	c.client.Disconnect(50)
}

// switched notes when the sounder was switched.
func (c *controller) switched(_ paho.Client, m paho.Message) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch on := string(m.Payload()) == "ON"; {
	case on && c.on.IsZero():
		c.on = time.Now()
	case !on && !c.on.IsZero():
		c.longest = max(c.longest, time.Since(c.on))
		c.on = time.Time{}
	}
	close(c.changed)
	c.changed = make(chan struct{})
}

// sounding tells since when the sounder is on, zero for off, and what is closed when that
// changes.
func (c *controller) sounding() (since time.Time, changed <-chan struct{}) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.on, c.changed
}

// silent waits until the sounder is off, and tells whether it was in time.
func (c *controller) silent(limit time.Duration) bool {
	over := time.After(limit)
	for {
		since, changed := c.sounding()
		if since.IsZero() {
			return true
		}
		select {
		case <-changed:
		case <-over:
			return false
		}
	}
}

// follow does what cues in the journal ask for.
func (c *controller) follow() {
	tick := time.NewTicker(2 * time.Millisecond)
	defer tick.Stop()
	for {
		select {
		case <-c.done:
			return
		case <-tick.C:
		}
		path := c.journal()
		if path == "" {
			continue
		}
		data, err := os.ReadFile(path)
		if err != nil || len(data) < c.read {
			continue
		}
		fresh := wholeLines(data[c.read:])
		c.read += len(fresh)
		for line := range bytes.Lines(fresh) {
			c.told(line)
		}
	}
}

// told does what one entry asks for.
func (c *controller) told(line []byte) {
	var e struct {
		Kind string
		Body record.Cue
	}
	if json.Unmarshal(line, &e) != nil {
		return
	}
	switch e.Kind {
	case record.Cue{}.Kind():
		c.act(e.Body)
	case record.Ended{}.Kind():
		if strings.HasPrefix(e.Body.Step, "outputs/") { // the door was opened for the chime
			c.report(record.Cue{Step: "zone-1", Half: record.Restore}, c.between(5, 20))
		}
	case record.Resumed{}.Kind():
		c.operated = ""
		c.letGo() // nobody holds anything open any more
		for zone := range zones {
			c.report(record.Cue{Step: fmt.Sprintf("zone-%d", zone+1), Half: record.Restore}, 0)
		}
	}
}

// zones is how many the kiosk has; the last is one of tamper.
const zones = 3

// act operates a detector, or lets it go, as quick as a hand at a bench. One that is still
// operated has to be let go before it can be operated again, which takes a person longer.
func (c *controller) act(cue record.Cue) {
	const reaction = 150 * time.Millisecond
	again := cue.Half == record.Operate && c.operated == cue.Step
	c.operated = ""
	switch {
	case cue.Half == record.Operate:
		c.operated = cue.Step
	default:
		c.letGo()
	}
	if again {
		c.report(record.Cue{Step: cue.Step, Half: record.Restore}, reaction)
		c.report(cue, reaction+c.between(80, 120))
		return
	}
	c.report(cue, c.between(20, 120))
}

func (c *controller) between(from, to int) time.Duration {
	c.mu.Lock()
	defer c.mu.Unlock()
	return time.Duration(from+c.rng.IntN(to-from)) * time.Millisecond
}

// report publishes what a zone reports, after a while.
func (c *controller) report(cue record.Cue, after time.Duration) {
	zone := zoneOf(cue.Step)
	if zone == 0 {
		return
	}
	state := map[bool]string{true: "closed", false: "open"}[cue.Half == record.Restore]
	if zone == zones && state == "open" {
		state = "cover"
	}
	topic, payload := fmt.Sprintf("%s/zone/%d/state", c.place, zone), fmt.Sprintf(`{"state":%q}`, state)
	c.mu.Lock()
	defer c.mu.Unlock()
	c.pending = append(c.pending, time.AfterFunc(after, func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		c.publish(topic, payload, false)
		if c.more != nil {
			c.more(c.publish, topic, payload)
		}
	}))
}

func (c *controller) publish(topic, payload string, retained bool) {
	c.client.Publish(topic, 1, retained, payload)
}

// zoneOf is the zone that a step is about: walk/2.1, outputs/Chime/zone-1; 0 for none.
func zoneOf(step string) (zone int) {
	last := step[strings.LastIndex(step, "/")+1:]
	if n, _ := fmt.Sscanf(last, "zone-%d", &zone); n == 1 {
		return zone
	}
	_, _ = fmt.Sscanf(last, "%d.", &zone)
	return zone
}

// letGo takes back what was still to come.
func (c *controller) letGo() {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, t := range c.pending {
		t.Stop()
	}
	c.pending = nil
}
