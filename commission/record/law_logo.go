package record

import (
	"errors"
	"fmt"

	"loopwitness/commission/kit/logo"
	"loopwitness/commission/site"
)

// LogoFile is the file of the company's logo as it was when the site file was taken in: what
// certificates show later does not depend on what stands in a folder then.
type LogoFile struct {
	Content []byte `json:"content"`
	SHA256  string `json:"sha256"` // of the content, hexadecimal
}

// NewLogoFile is the file of a logo; an error, of package logo, if it cannot be one.
func NewLogoFile(content []byte) (*LogoFile, error) {
	if _, err := logo.Read(content); err != nil {
		return nil, err
	}
	return &LogoFile{content, logo.Digest(content)}, nil
}

// LawLogo says that a record has the logo that its site file names, and no other.
const LawLogo Law = "logo"

var logoLaws = []rule{{law: LawLogo, consequence: Refused}}

// logos are those that a record has had, by the SHA-256 of each: none is decoded twice.
type logos map[string]*logo.Logo

// at is the logo that stands beside a site file in an entry, nil for none.
func (known logos) at(s *site.Site, f *LogoFile) (*logo.Logo, error) {
	switch {
	case f == nil && s.Brand.Logo == "":
		return nil, nil
	case f == nil:
		return nil, refuse(LawLogo, fmt.Errorf("the logo %q is not in the record", s.Brand.Logo))
	case s.Brand.Logo == "":
		return nil, refuse(LawLogo, errors.New("there is a logo, and the site file names none"))
	case len(f.Content) > logo.MaxBytes || logo.Digest(f.Content) != f.SHA256:
		return nil, refuse(LawLogo, errors.New("the logo is not the one whose SHA-256 stands beside it"))
	}
	if l := known[f.SHA256]; l != nil {
		return l, nil
	}
	l, err := logo.Read(f.Content)
	if err != nil {
		return nil, refuse(LawLogo, fmt.Errorf("the logo cannot be one: %w", err))
	}
	known[f.SHA256] = l
	return l, nil
}

// Logo is the company's logo by the site file that the visit goes by now, nil for none. It must
// not be changed.
func (r *Record) Logo() *logo.Logo { return r.logo }
