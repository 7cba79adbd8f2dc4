package ask

import "loopwitness/commission/judge"

// LoopMeans tells at the detector what an ohmmeter's reading shows. Reading is as typed.
type LoopMeans struct {
	Reading string
	Means   judge.LoopMeaning
}

// Code names the notice.
func (LoopMeans) Code() string { return "notice/loop-means" }

// Weight is how urgent the notice is.
func (LoopMeans) Weight() Weight { return Plain }
