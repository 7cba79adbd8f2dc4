package hostile

import (
	"time"

	"loopwitness/commission/journal"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/signal"
)

const switched = "outputs:\n" +
	"  - {name: S, kind: sounder, address: s}\n  - {name: C, kind: chime, address: c, follows: [1]}\n"

// flooded are files with more entries of a kind than any visit has.
func (f Forger) flooded() []File {
	return []File{
		{"flood", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			for w.Len() < journal.MostBytes-1000 {
				w.Add(signal.Signal{Address: "1", State: signal.Active})
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"absences", func() []byte {
			w := f.Begun(SiteOf(1, "a") + switched)
			for range 45_000 {
				w.Add(record.Absent{LastedNS: 1})
			}
			for range 45_000 {
				w.Add(record.Energised{Output: "S", On: true, By: record.SwitchedByController},
					record.Energised{Output: "S", By: record.SwitchedByController})
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"chimes", func() []byte {
			w := f.Begun(SiteOf(1, "a") + switched)
			for range 60_000 {
				w.Add(record.Cue{Step: "outputs/C/zone-1", Half: record.Operate},
					record.Ended{Step: "outputs/C/zone-1", By: record.ByHeard})
				w.now = w.now.Add(-2 * time.Millisecond) // all in one instant
			}
			return f.Forged(w.Bytes(), AsItIs)
		}},
		{"accepted", func() []byte {
			w := f.Begun(SiteOf(1, "a"))
			all := make([]record.Acceptance, 1_200_000)
			for i := range all {
				all[i] = record.Acceptance{ID: "F1", Said: []byte("{}"), Shown: "x"}
			}
			w.Add(record.Signed{Step: programme.IDCustomer, Role: "customer", Name: "x", Accepted: all, Position: "owner"})
			return f.Forged(w.Bytes(), AsItIs)
		}},
	}
}
