package wordboxes

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const said = `<!DOCTYPE html><html><body><doc>
  <page width="595.28" height="841.89">
    <word xMin="42.5" yMin="30" xMax="80" yMax="39">Walk&amp;test</word>
    <word xMin="82.5" yMin="30" xMax="99" yMax="39">fine</word>
    <word xMin="42.5" yMin="38.5" xMax="80" yMax="47.5">below</word>
  </page>
  <page width="595.28" height="841.89">
    <word xMin="570" yMin="30" xMax="590" yMax="39">outside</word>
    <word xMin="60" yMin="100" xMax="80" yMax="109">under</word>
    <word xMin="70" yMin="104" xMax="90" yMax="113">over</word>
    <word xMin="60" yMin="830" xMax="80" yMax="839">low</word>
  </page></doc></body></html>`

func TestFaults(t *testing.T) {
	pages, err := Read(strings.NewReader(said))
	require.NoError(t, err)
	require.Len(t, pages, 2)
	assert.Equal(t, Word{"Walk&test", 42.5, 30, 80, 39}, pages[0].Words[0])
	var texts []string
	for _, f := range Faults(pages, Usual) {
		texts = append(texts, f.String())
	}
	assert.Equal(t, []string{`page 2: "outside" stands outside, at 570,30 to 590,39`,
		`page 2: "low" stands outside, at 60,830 to 80,839`, `page 2: "under" at 60,100 stands on "over" at 70,104`}, texts)
	_, err = Read(strings.NewReader("<word>x</word>"))
	assert.Error(t, err)
	_, err = Read(strings.NewReader("<page><word"))
	assert.Error(t, err)
}
