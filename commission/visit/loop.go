package visit

import (
	"loopwitness/commission/ask"
	"loopwitness/commission/judge"
	"loopwitness/commission/record"
)

// tellLoop says at once what a loop reading means. What cannot be, nothing is said of:
// the certificate tells.
func (v *Visit) tellLoop(s *record.Outcome, fact record.Reading) {
	means, known := judge.LoopMeaning{}, false
	err := v.look(func(r *record.Record) {
		z, _, err := r.Site().Find(s.Step().Point)
		if err != nil {
			return
		}
		means, err = judge.ReadLoop(r.Site(), z, judge.LoopOhm(fact))
		known = err == nil
	})
	if err == nil && known {
		v.operator.Tell(ask.LoopMeans{Reading: fact.AsTyped, Means: means})
	}
}
