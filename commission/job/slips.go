package job

import (
	"errors"
	"fmt"

	"loopwitness/commission/journal"
	"loopwitness/commission/kit/clock"
	"loopwitness/commission/kit/oneline"
	"loopwitness/commission/record"
)

// ErrDiscarded says that a visit was set aside: nothing is added to it, and nobody goes on
// with it.
var ErrDiscarded = errors.New("the visit was set aside")

// ErrCertified says that a visit has a certificate, and cannot be set aside.
var ErrCertified = errors.New("the visit has a certificate")

// Discard sets a visit aside that is neither running nor complete nor certified. Errors
// wrap journal.ErrHeld, ErrDiscarded, ErrCertified or record.ErrNoSense where that is the
// reason.
func (v Visit) Discard(c clock.Clock, d record.Discarded) error {
	revision, err := v.LastRevision()
	if err != nil {
		return err
	}
	if revision > 0 {
		return fmt.Errorf("%w: %s", ErrCertified, v.CertificatePath(revision))
	}
	d.Reason, d.By = oneline.Clean(d.Reason), oneline.Clean(d.By)
	return v.between(c, func(*record.Record) (record.Fact, error) { return d, nil })
}

// Correct corrects a text that was typed in a visit that is not running. Errors are as
// those of Discard.
func (v Visit) Correct(c clock.Clock, what record.Corrected) error {
	return v.between(c, func(r *record.Record) (record.Fact, error) { return what, r.MayCorrect(what) })
}

// Discarded is how the visit was set aside, nil if it was not, or if its journal cannot be
// read.
func (v Visit) Discarded() *record.Discard {
	contents, err := v.Contents()
	if err != nil || contents.Entries[len(contents.Entries)-1].Kind != (record.Discarded{}).Kind() {
		return nil
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return nil
	}
	return r.Discarded()
}

// UnfinishedOnes are the visits that have open steps and were not set aside, in their
// order, with their records. Those that cannot be read are left out.
func (f Folder) UnfinishedOnes() ([]Visit, []*record.Record, error) {
	all, err := f.Visits()
	if err != nil {
		return nil, nil, err
	}
	var visits []Visit
	var records []*record.Record
	for _, v := range all {
		if r, err := v.Record(); err == nil && !r.Done() && r.Discarded() == nil {
			visits, records = append(visits, v), append(records, r)
		}
	}
	return visits, records, nil
}

// between writes one fact into the journal of a visit that rests. What could not be read
// back is not written.
func (v Visit) between(c clock.Clock, what func(*record.Record) (record.Fact, error)) (err error) {
	w, contents, recovered, err := journal.Open(v.Journal())
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, w.Close()) }()
	if recovered.Bytes > 0 {
		return fmt.Errorf("the journal ended in an unfinished line, which was set aside in %s; try again", recovered.File)
	}
	if len(contents.Entries) == 0 {
		return ErrNeverBegan
	}
	r, err := record.Fold(contents.Entries)
	if err != nil {
		return fmt.Errorf("%s: %w", v.Journal(), err)
	}
	if d := r.Discarded(); d != nil {
		return fmt.Errorf("%w: %s", ErrDiscarded, d.Reason)
	}
	fact, err := what(r)
	if err != nil {
		return err
	}
	now := c.Now()
	if computer, is := c.(clock.Computer); is {
		fact = record.RestedUntil(fact, r.SetBack(computer.TimeOfDay(now)))
	}
	w.UseReserve()
	_, err = w.AppendExamined([]journal.Event{{At: now, Kind: fact.Kind(), Body: fact}},
		func(_ int, e journal.Entry) error { return r.Take(e) })
	return err
}
