package testbroker

import (
	"net"
	"testing"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A broker stops while clients come and go all the time: the server's own Close does not.
func TestStopsAmongClientsThatComeAndGo(t *testing.T) {
	for range 20 {
		b := Run(t, Options{})
		ended, came := make(chan struct{}), make(chan struct{}, 8)
		for range 8 {
			go func() {
				for connects(t, b.Address, "", "") {
					select {
					case came <- struct{}{}:
					default:
					}
				}
				ended <- struct{}{}
			}()
		}
		for range 8 {
			<-came // so that clients come and go while it stops
		}
		stopped := make(chan struct{})
		go func() { defer close(stopped); b.Stop(); b.Stop() }()
		for range 8 {
			<-ended
		}
		select {
		case <-stopped:
		case <-time.After(time.Minute):
			t.Fatal("a broker does not stop")
		}
	}
}

// Whoever is not named is not taken, and once stopped nobody is.
func TestTakesWhomItWasTold(t *testing.T) {
	b := Run(t, Options{User: "witness", Password: "secret"})
	assert.True(t, connects(t, b.Address, "witness", "secret"))
	assert.False(t, connects(t, b.Address, "witness", "other"))
	assert.False(t, connects(t, b.Address, "", ""))
	b.Stop()
	assert.False(t, connects(t, b.Address, "witness", "secret"))
	_, err := net.Dial("tcp", b.Address)
	require.Error(t, err)
}

// connects tells whether a client is taken, and takes it off again.
func connects(t *testing.T, address, user, password string) bool {
	t.Helper()
	o := paho.NewClientOptions().AddBroker("tcp://" + address).SetUsername(user).SetPassword(password).
		SetConnectRetry(false).SetAutoReconnect(false).SetConnectTimeout(5 * time.Second)
	c := paho.NewClient(o)
	token := c.Connect()
	if !token.WaitTimeout(10*time.Second) || token.Error() != nil {
		return false
	}
	c.Disconnect(0)
	return true
}
