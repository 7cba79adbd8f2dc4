package finish

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/report/pdffile"
)

var twoFonts = map[pdffile.Name]pdffile.Name{"Fa0": "F1", "Fb0": "F2"}

func tidied2(t *testing.T, content string) (string, map[pdffile.Name]map[rune]bool) {
	t.Helper()
	shown := map[pdffile.Name]map[rune]bool{}
	out, err := tidy([]byte(content), twoFonts, shown)
	require.NoError(t, err)
	return string(out), shown
}

func TestWhatIsSetTwiceIsSetOnce(t *testing.T) {
	out, shown := tidied2(t, "0 J\n0.57 w\n0.000 G\n0.000 g\n"+
		"BT /Fa0 8.80 Tf ET\nBT /Fb0 8.80 Tf ET\nBT /Fa0 8.80 Tf ET\n"+
		"q 0.1 0.2 0.3 rg BT 1.00 2.00 Td (\x00A\x00\\)\\\\\\r) Tj ET Q\n"+
		"BT /Fa0 8.80 Tf ET\nq 0.1 0.2 0.3 rg BT 1.00 3.00 Td (\x00B\x01\n) Tj ET Q\n"+
		"0.4 0.5 0.6 RG\n1.42 w\n1 2 m 3 4 l S\n0.000 G\n0.57 w\n"+
		"0.4 0.5 0.6 RG\n1.42 w\n5 6 m 7 8 l S\n0.000 G\n0.57 w\n"+
		"BT 1.00 4.00 Td (\x00C) Tj ET\n"+
		"q 10.00 0 0 10.00 1.00 2.00 cm /I0 Do Q\n"+
		"\nq\n0.9 w\n1 2 m\n3 4 l\nS\nQ\n"+
		"1.42 w\n1 1 m 2 2 l S\n")
	assert.Equal(t, "0 J\n"+
		"0.1 0.2 0.3 rg\n/F1 8.8 Tf\nBT 1.00 2.00 Td (\x00A\x00\\)\\\\\\r) Tj ET\n"+
		"BT 1.00 3.00 Td (\x00B\x01\n) Tj ET\n"+
		"0.4 0.5 0.6 RG\n1.42 w\n1 2 m 3 4 l S\n5 6 m 7 8 l S\n"+
		"0.000 g\nBT 1.00 4.00 Td (\x00C) Tj ET\n"+
		"0.000 G\n0.57 w\nq 10.00 0 0 10.00 1.00 2.00 cm /I0 Do Q\n"+
		"\nq\n0.9 w\n1 2 m\n3 4 l\nS\nQ\n"+
		"1.42 w\n1 1 m 2 2 l S\n", out)
	assert.Equal(t, map[pdffile.Name]map[rune]bool{
		"Fa0": {'A': true, ')': true, 'B': true, 'C': true, '\\'<<8 | '\r': true, 0x10a: true}}, shown)
}

func TestWhatTheLibraryDoesNotDrawIsRefused(t *testing.T) {
	for _, content := range []string{
		"BT 1 2 Td (\x00A) Tj ET\n", // in no font
		"BT /Fc0 8.80 Tf ET\n",      // in one that is not there
		"BT /Fa0 8.80 Tf ET\nBT 1 2 Td (\x00) Tj ET\n",
		"BT /Fa0 8.80 Tf ET\nBT 1 2 Td (\x00A\n",
		"BT /Fa0 8.80 Tf ET\nBT 1 2 Td (\x00A) TJ ET\n",
		"BT /Fa0 8.80 Tf ET\nq 1 g BT 1 2 Td (\x00A) Tj ET\n",
		"BT /Fa0 8.80 Tf (\n",
	} {
		_, err := tidy([]byte(content), twoFonts, map[pdffile.Name]map[rune]bool{})
		assert.ErrorIs(t, err, pdffile.ErrNotRead, "%q", content)
	}
}

func TestWidthsAndMapOfWhatIsShown(t *testing.T) {
	f := Face{Name: "X", Width: func(r rune) float64 { return float64(r) / 1000 }}
	assert.Equal(t, pdffile.Array{whole(32), pdffile.Array{whole(32)}, whole(65), pdffile.Array{whole(65), whole(66)},
		whole(937), pdffile.Array{whole(937)}}, f.widthsOf([]rune{32, 65, 66, 937}))
	m := string(unicodeMap([]rune{0xfe, 0xff, 0x100, 0x2014}))
	assert.Contains(t, m, "3 beginbfrange\n<00FE> <00FF> <00FE>\n<0100> <0100> <0100>\n<2014> <2014> <2014>\nendbfrange\n")
	var many []rune
	for r := rune(2); r < 500; r += 2 {
		many = append(many, r)
	}
	m = string(unicodeMap(many))
	assert.Contains(t, m, "100 beginbfrange")
	assert.Contains(t, m, "49 beginbfrange")
	assert.NotEqual(t, subsetTag([]rune("ab")), subsetTag([]rune("ac")))
	assert.Regexp(t, `^[A-Z]{6}$`, subsetTag([]rune("ab")))
}

func TestABrokenFontIsRefused(t *testing.T) {
	for _, ttf := range []string{"", "\x00\x01\x00\x00", "\x00\x01\x00\x00\x00\x09" + string(make([]byte, 160))} {
		_, err := withoutHints([]byte(ttf))
		assert.ErrorIs(t, err, pdffile.ErrNotRead)
	}
}
