// Package browser drives a real browser of the size of a phone, for tests of the page. Only
// tests import it.
package browser

import (
	"context"
	"flag"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"loopwitness/commission/kit/outsidetool"
)

// pictures is the environment variable with a folder into which pictures of screens are
// written, for a person to look at.
const pictures = "LOOPWITNESS_PICTURES"

// within is how long a page may take for anything that a test waits for.
const within = 20 * time.Second

// running is the one browser of a test's process.
var running struct {
	sync.Mutex
	ctx  context.Context
	stop func()
}

// tabs is how many tests of this package's callers may be open at once: they wait for each other's
// clocks and for delays more than they compute.
const tabs = "8"

// Main runs the tests of a package, and ends the browser after them. Those that may run side by
// side do, more of them than there are processors.
func Main(m *testing.M) {
	if err := flag.Set("test.parallel", tabs); err != nil { // -parallel of the command line comes later and holds
		panic(err)
	}
	code := m.Run()
	running.Lock()
	if running.stop != nil {
		running.stop()
	}
	os.Exit(code)
}

// start starts the browser, once. Where none is installed the test is skipped, or fails as
// outsidetool says.
func start(t testing.TB) context.Context {
	t.Helper()
	if outsidetool.Racing {
		t.Skip("the browser is what takes the time, and it races with nothing of ours")
	}
	path := outsidetool.Find(t, "chromium")
	running.Lock()
	defer running.Unlock()
	if running.ctx != nil {
		return running.ctx
	}
	opts := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, // an empty folder of its own it gets by itself
		chromedp.IgnoreCertErrors,
		chromedp.Flag("host-resolver-rules", "MAP "+Behind+" 127.0.0.1"),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("force-prefers-reduced-motion", true), // pictures stand still
		chromedp.Flag("autoplay-policy", "user-gesture-required"),
	)
	all, stopAll := chromedp.NewExecAllocator(context.Background(), opts...)
	ctx, stop := chromedp.NewContext(all, chromedp.WithLogf(func(string, ...any) {}),
		chromedp.WithErrorf(func(string, ...any) {}))
	if err := chromedp.Do(ctx); err != nil { // no deadline: it would be the browser's
		t.Fatalf("the browser does not start: %v", err)
	}
	running.ctx = ctx
	running.stop = func() {
		_ = chromedp.Cancel(ctx)
		stop()
		stopAll()
	}
	return ctx
}
