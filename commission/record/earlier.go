package record

import (
	"encoding/json"
	"time"

	"loopwitness/commission/programme"
	"loopwitness/commission/signal"
	"loopwitness/commission/site"
)

// Earlier is what an earlier visit of the system found, as a later one takes it in when
// it begins: a fact of the later visit, which is judged without the earlier journal.
type Earlier struct {
	Visit   programme.VisitKind `json:"visit"`
	Number  string              `json:"number"` // of its certificate
	Journal string              `json:"journal_sha256"`
	// Certificate is the hash of the sealed file that it was taken from, "" where it was
	// taken from a journal of the same job.
	Certificate string    `json:"certificate_sha256,omitempty"`
	Company     string    `json:"company"`
	Begun       time.Time `json:"begun"`
	Ended       time.Time `json:"ended"`
	Result      string    `json:"result"` // the code of its overall result
	Rules       int       `json:"rules"`  // of judging, by which that was found
	Simulated   bool      `json:"simulated,omitempty"`
	// TimedBy is what took its times, "" where that was more than one thing.
	TimedBy signal.Timing `json:"timed_by,omitempty"`
	// Technician is the name that the technician signed with, as typed: their own reaction is
	// in the times. It is shown, and nothing is judged by it.
	Technician string `json:"technician,omitempty"`
	// Battery is the day that the battery was fitted, as typed, "" where nobody says.
	Battery string `json:"battery_fitted,omitempty"`
	// SealedBy is who signed the file that it was taken from, and SealedRules the rules of
	// judging that the file names: by Rules it was judged again. Nil and 0 without a file.
	SealedBy    *SealedBy `json:"sealed_by,omitempty"`
	SealedRules int       `json:"sealed_rules,omitempty"`
	// Outstanding are its findings and limitations.
	Outstanding []Outstanding  `json:"outstanding,omitempty"`
	Detectors   []DetectorThen `json:"detectors,omitempty"`
	Readings    []ReadingThen  `json:"readings,omitempty"`
	// DetectorsLeft and OutstandingLeft are how many were left out, since those of later
	// visits take the room.
	DetectorsLeft   int `json:"detectors_left_out,omitempty"`
	OutstandingLeft int `json:"outstanding_left_out,omitempty"`
	// Site is its site file as it was in the end, of the latest visit only.
	Site string `json:"site,omitempty"`
}

// SealedBy is who signed a file. Trusted tells whether whoever took it in had named them, or
// their authority, as trusted: else the name is only a claim.
type SealedBy struct {
	Name        string `json:"name"`
	Fingerprint string `json:"fingerprint"` // SHA-256 of the certificate, hexadecimal
	Trusted     bool   `json:"trusted,omitempty"`
}

// Outstanding is a finding or a limitation of an earlier visit.
type Outstanding struct {
	ID       string          `json:"id"` // F1, L1
	Severity string          `json:"severity"`
	Step     string          `json:"step,omitempty"`
	Steps    []string        `json:"steps,omitempty"` // that it rests on: proved again, it is put right
	Said     json.RawMessage `json:"said"`            // its codes and arguments
	// Shown is what it said in words then: for a version that does not know its codes.
	Shown string `json:"shown,omitempty"`
}

// DetectorThen is how a detector answered at an earlier visit.
type DetectorThen struct {
	Point   site.Point        `json:"point"`
	Name    string            `json:"name"`
	Kind    site.DetectorKind `json:"kind"`
	Verdict Verdict           `json:"verdict"`
	Trials  int               `json:"trials,omitempty"`
	// Response is from the cue to the report, Restored from the cue to restore to that
	// report, each with its uncertainty, expanded (k = 2); 0 where it was not timed.
	Response            time.Duration `json:"response_nanosecond,omitempty"`
	Uncertainty         time.Duration `json:"uncertainty_nanosecond,omitempty"`
	Restored            time.Duration `json:"restored_nanosecond,omitempty"`
	RestoredUncertainty time.Duration `json:"restored_uncertainty_nanosecond,omitempty"`
	// Cue is what each was timed from, "" for what the program told.
	Cue         TapBy `json:"cue,omitempty"`
	RestoredCue TapBy `json:"restored_cue,omitempty"`
}

// ReadingThen is a reading of an earlier visit, or a value that was computed from its
// readings.
type ReadingThen struct {
	Step        string   `json:"step"`
	Quantity    Quantity `json:"quantity"`
	Value       float64  `json:"value"` // in the SI unit
	Unit        string   `json:"unit"`
	Uncertainty float64  `json:"uncertainty,omitempty"` // expanded (k = 2), 0 for not stated
	Instrument  string   `json:"instrument,omitempty"`
	// AfterSeconds is how long mains had been removed, 0 while it was present.
	AfterSeconds float64 `json:"after_second,omitempty"`
}

// InternalThen is the resistance of the supply on standby, which an earlier visit computed
// from two of its readings, in Ω. No reading is of it.
const InternalThen Quantity = "internal-resistance"
