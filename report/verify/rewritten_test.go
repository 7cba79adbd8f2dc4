package verify

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/report/pdffile"
)

// Audit, 16: rewritten files are called "cut short".
func TestARewrittenFileIsNotCutShort(t *testing.T) {
	file := potterySealed(t, newIdentity(t, "x"))
	f, err := pdffile.Open(file)
	require.NoError(t, err)
	d, err := f.Objects()
	require.NoError(t, err)
	d.Dict(d.Root)["Names"] = nil // as if by a program that drops attachments
	rewritten := d.Bytes()
	require.Less(t, len(rewritten), len(file))
	r := Check("c.pdf", rewritten, Options{})
	assert.Equal(t, Failed, r.Outcome)
	assert.False(t, r.has(CutShort), texts(r))
	assert.Contains(t, texts(r), "changed: another program has written it anew")
	r = Check("c.pdf", file[:len(file)-10], Options{})
	assert.True(t, r.has(CutShort), texts(r))
}
