package main

import (
	"fmt"
	"net"
	"os"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
)

// freeAddress is an address at which nothing listens. It lies below the ports that a system
// gives to whoever asks for any: no other test is given it before it is used.
func freeAddress(t *testing.T) string {
	t.Helper()
	for range 1000 {
		address := fmt.Sprintf("127.0.0.1:%d", 20000+(os.Getpid()*131+int(nextPort.Add(1)))%12000)
		if l, err := net.Listen("tcp", address); err == nil {
			require.NoError(t, l.Close())
			return address
		}
	}
	t.Fatal("no port is free")
	return ""
}

var nextPort atomic.Int64
