package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime/debug"
	"time"

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
	read  source
	dir   string // folder to write; empty: write nothing, say everything
	watch bool   // the drop folder writes what is made

	edition     int                              // of this week's sheets; 0 where nobody counts
	lastEdition []byte                           // results.json of the one before
	lastWeek    []byte                           // results.json of the week before
	pastWeek    func(beginning time.Time) []byte // results.json of any week; nil where there is no archive
}

// source gives a workbook's bytes.
type source func() ([]byte, error)

func readFile(path string) source {
	return func() ([]byte, error) { return ingest.FileBytes(path) }
}

// readDemo gives the built-in workbook, to be read as anyone's.
func readDemo() ([]byte, error) { return templates.Demo() }

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
	if j.dir == "" {
		fmt.Fprint(j.std.err, sayLayout(plan))
	}
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
	data, err := j.read()
	if err != nil {
		return plan, nil, err
	}
	week, err := ingest.Read(filepath.Base(j.name), data, s.options())
	if err != nil {
		return plan, nil, err
	}
	if ctx.Err() != nil {
		return plan, nil, errStopped
	}
	doubtful := week.Findings
	if j.lastWeek != nil {
		week = ingest.LastWeek(week, j.lastWeek)
	}
	if j.pastWeek != nil {
		week = ingest.PastWeeks(week, j.pastWeek)
	}
	limitMemory(len(week.Horses))
	doing(fmt.Sprintf("working out %d horses", len(week.Horses)))
	plan = report.Proof(ration.Plan(week, s.rules()))
	var marked []byte
	if j.dir != "" || j.watch {
		if marked, err = ingest.Corrections(data, doubtful); err != nil {
			plan.Findings = append(plan.Findings, yard.Finding{Rule: "corrections", Severity: yard.Note,
				Message: fmt.Sprintf("No copy of the workbook with its doubtful cells marked could be made (%v). The cells are named in the findings.", err)})
		}
	}
	if ctx.Err() != nil {
		return plan, nil, errStopped
	}
	doing("drawing the sheets")
	// check draws too: a sheet that cannot be drawn is a finding it owes.
	meta := s.meta(week)
	if meta.Edition = j.edition; meta.Edition > 1 {
		meta.Changes = report.EditionChanges(j.lastEdition, plan, meta)
	}
	files, err = report.Files(plan, meta)
	if marked != nil {
		files = append(files, report.File{Name: correctionsName, Bytes: marked})
	}
	if err == nil && ctx.Err() != nil {
		err = errStopped
	}
	return plan, files, err
}

// limitMemory has the collector keep the memory near what a yard of that size
// needs, instead of letting it grow to twice that, and come less often while
// there is room; GOMEMLIMIT and GOGC count before it.
func limitMemory(horses int) {
	const least, perHorse = 240 << 20, 240 << 10
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(200)
	}
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(int64(max(least, horses*perHorse)))
	}
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
