package record

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func takesBack(name, reason string) TakenBack {
	return TakenBack{Name: name, Reason: reason, By: "Bea"}
}

// A photograph that is taken back is gone but for what is told of it, and its name is not
// given again.
func TestAPhotographIsTakenBack(t *testing.T) {
	r := recordOf(t, time.Minute, answer(checkStep, Done))
	require.NoError(t, take(t, r, 2, time.Hour, photo(1, nil)))
	require.NoError(t, take(t, r, 3, time.Hour, photo(2, func(p *Photographed) { p.Caption = "door" })))
	require.NoError(t, take(t, r, 4, 2*time.Hour, takesBack("photograph-1.jpg", "of another site")))
	require.Len(t, r.Photographs(), 1)
	assert.Equal(t, "photograph-2.jpg", r.Photographs()[0].Name)
	assert.Equal(t, "photograph-3.jpg", r.NextPhotograph("image/jpeg"))
	assert.Equal(t, []Withdrawal{{takesBack("photograph-1.jpg", "of another site"), Motif{Part: AboutSite}, 4,
		at(2 * time.Hour)}}, r.Withdrawals())
	assert.Equal(t, at(time.Minute), r.Attended(), "nobody attended then")
	assert.Equal(t, 1, r.Runs())

	// The caption of the other can be corrected still, that of the one cannot.
	require.NoError(t, r.MayCorrect(Corrected{Entry: 5, Field: CaptionField, Text: "gate", Reason: "x", By: "Bea"}))
	require.Error(t, r.MayCorrect(Corrected{Entry: 4, Field: CaptionField, Text: "gate", Reason: "x", By: "Bea"}))

	require.Error(t, r.MayTakeBack(takesBack("photograph-1.jpg", "again")))
	require.NoError(t, take(t, r, 5, 3*time.Hour, photo(1, func(p *Photographed) { p.Name = "photograph-3.jpg" })))
	require.NoError(t, take(t, r, 6, 4*time.Hour, takesBack("photograph-2.jpg", "x")))
	assert.Equal(t, "photograph-3.jpg", r.Photographs()[0].Name)
	assert.Len(t, r.Withdrawals(), 2)
}

func TestWhatCannotBeTakenBack(t *testing.T) {
	for name, test := range map[string]struct {
		back TakenBack
		want string
	}{
		"as it is":           {takesBack("photograph-1.jpg", "x"), ""},
		"by nobody":          {TakenBack{Name: "photograph-1.jpg", Reason: "x"}, ""},
		"as long as may be":  {takesBack("photograph-1.jpg", strings.Repeat("a", 200)), ""},
		"another photograph": {takesBack("photograph-2.jpg", "x"), `has no photograph "photograph-2.jpg"`},
		"no reason":          {takesBack("photograph-1.jpg", " "), "without a reason"},
		"a longer reason":    {takesBack("photograph-1.jpg", strings.Repeat("a", 201)), "at most 200 characters"},
		"of two lines":       {takesBack("photograph-1.jpg", "a\nb"), "one line each"},
		"by a longer name": {TakenBack{Name: "photograph-1.jpg", Reason: "x", By: strings.Repeat("a", 201)},
			"at most 200 characters"},
	} {
		r := recordOf(t)
		require.NoError(t, take(t, r, 1, 0, photo(1, nil)))
		may := r.MayTakeBack(test.back)
		err := take(t, r, 2, 0, test.back)
		if test.want == "" {
			require.NoError(t, err, name)
			require.NoError(t, may, name)
			continue
		}
		require.ErrorIs(t, err, ErrNoSense, name)
		if name != "of two lines" { // which no entry may have, whatever it is
			assert.ErrorContains(t, err, test.want, name)
		}
		assert.ErrorContains(t, may, test.want, name)
	}
}
