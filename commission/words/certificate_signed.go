package words

// Signing is what stands in the box of a name, of how it came there.
type Signing string

// The ways.
const (
	OnGlassSigning Signing = "on-glass" // drawn on the phone
	PictureSigning Signing = "picture"  // drawn elsewhere, supplied as a picture
	TypedSigning   Signing = "typed"    // the name alone
	RefusedSigning Signing = "refused"
	AbsentSigning  Signing = "absent"
	NotNamed       Signing = "not-named" // instead of the name of who refused
)

// Code names the way.
func (s Signing) Code() string { return "signing/" + string(s) }
