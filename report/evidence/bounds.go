package evidence

import (
	"errors"
	"fmt"

	"loopwitness/report/certificate"
)

// What a certificate holds at most. A record may come from anybody, and must not keep who
// checks it busy for hours: a site of 5,000 detectors, the most that a site file may have,
// gives 40,000 texts of 1 MiB in all and 350 pages.
const (
	mostTexts = 100_000
	mostText  = 4 << 20 // bytes in all
)

// ErrTooMuch says that a record gives more than a certificate can hold.
var ErrTooMuch = errors.New("the record is too large for a certificate")

func within(stated []certificate.Stated) error {
	if len(stated) > mostTexts {
		return fmt.Errorf("%w: it gives more than %d texts", ErrTooMuch, mostTexts)
	}
	all := 0
	for _, s := range stated {
		all += len(s.Key) + len(s.Text)
	}
	if all > mostText {
		return fmt.Errorf("%w: its texts have more than %d MiB in all", ErrTooMuch, mostText>>20)
	}
	return nil
}

// tooMany says so in words where a certificate has too many pages.
func tooMany(err error) error {
	if pages := certificate.TooManyPages(0); errors.As(err, &pages) {
		return fmt.Errorf("%w: it gives %d pages; %d are the most", ErrTooMuch, pages, certificate.MostPages)
	}
	return err
}
