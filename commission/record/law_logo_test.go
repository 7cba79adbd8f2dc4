package record

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/logo"
)

// The record has the logo that its site file names, byte by byte, or is not read; so it is of a
// changed site file (LawLogo).
func TestLawLogo(t *testing.T) {
	const bell, shop = `<svg viewBox="0 0 30 10"><path d="M0 0H30V10H0z"/></svg>`, `<svg viewBox="0 0 9 9"><circle r="4"/></svg>`
	file := func(content, hashed string) *LogoFile { return &LogoFile{[]byte(content), logo.Digest([]byte(hashed))} }
	const named = "brand: {logo: logo.svg}\n"
	for name, test := range map[string]struct {
		says  string
		logo  *LogoFile
		taken bool
	}{
		"neither":         {"", nil, true},
		"as named":        {named, file(bell, bell), true},
		"not there":       {named, nil, false},
		"not named":       {"", file(bell, bell), false},
		"exchanged":       {named, file(shop, bell), false},
		"its hash alone":  {named, file(bell, shop), false},
		"none":            {named, file("x", "x"), false},
		"in large digits": {named, &LogoFile{[]byte(bell), strings.ToUpper(logo.Digest([]byte(bell)))}, false},
	} {
		o := openedHonestly(t, asItIs)
		o.Site += test.says
		o.Logo = test.logo
		r, err := told(t, o)
		changed := SiteChanged{Site: o.Site, Logo: test.logo, Programme: o.Programme}
		_, later := told(t, openedHonestly(t, asItIs), changed)
		if test.taken {
			require.NoError(t, err, name)
			require.NoError(t, later, name)
			assert.Equal(t, test.logo != nil, r.Logo() != nil, name)
			continue
		}
		var refused *Refusal
		for _, err := range []error{err, later} {
			require.ErrorAs(t, err, &refused, name)
			assert.Equal(t, LawLogo, refused.Law, name)
		}
	}
}
