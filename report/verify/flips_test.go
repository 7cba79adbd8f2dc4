package verify

import (
	"bytes"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// noticed tells whether the check of the seal alone, on which every outcome rests,
// finds fault with a file.
func noticed(file []byte) bool {
	r := &Report{}
	r.checkSeal(file, Options{})
	return len(r.Problems) > 0
}

// Every one of 5,000 random flips of a bit anywhere in the file is reported: none of
// them lies in the unsigned padding unnoticed, since the padding has to be zero.
func TestFlippedBitsAreReported(t *testing.T) {
	const flips, whole = 5000, 40
	file := potterySealed(t, newIdentity(t, "Bellbird Alarm Services"))
	require.False(t, noticed(file))
	at, err := findSignature(file)
	require.NoError(t, err)
	der, err := at.contents(file)
	require.NoError(t, err)
	random := rand.New(rand.NewPCG(2026, 11))
	inPlace, inPadding := 0, 0
	for i := range flips {
		n := random.IntN(len(file) * 8)
		flipped := bytes.Clone(file)
		flipped[n/8] ^= 1 << (n % 8)
		require.True(t, noticed(flipped), "bit %d of byte %d", n%8, n/8)
		switch {
		case n/8 > at.firstEnd+2*len(der) && n/8 < at.secondBegin-1:
			inPadding++
		case n/8 >= at.firstEnd && n/8 < at.secondBegin:
			inPlace++
		}
		if i < whole {
			assert.NotEqual(t, Intact, Check("c.pdf", flipped, Options{}).Outcome, "bit %d of byte %d", n%8, n/8)
		}
	}
	t.Logf("%d of %d flips reported; %d of them in the signature, %d in its padding", flips, flips, inPlace, inPadding)
}

// Random flips seldom hit the signature, which does not cover itself: so every bit of
// it is flipped.
func TestEveryBitOfTheSignatureIsReported(t *testing.T) {
	file := smallSealed(t)
	at, err := findSignature(file)
	require.NoError(t, err)
	for n := at.firstEnd * 8; n < at.secondBegin*8; n++ {
		file[n/8] ^= 1 << (n % 8)
		require.True(t, noticed(file), "bit %d of byte %d: …%s…", n%8, n/8, file[max(at.firstEnd, n/8-20):n/8+20])
		file[n/8] ^= 1 << (n % 8)
	}
	t.Logf("%d bits", 8*(at.secondBegin-at.firstEnd))
	require.False(t, noticed(file))
}

// smallSealed is a sealed file whose pages are few: only its seal is looked at.
func smallSealed(t testing.TB) []byte {
	t.Helper()
	id := newIdentity(t, "Bellbird Alarm Services")
	c := makeFrom(t, recorded(t), by(id))
	c.Document.Sections = c.Document.Sections[:1]
	contents := withPages(t, c.Contents, c.Document)
	contents.Attachments = nil
	return sealed(t, contents, id)
}
