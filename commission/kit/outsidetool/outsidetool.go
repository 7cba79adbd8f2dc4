// Package outsidetool finds programs of others that tests check our work
// against. Only tests import it.
package outsidetool

import (
	"os"
	"os/exec"
	"testing"
)

// required is the environment variable that makes a missing tool a failure; CI
// sets it.
const required = "LOOPWITNESS_OUTSIDE_TOOLS"

// Find is the path of a program. Where it is not installed the test is skipped,
// or fails if required is set.
func Find(t testing.TB, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	switch {
	case err == nil:
		return path
	case os.Getenv(required) != "":
		t.Fatalf("%s is needed here: %v", name, err)
	}
	t.Skipf("%s is not installed", name)
	return ""
}
