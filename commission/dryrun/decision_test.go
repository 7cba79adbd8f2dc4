package dryrun

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/judge"
)

// What comes of a charger and a battery that is given as fully charged, each as a whole
// visit: charger by battery, at 20 °C and at −5 °C. The verdicts were written down from
// published values (looked up, unless said), in volts a cell:
//
// Lead-acid: floats of 2.25 to 2.30 in four data sheets and instructions hold; below 12.9 V
// (the lowest published float of six cells, 13.05 V, less 0.15 V for a warm battery) it is
// not charged; above 2.50, the highest published charge, danger; between, undecided. The
// temperature of a file is the lowest that is expected, and charging voltages of lead-acid
// are stated for 20 to 25 °C: it changes nothing here.
//
// Lithium-ion: 4.10 to 4.20 hold; above 4.35, the highest full charge of any cell, danger;
// below 3.84, half charged at rest, a charged battery is none: fault; between, undecided.
//
// Lithium iron phosphate: 3.35 to 3.65 hold; above 3.90, the highest protection, danger;
// below 3.20, a fifth charged at rest, fault; between, undecided.
//
// Lithium must not be charged below 0 °C: danger, by makers of cells and packs.
var decisions = `
charger | lead-acid 6 | lithium-ion 3 | lithium-ion 4 | lithium-iron-phosphate 4 | lithium-iron-phosphate 5
dead    | fault       | undecided     | fault         | fault                    | fault
12.45   | fault       | holds         | fault         | fault                    | fault
13.00   | undecided   | undecided     | fault         | undecided                | fault
13.65   | holds       | danger        | fault         | holds                    | fault
14.40   | undecided   | danger        | fault         | holds                    | fault
15.80   | danger      | danger        | undecided     | danger                   | fault
`

// deadVolt is what stands at the terminals beside a dead charger that is declared as fitting.
const deadVolt = "12.10"

// fitting are the charging voltages that would hold.
var fitting = map[string]string{"lead-acid 6": "13.65", "lithium-ion 3": "12.45", "lithium-ion 4": "16.60",
	"lithium-iron-phosphate 4": "14.20", "lithium-iron-phosphate 5": "17.75"}

func TestChargersAndBatteries(t *testing.T) {
	rows := linesOf([]byte(decisions))
	batteries := cellsOf(rows[0])[1:]
	for _, row := range rows[1:] {
		cells := cellsOf(row)
		for i, battery := range batteries {
			for celsius, want := range map[int]string{20: cells[i+1], -5: cells[i+1]} {
				if celsius < 0 && !strings.HasPrefix(battery, "lead-acid") {
					want = "danger"
				}
				t.Run(fmt.Sprintf("%s on %s at %d", battery, cells[0], celsius), func(t *testing.T) {
					t.Parallel()
					assert.Equal(t, want, charged(t, cells[0], battery, celsius))
				})
			}
		}
	}
}

// cellsOf are the cells of a row of a table.
func cellsOf(row string) (cells []string) {
	for _, cell := range strings.Split(row, "|") {
		cells = append(cells, strings.TrimSpace(cell))
	}
	return cells
}

// charged is what the visit says of charger and battery.
func charged(t *testing.T, charger, battery string, celsius int) string {
	declared, read := charger, charger
	if charger == "dead" {
		declared, read = fitting[battery], deadVolt
	}
	chemistry, cells, _ := strings.Cut(battery, " ")
	s := spoilt{site: fmt.Sprintf("supply.charger.voltage: %s V\nsupply.battery.chemistry: %s\n"+
		"supply.battery.cells: %s\nsupply.temperature: %d C", declared, chemistry, cells, celsius)}
	v := s.in(t, base(t))
	for _, step := range []string{"mains-present", "mains-back", "charging"} {
		v.Answers = first(t, v.Answers, fmt.Sprintf("{when: supply/%s/voltage, say: %s V}", step, read))
	}
	v.Answers = first(t, v.Answers, `{when: "*/really", say: "yes"}`)
	a, err := v.Run(t.Context())
	require.NoError(t, err)
	return chargeVerdict(Codes(a))
}

// chargeVerdict is the worst that is said of charger and charging.
func chargeVerdict(lines []Line) string {
	verdict := "holds"
	for _, l := range lines {
		if l.Code != "computed/charger" && l.Code != "computed/charging" {
			continue
		}
		switch {
		case l.Severity == judge.Danger:
			return "danger"
		case l.Class == Found:
			verdict = "fault"
		case verdict == "holds":
			verdict = "undecided"
		}
	}
	return verdict
}
