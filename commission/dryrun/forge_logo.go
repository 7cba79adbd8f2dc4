package dryrun

import (
	"strings"

	"loopwitness/commission/kit/logo"
	"loopwitness/commission/record"
)

const (
	bell  = `<svg viewBox="0 0 30 10"><path d="M0 0H30V10H0z"/></svg>`
	shop  = `<svg viewBox="0 0 30 10"><circle cx="5" cy="5" r="5"/></svg>`
	noSVG = `<svg viewBox="0 0 30 10"><text>APPROVED</text></svg>`
)

// withLogo lets the site file name a logo, and the record have one.
func withLogo(content, hashed string) func(*Forged) {
	return editingLast(func(o *record.Opened) {
		o.Site += "brand: {logo: logo.svg}\n"
		o.Logo = &record.LogoFile{Content: []byte(content), SHA256: logo.Digest([]byte(hashed))}
	})
}

// logoForgeries are wrong about the company's logo.
var logoForgeries = []Forgery{
	{"a logo that the site file does not name", record.LawLogo, editingLast(func(o *record.Opened) {
		o.Logo = &record.LogoFile{Content: []byte(bell), SHA256: logo.Digest([]byte(bell))}
	})},
	{"a logo that is not there", record.LawLogo,
		editingLast(func(o *record.Opened) { o.Site += "brand: {logo: logo.svg}\n" })},
	{"a logo that was exchanged", record.LawLogo, withLogo(shop, bell)},
	{"a logo with words in it", record.LawLogo, withLogo(noSVG, noSVG)},
	{"a logo without end", record.LawLogo,
		withLogo(bell+strings.Repeat(" ", logo.MaxBytes), bell+strings.Repeat(" ", logo.MaxBytes))},
}
