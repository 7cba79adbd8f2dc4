package typed

import (
	"slices"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/screen"
)

type (
	// AddressIs is the address that the code says.
	AddressIs struct{ Address string }
	// FingerprintIs is that of the certificate behind the address.
	FingerprintIs struct{ Fingerprint string }
	// HeldBy is the device that holds the questions.
	HeldBy struct{ Device string }
)

// Code names the phrase.
func (AddressIs) Code() string     { return "pairing/address" }
func (FingerprintIs) Code() string { return "pairing/fingerprint" }
func (HeldBy) Code() string        { return "pairing/held-by" }

// Holder tells who holds the questions.
func Holder(p ask.Pairing) ask.Phrase {
	if p.Device == "" {
		return NotPairedHint
	}
	return HeldBy{p.Device}
}

// trust is what to know of an address.
func trust(p ask.Pairing) ask.Phrase {
	if p.Fingerprint == "" {
		return UnencryptedHint
	}
	return FingerprintIs{p.Fingerprint}
}

// Pairing is what a phone needs, as lines that fit the window: the code for its camera, the
// texts beside it or below. Where there is no room for the code, the address is typed.
func Pairing(say Sayer, p ask.Pairing, l Look) []string {
	const gap, beside = 2, 28 // columns: between code and texts, and that texts need
	wide := 0
	for _, line := range p.Code {
		wide = max(wide, screen.Width(line))
	}
	wrapped := func(columns int, texts ...string) (lines []string) {
		for _, t := range texts {
			lines = append(lines, screen.Wrap(screen.Clean(t), columns)...)
		}
		return lines
	}
	texts := []string{say.Say(AddressIs{p.Address}), say.Say(trust(p))}
	fits := func(lines []string) bool { return l.Rows == 0 || len(lines) <= l.Rows }
	below := append(slices.Clone(p.Code), wrapped(l.Columns, texts...)...)
	switch right := l.Columns - wide - gap; {
	case wide <= l.Columns && fits(below):
		return below
	case right >= beside:
		if lines := sideBySide(p.Code, wrapped(right, texts...), wide+gap); fits(lines) {
			return lines
		}
	}
	// The fingerprint is left out before the address is.
	if lines := append(slices.Clone(p.Code), wrapped(l.Columns, p.Address)...); wide <= l.Columns && fits(lines) {
		return lines
	}
	return wrapped(l.Columns, say.Say(NoRoomHint), p.Address, texts[1])
}

func sideBySide(left, right []string, at int) []string {
	var lines []string
	for i := range max(len(left), len(right)) {
		line := ""
		if i < len(left) {
			line = left[i]
		}
		if i < len(right) {
			line = screen.Pad(line, at) + right[i]
		}
		lines = append(lines, line)
	}
	return lines
}
