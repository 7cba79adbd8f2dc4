package german

import (
	"fmt"
	"loopwitness/commission/words"
)

func (l Language) photographTakenBack(p words.PhotographTakenBack) string {
	w := p.Withdrawal
	by := ""
	if w.By != "" {
		by = ", von: " + w.By
	}
	return fmt.Sprintf("%s (%s; Eintrag %d) wurde zurückgenommen am %s%s; Grund: %s", w.Name, l.Say(w.Shows),
		w.Entry, l.Moment(p.At), by,
		w.Reason)
}
