package phone

import (
	"bytes"
	"compress/gzip"
	"net/http"
	"strings"
	"sync"
)

// packed is a file's content as it goes over a slow network: packed, for a browser that takes
// it so. Nothing in these files is secret, so that how small they get tells nothing.
func packed(w http.ResponseWriter, r *http.Request, name string) ([]byte, error) {
	content, err := files.ReadFile("page/" + name)
	if err != nil {
		return nil, err
	}
	w.Header().Set("Vary", "Accept-Encoding")
	if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		return content, nil
	}
	w.Header().Set("Content-Encoding", "gzip")
	return small()[name], nil
}

// small are the files, packed, by their names.
var small = sync.OnceValue(func() map[string][]byte {
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
