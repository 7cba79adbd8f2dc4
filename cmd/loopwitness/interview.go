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
	site     *site.Site
	back     bool // wayBack goes back by one question
	given    []given
	next     int // of given
	err      error
}

// given is what was answered to a question.
type given struct{ id, text string }

// toTheEnd asks all, and begins again from the answers that stay when one is taken back.
func (q *interview) toTheEnd() {
	for {
		q.site, q.next, q.err = &site.Site{}, 0, nil
		q.all()
		if !errors.Is(q.err, errBack) {
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
	if q.back {
		question.WayBack = wayBack
	}
	answer, err := q.operator.Ask(q.ctx, question)
	if err == nil && q.back && answer.Text == wayBack {
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
	answers, err := readDraft(path, data)
	if err != nil {
		return fmt.Errorf("the draft of an earlier interview cannot be read; mend it, or move it away: %w", err)
	}
	word, err := chosen(q.ctx, q.operator, "new/draft",
		fmt.Sprintf("%s has %d answers of an interview that was broken off", path, len(answers)),
		[]choice{{"on", "go on from there"}, {"anew", "begin anew"}})
	if err == nil && word == "on" {
		q.given = answers
	}
	return err
}

func readDraft(name string, data []byte) ([]given, error) {
	r, top, err := strictyaml.Parse(name, data, false, "answers")
	if err != nil {
		return nil, err
	}
	var answers []given
	for _, item := range top.List("answers") {
		f := r.Fields(item, "answer", "when", "say")
		answers = append(answers, given{f.Need("when", "the name of a question"), f.Text("say")})
	}
	return answers, r.Err()
}

// keepDraft keeps what was answered, and says where.
func (q *interview) keepDraft(f job.Folder) error {
	path := f.DraftPath()
	if len(q.given) == 0 {
		return q.err
	}
	var b bytes.Buffer
	b.WriteString("# Answers of an interview that was broken off; loopwitness site new goes on from here.\nanswers:\n")
	for _, g := range q.given {
		fmt.Fprintf(&b, "  - {when: %s, say: %s}\n", strictyaml.Quote(g.id), strictyaml.Quote(g.text))
	}
	if err := atomicfile.Replace(path, b.Bytes(), 0o600); err != nil {
		return errors.Join(q.err, err)
	}
	return fmt.Errorf("broken off (%w); what was answered stands in %s; go on with: %s", q.err, path,
		command(f, "site new"))
}
