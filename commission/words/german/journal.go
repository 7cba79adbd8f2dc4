package german

import (
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"loopwitness/commission/ask"
	"loopwitness/commission/journal"
)

// journalNotice says what becomes of a journal that fails.
func (Language) journalNotice(n ask.Notice) string {
	switch n := n.(type) {
	case ask.JournalFailed:
		return journalFailed(n)
	case ask.Rescued:
		return fmt.Sprintf("Alle Einträge (%d) sind gesichert in %s. So geht es weiter:", n.Entries, n.File)
	case ask.GoOnStep:
		return fmt.Sprintf("  %d. %s", n.Number, goOnStep(n))
	case ask.StandsOff:
		return "Ausgeschaltet: " + strings.Join(n.Outputs, ", ") + "."
	case ask.NotRescued:
		return fmt.Sprintf("VOM JOURNAL KONNTE KEINE KOPIE GESCHRIEBEN WERDEN (%v). Was in %s steht, ist alles, "+
			"was bleibt: Schaffen Sie Platz, sehen Sie es an, und setzen Sie den Termin fort.", n.Why, n.Journal)
	}
	return ""
}

// what is why a journal failed, without that something else has changed it.
func what(why error) string {
	said := strings.TrimPrefix(why.Error(), journal.ErrLockRemoved.Error()+": ")
	return strings.TrimPrefix(said, journal.ErrChanged.Error()+": ")
}

func goOnStep(n ask.GoOnStep) string {
	switch n.Do {
	case ask.MakeFolder:
		return fmt.Sprintf("Legen Sie den Ordner %s wieder an, oder verschieben Sie ihn dorthin zurück und "+
			"benennen Sie das Journal darin um.",
			filepath.Dir(n.Journal))
	case ask.RenameStands:
		return fmt.Sprintf("Benennen Sie um, was jetzt als %s dasteht.", n.Journal)
	}
	return fmt.Sprintf("Kopieren Sie %s nach %s.", n.File, n.Journal)
}

func journalFailed(n ask.JournalFailed) string {
	switch {
	case errors.Is(n.Why, journal.ErrLockRemoved):
		return fmt.Sprintf("DER TERMIN HÄLT AN: Eine Sperre neben %s wurde entfernt, sodass ein anderes "+
			"Programm es ebenfalls schreiben oder einen Termin dieses Auftrags führen könnte (%v). Was "+
			"beantwortet wurde, ist gesichert. Sorgen Sie dafür, dass nichts anderes den Ordner benutzt, und "+
			"setzen Sie den Termin fort.", n.Journal, what(n.Why))
	case errors.Is(n.Why, journal.ErrChanged):
		return fmt.Sprintf("DER TERMIN HÄLT AN: Etwas anderes hat sein Journal %s verändert (%v). Sorgen Sie "+
			"dafür, dass kein anderes Programm den Ordner synchronisiert, verschiebt oder "+
			"aufräumt.", n.Journal, what(n.Why))
	}
	return fmt.Sprintf("DER TERMIN HÄLT AN: Sein Journal %s lässt sich nicht schreiben (%v).", n.Journal, n.Why)
}
