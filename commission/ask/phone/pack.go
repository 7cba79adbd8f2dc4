package phone

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"strings"
	"sync"
)

// pack is a file's content as it goes over a slow network: packed, for a browser that takes
// it so. Nothing in these files is secret, so that how small they get tells nothing.
func pack(w http.ResponseWriter, r *http.Request, name string, content []byte) []byte {
	w.Header().Set("Vary", "Accept-Encoding")
	if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		return content
	}
	w.Header().Set("Content-Encoding", "gzip")
	return packed()[name]
}

// packed are the files by their names.
var packed = sync.OnceValue(func() map[string][]byte {
	all := map[string][]byte{}
	entries, _ := files.ReadDir("page") // it is in the program
	for _, e := range entries {
		content, _ := files.ReadFile("page/" + e.Name())
		var out bytes.Buffer
		w := gzip.NewWriter(&out)
		_, _ = w.Write(content) // a buffer takes all
		_ = w.Close()
		all[e.Name()] = out.Bytes()
	}
	return all
})
