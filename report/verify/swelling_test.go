//go:build linux

package verify

import (
	"compress/zlib"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/report/pdffile"
)

// A page that swells is not unpacked: a file of a few kilobytes would take gigabytes.
func TestASwellingPageIsNotUnpacked(t *testing.T) {
	id := newIdentity(t, "x")
	file := sealed(t, makeFrom(t, recorded(t), by(id)).Contents, id)
	bomb := packedAt(zlib.BestCompression)(make([]byte, 60<<20))
	again := rebuilt(t, file, id, func(all []pdffile.Object) {
		for i, o := range all {
			s, is := o.(pdffile.Stream)
			if is && s.Dict["Filter"] == pdffile.Name("FlateDecode") && s.Dict["Type"] == nil {
				all[i] = pdffile.Stream{Dict: s.Dict, Raw: bomb}
			}
		}
	})
	s := checkApart(t, again)
	assert.NotEqual(t, Intact, s.report.Outcome)
	assert.NotEqual(t, Holds, s.report.Shown.Reply)
	assert.Less(t, s.memory, int64(256<<20))
}
