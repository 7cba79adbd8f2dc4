package certificate

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// Four scripts and two more are shown as they are; of all others only the name is printed, never a part.
func TestScripts(t *testing.T) {
	for text, scripts := range map[string][]string{
		"Żółć Ǆ ǅ façade e\u0301": nil, "Άλφα Ωμέγα": nil, "Щит Ђ ѣ": nil, "חלון שָׁלוֹם": nil, "Հայ": nil, "ქვევრი": nil,
		"12 V ± 5 % ≤ 3 Ω °C ½ →": nil,
		"窯元 kiln":                 {"Han"}, "สวัสดี": {"Thai"}, "مرحبا": {"Arabic"}, "नमस्ते": {"Devanagari"}, "한글": {"Hangul"},
		"カマ 🏺": {"Katakana", "symbol"},
	} {
		assert.Equal(t, scripts, Unprintable(text), text)
		shown := legible(text, faceFor(text, false))
		assert.NotContains(t, shown, "U+", text)
		for _, r := range shown {
			assert.True(t, faceFor(text, false).shows(r), "%q of %q", r, text)
		}
	}
	assert.Equal(t, "‹Han› kiln", legible("窯元 kiln", faceFor("窯元 kiln", false)))
	assert.Equal(t, "é", legible("e\u0301", faceFor("e", false)), "one letter, not two")
	assert.Equal(t, "שלום", legible("שָׁלוֹם", faceFor("שָׁלוֹם", false)), "Hebrew is read without its points")
}

// A second name stands wherever the first would; whatever has none says so on the page.
func TestSecondNames(t *testing.T) {
	d := Document{Language: words.English{}, Title: "窯元の工房", Sections: []Section{{Title: "Premises", Blocks: []Block{
		Pairs{{"Premises", "窯元の工房, 7 Kiln Yard"}}, Prose{Text: "窯元"},
		Table{Rows: []Row{{Head: "窯元", Cells: []Cell{{Text: "mended 窯元"}}, Remark: "窯元"}}}}}}}
	assert.True(t, d.unshown())
	d.printedAs([]site.Printed{{Typed: "窯元", As: "Kamamoto"}, {Typed: "窯元の工房", As: "Kiln studio"},
		{Typed: "kiln", As: "never: it can be shown"}})
	assert.False(t, d.unshown())
	assert.Equal(t, "Kiln studio", d.Title)
	assert.Equal(t, Pairs{{"Premises", "Kiln studio, 7 Kiln Yard"}}, d.Sections[0].Blocks[0])
	assert.Equal(t, Prose{Text: "Kamamoto"}, d.Sections[0].Blocks[1])
	assert.Equal(t, Row{Head: "Kamamoto", Cells: []Cell{{Text: "mended Kamamoto"}}, Remark: "Kamamoto"},
		d.Sections[0].Blocks[2].(Table).Rows[0])
	verdict := Document{Language: words.English{}, Title: "窯"}
	verdict.printedAs([]site.Printed{{Typed: "窯", As: "proved"}})
	assert.Equal(t, "“proved”", verdict.Title, "a second name is no verdict")
}

// Apostrophes are drawn as print has them, and quotation marks as they were typed. Common practice, no source.
func TestApostrophes(t *testing.T) {
	for text, drawn := range map[string]string{"the controller's": "the controller’s", "O'Brien": "O’Brien",
		"the makers' lists": "the makers’ lists", "'quoted'": "'quoted'", "5' 3": "5' 3", "ñ'ñ": "ñ’ñ", "": ""} {
		assert.Equal(t, drawn, apostrophes(text))
	}
}
