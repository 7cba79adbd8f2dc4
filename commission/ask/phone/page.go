package phone

import (
	"bytes"
	"compress/gzip"
	"embed"
	"net/http"
	"path"
	"strings"
	"sync"
)

// What the phone's browser shows: one page with its style and its scripts, plain files
// that are served without their comments, and nothing from elsewhere.
//
//go:embed page
var files embed.FS

// media are told here: what a computer has registered for them may be anything.
var media = map[string]string{
	".html": "text/html; charset=utf-8", ".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8",
}

// file serves one of them: the one of the address, or the page itself.
func file(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("file")
	if name == "" {
		name = "page.html"
	}
	content, err := files.ReadFile("page/" + path.Base(name))
	if err != nil {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", media[path.Ext(name)])
	taking(w)
	w.Header().Set("Vary", "Accept-Encoding")
	if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		w.Header().Set("Content-Encoding", "gzip")
		_, _ = w.Write(packed()[path.Base(name)])
		return
	}
	_, _ = w.Write(withoutComments(content))
}

// withoutComments leaves out the lines of a script that are nothing else.
func withoutComments(content []byte) []byte {
	var kept []byte
	for line := range bytes.Lines(content) {
		if !bytes.HasPrefix(bytes.TrimLeft(line, "\t "), []byte("//")) {
			kept = append(kept, line...)
		}
	}
	return kept
}

// packed are the files as they go over a slow network, by their names. Nothing in them is
// secret, so that how small they get tells nothing.
var packed = sync.OnceValue(func() map[string][]byte {
	all := map[string][]byte{}
	entries, _ := files.ReadDir("page") // it is in the program
	for _, e := range entries {
		content, _ := files.ReadFile("page/" + e.Name())
		var out bytes.Buffer
		w := gzip.NewWriter(&out)
		_, _ = w.Write(withoutComments(content)) // a buffer takes all
		_ = w.Close()
		all[e.Name()] = out.Bytes()
	}
	return all
})
