package job

import (
	"errors"
	"fmt"
	"strings"
)

// ErrTwins says that several folders hold one visit: one of them is a copy, and may be stale.
var ErrTwins = errors.New("they begin with the same entry: all but one are copies of that visit, maybe stale ones")

// Twins are the names of the other visits that begin with the very entry of a visit, and
// were not set aside.
func (f Folder) Twins(v Visit) (names []string, err error) {
	visits, err := f.Visits()
	for _, other := range visits {
		if v.first != "" && other.Name != v.Name && other.first == v.first && other.Discarded() == nil {
			names = append(names, other.Name)
		}
	}
	return names, err
}

// alone refuses a visit that nobody named and that has twins.
func (f Folder) alone(v Visit) (Visit, error) {
	twins, err := f.Twins(v)
	if err == nil && len(twins) > 0 {
		err = fmt.Errorf("visits %s and %s: %w", v.Name, strings.Join(twins, ", "), ErrTwins)
	}
	return v, err
}
