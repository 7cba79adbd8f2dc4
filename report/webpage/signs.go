package webpage

import "loopwitness/report/certificate"

// signs are those of the pages as characters: they differ in shape, and each stands beside its word, which alone is
// read aloud.
var signs = map[certificate.Sign]string{certificate.PassedSign: "■", certificate.UntimedSign: "□",
	certificate.FailedSign: "✕", certificate.UndecidedSign: "◇", certificate.UntestedSign: "▬",
	certificate.InformativeSign: "○", certificate.DangerSign: "▲", certificate.FaultSign: "△", certificate.AdviceSign: "•"}

// tones have a sign where a text has none of its own.
var tones = map[certificate.Tone]certificate.Sign{certificate.Good: certificate.PassedSign,
	certificate.Warn: certificate.UndecidedSign, certificate.Bad: certificate.FailedSign}

func mark(s certificate.Sign, t certificate.Tone) string {
	if s == certificate.NoSign {
		s = tones[t]
	}
	return signs[s]
}

var classes = map[certificate.Tone]string{certificate.Good: "good", certificate.Warn: "warn", certificate.Bad: "bad",
	certificate.Quiet: "quiet"}

func class(t certificate.Tone) string { return classes[t] }
