package certificate

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// smallestSize is what an insurer reads without a glass, in points. Common practice, no source.
const smallestSize = 8

// wordsOf are the texts of a part.
func wordsOf(p *part) (all []string) {
	for _, t := range p.texts {
		all = append(all, t.text)
	}
	return all
}

// tooSmall are the texts of a part that are drawn smaller than anybody should have to read.
func tooSmall(p *part) (all []placed) {
	for _, t := range p.texts {
		if t.size < smallestSize {
			all = append(all, t)
		}
	}
	return all
}

// Nothing that anybody has to read is small, on any page.
func TestNoTextIsSmall(t *testing.T) {
	documents := map[string]Document{"pottery": pottery(t), "large": large(300)}
	for name, a := range visits(t) {
		documents[name] = bracketed(a, longer{})
	}
	n := 0
	for name, d := range documents {
		sheets := paginate(d)
		for i, sheet := range sheets {
			for _, p := range append(sheet, foot(d, i+1, len(sheets))) {
				assert.Empty(t, tooSmall(p), "%s, page %d", name, i+1)
				n += len(p.texts)
			}
		}
	}
	require.Greater(t, n, 3000)
	spoilt := newPart(10)
	spoilt.text(one("word", smallestSize-0.1, false, body), 0, 0, smallestSize-0.1, ink)
	require.Len(t, tooSmall(spoilt), 1, "the test can fail")
}
