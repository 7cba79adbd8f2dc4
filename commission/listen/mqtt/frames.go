package mqtt

// frames finds, in what a broker sends, the packets that answer a question about the link:
// CONNACK and PINGRESP. Bytes may come in any pieces; nothing of them is kept.
type frames struct {
	first  byte // of the packet that is begun, 0 for none: no packet has type 0 (MQTT 3.1.1, 2.2.1)
	length int  // as far as it was read
	digits int  // of the length, up to four (2.2.3)
	left   int  // bytes of the packet that are still to come
	broken bool // this is no MQTT: nothing is found any more
}

// The types of packets that matter to a link, as they stand in the first byte.
const (
	typeConnect  = 0x10
	typeConnack  = 0x20
	typePingreq  = 0xC0
	typePingresp = 0xD0
)

func typeOf(first byte) byte { return first &^ 0x0F }

// answers is how many answers begin in the next bytes.
func (f *frames) answers(next []byte) (n int) {
	for len(next) > 0 && !f.broken {
		if f.left > 0 {
			skipped := min(f.left, len(next))
			f.left -= skipped
			next = next[skipped:]
			continue
		}
		if f.header(next[0]) {
			n++
		}
		next = next[1:]
	}
	return n
}

// header takes a byte of a fixed header, and tells whether it completes that of an answer.
func (f *frames) header(b byte) bool {
	const most = 4 // digits, of base 128
	if f.first == 0 {
		f.first = b
		f.broken = typeOf(b) == 0
		return false
	}
	f.length |= int(b&0x7F) << (7 * f.digits)
	f.digits++
	if b&0x80 != 0 {
		f.broken = f.digits == most
		return false
	}
	t := typeOf(f.first)
	*f = frames{left: f.length}
	return t == typeConnack || t == typePingresp
}
