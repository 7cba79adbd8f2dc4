package terminal

import (
	"context"
	"slices"
	"strings"
	"sync"
	"time"

	"golang.org/x/term"

	"loopwitness/commission/ask"
	"loopwitness/commission/ask/typed"
	"loopwitness/commission/kit/screen"
)

const (
	// betweenPaintings is how long a screen stands at least: a board may be told often.
	betweenPaintings = 200 * time.Millisecond
	// mostTold is how many lines of notices are kept, loggedRows how many are shown.
	mostTold   = 50
	loggedRows = 4
	// smallest are the rows of a window in which there is room for anything.
	smallest = 8

	otherScreen = "\x1b[?1049h\x1b[?25l" // one without a past, and no cursor
	firstScreen = "\x1b[?25h\x1b[?1049l" // as it was
	toTheTop    = "\x1b[H"
	// A camera needs a code in these colours, whatever the terminal's are.
	blackOnWhite = "\x1b[38;5;16;48;5;231m"
	usualColours = "\x1b[0m"
	clearRest    = "\x1b[K"
	clearBelow   = "\x1b[J"
)

// aside is what stands on the screen while somebody else has the questions.
type aside struct {
	mu      sync.Mutex
	board   *ask.Board // as it was told last, nil for never
	told    []string
	by      bool // somebody stands by
	changed bool
}

// takes keeps notices if somebody stands by.
func (a *aside) takes(lines []string) bool {
	a.mu.Lock()
	defer a.mu.Unlock()
	if !a.by {
		return false
	}
	for _, l := range lines {
		if l != "" {
			a.told = append(a.told, l)
		}
	}
	a.told = a.told[max(0, len(a.told)-mostTold):]
	a.changed = true
	return true
}

// begin lets notices be kept, end returns them.
func (a *aside) begin() {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.by, a.told = true, nil
}

func (a *aside) end() []string {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.by = false
	return a.told
}

// now is how things stand, and whether that changed since it was asked last.
func (a *aside) now() (board *ask.Board, told []string, changed bool) {
	a.mu.Lock()
	defer a.mu.Unlock()
	changed, a.changed = a.changed, false
	return a.board, slices.Clone(a.told), changed
}

// Board replaces the board that is shown while somebody else has the questions. It may be
// called from any goroutine, and waits for no screen.
func (o *Operator) Board(b ask.Board) {
	o.aside.mu.Lock()
	defer o.aside.mu.Unlock()
	o.aside.board, o.aside.changed = &b, true
}

// standing is the screen of somebody who stands by.
type standing struct {
	o             *Operator
	pairing       ask.Pairing
	paired        bool // the pairing is shown, else the board
	whole         bool
	page          int
	columns, rows int
}

var standingKeys = []ask.Key{ask.TakeBack, ask.ShowPairing, ask.ShowAll, ask.NextPage}

// StandBy shows the pairing until a phone has the questions, then the board, on a screen of
// its own: what stood in the terminal stands there afterwards, and what was told meanwhile
// below it.
func (o *Operator) StandBy(ctx context.Context, p ask.Pairing) ask.Key {
	keys, err := o.keys(standingKeys)
	if err != nil {
		return ask.Gone
	}
	o.shown = ""
	o.aside.begin()
	o.write(otherScreen)
	defer func() {
		o.write(firstScreen)
		keys.Close()
		o.print("\n", o.aside.end()...)
	}()
	s := &standing{o: o, pairing: p, paired: p.Device == ""}
	s.paint()
	tick := time.NewTicker(betweenPaintings)
	defer tick.Stop()
	for pressed := false; ; {
		select {
		case key := <-keys.Pressed():
			if key.Key == ask.TakeBack || key.Key == ask.Interrupted || key.Key == ask.Gone {
				return key.Key
			}
			s.press(key.Key)
			pressed = true
		case <-tick.C:
			if s.due() || pressed {
				s.paint()
				pressed = false
			}
		case <-ctx.Done():
			return ""
		}
	}
}

func (s *standing) press(k ask.Key) {
	switch k {
	case ask.ShowPairing:
		s.paired = !s.paired
	case ask.ShowAll:
		s.whole, s.page = !s.whole, 0
	case ask.NextPage:
		s.page++
	}
}

// due tells whether something changed, the window included.
func (s *standing) due() bool {
	s.o.aside.mu.Lock()
	defer s.o.aside.mu.Unlock()
	columns, rows := s.o.window()
	return s.o.aside.changed || columns != s.columns || rows != s.rows
}

// window is the size of the window in columns and rows.
func (o *Operator) window() (columns, rows int) {
	columns, rows, err := term.GetSize(int(o.out.Fd()))
	if err != nil || columns < 1 || rows < 1 {
		return fallbackWidth, 24
	}
	return max(columns-1, 20), max(rows, smallest) // the last column would wrap
}

// paint draws the whole screen at once.
func (s *standing) paint() {
	board, told, _ := s.o.aside.now()
	s.columns, s.rows = s.o.window()
	below := screen.Wrap(s.o.keyHelp(standingKeys), s.columns)
	head := screen.Wrap(screen.Clean(s.o.say.Say(typed.Holder(s.pairing))), s.columns)
	room := s.rows - len(head) - len(below)
	var log []string
	for _, l := range told {
		log = append(log, screen.Wrap(screen.Clean(l), s.columns)...)
	}
	var body []string
	switch {
	case s.paired:
		body = typed.Pairing(s.o.say, s.pairing, typed.Look{Columns: s.columns, Rows: room})
		for i, line := range s.pairing.Code { // the code comes first, if there is room for it
			if i < len(body) && strings.HasPrefix(body[i], line) {
				body[i] = blackOnWhite + line + usualColours + body[i][len(line):]
			}
		}
	case board != nil:
		body = s.boardIn(*board, room-min(loggedRows, len(log)))
	}
	log = log[max(0, len(log)-min(loggedRows, max(0, room-len(body)))):]
	lines := append(head, body...)
	lines = lines[:min(len(lines), s.rows-len(below)-len(log))]
	for len(lines) < s.rows-len(below)-len(log) {
		lines = append(lines, "")
	}
	lines = slices.Concat(lines, log, below)
	s.o.write(toTheTop + strings.Join(lines, clearRest+"\r\n") + clearRest + clearBelow)
}

// boardIn is the board, or the page of it for which there is room.
func (s *standing) boardIn(b ask.Board, room int) []string {
	room = max(room, 2)
	lines := typed.Board(s.o.say, b, typed.Look{Columns: s.columns, Rows: room, Whole: s.whole, Colour: s.o.colour})
	if len(lines) <= room {
		s.page = 0
		return lines
	}
	each := room - 1
	pages := (len(lines) + each - 1) / each
	s.page %= pages
	rest := lines[s.page*each:]
	if len(rest) <= each {
		return rest
	}
	return append(slices.Clone(rest[:each]), s.o.say.Say(typed.MoreLines{N: len(rest) - each}))
}
