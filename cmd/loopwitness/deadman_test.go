//go:build unix

package main

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/checks"
	"loopwitness/commission/kit/freeaddress"
	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/signal"
)

// yard is a job whose sounder hangs on a real broker, with the program that attends to it
// in a process of its own.
type yard struct {
	t        *testing.T
	dir      string
	address  string // of the broker
	broker   *exec.Cmd
	log, out notebook
	program  *exec.Cmd
	keys     io.WriteCloser
	siren    paho.Client
	heard    chan heardSiren
}

type heardSiren struct {
	at      time.Time
	payload string
}

// notebook is a writer that is read meanwhile.
type notebook struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (n *notebook) Write(p []byte) (int, error) {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.text.Write(p)
}

func (n *notebook) String() string {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.text.String()
}

func newYard(t *testing.T, mosquitto string) *yard {
	t.Helper()
	y := &yard{t: t, dir: t.TempDir(), address: freeaddress.Of(t), heard: make(chan heardSiren, 1000)}
	host, port, err := net.SplitHostPort(y.address)
	require.NoError(t, err)
	y.write("mosquitto.conf", fmt.Sprintf("listener %s %s\nallow_anonymous true\nlog_type all\n", port, host))
	y.startBroker(mosquitto)
	y.write("site.yaml", `
reference: MQ-8
premises: {name: Glaze Works, address: 3 Kiln Yard}
installer: {company: Bellbird Alarm Services}
controller: {description: network controller}
supply: {battery: {chemistry: none}}
zones:
  - {number: 1, name: Shop door, kind: door, wiring: normally closed, address: z1, detectors: [Door contact]}
outputs:
  - {name: Sounder, kind: sounder, address: siren, location: yard}
`)
	y.write("checklist-handover.yaml",
		"inspection:\n  - {id: told, text: Everybody knows}\nhandover:\n  - {id: shown, text: The user was shown}\n")
	y.controller(y.address, "")
	options := paho.NewClientOptions().AddBroker("tcp://" + y.address).SetClientID("siren").
		SetMaxReconnectInterval(time.Second)
	listening := make(chan struct{}, 100)
	options.SetOnConnectHandler(func(c paho.Client) {
		c.Subscribe("studio/siren/set", 1, func(_ paho.Client, m paho.Message) {
			y.heard <- heardSiren{time.Now(), string(m.Payload())}
		}).Wait()
		listening <- struct{}{}
	})
	y.siren = paho.NewClient(options)
	require.True(t, y.siren.Connect().WaitTimeout(10*time.Second))
	<-listening
	t.Cleanup(func() { y.siren.Disconnect(0) })
	return y
}

func (y *yard) write(name, text string) {
	y.t.Helper()
	require.NoError(y.t, os.WriteFile(filepath.Join(y.dir, name), []byte(text), 0o600))
}

// controller writes controller.yaml; more may stand beside the output's command.
func (y *yard) controller(broker, more string) {
	y.t.Helper()
	y.write("controller.yaml", "listen: mqtt\nmqtt:\n  broker: tcp://"+broker+"\n  signals:\n"+
		"    - {topic: studio/zone/+, address: \"z{1}\", active: open, restored: closed}\n  outputs:\n"+
		"    - {address: siren, topic: studio/siren/set, on: \"ON\", off: \"OFF\""+more+"}\n")
}

func (y *yard) startBroker(mosquitto string) {
	y.t.Helper()
	y.broker = exec.Command(mosquitto, "-c", filepath.Join(y.dir, "mosquitto.conf"))
	y.broker.Stderr = &y.log
	require.NoError(y.t, y.broker.Start())
	broker := y.broker
	y.t.Cleanup(func() { _ = broker.Process.Kill(); _ = broker.Wait() })
	require.Eventually(y.t, func() bool {
		c, err := net.Dial("tcp", y.address)
		if err == nil {
			_ = c.Close()
		}
		return err == nil
	}, 10*time.Second, 10*time.Millisecond)
}

// sound starts the program and lets it energise the sounder; it waits at the question
// whether it was heard.
func (y *yard) sound(more ...string) {
	y.t.Helper()
	y.program = exec.Command(os.Args[0], "visit", "start", "--kind", "handover", "--job", y.dir)
	y.program.Env = append(os.Environ(), runSelf+"=1")
	y.program.Stdout, y.program.Stderr = &y.out, &y.out
	keys, err := y.program.StdinPipe()
	require.NoError(y.t, err)
	y.keys = keys
	require.NoError(y.t, y.program.Start())
	y.t.Cleanup(func() { _ = y.program.Process.Kill(); _ = y.program.Wait() })
	for _, key := range append([]string{"leave", "outputs", "energise", "yes"}, more...) {
		_, err := io.WriteString(keys, key+"\n")
		require.NoError(y.t, err)
	}
	y.next("ON", 20*time.Second)
	require.Eventually(y.t, func() bool { return strings.Contains(y.out.String(), "Was it heard clearly?") },
		10*time.Second, 5*time.Millisecond, "%s", &y.out)
}

// next is when the siren was told something.
func (y *yard) next(want string, within time.Duration) time.Time {
	y.t.Helper()
	select {
	case h := <-y.heard:
		require.Equal(y.t, want, h.payload)
		return h.at
	case <-time.After(within):
		y.t.Fatalf("the siren is not told %s; the program says:\n%s", want, &y.out)
	}
	return time.Time{}
}

// clients are the identifiers of ours that the broker has seen.
func (y *yard) clients() (all []string) {
	for _, m := range regexp.MustCompile(`as (loopwitness[0-9a-f]+) `).FindAllStringSubmatch(y.log.String(), -1) {
		if !slices.Contains(all, m[1]) {
			all = append(all, m[1])
		}
	}
	return all
}

// storm takes connections over, again and again, by the identifiers that victims names,
// until the test is over. It returns once the first is taken.
func (y *yard) storm(victims func() []string) {
	over, begun := make(chan struct{}), make(chan struct{})
	var all sync.WaitGroup
	y.t.Cleanup(func() { close(over); all.Wait() })
	all.Go(func() {
		for first := true; ; first = false {
			for _, id := range victims() {
				thief := paho.NewClient(paho.NewClientOptions().AddBroker("tcp://" + y.address).SetClientID(id).
					SetAutoReconnect(false).SetConnectTimeout(time.Second))
				thief.Connect().WaitTimeout(time.Second)
				thief.Disconnect(0)
			}
			if first {
				close(begun)
			}
			select {
			case <-over:
				return
			case <-time.After(20 * time.Millisecond):
			}
		}
	})
	<-begun
}

// stalling is a link between program and broker that can stop forwarding while both ends
// stay connected.
type stalling struct {
	address string
	stalled atomic.Bool
}

func newStalling(t *testing.T, to string) *stalling {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { _ = l.Close() })
	s := &stalling{address: l.Addr().String()}
	go func() {
		for {
			near, err := l.Accept()
			if err != nil {
				return
			}
			far, err := net.Dial("tcp", to)
			if err != nil {
				_ = near.Close()
				continue
			}
			go s.forward(near, far)
			go s.forward(far, near)
		}
	}()
	return s
}

// forward swallows what comes, and also that the connection ends, once it is stalled.
func (s *stalling) forward(from, to net.Conn) {
	buffer := make([]byte, 4096)
	for {
		n, err := from.Read(buffer)
		switch {
		case s.stalled.Load() && err != nil:
			return
		case s.stalled.Load():
		case err != nil:
			_ = to.Close()
			return
		default:
			_, _ = to.Write(buffer[:n])
		}
	}
}

// The longest time that a sounder stays on after the program or its connection was hit, as
// the siren behind a real broker hears it: README.md says signal.GuardedWithin. It takes
// real seconds.
func TestHowLongASounderStaysOnAfterAnyFault(t *testing.T) {
	if testing.Short() || outsidetool.Racing {
		t.Skip("it waits for real seconds")
	}
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	require.Contains(t, string(readme), "**within "+checks.FormatDuration(signal.GuardedWithin)+"**")
	mosquitto := outsidetool.Find(t, "mosquitto")
	kill := func(s syscall.Signal) func(*yard) {
		return func(y *yard) { require.NoError(y.t, y.program.Process.Signal(s)) }
	}
	var mu sync.Mutex
	longest, table := time.Duration(0), []string{}
	t.Run("faults", func(t *testing.T) {
		for name, hit := range map[string]func(*yard){
			"SIGINT": kill(syscall.SIGINT), "SIGTERM": kill(syscall.SIGTERM), "SIGHUP": kill(syscall.SIGHUP),
			"SIGQUIT": kill(syscall.SIGQUIT), "SIGABRT": kill(syscall.SIGABRT), "SIGSEGV": kill(syscall.SIGSEGV),
			"SIGKILL": kill(syscall.SIGKILL), "SIGSTOP": kill(syscall.SIGSTOP),
			"input ended":             func(y *yard) { require.NoError(y.t, y.keys.Close()) },
			"half-open link":          nil,
			"half-open link, SIGTERM": nil,
			"main client taken over, to be off": func(y *yard) {
				main := y.clients()[:1]
				y.storm(func() []string { return main })
				_, err := io.WriteString(y.keys, "no\n") // it was not heard, so it is switched off
				require.NoError(y.t, err)
			},
			"all clients taken over": func(y *yard) { y.storm(y.clients) },
			"broker restart": func(y *yard) {
				require.NoError(y.t, y.broker.Process.Kill())
				_ = y.broker.Wait()
				y.startBroker(mosquitto)
			},
		} {
			t.Run(name, func(t *testing.T) {
				t.Parallel()
				y := newYard(t, mosquitto)
				if hit == nil {
					link := newStalling(t, y.address)
					y.controller(link.address, "")
					hit = func(y *yard) {
						link.stalled.Store(true)
						if strings.HasSuffix(name, "SIGTERM") {
							kill(syscall.SIGTERM)(y)
						}
					}
				}
				y.sound()
				at := time.Now()
				hit(y)
				lasted := y.next("OFF", time.Minute).Sub(at)
				mu.Lock()
				defer mu.Unlock()
				longest = max(longest, lasted)
				table = append(table, fmt.Sprintf("%6.2f s  %s", lasted.Seconds(), name))
				assert.LessOrEqual(t, lasted, signal.GuardedWithin)
			})
		}
	})
	slices.Sort(table)
	t.Logf("a sounder stayed on for %.2f s at the longest, of %s:\n%s", longest.Seconds(), signal.GuardedWithin,
		strings.Join(table, "\n"))
}

// lastWords are what the program said last, in one line.
func (y *yard) lastWords() string {
	_, words, _ := strings.Cut(y.out.String(), "STILL ON")
	return "STILL ON" + strings.Join(strings.Fields(words), " ")
}

// ended is how long the program took to end.
func (y *yard) ended() time.Duration {
	y.t.Helper()
	since, done := time.Now(), make(chan struct{})
	go func() { _ = y.program.Wait(); close(done) }()
	select {
	case <-done:
	case <-time.After(30 * time.Second):
		y.t.Fatalf("the program does not end; it says:\n%s", &y.out)
	}
	assert.Equal(y.t, exitNotRun, y.program.ProcessState.ExitCode())
	return time.Since(since)
}

// Whoever leaves with the sounder on and a link that does not answer is told so last and
// loudest, and how to silence it: after a second where the broker does it, and at once
// when the end is asked for a second time where nobody does.
func TestTheLastWordsAreOfWhatIsLeftOn(t *testing.T) {
	if testing.Short() || outsidetool.Racing {
		t.Skip("it waits for real seconds")
	}
	mosquitto := outsidetool.Find(t, "mosquitto")
	by := " Wear hearing protection, keep others away. Switch it off at the controller's own interface; if it does not " +
		"answer, disconnect the output, or the controller's battery and its adapter at the outlet."
	for name, tc := range map[string]struct {
		key   string
		more  []string
		again bool
		words string
	}{
		"guarded": {"", nil, false,
			"STILL ON: Sounder (yard). It should be switched off from elsewhere within 10 s. If it is not:" + by},
		"by nobody": {", last_will: false", []string{"yes"}, true,
			"STILL ON: Sounder (yard), and nothing will switch it off by itself." + by},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			y := newYard(t, mosquitto)
			link := newStalling(t, y.address)
			y.controller(link.address, tc.key)
			y.sound(tc.more...)
			link.stalled.Store(true)
			require.NoError(t, y.program.Process.Signal(syscall.SIGTERM))
			if tc.again {
				require.Eventually(t, func() bool { return strings.Contains(y.out.String(), "Ctrl-C ends that at once") },
					10*time.Second, 5*time.Millisecond, "%s", &y.out)
				require.NoError(t, y.program.Process.Signal(syscall.SIGTERM))
			}
			took := y.ended()
			t.Logf("ended after %s", took)
			assert.Less(t, took, 1500*time.Millisecond, "a second, on a computer with nothing else to do")
			assert.Equal(t, tc.words, y.lastWords())
			assert.NotContains(t, y.out.String(), "nothing is lost")
			assert.Equal(t, tc.again, strings.Contains(y.out.String(), "IT STAYS ON"), "told before it was energised")
		})
	}
}

// The further connection that switches an output off is tried, and nothing else: nothing
// is published, and its will is discarded.
func TestSiteCheckTriesTheLastWill(t *testing.T) {
	y := newYard(t, outsidetool.Find(t, "mosquitto"))
	out, err := runHere(t, "site", "check", "--job", y.dir, "--connect", "--for", "100ms")
	require.NoError(t, err, out)
	assert.Contains(t, out, "Sounder: the broker takes the connection that switches it off if this computer fails.")
	assert.Contains(t, y.log.String(), "Will message specified (3 bytes) (r0, q1).")
	y.siren.Publish("studio/siren/set", 1, false, "last")
	assert.Equal(t, "last", (<-y.heard).payload, "nothing else came before")

	y.controller(y.address, ", last_will: false")
	out, err = runHere(t, "site", "check", "--job", y.dir, "--connect", "--for", "100ms")
	require.NoError(t, err, out)
	assert.NotContains(t, out, "the broker takes the connection")
	assert.Contains(t, out, "IT STAYS ON: controller.yaml says last_will: false")
}

// In a terminal Ctrl-C is a key while something is asked; the second one, while it is
// tried to switch off what nobody guards, ends the program at once.
func TestASecondCtrlCEndsAtOnce(t *testing.T) {
	if testing.Short() || outsidetool.Racing {
		t.Skip("it waits for real seconds")
	}
	y := newYard(t, outsidetool.Find(t, "mosquitto"))
	link := newStalling(t, y.address)
	y.controller(link.address, ", last_will: false")
	c := startConsole(t, 90, "visit", "start", "--kind", "handover", "--job", y.dir)
	c.toStage(4)
	c.expect("not tested, with a reason")
	c.send(down + down + enter)
	c.expect("yes or no:")
	c.send("yes" + enter)
	c.expect("IT STAYS ON")
	c.expect("yes or no:")
	c.send("yes" + enter)
	c.expect("Was it heard clearly?")
	y.next("ON", 10*time.Second)
	link.stalled.Store(true)
	c.send(ctrlC)
	c.expect("Ctrl-C ends that at once")
	again := time.Now()
	c.sendNow(ctrlC)
	c.expect("STILL ON: Sounder (yard), and nothing will switch it off by itself.")
	c.exit(exitNotRun)
	assert.Less(t, time.Since(again), 1500*time.Millisecond)
	assert.NotContains(t, c.raw.String(), "nothing is lost")
}
