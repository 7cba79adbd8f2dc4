package programme

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBuiltInChecklists(t *testing.T) {
	for _, kind := range VisitKinds {
		list, err := ReadChecklist(BuiltInChecklist(kind))
		require.NoError(t, err, kind)
		assert.NotEmpty(t, list.Inspection, kind)
		assert.NotEmpty(t, list.HandOver, kind)
		assert.Equal(t, ItemCode("on-test"), list.Inspection[0].ID, "monitored systems are put on test first")
		assert.Equal(t, ItemCode("off-test"), list.HandOver[len(list.HandOver)-1].ID, "and off test last")
	}
}

func TestErrorsOfChecklists(t *testing.T) {
	_, err := ReadChecklist("c.yaml",
		[]byte("inspection:\n  - {id: a, text: x}\n  - {id: a, text: y, for: boats}\n  - {id: a/b}\n"))
	for _, says := range []string{
		`c.yaml:3:10: item "a" stands twice`, `"boats" is no kind of site`, `id "a/b"`, `item has no "text"`,
	} {
		assert.ErrorContains(t, err, says)
	}
}

func FuzzChecklist(f *testing.F) {
	_, data := BuiltInChecklist(Handover)
	f.Add(string(data))
	f.Fuzz(func(t *testing.T, text string) {
		list, err := ReadChecklist("c.yaml", []byte(text))
		if err != nil {
			return
		}
		for _, i := range append(list.Inspection, list.HandOver...) {
			if i.ID == "" || i.Text == "" && !Items()[i.ID] {
				t.Fatal("an item without id or text")
			}
		}
	})
}

// A pack is a battery behind a converter: a site without any has none.
func TestWhatAPackIs(t *testing.T) {
	item := Item{ID: "pack", For: "pack"}
	for battery, want := range map[string]bool{"chemistry: none": false, "chemistry: lead-acid": false,
		"chemistry: lithium-ion, form: inline": true} {
		assert.Equal(t, want, item.concernsSite(read(t, strings.Replace(bare, "chemistry: none", battery, 1))), battery)
	}
}
