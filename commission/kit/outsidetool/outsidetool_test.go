package outsidetool

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// forTests are the rooms that nothing which is shipped imports: most draw testing in.
var forTests = []string{"loopwitness/commission/kit/outsidetool", "loopwitness/commission/kit/testbroker",
	"loopwitness/commission/kit/alltexts", "loopwitness/commission/kit/freeaddress", "loopwitness/commission/ask/phone/browser"}

// What is shipped imports neither testing nor a room that is for tests.
func TestOnlyTestsImportIt(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "loopwitness/...").Output()
	require.NoError(t, err)
	inTests := map[string]bool{}
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p struct {
			ImportPath                         string
			Imports, TestImports, XTestImports []string
		}
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else {
			require.NoError(t, err)
		}
		for _, room := range forTests {
			inTests[room] = inTests[room] || slices.Contains(slices.Concat(p.TestImports, p.XTestImports), room)
			if !slices.Contains(forTests, p.ImportPath) {
				assert.NotContains(t, p.Imports, room, p.ImportPath)
				assert.NotContains(t, p.Imports, "testing", p.ImportPath)
			}
		}
	}
	for _, room := range forTests {
		assert.True(t, inTests[room], room)
	}
}
