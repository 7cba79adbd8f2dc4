package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// bad is what somebody may have put into any text of a journal: it sets the title of a
// window, rings, goes back, turns the line, and hides.
const bad = `\u001b]0;x\u0007\rAPPROVED` + "\u202e\u200b\u0085"

// The texts of entries: those that somebody typed, and those that a machine sent.
var (
	typedText   = regexp.MustCompile(`"(remark|text|name|licence|position|instrument|caption|who|reason)":"`)
	machineText = regexp.MustCompile(`"(raw|detail|failed)":"|"kind":"signal","body":{"address":"`)
)

// spoilt is a journal whose every text of a kind begins with that, chained anew.
func spoilt(journal []byte, freeText *regexp.Regexp) []byte {
	var out bytes.Buffer
	prev := strings.Repeat("0", 64)
	for i, line := range bytes.Split(bytes.TrimSuffix(journal, []byte("\n")), []byte("\n")) {
		text := string(line[:len(line)-len(prev)-2])
		if i > 0 {
			text = freeText.ReplaceAllString(text, `$0`+strings.ReplaceAll(bad, "$", "$$"))
		}
		text += prev + `"}`
		sum := sha256.Sum256([]byte(text))
		prev = hex.EncodeToString(sum[:])
		out.WriteString(text + "\n")
	}
	return out.Bytes()
}

// Audit, 9: what is printed of a record is free of what a terminal obeys or hides.
func TestNothingThatIsPrintedOfARecordIsObeyed(t *testing.T) {
	dir := t.TempDir()
	_, errs, code := at(t, dir, nil, "demo", "--job", "job")
	require.Zero(t, code, errs)
	journals, err := filepath.Glob(filepath.Join(dir, "job", "visits", "*-maintenance", "journal.jsonl"))
	require.NoError(t, err)
	require.Len(t, journals, 1)
	good, err := os.ReadFile(journals[0])
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(journals[0], spoilt(good, typedText), 0o600))
	_, errs, code = at(t, dir, nil, "certify", "--job", "job", "--unsigned")
	require.Equal(t, exitNotRun, code, "no keyboard types that")
	require.Contains(t, errs, "makes no sense")
	require.NoError(t, os.WriteFile(journals[0], spoilt(good, machineText), 0o600))
	_, errs, _ = at(t, dir, nil, "certify", "--job", "job", "--unsigned")
	certificates, err := filepath.Glob(filepath.Join(dir, "job", "certificates", "*rev2.pdf"))
	require.NoError(t, err)
	require.Len(t, certificates, 1, errs)

	for _, args := range [][]string{
		{"visit", "show"}, {"visit", "show", "--list"}, {"visit", "correct"}, {"site", "show"}, {"site", "check"},
		{"limits"}, {"record"}, {"record", "--format", "csv"}, {"certify", "--unsigned"},
		{"verify", certificates[0]}, {"verify", "--json", certificates[0]}, {"record", certificates[0]},
		{"record", "--format", "csv", certificates[0]},
	} {
		if !strings.Contains(strings.Join(args, " "), ".pdf") {
			args = append(args, "--job", "job")
		}
		out, errs, _ := at(t, dir, nil, args...)
		for _, r := range strings.ReplaceAll(out+errs, "\r\n", "\n") {
			if r != '\n' && unicode.In(r, unicode.Cc, unicode.Cf) {
				assert.Fail(t, "printed as it is", "%v prints %q: %.300q", args, r, out+errs)
				break
			}
		}
	}
}

// What a terminal does not show stands in JSON as an escape, and reads back as it was.
func TestJSONHidesNothing(t *testing.T) {
	const hidden = "a\u0085\u00ad\u200b\u200d\u2028\u202e\u3164\ue000\U000e0041\x7fz"
	text := inertJSON("{\n\"name\": \"" + hidden + "é😀\"\n}")
	escaped := `a\u0085\u00ad\u200b\u200d\u2028\u202e\u3164\ue000\udb40\udc41\u007fz`
	assert.Equal(t, "{\n\"name\": \""+escaped+"é😀\"\n}", text)
	var back struct{ Name string }
	require.NoError(t, json.Unmarshal([]byte(text), &back))
	assert.Equal(t, hidden+"é😀", back.Name)
}
