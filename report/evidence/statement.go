package evidence

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strings"
	"time"
	"unicode"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/kit/photograph"
	"loopwitness/report/certificate"
)

// Format is the newest format of certificate.json that this package reads, and the
// one that it writes.
const Format = 1

var (
	// ErrStatement says that certificate.json cannot be understood.
	ErrStatement = errors.New("certificate.json cannot be understood")
	// ErrNewer says that a later version of the tool wrote it.
	ErrNewer = errors.New("the certificate was written by a later version")
)

// Statement is certificate.json, format 1: one JSON object. A reader of this format
// ignores keys that it does not know; a change of what a key means is a new format.
// What stands in "judged" follows from the record by the rules of that number
// (judge.Judged); what stands in "stated" is what the pages of that edition print, in
// that language.
type Statement struct {
	Format      int                  `json:"format"`
	Rules       int                  `json:"rules"`    // of judging
	Edition     int                  `json:"edition"`  // of the pages
	Language    string               `json:"language"` // of the pages, a BCP 47 tag
	Tool        string               `json:"tool"`     // name and version that wrote the certificate
	Made        time.Time            `json:"made"`     // as the computer's clock had it
	Document    string               `json:"document"`
	Revision    int                  `json:"revision"`
	Summary     bool                 `json:"summary,omitempty"` // page one alone, of that revision
	SealedBy    certificate.Sealer   `json:"sealed_by"`
	TimeStamped bool                 `json:"time_stamped,omitempty"` // a time stamp over the signature is promised
	Journal     Journal              `json:"journal"`
	Photographs []string             `json:"photographs,omitempty"` // SHA-256 of each, in their order
	Lost        []string             `json:"lost,omitempty"`        // names of those that were not there any more
	Judged      json.RawMessage      `json:"judged"`
	Stated      []certificate.Stated `json:"stated"`
}

// Journal tells which journal was attached.
type Journal struct {
	SHA256  string `json:"sha256"` // of the whole file
	Entries int    `json:"entries"`
	// Marks has eight hexadecimal digits for each entry, of the SHA-256 of what it
	// says: they prove nothing, but tell which entry was changed.
	Marks string `json:"marks"`
}

const markLength = 8

// languageTag is the form of a BCP 47 tag, as far as it has to be told from other text.
var languageTag = regexp.MustCompile(`^[a-z]{2,3}(-[A-Za-z0-9]{2,8}){0,3}$`)

// judgedIn is an assessment as certificate.json has it.
func judgedIn(a *judge.Assessment) (json.RawMessage, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	err := enc.Encode(a.Judged())
	return bytes.TrimSuffix(b.Bytes(), []byte("\n")), err
}

// mark is short for what an entry says, wherever it stands.
func mark(e journal.Entry) string {
	sum := sha256.Sum256(fmt.Appendf(nil, "%d %d %d %s %s", e.At.UnixNano(), e.Run, e.Elapsed, e.Kind, e.Body))
	return hex.EncodeToString(sum[:markLength/2])
}

func journalOf(c journal.Contents) Journal {
	var marks strings.Builder
	for _, e := range c.Entries {
		marks.WriteString(mark(e))
	}
	return Journal{SHA256: Digest(c.Whole), Entries: len(c.Entries), Marks: marks.String()}
}

// Digest is the SHA-256 of a file, in hexadecimal.
func Digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// ReadStatement reads certificate.json. Errors wrap ErrStatement or ErrNewer.
func ReadStatement(data []byte) (Statement, error) {
	var format struct {
		Format int `json:"format"`
	}
	if err := json.Unmarshal(data, &format); err != nil || format.Format < 1 {
		return Statement{}, ErrStatement
	}
	if format.Format > Format {
		return Statement{}, fmt.Errorf("%w: format %d, this one reads up to %d", ErrNewer, format.Format, Format)
	}
	var s Statement
	if err := json.Unmarshal(data, &s); err != nil {
		return Statement{}, fmt.Errorf("%w: %w", ErrStatement, err)
	}
	if s.Edition < 1 || s.Rules < 1 || !languageTag.MatchString(s.Language) {
		return Statement{}, fmt.Errorf("%w: there is no edition %d of pages by rules %d in the language %q",
			ErrStatement, s.Edition, s.Rules, s.Language)
	}
	if len(s.Lost) > photograph.Most {
		return Statement{}, fmt.Errorf("%w: more photographs are lost than a visit keeps", ErrStatement)
	}
	if s.Revision < 1 || len(s.Tool) > 60 ||
		strings.ContainsFunc(s.Tool, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return Statement{}, ErrStatement
	}
	if s.Journal.Entries < 0 || s.Journal.Entries > len(s.Journal.Marks) ||
		len(s.Journal.Marks) != markLength*s.Journal.Entries {
		return Statement{}, ErrStatement
	}
	return s, nil
}

// Encode is certificate.json.
func (s Statement) Encode() ([]byte, error) {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	err := enc.Encode(s)
	return b.Bytes(), err
}

// Differs tells in words how a journal differs from the one that the certificate was
// made with, "" if it does not.
func (j Journal) Differs(c journal.Contents) string {
	if Digest(c.Whole) == j.SHA256 {
		return ""
	}
	now := journalOf(c).Marks
	was := j.Marks
	same := 0 // entries from the beginning
	for same < min(len(was), len(now))/markLength && at(was, same) == at(now, same) {
		same++
	}
	restWas, restNow := was[same*markLength:], now[same*markLength:]
	n := same + 1
	switch missing := j.Entries - len(c.Entries); {
	case restWas == "" && restNow == "":
		return "its hashes are not those that it was sealed with"
	case missing > 0 && strings.HasSuffix(restWas, restNow):
		return fmt.Sprintf("%d of its %d entries %s missing: %s", missing, j.Entries, isAre(missing), span(n, missing))
	case missing < 0 && strings.HasSuffix(restNow, restWas):
		return fmt.Sprintf("%d %s not in it when it was sealed: %s", -missing, wasWere(-missing), span(n, -missing))
	case missing == 0 && sameEntries(restWas, restNow):
		return fmt.Sprintf("its entries stand in another order, from entry %d on", n)
	case missing == 0:
		if more := changed(restWas, restNow) - 1; more > 0 {
			return fmt.Sprintf("entry %d was changed, and %d more", n, more)
		}
		return fmt.Sprintf("entry %d was changed", n)
	}
	return fmt.Sprintf("it has %d entries instead of %d, and differs from entry %d on", len(c.Entries), j.Entries, n)
}

func at(marks string, i int) string { return marks[i*markLength : (i+1)*markLength] }

func changed(a, b string) int {
	n := 0
	for i := range len(a) / markLength {
		if at(a, i) != at(b, i) {
			n++
		}
	}
	return n
}

// sameEntries tells whether both have the same entries, in any order.
func sameEntries(a, b string) bool {
	count := map[string]int{}
	for i := range len(a) / markLength {
		count[at(a, i)]++
		count[at(b, i)]--
	}
	for _, n := range count {
		if n != 0 {
			return false
		}
	}
	return true
}

func span(from, n int) string {
	if n == 1 {
		return fmt.Sprintf("entry %d", from)
	}
	return fmt.Sprintf("entries %d to %d", from, from+n-1)
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

func wasWere(n int) string {
	if n == 1 {
		return "entry was"
	}
	return "entries were"
}
