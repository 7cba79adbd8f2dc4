package alltexts

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

type word string

type leaf struct {
	Name   word
	Raw    []byte
	hidden string
}

type tree struct {
	Title string
	Any   any
	None  *leaf
	List  []leaf
	Of    map[int]string
}

func TestEach(t *testing.T) {
	got := map[string]string{}
	Each(tree{"a", &leaf{Name: "b"}, nil, []leaf{{"c", []byte("d"), "e"}}, map[int]string{1: "f"}}, "top",
		func(place, text string) { got[text] = place })
	assert.Equal(t, map[string]string{"a": "tree.Title", "b": "leaf.Name", "c": "leaf.Name", "f": "tree.Of"}, got)
	got = map[string]string{}
	Each(tree{Title: "a", Any: leaf{Name: "b"}, Of: map[int]string{1: "f"}}, "top",
		func(place, text string) { got[text] = place }, "tree.Any", "tree.Of")
	assert.Equal(t, map[string]string{"a": "tree.Title"}, got)
	Each("g", "top", func(place, text string) { assert.Equal(t, "top g", place+" "+text) })
}
