package main

import (
	"os"
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
	testscript.Main(m, map[string]func(){"loopwitness": main})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
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
			return nil
		},
	})
}
