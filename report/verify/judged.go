package verify

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"loopwitness/commission/journal"
	"loopwitness/commission/judge"
	"loopwitness/commission/words/languages"
	"loopwitness/report/certificate"
	"loopwitness/report/evidence"
)

// ofOtherRules tells whether a certificate was judged by other rules than this program
// has: nothing that it states can be held against what they give.
func (r *Report) ofOtherRules(s evidence.Statement) bool {
	if s.Rules == judge.Rules {
		return false
	}
	why := fmt.Sprintf("made by other rules (version %d, this program has %d); %s", s.Rules, judge.Rules, withItsOwn(s))
	r.problem(OtherRules, "its verdicts and pages were not compared: %s", why)
	r.Follows.Why, r.Shown.Why = why, why
	return true
}

// ofOtherEdition tells whether its pages are of another edition than this program draws,
// or in a language that it does not have.
func (r *Report) ofOtherEdition(s evidence.Statement) bool {
	what := ""
	_, known := languages.ByTag(s.Language)
	switch {
	case s.Edition != certificate.Edition:
		what = fmt.Sprintf("number %d, this program draws %d", s.Edition, certificate.Edition)
	case !known:
		what = fmt.Sprintf("in the language %q, which this program does not have", s.Language)
	default:
		return false
	}
	r.Shown.Why = fmt.Sprintf("made by another edition (%s); %s", what, withItsOwn(s))
	r.problem(OtherEdition, "its pages were not compared: %s", r.Shown.Why)
	return true
}

// withItsOwn is what to do with a certificate that this program cannot compare.
func withItsOwn(s evidence.Statement) string {
	return fmt.Sprintf("check it with the version of the program that wrote it: %s, as it says", s.Tool)
}

// compareJudged holds what the certificate says was judged against what follows from its
// record by the same rules.
func (r *Report) compareJudged(s evidence.Statement, again *judge.Assessment) error {
	gives, err := journal.Marshal(again.Judged())
	if err != nil {
		return err
	}
	r.Follows.holds()
	if len(s.Judged) > 3*len(gives)+64<<10 { // not worth taking apart
		r.problem(Judgement, "what it says was judged has %d bytes, and what follows from its record %d", len(s.Judged),
			len(gives))
		return nil
	}
	if sameJSON(s.Judged, gives) {
		return nil
	}
	stated, err := valueOf(s.Judged)
	if err != nil {
		return err
	}
	given, err := valueOf(gives)
	if err != nil {
		return err
	}
	var d differing
	d.values("", stated, given)
	r.Follows.tell(d)
	if n := d.count(); n > 0 {
		r.problem(Judgement, "%d of its verdicts and figures do not follow from its record", n)
	} else {
		r.problem(Judgement, "its verdicts and figures are written otherwise than this tool writes them: "+
			"another program may read others there")
	}
	return nil
}

// sameJSON tells whether two texts differ in nothing but blanks between their tokens.
func sameJSON(a, b []byte) bool {
	var x, y bytes.Buffer
	return json.Compact(&x, a) == nil && json.Compact(&y, b) == nil && bytes.Equal(x.Bytes(), y.Bytes())
}

// keyTwice is a key that an object has twice, or once in capitals; "" for none. Programs
// read one or the other.
func keyTwice(object []byte) string {
	dec := json.NewDecoder(bytes.NewReader(object))
	_, _ = dec.Token() // it was read as an object
	there := map[string]bool{}
	for dec.More() {
		key, err := dec.Token()
		var value json.RawMessage
		if err != nil || dec.Decode(&value) != nil {
			return ""
		}
		name := strings.ToLower(fmt.Sprint(key))
		if there[name] {
			return name
		}
		there[name] = true
	}
	return ""
}

// valueOf is JSON with its numbers as they are written; nil for none.
func valueOf(raw []byte) (v any, err error) {
	if len(raw) == 0 {
		return nil, nil
	}
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	err = dec.Decode(&v)
	return v, err
}

// values tells where two values differ, each place by the keys that lead to it.
func (d *differing) values(at string, states, gives any) {
	switch s := states.(type) {
	case map[string]any:
		g, is := gives.(map[string]any)
		if !is {
			break
		}
		both := map[string]bool{}
		for k := range s {
			both[k] = true
		}
		for k := range g {
			both[k] = true
		}
		for _, k := range slices.Sorted(maps.Keys(both)) {
			d.values(below(at, k), s[k], g[k])
		}
		return
	case []any:
		g, is := gives.([]any)
		if !is {
			break
		}
		for i := range max(len(s), len(g)) {
			a, b := elementAt(s, i), elementAt(g, i)
			d.values(below(at, labelled(a, b, i)), a, b)
		}
		return
	}
	if a, b := written(states), written(gives); a != b {
		d.add(at, a, b)
	}
}

func below(at, key string) string {
	if at == "" {
		return key
	}
	return at + "/" + key
}

func elementAt(all []any, i int) any {
	if i < len(all) {
		return all[i]
	}
	return nil
}

// labelled is what an element of a list is called: after what it says of itself, else
// by its number.
func labelled(a, b any, i int) string {
	for _, element := range []any{b, a} {
		value, _ := element.(map[string]any)
		for _, key := range []string{"id", "step", "code"} {
			if name, is := value[key].(string); is {
				return name
			}
		}
	}
	return strconv.Itoa(i + 1)
}

// written is a value as a reader sees it; "" for none.
func written(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return v
	}
	const longest = 200
	out, _ := json.Marshal(v) // it was JSON
	if len(out) > longest {
		return string(out[:longest]) + "…"
	}
	return string(out)
}
