package main

import (
	"fmt"
	"io"
	"os"
	"strings"
	"sync"
	"time"

	"golang.org/x/term"
)

// progress says on a terminal what is being done, once that takes longer than
// a person waits without wondering. In a pipe it says nothing.
type progress struct {
	mu    sync.Mutex
	w     io.Writer
	stage string
	shown int // width of the line now on the terminal; 0 none
	late  bool
	done  chan struct{}
	ended sync.WaitGroup
}

func progressAfter() <-chan time.Time { return time.After(time.Second) }

func isTerminal(w io.Writer) bool {
	if people, ok := w.(console); ok {
		w = people.Writer
	}
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// startProgress stays silent until late fires, and for ever if not on a terminal.
func startProgress(w io.Writer, terminal bool, late <-chan time.Time) *progress {
	if people, ok := w.(console); ok {
		w = people.Writer // the line is ours, and goes back to its start
	}
	p := &progress{w: w, done: make(chan struct{})}
	if !terminal {
		return p
	}
	p.ended.Go(func() {
		select {
		case <-late:
			p.mu.Lock()
			p.late = true
			p.show()
			p.mu.Unlock()
		case <-p.done:
		}
	})
	return p
}

func (p *progress) say(stage string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.stage = stage
	if p.late {
		p.show()
	}
}

// show needs the lock.
func (p *progress) show() {
	if p.stage == "" {
		return
	}
	line := "hardfeed: " + p.stage + " …"
	width := len([]rune(line))
	fmt.Fprintf(p.w, "\r%s%s", line, strings.Repeat(" ", max(0, p.shown-width)))
	p.shown = width
}

// stop wipes the line.
func (p *progress) stop() {
	close(p.done)
	p.ended.Wait()
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.shown > 0 {
		fmt.Fprintf(p.w, "\r%s\r", strings.Repeat(" ", p.shown))
	}
}
