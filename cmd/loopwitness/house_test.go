package main

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

// rooms of the house, from the ground up: a package imports only those that stand in a
// line before its own, or its neighbours where a line ends in /…: a family.
var rooms = []string{
	"checks",
	"commission/kit/…",
	"commission/journal",
	"commission/site",
	"commission/signal",
	"commission/programme",
	"commission/record",
	"commission/judge",
	"commission/ask",
	"commission/ask/typed",
	"commission/words",
	"commission/words/german",
	"commission/words/languages",
	"commission/words/pseudo",
	"commission/ask/…",
	"commission/learn",
	"commission/visit",
	"commission/listen/…",
	"commission/beforehand",
	"commission/dryrun",
	"commission/invented",
	"commission/job",
	"report/…",
	"cmd/…",
}

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
				below, above := room(t, imported), room(t, p.ImportPath)
				neighbours := below == above && strings.HasSuffix(rooms[above], "/…")
				assert.True(t, below < above || neighbours, "%s imports %s", p.ImportPath, imported)
			}
		}
	}
	require.Greater(t, packages, 10)
	for _, forTests := range []string{"commission/words/pseudo", "commission/dryrun", "report/stamp/authority",
		"report/verify/tampered", "report/verify/hostile", "report/wordboxes", "commission/ask/phone/browser"} {
		assert.Empty(t, importers["loopwitness/"+forTests], "for tests only")
	}
	for library, home := range map[string]string{
		"github.com/AlecAivazis/survey/v2":                       "loopwitness/commission/ask/terminal",
		"github.com/johnfercher/maroto/v2":                       "loopwitness/report/certificate",
		"github.com/eclipse/paho.mqtt.golang":                    "loopwitness/commission/listen/mqtt",
		"github.com/boombuler/barcode/qr":                        "loopwitness/commission/kit/qr",
		"github.com/invopop/jsonschema":                          "loopwitness/report/extract",
		"software.sslmate.com/src/go-pkcs12":                     "loopwitness/report/identity",
		"github.com/spf13/cobra":                                 "loopwitness/cmd/loopwitness",
		"github.com/gofrs/flock":                                 "loopwitness/commission/journal",
		"github.com/goccy/go-yaml/parser":                        "loopwitness/commission/kit/strictyaml",
		"gonum.org/v1/gonum/stat/distuv":                         "loopwitness/checks",
		"codeberg.org/go-fonts/liberation/liberationsansregular": "loopwitness/report/certificate",
		"github.com/chromedp/chromedp":                           "loopwitness/commission/ask/phone/browser",
		"github.com/arran4/golang-ical":                          "loopwitness/report/due",
	} {
		assert.Equal(t, []string{home}, importers[library], library)
	}
}

// room is the place of a package in the line; its own line counts before a family's.
func room(t *testing.T, path string) int {
	t.Helper()
	path = strings.TrimPrefix(path, "loopwitness/")
	if i := slices.Index(rooms, path); i >= 0 {
		return i
	}
	for i, r := range rooms {
		if family, is := strings.CutSuffix(r, "…"); is && strings.HasPrefix(path+"/", family) {
			return i
		}
	}
	t.Fatalf("%s stands in no room", path)
	return 0
}
