package words

// PageText is a code of what a phone's page says by itself. Its sentence may hold $1, which
// the page fills in; where one ends in "-one", the other in "-many" is said of any other
// number.
type PageText string

// Code names it.
func (p PageText) Code() string { return "page/" + string(p) }

// PageTexts is what the page says, by its codes, and the language's tag under "lang".
func PageTexts(l Language) map[string]string {
	texts := map[string]string{"lang": l.Tag()}
	for code := range englishPage {
		texts[string(code)] = l.Say(code)
	}
	return texts
}

// ofPage says what the page says by itself.
func (English) ofPage(p Phrase) (string, bool) {
	code, is := p.(PageText)
	text, has := englishPage[code]
	return text, is && has
}
