package programme

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/signal"
)

// A pack has no terminals that anybody takes off; a site without a battery loses all power
// with mains.
func TestWhoseFaultsAreTried(t *testing.T) {
	of := func(battery string) (all []string) {
		for _, st := range Of(read(t, strings.Replace(whole, "chemistry: lead-acid", battery, 1)), list) {
			if st.Aspect() != "" || strings.HasPrefix(st.ID, "supply/battery") {
				all = append(all, st.ID+" "+string(st.Aspect()))
			}
		}
		return all
	}
	assert.Equal(t, []string{IDBatteryOff + " ", IDBatteryOn + " ", IDMainsFault + " " + string(signal.MainsFault),
		IDBatteryFault + " " + string(signal.BatteryFault)}, of("chemistry: lead-acid"))
	for _, form := range []string{"inline", "converter"} {
		assert.Equal(t, []string{IDMainsFault + " mains-fault"}, of("chemistry: lithium-ion, form: "+form), form)
	}
	assert.Empty(t, of("chemistry: none"))
}
