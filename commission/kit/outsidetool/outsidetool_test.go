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

// Nothing that is shipped imports this package, which draws testing in.
func TestOnlyTestsImportIt(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports,TestImports,XTestImports", "loopwitness/...").Output()
	require.NoError(t, err)
	const here = "loopwitness/commission/kit/outsidetool"
	inTests := 0
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
		if slices.Contains(slices.Concat(p.TestImports, p.XTestImports), here) {
			inTests++
		}
		const browser = "loopwitness/commission/ask/phone/browser" // for tests only, as the house has it
		if p.ImportPath != here && p.ImportPath != browser {
			assert.NotContains(t, p.Imports, here, p.ImportPath)
			assert.NotContains(t, p.Imports, "testing", p.ImportPath)
		}
	}
	assert.Positive(t, inTests)
}
