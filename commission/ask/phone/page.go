package phone

import (
	"embed"
	"net/http"
	"path"
)

// What the phone's browser shows: one page with its style and its scripts, plain files
// that are served as they are, and nothing from elsewhere.
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
	content, err := packed(w, r, path.Base(name))
	if err != nil {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", media[path.Ext(name)])
	_, _ = w.Write(content)
}
