package words

// AroundInEnglish is a text that is said around a visit, with the places of its arguments.
func AroundInEnglish(what AroundCode) string { return englishAround[what] }
