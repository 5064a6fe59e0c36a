package main

import (
	"fmt"
	"io"
	"time"
)

// Work that takes longer than patience is said to be under way, on a terminal
// and nowhere else.
const (
	patience     = 2 * time.Second
	progressStep = time.Second
)

// atWork says on the terminal that the work goes on, until done is called; done
// wipes what was said. Nothing else may be written to stderr in between.
func (a *app) atWork(what string) (done func()) {
	if !a.terminal {
		return func() {}
	}
	return showWork(a.stderr, what, patience, progressStep)
}

func showWork(w io.Writer, what string, after, every time.Duration) (done func()) {
	stop, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		began, wait := time.Now(), time.NewTimer(after)
		defer wait.Stop()
		shown := false
		for {
			select {
			case <-stop:
				if shown {
					fmt.Fprint(w, "\r\x1b[K")
				}
				return
			case <-wait.C:
				fmt.Fprintf(w, "\r%s: %.0f s so far; Ctrl-C stops, and nothing is written", what, time.Since(began).Seconds())
				shown = true
				wait.Reset(every)
			}
		}
	}()
	return func() {
		close(stop)
		<-stopped
	}
}
