// Package freeaddress finds addresses for what tests start: brokers, web hooks, pages.
package freeaddress

import (
	"fmt"
	"net"
	"os"
	"sync/atomic"
	"testing"
)

var asked atomic.Int32

// Of is an address of loopback (host:port) at which nothing listens. Where the system has all of 127.0.0.0/8, the
// host is this test's alone, and nobody has ever listened there: a port that was only just closed may still
// be held by a process that another test is starting.
func Of(t testing.TB) string {
	t.Helper()
	process, call := os.Getpid(), int(asked.Add(1))
	own := fmt.Sprintf("127.%d.%d.%d", 1+process>>8%250, process%256, 1+call%250)
	if takenAt(own) != "" {
		return fmt.Sprintf("%s:%d", own, 20000+call%10000)
	}
	address := takenAt("127.0.0.1")
	if address == "" {
		t.Fatal("no port of loopback is free")
	}
	return address
}

// takenAt is an address of a host at which one could listen, "" where one cannot.
func takenAt(host string) string {
	l, err := net.Listen("tcp", host+":0")
	if err != nil {
		return ""
	}
	defer func() { _ = l.Close() }()
	return l.Addr().String()
}
