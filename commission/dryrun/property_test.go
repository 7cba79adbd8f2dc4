package dryrun

import (
	"errors"
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/kit/strictyaml"
)

func TestMain(m *testing.M) {
	if err := flag.Set("rapid.nofailfile", "true"); err != nil { // a failure prints the whole visit
		panic(err)
	}
	if outsidetool.Racing { // nothing runs side by side here
		if err := flag.Set("rapid.checks", "10"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}

// A visit of which nothing differs gives the same codes, and is carried to its end.
func TestTheSameVisitTwice(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Draw(t)
		once, err := v.Run(t.Context())
		require.NoError(t, err, "%s\n%s\n%s", v.Site, v.Controller, v.Answers)
		twice, err := v.Run(t.Context())
		require.NoError(t, err)
		assert.Equal(t, Codes(once), Codes(twice))
		assert.True(t, once.Record().Done())
		assert.Empty(t, once.Record().Breaches(), "no visit breaks a law")
	})
}

// A site file without any one of its keys is refused, or its visit is carried to its end all
// the same: so that the two can be held against each other.
func TestAVisitWithoutAKey(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := Draw(t)
		key := rapid.SampledFrom(AllKeys(v.Site)).Draw(t, "key")
		less, err := DeleteKey(v.Site, key)
		require.NoError(t, err)
		v.Site = less
		a, err := v.Run(t.Context())
		if errors.Is(err, strictyaml.ErrRefused) {
			return
		}
		require.NoError(t, err, "%s\n%s", v.Site, v.Controller)
		assert.True(t, a.Record().Done())
		assert.Empty(t, a.Record().Breaches(), "no visit breaks a law")
	})
}
