package phone

import (
	"compress/gzip"
	"io"
	"net/http/httptest"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A file is the same, packed or not, and goes packed only to who takes it so.
func TestPack(t *testing.T) {
	for name, content := range pageFiles(t) {
		r := httptest.NewRequest("GET", "/"+name, nil)
		r.SetPathValue("file", name)
		plain := httptest.NewRecorder()
		file(plain, r)
		assert.Equal(t, string(withoutComments([]byte(content))), plain.Body.String(), name)
		assert.Empty(t, plain.Header().Get("Content-Encoding"), name)
		r.Header.Set("Accept-Encoding", "gzip, br")
		w := httptest.NewRecorder()
		file(w, r)
		assert.Equal(t, "gzip", w.Header().Get("Content-Encoding"), name)
		unpacked, err := gzip.NewReader(w.Body)
		require.NoError(t, err)
		all, err := io.ReadAll(unpacked)
		require.NoError(t, err)
		assert.Equal(t, plain.Body.String(), string(all), name)
		assert.Equal(t, plain.Header().Get("Content-Type"), w.Header().Get("Content-Type"), name)
	}
}
