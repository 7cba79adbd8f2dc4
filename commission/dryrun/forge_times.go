package dryrun

import (
	"time"

	"loopwitness/commission/record"
)

// timeForgeries are wrong about times, outputs, signals and trials.
var timeForgeries = []Forgery{
	{"the time of day stands still", record.LawClocksAgree, func(f *Forged) {
		for i := range f.Entries {
			f.Entries[i].At = f.Entries[0].At
		}
	}},
	{"an hour is put between two entries", record.LawClocksAgree, func(f *Forged) {
		for i := f.Of("ended")[0]; i < len(f.Entries); i++ {
			f.Entries[i].At = f.Entries[i].At.Add(time.Hour)
		}
	}},
}
