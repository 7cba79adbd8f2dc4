package words

// What a certificate says of what was found on the premises of an existing system.
const (
	FoundHeading Heading = "found"
	PartColumn   Column  = "found-part"
	KeyColumn    Column  = "found-key"
	HowColumn    Column  = "found-how"
	FoundNote    Note    = "found"
)

// KeyOf is a key of the site file in a few words.
type KeyOf string

// Code names the phrase.
func (KeyOf) Code() string { return "found/key" }
