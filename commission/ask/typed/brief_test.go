package typed

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"loopwitness/commission/ask"
	"loopwitness/commission/kit/screen"
	"loopwitness/commission/record"
)

// 300 detectors of a kind fit into 80 by 24, whether they are alone on their zones or many on
// one, and what is not as it should be is seen in full.
func TestBriefLists(t *testing.T) {
	for name, point := range map[string]func(i int) string{
		"one a zone":    func(i int) string { return fmt.Sprintf("%d.1", i+1) },
		"forty a zone":  func(i int) string { return fmt.Sprintf("%d.%d", i/40+1, i%40+1) },
		"all on a zone": func(i int) string { return fmt.Sprintf("7.%d", i+1) },
	} {
		var items ask.Items
		items.Brief = true
		for i := range 300 {
			items.Of = append(items.Of, ask.Item{Word: point(i), Label: ask.Verbatim("Motion detector of room " + point(i))})
		}
		items.Of[9].Result, items.Of[9].Remark = record.Defect, ""
		lines := List(examples{}, ask.Question{Takes: items}, Look{Columns: 80, Rows: 12})
		assert.LessOrEqual(t, len(lines), 12, name)
		assert.Contains(t, lines[0], point(9)+" ✗", name)
		for _, l := range lines {
			assert.LessOrEqual(t, screen.Width(l), 80, name)
		}
		assert.Contains(t, strings.Join(lines, " "), point(0), name)
	}
}
