package job

import (
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"loopwitness/commission/kit/logo"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/record"
	"loopwitness/commission/site"
)

// Logo is the file of the logo that the site file names, nil where it names none. Errors wrap
// strictyaml.ErrRefused and stand at the place of its name.
func (f Folder) Logo(s *site.Site) (*record.LogoFile, error) {
	name := s.Brand.Logo
	if name == "" {
		return nil, nil
	}
	refused := func(what, hint string) error {
		return strictyaml.Refuse(f.SitePath(), s.Raw, fmt.Sprintf("logo %q: %s", name, what), hint, "brand", "logo")
	}
	content, err := logo.File(filepath.Join(f.dir, name))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, refused("there is no such file beside site.yaml", "copy it there, or take the key out")
	}
	if err != nil {
		return nil, refused(err.Error(), "put a file there that can be read")
	}
	file, err := record.NewLogoFile(content)
	if refusal := (*logo.Refusal)(nil); errors.As(err, &refusal) {
		return nil, refused(refusal.Error(), refusal.Hint)
	}
	return file, err
}
