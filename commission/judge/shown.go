package judge

import "loopwitness/commission/record"

// Shown is what the last attempt at a detector showed, or one half of it.
type Shown struct {
	Half      record.Half      `json:"half"`
	Judgement record.Judgement `json:"judgement"`
	Trials    int              `json:"trials"` // complete attempts so far
}

// Code names the verdict.
func (s Shown) Code() string { return "shown/" + string(s.Judgement.Verdict) }
