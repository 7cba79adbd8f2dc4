package main

import (
	"context"
	"errors"
	"fmt"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"syscall"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
)

// broker is a mosquitto of our own. It can be stopped, ended and started again.
type broker struct {
	program, conf, at string // at: host and port

	mu  sync.Mutex
	cmd *exec.Cmd
}

// noBroker says what is missing, for notTried.
const noBroker = "mosquitto is not installed"

// startBroker starts one; nil where mosquitto is not installed. Close it.
func (o options) startBroker(ctx context.Context) (*broker, error) {
	program, err := findBroker()
	if err != nil {
		return nil, nil
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return nil, err
	}
	at := l.Addr().String()
	host, port, err := net.SplitHostPort(at)
	if err = errors.Join(err, l.Close()); err != nil {
		return nil, err
	}
	dir, err := o.folder("broker-")
	if err != nil {
		return nil, err
	}
	b := &broker{program: program, conf: filepath.Join(dir, "mosquitto.conf"), at: at}
	text := fmt.Sprintf("listener %s %s\nallow_anonymous true\nlog_type none\nset_tcp_nodelay true\n", port, host)
	if err := os.WriteFile(b.conf, []byte(text), 0o600); err != nil {
		return nil, err
	}
	return b, b.start(ctx)
}

// findBroker looks where systems put it, too, which is not on everybody's PATH.
func findBroker() (string, error) {
	for _, name := range []string{"mosquitto", "/usr/sbin/mosquitto", "/usr/local/sbin/mosquitto"} {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", exec.ErrNotFound
}

// start starts the process and waits until it answers.
func (b *broker) start(ctx context.Context) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.cmd = exec.Command(b.program, "-c", b.conf)
	if err := b.cmd.Start(); err != nil {
		return err
	}
	const patience = 10 * time.Second
	for began := time.Now(); time.Since(began) < patience && ctx.Err() == nil; time.Sleep(5 * time.Millisecond) {
		c, err := net.Dial("tcp", b.at)
		if err == nil {
			return c.Close()
		}
	}
	return errors.Join(errors.New("mosquitto does not answer"), ctx.Err())
}

// end kills the process: nobody is told.
func (b *broker) end() {
	b.mu.Lock()
	defer b.mu.Unlock()
	_ = b.cmd.Process.Kill()
	_ = b.cmd.Wait()
}

// freeze stops the process, or lets it go on: its connections stay as they are.
func (b *broker) freeze(on bool) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if on {
		return b.cmd.Process.Signal(syscall.SIGSTOP)
	}
	return b.cmd.Process.Signal(syscall.SIGCONT)
}

// dial connects a client of ours, which comes back by itself. What is sent to it meanwhile is
// kept for it, as long as the broker lives.
func dial(at, id string, connected func(paho.Client)) (paho.Client, error) {
	const patience = 10 * time.Second
	options := paho.NewClientOptions().AddBroker("tcp://" + at).SetClientID(id).SetConnectRetry(true).
		SetConnectRetryInterval(50 * time.Millisecond).SetMaxReconnectInterval(100 * time.Millisecond).
		SetCleanSession(false).SetKeepAlive(time.Minute).SetOrderMatters(true)
	if connected != nil {
		options.SetOnConnectHandler(connected)
	}
	c := paho.NewClient(options)
	token := c.Connect()
	if !token.WaitTimeout(patience) {
		return nil, errors.New("the broker takes no connection")
	}
	return c, token.Error()
}
