package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"

	"github.com/spf13/pflag"

	"hardfeed/ingest"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report"
	"hardfeed/report/record"
	"hardfeed/report/words"
	"hardfeed/templates"
)

// job is one workbook on its way through the program.
type job struct {
	std   streams
	flags jobFlags
	set   *pflag.FlagSet // for the settings that have a flag
	name  string         // of the workbook, as people call it
	file  string         // its file's name, noted in the folder
	read  source
	dir   string      // folder to write; empty: write nothing, say everything
	watch bool        // the drop folder writes what is made
	next  func(error) // next week's workbook is made too; called with why there is none

	season bool // season.pdf is wanted; the drop folder has it once there is a record

	edition     int                                     // of this week's sheets; 0 where nobody counts
	lastEdition []byte                                  // results.json of the one before
	recall      func(week yard.Week) (yard.Week, error) // fills in what past weeks tell; nil: nothing
}

// source gives a workbook's bytes.
type source func() ([]byte, error)

func readFile(path string) source {
	return func() ([]byte, error) { return xlsx.FileBytes(path) }
}

// readDemo gives the built-in workbook, to be read as anyone's.
func readDemo() ([]byte, error) { return templates.Demo() }

// run does the job and returns the exit code.
func (j job) run(ctx context.Context) (int, error) {
	settings, err := j.flags.settings(j.std, folderOf(j.name), j.set)
	if err != nil {
		return exitNothing, err
	}
	if j.dir != "" {
		if err := mayWrite(j.dir); err != nil {
			return exitNothing, err
		}
	}
	// The sheets are written as they are made, into the folder to be; without one
	// only the record is kept, and only to be printed.
	var record report.Shelf
	sheets := func(fill func(report.To) error) error { return fill(onlyRecord(&record, j.flags.json)) }
	var kept []string
	if j.dir != "" {
		sheets = func(fill func(report.To) error) (err error) {
			kept, err = writeFolder(ctx, j.dir, j.file, fill)
			return err
		}
	}
	doing := startProgress(j.std.err, isTerminal(j.std.err), progressAfter())
	plan, names, err := j.compute(ctx, settings, doing.say, sheets)
	doing.stop()
	if err != nil {
		return exitNothing, err
	}
	if j.flags.json {
		if err := j.printRecord(&record); err != nil {
			return exitNothing, err
		}
	}
	fmt.Fprint(j.std.err, j.tell(plan, names, kept))
	return j.exitCode(plan), nil
}

// tell is what is said after the work is done.
func (j job) tell(plan yard.Plan, names, kept []string) string {
	code := j.exitCode(plan)
	if j.flags.quiet && code == exitDone {
		return ""
	}
	horses := sayHorses(plan)
	if j.flags.quiet {
		return horses
	}
	text := sayCounts(j.name, plan)
	if j.dir != "" {
		text += sayFiles(j.dir, names) + sayKept(kept)
	}
	text += horses
	if j.dir == "" {
		text += sayRead(plan) + sayRegions(plan.Week, j.flags.verbose)
	}
	if j.dir == "" || j.flags.verbose {
		text += sayFindings(plan, j.flags.verbose)
	}
	if j.dir != "" {
		return text + sayWhere(plan, names)
	}
	return text + sayWhere(plan, nil) + sayLayout(plan)
}

func (j job) exitCode(plan yard.Plan) int {
	code := exitDone
	for _, h := range plan.Horses {
		switch {
		case h.Status == yard.NoCard:
			return exitNoCard
		case h.Status == yard.Held && j.flags.strict:
			code = exitReduced
		}
	}
	return code
}

// onlyRecord drops all files, but results.json where it is wanted.
func onlyRecord(s *report.Shelf, wanted bool) report.To {
	return func(name string) (io.WriteCloser, error) {
		if wanted && name == resultsName {
			return s.To(name)
		}
		return nowhere{io.Discard}, nil
	}
}

type nowhere struct{ io.Writer }

func (nowhere) Close() error { return nil }

// printRecord prints results.json, from the folder where one was written.
func (j job) printRecord(kept *report.Shelf) error {
	var from io.Reader
	if j.dir != "" {
		f, err := os.Open(filepath.Join(j.dir, resultsName))
		if err != nil {
			return refuse("%s was written to %s and could not be read again: %v.", resultsName, j.dir, reason(err))
		}
		defer f.Close()
		from = f
	} else {
		from = bytes.NewReader(kept.Files()[0].Bytes)
	}
	_, err := io.Copy(j.std.out, from)
	return err
}

// contradictions are the findings of a plan that say that cells of the workbook do
// not go together, though each could be read: they belong in the corrected copy.
func contradictions(plan yard.Plan) (found []yard.Finding) {
	add := func(fs []yard.Finding) {
		for _, f := range fs {
			switch f.Rule {
			case "weight-height", "measure-density", "line-twice", "feed-unlisted", "feed-twice":
				found = append(found, f)
			case "feed-energy":
				if f.Severity == yard.Warn { // not accepted; a note only says how it was estimated
					found = append(found, f)
				}
			}
		}
	}
	add(plan.Findings)
	for _, h := range plan.Horses {
		add(h.Findings)
	}
	return found
}

// compute reads, plans and draws, and returns the names of the files it made.
// Where they go sheets says, once they can be made: it calls fill once with what
// takes them. A panic below is a fault of ours: it is caught here, once, so that
// it is reported with the workbook's name and nothing half done is left behind.
func (j job) compute(ctx context.Context, s Settings, doing func(string), sheets func(fill func(report.To) error) error) (plan yard.Plan, names []string, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = refuse("hardfeed itself failed on %s: %v. The fault is in this program, not in your workbook. Nothing was written. Please report it with the lines below.\n%s",
				j.name, fault, debug.Stack())
		}
	}()
	press := report.NewPress()
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
	if j.recall != nil {
		if week, err = j.recall(week); err != nil {
			return plan, nil, err
		}
	}
	doing(fmt.Sprintf("working out %d horses", len(week.Horses)))
	plan = words.Proof(ration.Plan(week, s.rules()))
	doubtful = append(slices.Clone(doubtful), contradictions(plan)...)
	var marked []byte
	if j.dir != "" || j.watch {
		if marked, err = ingest.Corrections(data, doubtful, s.hers(week).AsWritten); err != nil {
			plan.Findings = append(plan.Findings, yard.Finding{Rule: "corrections", Severity: yard.Note,
				Saying: yard.Say("finding.corrections", yard.Failure("why", err))})
		}
	}
	if ctx.Err() != nil {
		return plan, nil, errStopped
	}
	next := j.nextWeek(data, plan, s)
	doing("drawing the sheets")
	// check draws too: a sheet that cannot be drawn is a finding it owes.
	meta := s.meta(week)
	meta.Season = j.season || slices.Contains(s.Mail.Attach, seasonSheet) || j.watch && slices.ContainsFunc(plan.Horses, func(h yard.HorsePlan) bool { return len(h.Horse.Past) > 0 })
	if meta.Edition = j.edition; meta.Edition > 1 {
		meta.Changes = record.EditionChanges(j.lastEdition, plan, meta)
	}
	// The horses are on the plan as they are drawn: of a large yard, what was read of
	// them is a fifth of the memory.
	plan.Week.Horses, plan.Week.Lines = nil, nil
	names = report.NamesFor(meta)
	if marked != nil {
		names = append(names, correctionsName)
	}
	err = sheets(func(to report.To) error {
		if err := press.Write(plan, meta, to); err != nil {
			return err
		}
		if err := putIn(to, correctionsName, marked); err != nil {
			return err
		}
		if err := putIn(to, nextBeside(j.name), next); err != nil {
			return err
		}
		if ctx.Err() != nil {
			return errStopped
		}
		return nil
	})
	return plan, names, err
}

// putIn writes a file of the folder; nothing where there is nothing to write.
func putIn(to report.To, name string, data []byte) error {
	if data == nil {
		return nil
	}
	w, err := to(name)
	if err != nil {
		return err
	}
	_, err = w.Write(data)
	return errors.Join(err, w.Close())
}

var (
	errStopped = refuse("Stopped. Nothing was written.")
	// A run that does not end by itself in time.
	errStoppedShort = refuse("Stopped. The next run puts right what was being written.")
)
