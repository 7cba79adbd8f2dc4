package words

// PageText is a code of what a phone's page says by itself. Its sentence may hold $1, which
// the page fills in; where one ends in "-one", the other in "-many" is said of any other
// number.
type PageText string

// Code names it.
func (p PageText) Code() string { return "page/" + string(p) }

// PageLearning is the code of a PageText that is said otherwise while a site is learnt.
type PageLearning string

// Code names it.
func (p PageLearning) Code() string { return "page-learning/" + string(p) }

// LearningPageTexts is PageTexts of a page that learns a site.
func LearningPageTexts(l Language) map[string]string {
	texts := PageTexts(l)
	for code := range englishPageLearning {
		texts[string(code)] = l.Say(code)
	}
	return texts
}

// PageTexts is what the page says, by its codes, and the language's tag under "lang".
func PageTexts(l Language) map[string]string {
	texts := map[string]string{"lang": l.Tag()}
	for code := range englishPage {
		texts[string(code)] = l.Say(code)
	}
	return texts
}
