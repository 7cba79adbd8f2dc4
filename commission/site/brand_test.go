package site

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/colour"
)

const branded = `reference: B-1
premises: {name: Kiln, address: Clay Lane}
installer: {company: Bellbird}
controller: {description: controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Door, kind: door, wiring: normally closed, address: z1, detectors: [Door]}
`

// What a site file says of paper, logo and colour; without a word the paper is A4.
func TestPaperAndBrand(t *testing.T) {
	plain, err := Read("site.yaml", []byte(branded))
	require.NoError(t, err)
	assert.Equal(t, A4, plain.Paper)
	assert.Equal(t, Brand{}, plain.Brand)
	s, err := Read("site.yaml", []byte(branded+"paper: letter\nbrand: {logo: logo.svg, colour: \"#1f4e79\"}\n"))
	require.NoError(t, err)
	assert.Equal(t, Letter, s.Paper)
	assert.Equal(t, Brand{"logo.svg", &colour.RGB{Red: 0x1f, Green: 0x4e, Blue: 0x79}}, s.Brand)
	again, err := Read("site.yaml", Format(s))
	require.NoError(t, err)
	assert.Equal(t, s.Brand, again.Brand)
	assert.Equal(t, s.Paper, again.Paper)
}

// What cannot be: told with its place, and with what to do. Contrasts as in the table of the colours' own test.
func TestPaperAndBrandRefused(t *testing.T) {
	for says, want := range map[string][]string{
		"paper: legal": {`site.yaml:8:8: "legal" is no paper that is known`, "one of: a4, letter"},
		"brand: {colour: \"#777777\"}": {"site.yaml:8:17: #777777 cannot be read well on white: its contrast is 4.47 : 1",
			"at least 4.5 : 1"},
		"brand: {colour: \"#FF0000\"}": {"site.yaml:8:17: #FF0000 cannot be read", "is 3.99 : 1"},
		"brand: {colour: \"#167054\"}": {"could be taken for the colour of what is good", "differ by 0.0"},
		"brand: {colour: \"#A52A2A\"}": {"could be taken for the colour of what is bad"},
		"brand: {colour: \"#9C5C08\"}": {"could be taken for the colour of what needs attention"},
		"brand: {colour: navy}":        {`site.yaml:8:17: "navy" is no colour; write it as #RRGGBB`},
		"brand:\n  colour: #1F4E79":    {`site.yaml:9:3: "colour" is empty`, "in quotes"},
		"brand: {logo: ../logo.png}":   {`site.yaml:8:15: "../logo.png" is not the name of a file in the job's folder`},
		"brand: {logo: /logo.png}":     {"is not the name of a file"},
		"brand: {color: \"#1F4E79\"}":  {`"color"`, "colour"},
	} {
		_, err := Read("site.yaml", []byte(branded+says+"\n"))
		if !assert.Error(t, err, says) {
			continue
		}
		for _, text := range want {
			assert.Contains(t, err.Error(), text, says)
		}
	}
	for _, taken := range []string{"#767676", "#1F4E79", "#000000", "#5B2A86", "#345"} {
		_, err := Read("site.yaml", []byte(branded+"brand: {colour: \""+taken+"\"}\n"))
		assert.Equal(t, strings.HasSuffix(taken, "345"), err != nil, "%s: %v", taken, err)
	}
}
