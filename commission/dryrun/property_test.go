package dryrun

import (
	"flag"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestMain(m *testing.M) {
	if err := flag.Set("rapid.nofailfile", "true"); err != nil { // a failure prints the whole visit
		panic(err)
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
	})
}
