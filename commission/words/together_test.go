package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWhatIsNotParted(t *testing.T) {
	for _, pair := range [][2]string{{"13.65", "V"}, {"13,65", "V,"}, {"(2.50", "Ω,"}, {"−0.56", "V"}, {"2091–2312", "Ω"},
		{"±", "0.02"}, {"V", "±"}, {"zone", "3"}, {"zones", "3–17:"}, {"Zone", "12,"}, {"Meldelinie", "4"}, {"F", "1"},
		{"26", "November"}, {"26.", "November"}, {"November", "2026"}, {"2026-11-24", "10:40"}, {"10:40", "+00:00"},
		{"26.11.2026", "10:40"}, {"85", "%"}, {"2", "years"}, {"≤", "5"}, {"0.22", "mm²"}, {"Response", "/"}, {"/", "s"},
		{"k", "="}, {"=", "2)"}, {"3", "×"}, {"×", "Bewegung"}, {"(JCGM", "106)"}, {"EN", "50131-6,"}, {"IEC", "60364-6)"},
		{"2", "von"}, {"von", "2"}, {"15", "of"}, {"of", "5"}, {"1", "glass-break,"}, {"16", "Melder"}, {"T", "20"},
		{"A", "breaker"}, {"November", "24,"}, {"24,", "2026,"}, {"loopwitness", "0.1.0,"}, {"verify", "--fingerprint"},
		{"+44", "1632"}, {"(01632)", "960"}, {"960", "017."}} {
		assert.True(t, Together(pair[0], pair[1]), pair)
	}
	for _, pair := range [][2]string{{"in", "zone"}, {"3,", "V"}, {"4k7", "V"}, {"the", "3"}, {"door", "contact"},
		{"", ""}, {"5", "and"}, {"November", "and"}, {"3.5", "November-like"}, {"2026", "detectors"}, {"V", "5"},
		{"of", "detectors"}, {"24,", "12"}, {"EN", "and"}, {"A", "detector"}, {"3", "to"},
		{"12,", "14"}, {"3.1", "3.2"}, {"1", "2"}, {"2456", "0449"}} {
		assert.False(t, Together(pair[0], pair[1]), pair)
	}
}
