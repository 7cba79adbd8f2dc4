package verify

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/report/verify/tampered"
)

// fewestTamperings is how many ways there are at least.
const fewestTamperings = 100

// Every tampering of a really signed file is noticed, whether a stranger did it or whoever
// holds the key: none of the files is intact, and one that a stranger altered fails.
func TestTamperedSignedFiles(t *testing.T) {
	if outsidetool.Racing {
		t.Skip("nothing runs side by side here, and it takes minutes then")
	}
	id, twin := newIdentity(t, "x"), newIdentity(t, "x")
	c := photographed(t, id)
	file := sealed(t, c.Contents, id)
	stamp := stamped(t, id, stampingAt(time.Now()))
	require.Equal(t, Intact, Check("c.pdf", file, Options{}).Outcome)
	require.Equal(t, Intact, Check("c.pdf", stamp, Options{}).Outcome)
	cases, err := tampered.All(tampered.Original{File: file, Contents: c.Contents, Key: id, Twin: twin,
		Other: potterySealed(t, id), Stamped: stamp})
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(cases), fewestTamperings)
	strokes := 0
	for _, c := range cases {
		if strings.Contains(c.Name, "signature") && strings.HasPrefix(c.Name, "objects: ") {
			strokes++
		}
	}
	assert.Equal(t, 8, strokes, "of signatures in lines")
	var all errgroup.Group
	all.SetLimit(2)
	for _, c := range cases {
		all.Go(func() error {
			r := Check("c.pdf", c.File, Options{})
			assert.NotEqual(t, Intact, r.Outcome, c.Name)
			assert.NotEmpty(t, r.Problems, c.Name)
			return nil
		})
	}
	require.NoError(t, all.Wait())
	t.Logf("%d tamperings, all noticed", len(cases))
}
