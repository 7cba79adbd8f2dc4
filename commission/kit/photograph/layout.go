package photograph

import "errors"

// layout is how the pixels of a JPEG are laid out in scans (ITU-T T.81, 4.10 and B.2.3).
type layout struct {
	components  int
	progressive bool
	scans       int
	scanned     int // components, summed over the scans
	marked      int // application segments
}

// mostScans is how many scans a progressive picture may have: encoders write ten or so,
// and each takes as long as a whole picture.
const mostScans = 24

// errScans says that readers would see different pictures in it.
var errScans = errors.New("its pixels are laid out in an unusual way; save it anew with a common program")

// add takes the next segment.
func (l *layout) add(mark byte, body []byte) error {
	const (
		firstFrame, progressiveFrame, lastFrame = 0xc0, 0xc2, 0xcf
		tables, arithmetic, extension           = 0xc4, 0xcc, 0xc8
	)
	switch {
	case mark == markScan:
		if len(body) < 1 {
			return errCut
		}
		l.scans++
		l.scanned += int(body[0])
		if l.progressive && l.scans > mostScans || !l.progressive && l.scanned > l.components {
			return errScans
		}
	case mark >= markApp0 && mark <= markApp15:
		l.marked++
	case mark >= firstFrame && mark <= lastFrame && mark != tables && mark != arithmetic && mark != extension:
		if len(body) < 6 {
			return errCut
		}
		if l.components != 0 || mark > progressiveFrame {
			return errScans
		}
		l.components, l.progressive = int(body[5]), mark == progressiveFrame
	}
	return nil
}
