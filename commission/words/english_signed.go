package words

var englishSigning = map[Signing]string{
	OnGlassSigning: "drawn on the phone",
	PictureSigning: "drawn; a picture that was supplied",
	TypedSigning:   "name typed, nothing drawn",
	RefusedSigning: "refused to sign",
	AbsentSigning:  "nobody was there to sign",
	NotNamed:       "not named",
}

func (English) ofSigning(p Phrase) (string, bool) {
	s, is := p.(Signing)
	text, has := englishSigning[s]
	return text, is && has
}
