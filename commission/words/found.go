package words

// What a certificate says of what was found on the premises of an existing system.
const (
	FoundHeading Heading = "found"
	ToldHeading  Heading = "told"
	PartColumn   Column  = "found-part"
	KeyColumn    Column  = "found-key"
	HowColumn    Column  = "found-how"
	FoundNote    Note    = "found"
	UnheldNote   Note    = "unheld"
)

// FoundLoopKey stands in the place of a key beside a loop that was read: no key of the site file.
const FoundLoopKey KeyOf = "loop"

// FoundLoop is a loop as it was read.
type FoundLoop struct {
	Typed string
	Open  bool
}

// Code names the phrase.
func (FoundLoop) Code() string { return "found/loop" }

// KeyOf is a key of the site file in a few words.
type KeyOf string

// Code names the phrase.
func (KeyOf) Code() string { return "found/key" }

// FoundText is a value as it was found or told; a word of ours is said, anything else stands as typed.
type FoundText struct{ Key, Text string }

// Code names the phrase.
func (FoundText) Code() string { return "found/text" }
