package phone

import (
	"embed"
	"net/http"
)

// What the phone's browser shows: one page with its style and its script, and nothing from
// elsewhere.
//
//go:embed page/page.html page/page.css page/page.js
var files embed.FS

// file serves one of them.
func file(name, media string) http.HandlerFunc {
	content, err := files.ReadFile("page/" + name)
	if err != nil {
		panic(err) // it is built in
	}
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", media)
		_, _ = w.Write(content)
	}
}
