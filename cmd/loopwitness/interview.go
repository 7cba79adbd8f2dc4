package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"

	"loopwitness/commission/ask"
	"loopwitness/commission/job"
	"loopwitness/commission/kit/atomicfile"
	"loopwitness/commission/kit/strictyaml"
	"loopwitness/commission/site"
)

// wayBack is the word that takes the answer before it back.
const wayBack = "back"

// errBack says that the last answer is taken back.
var errBack = errors.New("back to the question before")

// interview asks question after question until one cannot be answered. What was answered
// already, before a break or before a way back, is not asked for again.
type interview struct {
	ctx      context.Context
	operator ask.Operator
	prefix   string // of the names of its questions: "new", "learn"
	site     *site.Site
	taken    site.Site // what a file has already: numbers and addresses of it are taken
	given    []given
	next     int // of given
	err      error
	// before: something stands before the first question, to which a way back from there
	// leads (errBack).
	before bool
}

// given is what was answered to a question.
type given struct{ id, text string }

// toTheEnd asks all, and begins again from the answers that stay when one is taken back.
func (q *interview) toTheEnd(all func()) {
	for {
		q.site, q.next, q.err = &site.Site{}, 0, nil
		all()
		if !errors.Is(q.err, errBack) || q.before && len(q.given) == 0 {
			return
		}
		q.given = q.given[:max(0, len(q.given)-1)]
	}
}

func (q *interview) ask(question ask.Question) string {
	if q.err != nil {
		return ""
	}
	if text, was := q.answeredBefore(question); was {
		return text
	}
	question.WayBack = wayBack
	answer, err := q.operator.Ask(q.ctx, question)
	if err == nil && answer.Text == wayBack {
		err = errBack
	}
	if err != nil {
		q.err = err
		return ""
	}
	q.given = append(q.given, given{question.ID, answer.Text})
	q.next++
	return answer.Text
}

// answeredBefore is what was answered to the question. Where the answers fit no more, all
// that follow are dropped.
func (q *interview) answeredBefore(question ask.Question) (string, bool) {
	if q.next == len(q.given) {
		return "", false
	}
	g := q.given[q.next]
	if _, err := question.Accept(g.text); g.id != question.ID || err != nil {
		q.given = q.given[:q.next]
		return "", false
	}
	q.next++
	return g.text, true
}

// goOn asks whether to go on from a draft.
func goOn(ctx context.Context, operator ask.Operator, id, path string, answers int) (bool, error) {
	word, err := chosen(ctx, operator, id,
		fmt.Sprintf("%s has %d answers of an interview that was broken off", path, answers),
		[]choice{{"on", "go on from there"}, {"anew", "begin anew"}})
	return word == "on", err
}

// badDraft says what to do about a draft.
func badDraft(err error) error {
	return fmt.Errorf("the draft of an earlier interview cannot be read; mend it, or move it away: %w", err)
}

// fromDraft goes on from the answers of an interview that was broken off, if that is
// wanted.
func (q *interview) fromDraft(f job.Folder) error {
	path := f.DraftPath()
	data, err := strictyaml.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	r, top, err := strictyaml.Parse(path, data, false, "answers")
	if err != nil {
		return badDraft(err)
	}
	answers := readGiven(r, top)
	if err := r.Err(); err != nil {
		return badDraft(err)
	}
	on, err := goOn(q.ctx, q.operator, "new/draft", path, len(answers))
	if err == nil && on {
		q.given = answers
	}
	return err
}

func readGiven(r *strictyaml.Reader, top strictyaml.Fields) []given {
	var answers []given
	for _, item := range top.List("answers") {
		f := r.Fields(item, "answer", "when", "say")
		answers = append(answers, given{f.Need("when", "the name of a question"), f.Text("say")})
	}
	return answers
}

// keepDraft keeps what was answered, and says where.
func (q *interview) keepDraft(f job.Folder) error {
	path := f.DraftPath()
	if len(q.given) == 0 {
		return q.err
	}
	var b bytes.Buffer
	b.WriteString("# Answers of an interview that was broken off; loopwitness site new goes on from here.\n")
	writeGiven(&b, q.given)
	if err := atomicfile.Replace(path, b.Bytes(), 0o600); err != nil {
		return errors.Join(q.err, err)
	}
	return brokenOff(q.err, path, command(f, "site new"))
}

func brokenOff(why error, path, next string) error {
	return fmt.Errorf("broken off (%w); what was answered stands in %s; go on with: %s", why, path, next)
}

func writeGiven(b *bytes.Buffer, all []given) {
	b.WriteString("answers:\n")
	for _, g := range all {
		fmt.Fprintf(b, "  - {when: %s, say: %s}\n", strictyaml.Quote(g.id), strictyaml.Quote(g.text))
	}
}
