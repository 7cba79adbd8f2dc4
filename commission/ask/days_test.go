package ask

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestDaysHaveBounds(t *testing.T) {
	d := Date{From: "2026-11-24", To: "2036-11-24"}
	for text, fits := range map[string]bool{"2026-11-24": true, "2026-11-23": false, "2036-11-24": true,
		"2036-11-25": false, "soon": false} {
		_, err := d.accept(text)
		assert.Equal(t, fits, err == nil, text)
	}
	for _, text := range []string{"0001-01-01", "9999-12-31"} {
		_, err := Date{}.accept(text)
		assert.NoError(t, err, text)
	}
}
