package dryrun

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// tells is a law as its room declares it.
var tells = regexp.MustCompile(`\n\t?(?:const )?(Law\w+) +Law = "([^"]+)"`)

// Each law is broken by a forgery, has a sentence, and is tried at its limits by a table of
// its room.
func TestEveryLawIsTried(t *testing.T) {
	forged := map[record.Law]bool{}
	for _, f := range Forgeries {
		forged[f.Law] = true
	}
	called := map[record.Law]string{}
	for _, found := range tells.FindAllStringSubmatch(sources(t, "../record/law*.go", false), -1) {
		called[record.Law(found[2])] = found[1]
	}
	tables := sources(t, "../record/law*_test.go", true) + sources(t, "../record/clock*_test.go", true)
	laws, consequences := record.Laws()
	for i, law := range laws {
		assert.True(t, forged[law], "%s: no forgery breaks it", law)
		assert.NotEmpty(t, words.English{}.Say(law), law)
		require.NotEmpty(t, called[law], law)
		assert.True(t, strings.Contains(tables, called[law]), "%s: no table tries it", law)
		t.Logf("%-24s %s", law, consequences[i])
	}
	assert.Len(t, called, len(laws), "a law that is not in the book")
	t.Logf("%d forgeries", len(Forgeries))
}

// sources are the texts of files.
func sources(t *testing.T, pattern string, tests bool) string {
	t.Helper()
	files, err := filepath.Glob(pattern)
	require.NoError(t, err)
	var all strings.Builder
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") == tests {
			text, err := os.ReadFile(file)
			require.NoError(t, err)
			all.Write(text)
		}
	}
	return all.String()
}
