package beforehand

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/listen"
	"loopwitness/commission/site"
)

// What a certificate cannot show is told with its place before the visit, until it has a second name.
func TestWhatCannotBePrinted(t *testing.T) {
	const text = `reference: R-1
premises: {name: 窯元, address: 7 Kiln Yard}
installer: {company: Bellbird Alarm Services}
controller: {description: network controller, location: cupboard}
supply: {adapter: {rating: 2 A, voltage: 15 V}, battery: {chemistry: none}}
zones:
  - {number: 1, name: 窯元 door, kind: door, wiring: normally closed, address: z01, detectors: [Door]}
`
	han := func(s string) []string {
		if strings.ContainsRune(s, '窯') {
			return []string{"Han"}
		}
		return nil
	}
	remarks := func(text string, ask func(string) []string) (all []Remark) {
		s, err := site.Read("site.yaml", []byte(text))
		require.NoError(t, err)
		for _, r := range Of(Job{Site: s, Listen: listen.Keyboard, Unprintable: ask}, time.Now()) {
			if strings.Contains(r.What, "cannot show") {
				all = append(all, r)
			}
		}
		return all
	}
	found := remarks(text, han)
	require.Len(t, found, 2)
	assert.Equal(t, []int{2, 18, 7, 23}, []int{found[0].Line, found[0].Column, found[1].Line, found[1].Column})
	assert.Contains(t, found[0].What, "they would print ‹Han› in its place")
	assert.Contains(t, found[0].Do, `printed: [{typed: "窯元", as:`)
	assert.Empty(t, remarks(text+"printed: [{typed: 窯元, as: Kamamoto}]\n", han))
	assert.Empty(t, remarks(text, nil))
}
