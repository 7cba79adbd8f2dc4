package german

import "loopwitness/commission/words"

var germanSigning = map[words.Signing]string{
	words.OnGlassSigning: "auf dem Telefon gezeichnet",
	words.PictureSigning: "gezeichnet; als Bild eingereicht",
	words.TypedSigning:   "Name getippt, nichts gezeichnet",
	words.RefusedSigning: "Unterschrift verweigert",
	words.AbsentSigning:  "niemand war zum Unterschreiben da",
	words.NotNamed:       "nicht genannt",
}

func (Language) ofSigning(p words.Phrase) (string, bool) {
	s, is := p.(words.Signing)
	text, has := germanSigning[s]
	return text, is && has
}
