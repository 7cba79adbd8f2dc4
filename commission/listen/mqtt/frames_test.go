package mqtt

import (
	"bytes"
	"strings"
	"testing"

	"github.com/eclipse/paho.mqtt.golang/packets"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestAnswersAreFoundInAnyPieces(t *testing.T) {
	var all bytes.Buffer
	for _, p := range []packets.ControlPacket{packets.NewControlPacket(packets.Connack),
		published(0, false, false, 0, "\xD0\x00"), packets.NewControlPacket(packets.Pingresp),
		published(0, false, false, 0, strings.Repeat("\xD0\x00", 70_000)), packets.NewControlPacket(packets.Pingresp),
		packets.NewControlPacket(packets.Pingresp), packets.NewControlPacket(packets.Suback)} {
		require.NoError(t, p.Write(&all))
	}
	for _, size := range []int{1, 2, 3, 7, 4096, all.Len()} {
		var f frames
		found := 0
		for rest := all.Bytes(); len(rest) > 0; rest = rest[min(size, len(rest)):] {
			found += f.answers(rest[:min(size, len(rest))])
		}
		assert.Equal(t, 4, found, "in pieces of %d: one CONNACK, three PINGRESP", size)
		assert.Equal(t, frames{}, f)
	}
}

// A length has four digits at most (MQTT 3.1.1, 2.2.3), and no packet is of type 0.
func TestWhatIsNoMQTTAnswersNothing(t *testing.T) {
	for stream, want := range map[string]int{
		"\x00\xD0\x00":                     0,
		"\x0F\x00\xD0\x00":                 0,
		"\xD0\x80\x80\x80\x80\x00\xD0\x00": 0,
		"\xD0\x80\x80\x80\x00\xD0\x00":     2, // longer than it need be, but 0
	} {
		var f frames
		assert.Equal(t, want, f.answers([]byte(stream)), "%q", stream)
	}
}

// However a stream is cut, the same answers are found as the client library finds.
func FuzzAnswers(f *testing.F) {
	f.Add([]byte("\x20\x02\x00\x00\xD0\x00"), 1)
	f.Add([]byte("\x30\x05\x00\x01tabc\xD0\x00"), 3)
	f.Add([]byte("\x30\x80\x80\x80\x80\x01"), 2)
	f.Fuzz(func(t *testing.T, stream []byte, size int) {
		size = max(1, size)
		var whole, cut frames
		want, got := whole.answers(stream), 0
		for rest := stream; len(rest) > 0; rest = rest[min(size, len(rest)):] {
			got += cut.answers(rest[:min(size, len(rest))])
		}
		assert.Equal(t, want, got)
		assert.Equal(t, whole, cut)

		understood := 0
		for r := bytes.NewReader(stream); r.Len() > 0; {
			if fewer := understoodLength(stream[len(stream)-r.Len():]); fewer > 1<<20 {
				return // the library makes room for all of it
			}
			p, err := packets.ReadPacket(r)
			if err != nil {
				break
			}
			switch p.(type) {
			case *packets.ConnackPacket, *packets.PingrespPacket:
				understood++
			}
		}
		assert.LessOrEqual(t, understood, got)
	})
}

// understoodLength is the length that a packet says it has.
func understoodLength(packet []byte) int {
	var f frames
	for i := 0; i < min(len(packet), 5) && f.left == 0; i++ {
		f.header(packet[i])
	}
	return f.left
}
