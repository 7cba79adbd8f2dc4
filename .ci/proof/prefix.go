package main

import (
	"bytes"
	"fmt"
)

// wholeLines are the lines of a journal that were written to their end.
func wholeLines(data []byte) []byte { return data[:bytes.LastIndexByte(data, '\n')+1] }

// kept is an error unless each whole line that was on disk is there still, as it was and
// where it was.
func kept(before, after []byte) error {
	before = wholeLines(before)
	if bytes.HasPrefix(after, before) {
		return nil
	}
	was, is := bytes.SplitAfter(before, []byte("\n")), bytes.SplitAfter(after, []byte("\n"))
	for i := range was {
		if i >= len(is) || !bytes.Equal(was[i], is[i]) {
			return fmt.Errorf("line %d of %d is not there as it was", i+1, len(was)-1)
		}
	}
	return nil
}
