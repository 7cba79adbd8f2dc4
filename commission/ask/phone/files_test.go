package phone

import (
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/photograph"
	"loopwitness/commission/words"
)

// pageFiles are the files of the page, by their names.
func pageFiles(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, fs.WalkDir(files, "page", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		content, err := files.ReadFile(name)
		all[path.Base(name)] = string(content)
		return err
	}))
	require.Greater(t, len(all), 10)
	return all
}

// The page is small enough for a bad network, all of it named by itself, and each file is
// served as what it is.
func TestPageIsSmall(t *testing.T) {
	size := 0
	for name, content := range pageFiles(t) {
		size += len(withoutComments([]byte(content)))
		assert.NotEmpty(t, media[path.Ext(name)], name)
		if name != "page.html" {
			assert.Contains(t, pageFiles(t)["page.html"], `"/`+name+`"`, "it is asked for at once")
		}
	}
	for _, text := range words.PageTexts(words.English{}) {
		size += len(text)
	}
	assert.Less(t, size, 100_000)
}

// Nothing on the page reads markup or makes a script of a text, or asks for anything from
// elsewhere.
func TestPageReadsNoMarkup(t *testing.T) {
	sinks := regexp.MustCompile(
		`innerHTML|outerHTML|insertAdjacentHTML|document\.write|DOMParser|createContextualFragment|` +
			`\beval\(|new Function|javascript:|srcdoc|https?://`,
	)
	inline := regexp.MustCompile(`<style|style=| on[a-z]+=|<script(?: type="module")?>`)
	for name, content := range pageFiles(t) {
		assert.Empty(t, sinks.FindAllString(content, -1), name)
		if path.Ext(name) == ".html" {
			assert.Empty(t, inline.FindAllString(content, -1), name)
		}
	}
}

// The page holds no sentence of its own: each code that it says has one in the catalogue, and
// the catalogue has none that it does not say.
func TestPageSaysWhatTheCatalogueHas(t *testing.T) {
	texts := words.PageTexts(words.English{})
	require.Greater(t, len(texts), 100)
	learning := words.LearningPageTexts(words.English{})
	assert.Len(t, learning, len(texts), "a text of learning that no visit has is said by nobody")
	for code, text := range learning {
		assert.NotRegexp(t, `(?i)\b(the|this|another|one) visit\b`, text, code)
	}
	// Codes that are put together stand with the beginning of them.
	code := regexp.MustCompile(`\b(say|many)\((?:[^'(),]*\? )?'([a-z0-9-]+)'(?: : '([a-z0-9-]+)')?`)
	begun := regexp.MustCompile(`say\('([a-z0-9-]+-)' \+|texts\['([a-z]+-)' \+`)
	ended := regexp.MustCompile(`say\([a-z.]+ \+ '(-[a-z]+)'\)`)
	literal := regexp.MustCompile(`'([a-z][a-z0-9]*(?:-[a-z0-9]+)*)'`)
	said, mentioned, starts, ends := map[string]bool{}, map[string]bool{}, map[string]bool{}, map[string]bool{}
	for name, content := range pageFiles(t) {
		if path.Ext(name) != ".js" {
			continue
		}
		for _, m := range code.FindAllStringSubmatch(content, -1) {
			for _, c := range m[2:] {
				switch {
				case c == "" || strings.HasSuffix(c, "-"):
				case m[1] == "many":
					said[c+"-one"], said[c+"-many"] = true, true
				default:
					said[c] = true
				}
			}
		}
		for _, m := range begun.FindAllStringSubmatch(content, -1) {
			starts[m[1]+m[2]] = true
		}
		for _, m := range ended.FindAllStringSubmatch(content, -1) {
			ends[m[1]] = true
		}
		for _, m := range literal.FindAllStringSubmatch(content, -1) {
			mentioned[m[1]] = true
		}
	}
	require.Greater(t, len(said), 80)
	for c := range said {
		assert.Contains(t, texts, c)
	}
	for c := range texts {
		used := said[c] || mentioned[c] || c == "lang"
		for s := range starts {
			used = used || strings.HasPrefix(c, s)
		}
		for e := range ends {
			used = used || strings.HasSuffix(c, e)
		}
		assert.True(t, used, "nobody says %s", c)
	}
}

// The page makes a photograph smaller that the program would refuse, and no other.
func TestPageKnowsTheLargestPhotograph(t *testing.T) {
	assert.EqualValues(t, 8<<20, photograph.MaxBytes)
	assert.Contains(t, pageFiles(t)["photo.js"], "const MOST = 8 << 20;")
}
