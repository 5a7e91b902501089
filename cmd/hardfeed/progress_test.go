package main

import (
	"strings"
	"sync"
	"testing"
	"time"
)

// lines is a writer that tells when something was written.
type lines struct {
	mu      sync.Mutex
	text    strings.Builder
	written chan struct{}
}

func (l *lines) Write(b []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	defer func() {
		select {
		case l.written <- struct{}{}:
		default:
		}
	}()
	return l.text.Write(b)
}

func TestProgressOnATerminal(t *testing.T) {
	out, late := &lines{written: make(chan struct{}, 1)}, make(chan time.Time)
	p := startProgress(out, true, late)
	p.say("reading the workbook")
	if out.text.Len() > 0 {
		t.Errorf("said %q before it was late", out.text.String())
	}
	late <- time.Time{}
	<-out.written
	p.say("drawing")
	p.stop()
	got := out.text.String()
	for _, want := range []string{"reading the workbook …", "drawing …"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q lacks %q", got, want)
		}
	}
	parts := strings.Split(got, "\r")
	if last := parts[len(parts)-2]; strings.TrimSpace(last) != "" || len(last) == 0 {
		t.Errorf("the line was not wiped: %q", got)
	}
}

func TestNoProgressInAPipeOrWhenQuick(t *testing.T) {
	for name, terminal := range map[string]bool{"in a pipe": false, "quick": true} {
		out, late := &lines{}, make(chan time.Time, 1)
		if !terminal {
			late <- time.Time{}
		}
		p := startProgress(out, terminal, late)
		p.say("reading the workbook")
		p.stop()
		if out.text.Len() > 0 {
			t.Errorf("%s: said %q", name, out.text.String())
		}
	}
}
