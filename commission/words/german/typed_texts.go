package german

import (
	"loopwitness/commission/words"
	"strings"
)

// germanVerdicts are words that say what came of a visit: a name that has one is quoted.
// English ones are among them: a reader may take them for ours as well.
var germanVerdicts = wordSet(`ordnung ergebnis urteil nachgewiesen nachgewiesene nachgewiesener nachgewiesenes nachweis
	unbewiesen bewiesen geprüft ungeprüft bestanden nichtbestanden besteht durchgefallen genehmigt abgenommen abnahme
	freigegeben zugelassen anerkannt akzeptiert zertifiziert zertifikat bescheinigt bescheinigung prüfbescheinigung
	konform normkonform normgerecht konformität entspricht erfüllt eingehalten bestätigt verifiziert unversehrt intakt
	mangel mängel mangelfrei mängelfrei fehlerfrei einschränkung einschränkungen gefahr fehler hinweis hinweise
	unentschieden gemeldet angabe offen funktioniert funktionsfähig ausgefallen versagt
	satisfactory unsatisfactory result proved proven unproved verdict pass passed passes fail failed fails tested
	untested approved accepted certified certificate conforms conform complies compliant compliance verified finding
	findings limitation limitations danger fault advice undecided confirmed reported info`)

func wordSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, word := range strings.Fields(words) {
		set[word] = true
	}
	return set
}

// named is a name among words of ours.
func named(text string) string { return germanQuotes.Named(text, germanVerdicts) }

// germanQuotes is how German quotes.
var germanQuotes = words.Quotation{Open: "„", Close: "“"}

func quoted(text string) string { return germanQuotes.Of(text) }
