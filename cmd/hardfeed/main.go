// Command hardfeed turns the workbook a yard already keeps into the week's
// feed cards, a scoop-weight sheet and an office sheet. This package is the
// command line, the settings and the wiring; no rule of the trade lives here.
package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"

	"github.com/inconshreveable/mousetrap"
)

// grace is how long the program has to end by itself once it is told to. What it is
// doing then, a share that does not answer or a yard of thousands, is left as it
// stands: the next run puts it right as after a power cut.
const grace = 700 * time.Millisecond

func main() {
	useMemory()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	clicked := mousetrap.StartedByExplorer()
	var code int
	if clicked && len(os.Args) == 1 {
		code = welcome(os.Stdin, console{os.Stderr}, programFolder())
	} else {
		code = inTime(ctx, grace, os.Stderr, func() int { return run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr) })
	}
	stop()
	if clicked {
		// A workbook was dragged on the program: its window must not close before
		// anyone has read what happened.
		fmt.Fprint(os.Stderr, "\nPress Enter to close this window.")
		bufio.NewReader(os.Stdin).ReadString('\n')
	}
	os.Exit(code)
}

// useMemory has the collector come seldom while little is in use, and often from 355 MiB
// on: ten thousand horses keep half of that, and the program itself is beside it. It is set once, for the process, however many
// workbooks it works on at a time; GOGC and GOMEMLIMIT count before it.
func useMemory() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(200)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(355 << 20)
	}
}

// inTime returns what do returns, or gives up waiting for it so long after ctx is done.
func inTime(ctx context.Context, grace time.Duration, stderr io.Writer, do func() int) int {
	ended := make(chan int, 1)
	go func() { ended <- do() }()
	select {
	case code := <-ended:
		return code
	case <-ctx.Done():
	}
	select {
	case code := <-ended:
		return code
	case <-time.After(grace):
		fmt.Fprintln(stderr, sayError(errStoppedShort))
		return exitNothing
	}
}
