package certificate

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/programme"
	"loopwitness/commission/record"
	"loopwitness/commission/words"
)

// signedSo is the box of the customer of a visit on whose last entries something is changed.
func signedSo(t *testing.T, name string, role programme.Role, change func(*record.Signed)) Signature {
	t.Helper()
	contents, err := journal.ReadFile("../../testdata/journals/" + name + ".jsonl")
	require.NoError(t, err)
	r := &record.Record{}
	for _, e := range contents.Entries {
		f, err := record.FactOf(e)
		require.NoError(t, err)
		if s, is := f.(record.Signed); is && s.Role == role {
			change(&s)
			e.Body = bodyOf(t, s)
		}
		require.NoError(t, r.Take(e))
	}
	w := writer{judge.Assess(r), r, Options{Language: words.English{}}}
	for _, b := range w.names().Blocks[0].(Signatures) {
		if b.Role == w.say(words.Titled{Of: role}) {
			return b
		}
	}
	t.Fatal("no box")
	return Signature{}
}

// Each box says how a name came into it, whoever did or did not sign.
func TestBoxesSayHowTheyWereSigned(t *testing.T) {
	refuse := func(called string) func(*record.Signed) {
		return func(s *record.Signed) {
			*s = record.Signed{Step: s.Step, Role: s.Role, Position: "the earth first", Refused: true, Called: called}
		}
	}
	for name, test := range map[string]struct {
		journal               string
		role                  programme.Role
		change                func(*record.Signed)
		instead, name, detail string
	}{
		"drawn on the phone": {"roamed", programme.Technician, func(*record.Signed) {}, "", "", ", drawn on the phone"},
		"a customer's too":   {"roamed", programme.Customer, func(*record.Signed) {}, "", "", ", drawn on the phone"},
		"typed": {"roamed", programme.Technician, func(s *record.Signed) { s.Strokes, s.Name = nil, "Ignace" },
			"name typed, nothing drawn", "Ignace", ""},
		"refused, named": {"roamed", programme.Customer, refuse("the tenant"), "refused to sign", "the tenant",
			"was shown the list, does not accept it, “the earth first”, "},
		"refused, not named": {"roamed", programme.Customer, refuse(""), "refused to sign", "not named", "“the earth first”"},
		"nobody there": {"roamed", programme.Customer, func(s *record.Signed) {
			*s = record.Signed{Step: s.Step, Role: s.Role, Position: "abroad"}
		}, "nobody was there to sign", "nobody signed", "“abroad”"},
	} {
		box := signedSo(t, test.journal, test.role, test.change)
		assert.Equal(t, test.instead, box.Instead, name)
		assert.Equal(t, test.instead == "", box.Strokes != nil, name)
		if test.name != "" {
			assert.Equal(t, test.name, box.Name, name)
		}
		assert.NotEmpty(t, box.Name, name)
		assert.Contains(t, box.Detail, test.detail, name)
		d := Document{Language: words.English{}, Sections: []Section{{Title: "N", Blocks: []Block{Signatures{box}}}}}
		stated := d.Stated()
		last := stated[len(stated)-1].Text
		assert.True(t, strings.Contains(last, box.Instead) && strings.Contains(last, box.Name), last)
	}
}

func bodyOf(t testing.TB, f record.Fact) []byte {
	t.Helper()
	body, err := journal.Marshal(f)
	require.NoError(t, err)
	return body
}
