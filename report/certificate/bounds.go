package certificate

import (
	"errors"
	"fmt"
)

// What a certificate holds at most. A record may come from anybody, and must not keep who
// checks it busy for hours: a site of 5,000 detectors, the most that a site file may have,
// gives 40,000 texts of 1 MiB in all and 300 pages.
const (
	MostTexts = 100_000
	MostText  = 4 << 20 // bytes in all
	MostPages = 1500
)

// ErrTooMuch says that a record gives more than a certificate can hold.
var ErrTooMuch = errors.New("the record is too large for a certificate")

// Within is an error (ErrTooMuch) for more or longer texts than a certificate may have.
func Within(stated []Stated) error {
	if len(stated) > MostTexts {
		return fmt.Errorf("%w: it gives more than %d texts", ErrTooMuch, MostTexts)
	}
	all := 0
	for _, s := range stated {
		all += len(s.Key) + len(s.Text)
	}
	if all > MostText {
		return fmt.Errorf("%w: its texts have more than %d MiB in all", ErrTooMuch, MostText>>20)
	}
	return nil
}
