package main

import (
	"encoding/json"
	"errors"
	"io"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// floors of the house, from the ground up: a package imports only those below.
var floors = []string{"checks", "commission", "report", "cmd"}

// Imports run downwards only, and what is hard to replace is imported by one
// package each.
func TestImportsRunDownwards(t *testing.T) {
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "loopwitness/...").Output()
	require.NoError(t, err)
	importers := map[string][]string{}
	dec := json.NewDecoder(strings.NewReader(string(out)))
	packages := 0
	for {
		var p struct {
			ImportPath string
			Imports    []string
		}
		if err := dec.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else {
			require.NoError(t, err)
		}
		packages++
		for _, imported := range p.Imports {
			importers[imported] = append(importers[imported], p.ImportPath)
			if strings.HasPrefix(imported, "loopwitness/") {
				assert.LessOrEqual(t, floor(t, imported), floor(t, p.ImportPath), "%s imports %s", p.ImportPath, imported)
			}
		}
	}
	require.Greater(t, packages, 10)
	for library, home := range map[string]string{
		"github.com/AlecAivazis/survey/v2":                       "loopwitness/commission/ask/terminal",
		"github.com/johnfercher/maroto/v2":                       "loopwitness/report/certificate",
		"github.com/eclipse/paho.mqtt.golang":                    "loopwitness/commission/listen/mqtt",
		"github.com/boombuler/barcode/qr":                        "loopwitness/report/certificate",
		"github.com/invopop/jsonschema":                          "loopwitness/report/extract",
		"software.sslmate.com/src/go-pkcs12":                     "loopwitness/report/identity",
		"github.com/spf13/cobra":                                 "loopwitness/cmd/loopwitness",
		"github.com/gofrs/flock":                                 "loopwitness/commission/journal",
		"github.com/goccy/go-yaml/parser":                        "loopwitness/commission/kit/strictyaml",
		"gonum.org/v1/gonum/stat/distuv":                         "loopwitness/checks",
		"codeberg.org/go-fonts/liberation/liberationsansregular": "loopwitness/report/certificate",
	} {
		assert.Equal(t, []string{home}, importers[library], library)
	}
}

func floor(t *testing.T, path string) int {
	t.Helper()
	first := strings.Split(strings.TrimPrefix(path, "loopwitness/"), "/")[0]
	for i, name := range floors {
		if name == first {
			return i
		}
	}
	t.Fatalf("%s lies on no floor", path)
	return 0
}
