package ask

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/checks"
	"loopwitness/commission/programme"
)

// What can be typed about a cable; "none" leaves it out, or says that nothing was measured.
func TestCablesAreTyped(t *testing.T) {
	for _, tc := range []struct {
		takes Takes
		text  string
		want  bool
	}{
		{CableSeen{}, "4 red black / hall", true}, {CableSeen{}, "none", true}, {CableSeen{}, "red black", false},
		{CableValues{}, "12.4 ohm >200 Mohm", true}, {CableValues{}, "none", true}, {CableValues{}, "12.4", false},
	} {
		answer, err := Question{Takes: tc.takes}.Accept(tc.text)
		assert.Equal(t, tc.want, err == nil, tc.text)
		if tc.want {
			assert.Equal(t, tc.text, answer.Text)
		}
	}
}

// A cable that may be live is a caution.
func TestACableThatMayBeLive(t *testing.T) {
	mains, _ := checks.IdentifyCable(2, []string{"brown", "blue"}, 0)
	plain, _ := checks.IdentifyCable(2, []string{"red", "black"}, 0)
	assert.Equal(t, Caution, CablePerhaps{Zone: programme.ZoneName{}, Guesses: mains}.Weight())
	assert.Equal(t, Plain, CablePerhaps{Guesses: plain}.Weight())
}
