package phone

import (
	"embed"
	"mime"
	"path"
	"strings"
)

// The page: plain files, served as they are.
//
//go:embed page
var assets embed.FS

// Policy is the page's content security policy: what it needs is served with it.
const Policy = "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self'; img-src 'self' blob:; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// Asset is a file of the page by the path of its address, "/" for the page itself, and its
// type; nil where there is none.
func Asset(address string) (file []byte, contentType string) {
	name := strings.TrimPrefix(address, "/")
	if name == "" {
		name = "page.html"
	}
	if strings.ContainsAny(name, `/\`) {
		return nil, ""
	}
	file, err := assets.ReadFile(path.Join("page", name))
	if err != nil {
		return nil, ""
	}
	return file, types[path.Ext(name)]
}

// types are told here: what a computer has registered for them may be anything.
var types = map[string]string{
	".html": mime.FormatMediaType("text/html", map[string]string{"charset": "utf-8"}),
	".css":  mime.FormatMediaType("text/css", map[string]string{"charset": "utf-8"}),
	".js":   mime.FormatMediaType("text/javascript", map[string]string{"charset": "utf-8"}),
}
