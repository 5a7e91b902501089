// Command hardfeed turns the workbook a yard already keeps into the week's
// feed cards, a scoop-weight sheet and an office sheet. This package is the
// command line, the settings and the wiring; no rule of the trade lives here.
package main

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"github.com/inconshreveable/mousetrap"
)

func main() {
	useMemory()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	if mousetrap.StartedByExplorer() {
		// A workbook was dragged on the program: its window must not close before
		// anyone has read what happened.
		fmt.Fprint(os.Stderr, "\nPress Enter to close this window.")
		bufio.NewReader(os.Stdin).ReadString('\n')
	}
	os.Exit(code)
}

// useMemory has the collector come seldom while little is in use, and often from 400 MiB
// on, about what ten thousand horses need. It is set once, for the process, however many
// workbooks it works on at a time; GOGC and GOMEMLIMIT count before it.
func useMemory() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(300)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(400 << 20)
	}
}
