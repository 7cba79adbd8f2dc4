package german

import (
	"fmt"
	"time"

	"loopwitness/commission/signal"
)

// howHeard is what a way of receiving signals does to times and to what is heard, "" for nothing that
// the rest does not say.
func (l Language) howHeard(by signal.Listening) string {
	switch by.Way {
	case signal.OverHook:
		return " Eine Nachricht ist eingegangen, als ihr erstes Byte gelesen wurde. Solange die Zentrale nicht anruft, " +
			"sagt nichts, ob sie es könnte."
	case signal.ByPolling:
		between := l.Number(time.Duration(by.AskedNS).Seconds(), 2)
		return fmt.Sprintf(" Eine Änderung wird gesehen, wenn die Zentrale das nächste Mal gefragt wird, nie zu früh "+
			"und höchstens %s s zu spät; das ist in der Unsicherheit enthalten, und ein Grenzwert gilt für die Zeiten, "+
			"die danach möglich sind. Was zwischen zwei Fragen kam und ging, wird nicht gesehen.", between)
	}
	return ""
}
