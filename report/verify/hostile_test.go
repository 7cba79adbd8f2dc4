//go:build linux

package verify

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// checkHere makes the test binary check a file, in a process whose memory can be measured.
const checkHere = "LOOPWITNESS_TEST_CHECK"

func TestMain(m *testing.M) {
	if path := os.Getenv(checkHere); path != "" {
		file, err := os.ReadFile(path)
		if err != nil {
			panic(err)
		}
		out, err := json.Marshal(Check("c.pdf", file, Options{}))
		if err != nil {
			panic(err)
		}
		fmt.Printf("%s", out)
		// What getrusage tells as the most that was resident counts the parent's, too.
		status, _ := os.ReadFile("/proc/self/status")
		fmt.Fprintf(os.Stderr, "%s", status)
		return
	}
	os.Exit(m.Run())
}

// spent is what a check of a file took.
type spent struct {
	report  Report
	time    time.Duration // of processors
	memory  int64         // bytes, the most that was resident; 0 where that cannot be told
	printed int           // bytes of the report
}

// checkApart checks a file in a process of its own.
func checkApart(t testing.TB, file []byte) spent {
	t.Helper()
	path := filepath.Join(t.TempDir(), "hostile.pdf")
	require.NoError(t, os.WriteFile(path, file, 0o600))
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), checkHere+"="+path)
	var errs bytes.Buffer
	cmd.Stderr = &errs
	out, err := cmd.Output()
	require.NoError(t, err, errs.String())
	s := spent{time: cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), printed: len(out)}
	if peak := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindStringSubmatch(errs.String()); peak != nil {
		kilobytes, err := strconv.ParseInt(peak[1], 10, 64)
		require.NoError(t, err)
		s.memory = kilobytes << 10
	}
	require.NoError(t, json.Unmarshal(out, &s.report))
	return s
}
