package words

import (
	"time"

	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/record"
)

// What a certificate says of photographs, of its seal and of its pages.

// PictureTitle is the number of a photograph and what it shows.
type PictureTitle struct {
	N     int
	Shows record.Motif
}

// PictureAdded is when a photograph was added to the visit.
type PictureAdded struct{ At time.Time }

// PictureWithout is what was hidden in the file of a photograph and is not any more, by
// the codes of package photograph.
type PictureWithout struct{ Removed []photograph.Hidden }

// DigestBegins is the beginning of a SHA-256, in groups of digits.
type DigestBegins struct{ Digits string }

// AttachedPhotograph describes the file of a photograph.
type AttachedPhotograph struct{ Shows record.Motif }

// SignedBy is whose name a key bears.
type SignedBy struct{ Name string }

// Attached is what a certificate carries.
type Attached struct{ Entries, Photographs int }

// JournalBegins is the beginning of the record's SHA-256, at the foot of a page.
type JournalBegins struct{ Digits string }

// PageOf is the number of a page.
type PageOf struct{ Page, Pages int }

// Code names the phrase.
func (PictureTitle) Code() string       { return "certificate/picture-title" }
func (PictureAdded) Code() string       { return "certificate/picture-added" }
func (PictureWithout) Code() string     { return "certificate/picture-without" }
func (DigestBegins) Code() string       { return "certificate/digest-begins" }
func (AttachedPhotograph) Code() string { return "certificate/attached-photograph" }
func (SignedBy) Code() string           { return "certificate/signed-by" }
func (Attached) Code() string           { return "certificate/attached" }
func (JournalBegins) Code() string      { return "certificate/record-begins" }
func (PageOf) Code() string             { return "certificate/page" }
