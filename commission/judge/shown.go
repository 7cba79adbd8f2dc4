package judge

import "loopwitness/commission/record"

// Shown is what the last attempt at a detector showed, or one half of it.
type Shown struct {
	Half      record.Half      `json:"half"`
	Judgement record.Judgement `json:"judgement"`
	Trials    int              `json:"trials"`              // complete attempts so far
	OurLimit  bool             `json:"our_limit,omitempty"` // late by a limit that nobody declared
}

// ShownBy is what an attempt showed, also one that was struck: the half that its verdict
// rests on.
func ShownBy(a record.Attempt) Shown {
	a = a.AsTaken()
	s := Shown{Half: record.Operate, Judgement: a.Operate.Judge()}
	if a.Restore != nil && a.Restore.Judge().Verdict == a.Verdict() && s.Judgement.Verdict != a.Verdict() {
		s.Half, s.Judgement = record.Restore, a.Restore.Judge()
	}
	return s
}

// Code names the verdict.
func (s Shown) Code() string { return "shown/" + string(s.Judgement.Verdict) }
