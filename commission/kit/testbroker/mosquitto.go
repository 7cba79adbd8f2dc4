package testbroker

import (
	"fmt"
	"net"
	"net/url"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/kit/outsidetool"
)

// Mosquitto starts a broker that is not ours, and stops it when the test ends. It takes everybody.
func Mosquitto(t testing.TB) *url.URL {
	t.Helper()
	program, address := outsidetool.Find(t, "mosquitto"), freeaddress.Of(t)
	host, port, err := net.SplitHostPort(address)
	require.NoError(t, err)
	conf := filepath.Join(t.TempDir(), "mosquitto.conf")
	// Its default holds a small packet back, for 4 ms at the 99th percentile and for 40 at
	// the most, before there is anything to stamp.
	text := fmt.Appendf(nil, "listener %s %s\nallow_anonymous true\nlog_type none\nset_tcp_nodelay true\n", port, host)
	require.NoError(t, atomicfile.Create(conf, text, 0o600))
	broker := exec.Command(program, "-c", conf)
	require.NoError(t, broker.Start())
	t.Cleanup(func() { _ = broker.Process.Kill(); _ = broker.Wait() })
	require.Eventually(t, func() bool {
		c, err := net.Dial("tcp", address)
		if err == nil {
			_ = c.Close()
		}
		return err == nil
	}, 10*time.Second, 10*time.Millisecond)
	return &url.URL{Scheme: "tcp", Host: address}
}
