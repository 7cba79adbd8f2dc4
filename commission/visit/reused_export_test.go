package visit

import "strings"

// Of the same bench with reused cables: what stops after every entry goes through their stage, too.
var (
	ReusedBenchSite    = strings.Replace(benchSite, `reused: "no"`, `reused: "yes"`, 1)
	ReusedBenchAnswers = strings.Replace(benchAnswers, "answers:\n", `answers:
  - {when: cables/isolated, say: done}
  - {when: cables/tester, say: insulation tester 12}
  - {when: cables/tester/volt, say: 250 V}
  - {when: "cables/tester/*", say: ""}
  - {when: cables/zone-2, say: none}
  - {when: cables/zone-2/reason, say: plastered in}
  - {when: "cables/zone-*/measured", say: 1 ohm 120 kohm >200 Mohm}
  - {when: "cables/zone-*", say: 4 red black green white}
  - {when: cables/apart-1, say: defect}
  - {when: cables/apart-1/note, say: beside the lights}
  - {when: "cables/apart-*", say: done}
`, 1)
)
