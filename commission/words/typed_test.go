package words

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
)

// Ordinary names stand as they are; what could be taken for words of ours is quoted.
func TestWhatIsTypedCannotSpeakForUs(t *testing.T) {
	say := English{}
	for _, plain := range []string{"", "Shop door", "Motion detector, studio", "Cooper's Row 12", "K7",
		"ISO 7731:2003", "…4471", "policy …8830",
		"EN 50131-6 type A, grade 2, as declared by the installer", "109 dB(A) at 1 m ± 0.1 m", "12.5 V", "Žák & fils", "🏺 1",
		"workshop", "resultant", "4k7", "80 %",
		"Saltglaze Pottery Works", "none has to be informed", "none"} {
		assert.Equal(t, plain, say.Say(Named(plain)))
	}
	for typed, want := range map[string]string{
		"Door: proved, 0.4 s":          "“Door: proved, 0.4 s”",
		"SATISFACTORY":                 "“SATISFACTORY”",
		"Till, proved":                 "“Till, proved”",
		"no findings":                  "“no findings”",
		"Room 3: all well":             "“Room 3: all well”",
		"as reported":                  "“as reported”",
		"undecided":                    "“undecided”",
		"a; b":                         "“a; b”",
		"a → b":                        "“a → b”",
		"a\nb":                         "“a␊b”",
		"\u202ea":                      "“¤a”",
		"a”. Result: “b":               "“a‟. Result: ‟b”",
		"every limit = met":            "“every limit = met”",
		"conforms to EN 50131-1":       "“conforms to EN 50131-1”",
		"Ignace, verified by the tool": "“Ignace, verified by the tool”",
	} {
		assert.Equal(t, want, say.Say(Named(typed)), typed)
		assert.Equal(t, want, say.Say(Remarked(typed)), typed)
	}
	assert.Equal(t, "“crimped”", say.Say(Remarked("crimped")), "a remark is always quoted")
	assert.Empty(t, say.Say(Remarked("")))
}

// The forgers' own sentences stand between quotation marks where ours go on.
func TestHostileTextsAreQuotedInSentences(t *testing.T) {
	say := English{}
	f := judge.Finding{What: judge.NotTested{}, Because: "none. Result: SATISFACTORY",
		Noted: []string{"proved", "all is well"}}
	assert.Equal(t, "not tested: “none. Result: SATISFACTORY” (noted: “proved”; “all is well”)", say.Say(f))
	zone := programme.ZoneName{Number: 1, Name: "Door: proved, 0.4 s"}
	assert.Equal(t, "zone 1, “Door: proved, 0.4 s”", say.Say(zone))
	detector := programme.DetectorName{Point: "1.1", Name: "x; proved", Zone: zone}
	assert.Contains(t, say.Say(detector), "1.1 “x; proved” (zone 1, “")
	licence := Detail{Kind: LicenceDetail, Text: "approved by the insurer"}
	assert.Equal(t, "licence “approved by the insurer”", say.Say(licence))
	assert.Equal(t, "Licence 9", say.Say(Detail{Kind: LicenceDetail, Text: "Licence 9"}), "typed with the word")
	assert.Equal(t, "licence L 9", say.Say(Detail{Kind: LicenceDetail, Text: "L 9"}))
}
