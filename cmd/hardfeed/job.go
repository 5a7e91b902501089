package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"runtime/debug"

	"github.com/spf13/pflag"

	"hardfeed/ingest"
	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report"
	"hardfeed/templates"
)

// job is one workbook on its way through the program.
type job struct {
	std   streams
	flags jobFlags
	set   *pflag.FlagSet // for the settings that have a flag
	name  string         // of the workbook, as people call it
	read  reader
	dir   string // folder to write; empty: write nothing, say everything
}

type reader func(ingest.Options) (yard.Week, error)

func readFile(path string) reader {
	return func(opt ingest.Options) (yard.Week, error) { return ingest.ReadFile(path, opt) }
}

// readDemo reads the built-in workbook as it would read anyone's.
func readDemo(opt ingest.Options) (yard.Week, error) {
	data, err := templates.Demo()
	if err != nil {
		return yard.Week{}, err
	}
	return ingest.Read("demo.xlsx", data, opt)
}

// run does the job and returns the exit code.
func (j job) run(ctx context.Context) (int, error) {
	settings, err := loadSettings(j.flags.config, j.set, os.LookupEnv, os.Environ())
	if err != nil {
		return exitNothing, err
	}
	if j.dir != "" {
		if err := mayWrite(j.dir); err != nil {
			return exitNothing, err
		}
	}
	doing := startProgress(j.std.err, isTerminal(j.std.err), progressAfter())
	plan, files, err := j.compute(ctx, settings, doing.say)
	doing.stop()
	if err != nil {
		return exitNothing, err
	}
	if j.dir != "" {
		if err := writeFolder(j.dir, files); err != nil {
			return exitNothing, err
		}
	}
	if j.flags.json {
		if _, err := j.std.out.Write(resultsJSON(files)); err != nil {
			return exitNothing, err
		}
	}
	fmt.Fprint(j.std.err, saySummary(j.name, plan))
	if j.dir != "" {
		fmt.Fprint(j.std.err, sayFiles(j.dir, files))
	}
	fmt.Fprint(j.std.err, sayFindings(plan, j.dir == ""))
	for _, h := range plan.Horses {
		if h.Status == yard.NoCard {
			return exitNoCard, nil
		}
	}
	return exitDone, nil
}

// compute reads, plans and draws. A panic below is a fault of ours: it is
// caught here, once, so that it is reported with the workbook's name and
// nothing half done is left behind.
func (j job) compute(ctx context.Context, s Settings, doing func(string)) (plan yard.Plan, files []report.File, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = refuse("hardfeed itself failed on %s: %v. The fault is the program's, not the workbook's; nothing was written. Please report it with the lines below.\n%s",
				j.name, fault, debug.Stack())
		}
	}()
	doing("reading the workbook")
	week, err := j.read(s.options())
	if err != nil {
		return plan, nil, err
	}
	if ctx.Err() != nil {
		return plan, nil, errStopped
	}
	doing(fmt.Sprintf("working out %d horses", len(week.Horses)))
	plan = report.Proof(ration.Plan(week, s.rules()))
	if ctx.Err() != nil {
		return plan, nil, errStopped
	}
	doing("drawing the sheets")
	// check draws too: a sheet that cannot be drawn is a finding it owes.
	files, err = report.Files(plan, s.meta(week))
	if err == nil && ctx.Err() != nil {
		err = errStopped
	}
	return plan, files, err
}

var errStopped = errors.New("stopped before anything was written")

func resultsJSON(files []report.File) []byte {
	for _, f := range files {
		if f.Name == resultsName {
			return f.Bytes
		}
	}
	return nil
}
