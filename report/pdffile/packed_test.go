package pdffile

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPackedIsUnpacked(t *testing.T) {
	content := bytes.Repeat([]byte("a certificate "), 1000)
	d := From([]Object{Dict{"Type": Name("Catalog")}, Dict{}}, nil)
	ref := d.Add(Packed(Dict{"N": Number("3")}, content))
	s := d.Get(ref).(Stream)
	assert.Less(t, len(s.Raw), 200)
	assert.Equal(t, Dict{"N": Number("3"), "Filter": Name("FlateDecode")}, s.Dict)
	out, err := d.Unpacked(ref, len(content))
	require.NoError(t, err)
	assert.Equal(t, content, out)
	_, err = d.Unpacked(ref, len(content)-1)
	assert.ErrorIs(t, err, ErrTooLarge)
	_, err = d.Unpacked(d.Root, 10)
	assert.ErrorIs(t, err, ErrNotRead)
	plain := d.Add(Stream{Dict{}, []byte("12345")})
	_, err = d.Unpacked(plain, 4)
	assert.ErrorIs(t, err, ErrTooLarge, "what is not packed is bounded, too")
	assert.Equal(t, Packed(Dict{}, content), Packed(Dict{}, content), "a packer that is used again packs the same")
}

// An identifier is read and written where both of its parts are the same; any other is not ours.
func TestIdentifierStays(t *testing.T) {
	d := From([]Object{Dict{"Type": Name("Catalog")}, Dict{}}, []byte("0123456789abcdef"))
	file := d.Bytes()
	f, err := Open(file)
	require.NoError(t, err)
	again, err := f.Objects()
	require.NoError(t, err)
	assert.Equal(t, d.ID, again.ID)
	assert.Equal(t, file, again.Bytes())
	for _, other := range []string{"/ID [<30>]", "/ID [<30> <31>]", "/ID <30>", "/ID [1 1]"} {
		changed := bytes.Replace(file, []byte("/ID [<30313233343536373839616263646566> <30313233343536373839616263646566>]"),
			[]byte(other), 1)
		require.NotEqual(t, file, changed)
		f, err := Open(changed)
		require.NoError(t, err)
		again, err := f.Objects()
		require.NoError(t, err)
		assert.NotEqual(t, changed, again.Bytes(), other)
	}
}
