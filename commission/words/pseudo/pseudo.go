// Package pseudo is a language for tests. It says what English says, but in brackets,
// and writes numbers with a decimal comma: a text without brackets came from no
// catalogue.
package pseudo

import (
	"strings"
	"time"

	"loopwitness/commission/judge"
	"loopwitness/commission/site"
	"loopwitness/commission/words"
)

// Brackets are the first and the last character of all that is said.
const (
	Open  = "⟦"
	Close = "⟧"
)

// Language is the language of brackets.
type Language struct{ words.English }

// Tag is a private tag.
func (Language) Tag() string { return "en-x-brackets" }

// In is the language with other units.
func (l Language) In(u site.Units) words.Language {
	return Language{words.English{Units: words.UnitsOf(u)}}
}

func said(text string) string {
	if text == "" {
		return ""
	}
	return Open + text + Close
}

// Say is the phrase in brackets; one that says nothing has none.
func (l Language) Say(p words.Phrase) string { return said(l.English.Say(p)) }

// Computed has every part in brackets.
func (l Language) Computed(c judge.Computed) words.Row {
	row := l.English.Computed(c)
	for _, part := range []*string{&row.About, &row.Inputs, &row.Formula, &row.Result, &row.Limit, &row.Missing,
		&row.Change} {
		*part = said(*part)
	}
	return row
}

// Number has a decimal comma.
func (l Language) Number(value float64, decimals int) string {
	return strings.Replace(l.English.Number(value, decimals), ".", ",", 1)
}

// Duration is in brackets: it has units.
func (l Language) Duration(d time.Duration) string { return said(l.English.Duration(d)) }

// Date is in brackets: it has the name of a month.
func (l Language) Date(t time.Time) string { return said(l.English.Date(t)) }
