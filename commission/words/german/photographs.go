package german

import (
	"fmt"
	"loopwitness/commission/words"
)

func (l Language) photographTakenBack(p words.PhotographTakenBack) string {
	w := p.Withdrawal
	by := ""
	if w.By != "" {
		by = " by " + w.By
	}
	return fmt.Sprintf("%s (%s; entry %d) was taken back on %s%s: %s", w.Name, l.Say(w.Shows), w.Entry, l.Moment(p.At), by,
		w.Reason)
}
