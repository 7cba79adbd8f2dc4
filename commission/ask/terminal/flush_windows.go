package terminal

import "golang.org/x/sys/windows"

// flush drops what was typed but not yet read.
func flush(fd int) { _ = windows.FlushConsoleInputBuffer(windows.Handle(fd)) }

// prepare lets a console understand the sequence that clears a line.
func prepare(fd int) {
	var mode uint32
	if windows.GetConsoleMode(windows.Handle(fd), &mode) == nil {
		_ = windows.SetConsoleMode(windows.Handle(fd), mode|windows.ENABLE_VIRTUAL_TERMINAL_PROCESSING)
	}
}
