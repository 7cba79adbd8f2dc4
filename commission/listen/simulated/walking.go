package simulated

import (
	"time"

	"loopwitness/commission/record"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

const (
	// keptOpen is how long somebody who walks through the building keeps a thing open.
	keptOpen = 1500 * time.Millisecond
	// atRestWithin is longer than a thing and its report take to come to rest, and
	// slowlyWithin one that comes to rest by itself.
	atRestWithin = 3 * time.Second
	slowlyWithin = 9 * time.Second
)

// OperateNext lets somebody who walks through the building operate the next detector, in
// the order of the site, once the one before is at rest, and let it go again. It tells
// whether one was left.
func (c *Controller) OperateNext() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	var points []site.Point
	c.site.Each(func(p site.Point, _ *site.Zone, _ *site.Detector) { points = append(points, p) })
	if c.walked == len(points) {
		return false
	}
	p := points[c.walked]
	c.walked++
	zone, detector, _ := c.site.Find(p)
	within := atRestWithin
	if detector.Kind.Trait().SelfRestoring {
		within = slowlyWithin
	}
	now := c.clock.Now()
	begin := max(0, c.free.Sub(now))
	end := begin + keptOpen + c.opt.Delays[zone.Address]
	c.free = now.Add(end + within)
	c.laterAct(begin, p, record.Operate)
	c.laterAct(end, p, record.Restore)
	return true
}

// laterAct acts after a time. The caller holds the lock.
func (c *Controller) laterAct(after time.Duration, p site.Point, half record.Half) {
	c.later(after, func(time.Time, signal.Receiver) {
		c.mu.Lock()
		defer c.mu.Unlock()
		if !c.closed {
			c.act(p, half)
		}
	})
}
