package certificate

import (
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"loopwitness/commission/kit/outsidetool"
	"loopwitness/commission/words"
)

// seen is a text in one line as a page shows it.
func seen(s string) string { return inOrderSeen(s, []string{s})[0] }

// Texts of both directions stand as FriBidi, an implementation of UAX #9 by others, puts them.
func TestDirectionsAsFriBidi(t *testing.T) {
	program := outsidetool.Find(t, "fribidi")
	for _, text := range []string{
		"חלון 12 צפון", "Zone 7: בדיקה 12.5 V", "(חלון) צפון", "abc (חלון 3, צפון) def", "חלון 1-2 צפון abc 5 מגע",
		"1.1 דלת", "plain", "דלת", "חלון 12", "צופר abc", "abc צופר", "חלון, 12 V 3 צפון", "חלון 50% צפון",
		"12:30 חלון", "גלאי (PIR 2) מסדרון", "5 m חלון 3 m", "חלון -3 V", "+5 חלון", "חלון 1,234.5",
	} {
		command := exec.Command(program, "--charset", "UTF-8", "--nopad", "--nobreak", "--clean")
		command.Stdin = strings.NewReader(text + "\n")
		out, err := command.Output()
		require.NoError(t, err)
		assert.Equal(t, strings.TrimSuffix(string(out), "\n"), seen(text), text)
	}
}

// What somebody typed does not draw what we say beside it to its side: the voltage stays behind the name.
func TestIsolatedNamesStayApart(t *testing.T) {
	name := func(s string) string { return words.English{}.Say(words.Named(s)) }
	assert.Equal(t, "12 ןולח 1.11 s", seen(name("חלון 12")+" 1.11 s"))
	assert.Equal(t, "3.2 ןולח, 4.1 תלד: late", seen("3.2 "+name("חלון")+", 4.1 "+name("דלת")+": late"))
	long := "at " + name("חלון הסדנה מול הכבשן") + " 5 V"
	lines := inOrderSeen(long, []string{"at " + words.FirstStrongIsolate + "חלון הסדנה", "מול הכבשן" +
		words.PopIsolate + " 5 V"})
	assert.Equal(t, []string{"at הנדסה ןולח", "ןשבכה לומ 5 V"}, lines)
}
