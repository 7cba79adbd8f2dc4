package words

import (
	"time"

	"loopwitness/commission/record"
)

// PictureLearnt stands with a photograph that was taken before the visit, while the site was
// learnt.
type PictureLearnt struct{}

// PictureLost stands with a photograph that is not there any more.
type PictureLost struct{}

// PhotographTakenBack is a photograph that was taken out of the visit, and why; At is in the
// zone in which it is shown.
type PhotographTakenBack struct {
	Withdrawal record.Withdrawal
	At         time.Time
}

// Code names the phrase.
func (PictureLearnt) Code() string       { return "certificate/picture-learnt" }
func (PictureLost) Code() string         { return "certificate/picture-lost" }
func (PhotographTakenBack) Code() string { return "certificate/photograph-taken-back" }
