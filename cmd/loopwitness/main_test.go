package main

import (
	"bytes"
	"flag"
	"image"
	"image/jpeg"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// runSelf makes the test binary behave as the program, for tests that need a
// process of its own.
const runSelf = "LOOPWITNESS_TEST_RUN"

func TestMain(m *testing.M) {
	if os.Getenv(runSelf) != "" {
		os.Exit(run())
	}
	// Those that run side by side wait for phones, people and alarms most of the time.
	if err := flag.Set("test.parallel", strconv.Itoa(3*runtime.GOMAXPROCS(0))); err != nil {
		panic(err)
	}
	testscript.Main(m, map[string]func(){"loopwitness": main})
}

// copyMatching copies the one file of a folder whose name holds a text.
func copyMatching(ts *testscript.TestScript, _ bool, args []string) {
	found, err := filepath.Glob(filepath.Join(ts.MkAbs(args[1]), "*"+args[0]+"*"))
	ts.Check(err)
	if len(found) != 1 {
		ts.Fatalf("%d files match", len(found))
	}
	content, err := os.ReadFile(found[0])
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), content, 0o644))
}

// photo is a picture such as a camera takes.
func photo(t testing.TB) []byte {
	t.Helper()
	p := image.NewRGBA(image.Rect(0, 0, 640, 480))
	for i := range p.Pix {
		p.Pix[i] = uint8(60 + i/5000 + i%4*30)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, p, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"copymatching": copyMatching},
		Setup: func(e *testscript.Env) error {
			for _, name := range []string{"site.yaml", "controller.yaml", "answers.yaml"} {
				data, err := demoFiles.ReadFile("demo/" + name)
				if err != nil {
					return err
				}
				if err := os.WriteFile(e.WorkDir+"/demo-"+name, data, 0o600); err != nil {
					return err
				}
			}
			return os.WriteFile(e.WorkDir+"/photo.jpg", photo(t), 0o644)
		},
	})
}
