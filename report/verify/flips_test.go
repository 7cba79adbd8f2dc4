package verify

import (
	"bytes"
	"encoding/hex"
	"math/rand/v2"
	"testing"

	"loopwitness/commission/kit/outsidetool"

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
	flips, whole := 5000, 40
	if outsidetool.Racing { // nothing runs side by side here
		flips, whole = 250, 2
	}
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
	unnoticed, _ := unnoticedFlips(t, smallSealed(t))
	assert.Zero(t, unnoticed)
}

// unnoticedFlips counts the bits of the signature whose flip is not noticed, and those
// of them that lie in its time stamp and leave what it proves as it was. The file must
// be sound. Of the zeros behind the signature, and of a time stamp, only some are flipped.
func unnoticedFlips(t testing.TB, whole []byte) (all, harmless int) {
	t.Helper()
	file := bytes.Clone(whole)
	at, err := findSignature(file)
	require.NoError(t, err)
	s, err := checkSignature(file, at)
	require.NoError(t, err)
	der, err := at.contents(file)
	require.NoError(t, err)
	sound := &Report{}
	sound.checkSeal(file, Options{})
	require.Empty(t, sound.Problems)
	from := bytes.Index(whole, hexOf(s.token))
	flips := 0
	for n := at.firstEnd * 8; n < at.secondBegin*8; n++ {
		const step = 97
		if padding := at.firstEnd + 1 + 2*len(der); n/8 > padding && n/8 < at.secondBegin-1 && n%step != 0 {
			continue
		}
		inToken := s.token != nil && n/8 >= from && n/8 < from+2*len(s.token)
		if inToken && n%5 != 0 {
			continue
		}
		flips++
		file[n/8] ^= 1 << (n % 8)
		r := &Report{}
		r.checkSeal(file, Options{})
		if len(r.Problems) == 0 {
			all++
			if inToken && assert.ObjectsAreEqual(sound, r) {
				harmless++
			}
		}
		file[n/8] ^= 1 << (n % 8)
	}
	t.Logf("%d bits of the signature flipped, %d unnoticed", flips, all)
	return all, harmless
}

func hexOf(b []byte) []byte { return []byte(hex.EncodeToString(b)) }

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

// FuzzTampered: whatever is written over, cut out of or put into a sealed file, it is
// not intact any more.
func FuzzTampered(f *testing.F) {
	whole := smallSealed(f)
	f.Add(uint32(100), uint16(3), []byte("abc"))
	f.Add(uint32(len(whole)), uint16(0), []byte("\n%%EOF\n"))
	f.Fuzz(func(t *testing.T, at uint32, cut uint16, put []byte) {
		from := int(at) % (len(whole) + 1)
		to := min(len(whole), from+int(cut))
		tampered := append(append(bytes.Clone(whole[:from]), put...), whole[to:]...)
		if r := Check("c.pdf", tampered, Options{}); !bytes.Equal(tampered, whole) && r.Signature != nil &&
			len(r.Problems) == 0 {
			t.Fatal("intact")
		}
		if !bytes.Equal(tampered, whole) && !noticed(tampered) {
			t.Fatal("the seal holds")
		}
	})
}
