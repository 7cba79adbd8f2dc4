package main

import (
	"os"
	"os/signal"
	"syscall"
)

// endSignals ask for the end of the program.
var endSignals = []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP, syscall.SIGQUIT}

// secondSignal is closed when the end is asked for a second time.
func secondSignal() <-chan struct{} {
	asked, twice := make(chan os.Signal, 2), make(chan struct{})
	signal.Notify(asked, endSignals...)
	go func() {
		<-asked
		<-asked
		close(twice)
	}()
	return twice
}
