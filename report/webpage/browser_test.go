package webpage_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/ask/phone/browser"
	"loopwitness/report/webpage"
)

func TestMain(m *testing.M) { browser.Main(m) }

// In a real browser, at the width of a desk and of the smallest phone (320 CSS pixels, which is also 1280 at 400 %: WCAG
// 2.2, 1.4.10), the one in light, the other in dark, axe-core finds nothing wrong, nothing stands out to the side, and the page's own
// policy breaks nothing of it. Only the page is told that it is ready, and its tables of charts are opened.
func TestInABrowser(t *testing.T) {
	pages := map[string]string{}
	for name, d := range webpage.Documents(t) {
		pages["/"+strings.ReplaceAll(name, " ", "-")] = webpage.Written(t, d, webpage.FailedFile)
	}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Type", "text/html")
		page := strings.NewReplacer("<body>", `<body data-ready="yes">`, "<details>", "<details open>").Replace(pages[r.URL.Path])
		_, err := w.Write([]byte(page))
		assert.NoError(t, err)
	}))
	t.Cleanup(server.Close)
	p := browser.New(t)
	p.RecordErrors()
	for _, name := range []string{"/demonstration", "/hostile", "/every-block"} {
		require.NotEmpty(t, pages[name], name)
		for _, dark := range []bool{false, true} {
			width := int64(1100)
			if dark {
				width = browser.Narrow
			}
			p.Size(width, 900)
			p.Dark(dark)
			p.Go(server.URL + name)
			assert.Empty(t, p.Sideways(), "%s at %d", name, width)
			assert.Empty(t, p.Axe(), "%s at %d", name, width)
			assert.Empty(t, p.Errors(), "%s at %d", name, width)
		}
		assert.Equal(t, "rgb(21, 24, 27)", browser.Eval[string](p, `getComputedStyle(document.body).backgroundColor`),
			"its style is let in by its policy")
	}
}
