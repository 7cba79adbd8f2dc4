package ask

import (
	"errors"
	"fmt"
	"strings"
)

// Accept turns what was typed into the answer, or says why it is none. All ways
// of asking share it.
func (q Question) Accept(typed string) (string, error) {
	typed = strings.TrimSpace(typed)
	switch q.Shape {
	case Choice:
		for _, o := range q.Options {
			if typed == o.Word {
				return typed, nil
			}
		}
		return "", fmt.Errorf("answer with one of: %s", strings.Join(q.words(), ", "))
	case YesNo:
		if whole := map[string]string{"y": "yes", "n": "no"}[typed]; whole != "" && !q.Danger {
			return whole, nil
		}
		if typed != "yes" && typed != "no" {
			return "", errors.New("type the whole word, yes or no")
		}
		return typed, nil
	}
	if typed == "" && !q.Optional {
		return "", errors.New("an answer is needed here")
	}
	if len(typed) > maxAnswer {
		return "", fmt.Errorf("longer than %d bytes; shorten it", maxAnswer)
	}
	if q.Check != nil {
		if err := q.Check(typed); err != nil {
			return "", err
		}
	}
	return typed, nil
}

// maxAnswer bounds a typed answer; a note of a page is shorter.
const maxAnswer = 4000

func (q Question) words() []string {
	var words []string
	for _, o := range q.Options {
		words = append(words, o.Word)
	}
	return words
}
