package words

// ByTag is the language with a BCP 47 tag, if there is a catalogue of it.
func ByTag(tag string) (Language, bool) {
	for _, l := range []Language{English{}} {
		if l.Tag() == tag {
			return l, true
		}
	}
	return nil, false
}
