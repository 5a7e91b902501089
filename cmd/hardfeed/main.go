// Command hardfeed turns the workbook a yard already keeps into the week's
// feed cards, a scoop-weight sheet and an office sheet. This package is the
// command line, the settings and the wiring; no rule of the trade lives here.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
