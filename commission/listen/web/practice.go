package web

import "errors"

// PracticeHeader stands in whatever a practice controller calls and answers, so that it is never taken
// for an installation.
const PracticeHeader = "Loopwitness-Practice"

// ErrPractice says that a practice controller speaks, and that controller.yaml does not say so.
var ErrPractice = errors.New("this is a practice controller, and controller.yaml does not say: practice: yes")
