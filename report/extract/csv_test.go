package extract

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Audit, 9: CSV with raw ESC and BEL; and what a spreadsheet would execute (OWASP, "CSV
// injection", from memory: cells that begin with = + - @, tab or carriage return).
func TestCellsAreInert(t *testing.T) {
	for cell, want := range map[string]string{
		"":                          "",
		"plain, with \"quotes\"":    "plain, with \"quotes\"",
		"-3":                        "-3",
		"+0.25":                     "+0.25",
		"-3 dB":                     "'-3 dB",
		"-1e5+cmd":                  "'-1e5+cmd",
		"-inf":                      "'-inf",
		"=1+1":                      "'=1+1",
		"@SUM(A1)":                  "'@SUM(A1)",
		" =1+1":                     "' =1+1",
		"\u00a0=1+1":                "'\u00a0=1+1",
		"＝1+1":                      "'＝1+1",
		"\t=1+1":                    "␉=1+1",
		"\r=1+1":                    "␍=1+1",
		"\x1b]0;title\x07":          "␛]0;title␇",
		"a\nb":                      "a␊b",
		"\u202ereversed":            "¤reversed",
		"zero\u200bwidth":           "zero¤width",
		"left open; see the remark": "left open; see the remark",
		"a;=1+1":                    "a;'=1+1",
		"a; @x;+1":                  "a;' @x;'+1",
		"not UTF-8 \xff":            "not UTF-8 \ufffd",
	} {
		assert.Equal(t, want, inert(cell), "%q", cell)
	}
}
