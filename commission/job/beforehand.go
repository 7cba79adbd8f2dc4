package job

import (
	"errors"
	"io/fs"
	"time"

	"loopwitness/commission/beforehand"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/listen"
	"loopwitness/commission/site"
)

// Config is the job's controller.yaml; without one, signals come by the keyboard. Without a
// site (nil), its addresses are held against nothing.
func (f Folder) Config(s *site.Site) (listen.Config, error) {
	config, err := listen.ReadFile(f.ControllerPath(), s)
	if errors.Is(err, fs.ErrNotExist) {
		return listen.Keyboard, nil
	}
	return config, err
}

// Beforehand is what there is to remark on the job's files, which read well, on a day. Unprintable names the scripts
// of a text that certificates cannot show.
func (f Folder) Beforehand(
	s *site.Site,
	today time.Time,
	unprintable func(string) []string,
) ([]beforehand.Remark, error) {
	config, err := f.Config(s)
	if err != nil {
		return nil, err
	}
	text, err := strictyaml.ReadFile(f.ControllerPath())
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	return beforehand.Of(beforehand.Job{Site: s, Listen: config, Controller: text, Unprintable: unprintable}, today), nil
}
