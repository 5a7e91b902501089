package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"hardfeed/ingest"
	"hardfeed/ingest/disk"
	"hardfeed/ingest/rollover"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// nextFlags is how next week's workbook is made.
type nextFlags struct {
	planned string
	work    string
	recall  func(yard.Week) (yard.Week, error) // fills in what past weeks tell; nil: nothing
}

var (
	plannedWays = []string{"clear", "path"}
	workWays    = []string{"copy", "clear"}
)

func (n nextFlags) check() error {
	switch {
	case !slices.Contains(plannedWays, n.planned):
		return refuse("--planned can be %s. %q is neither.", strings.Join(plannedWays, " or "), n.planned)
	case !slices.Contains(workWays, n.work):
		return refuse("--work can be %s. %q is neither.", strings.Join(workWays, " or "), n.work)
	}
	return nil
}

func nextCommand(std streams) *cobra.Command {
	var flags jobFlags
	var how nextFlags
	var to string
	cmd := &cobra.Command{
		Use:               "next WORKBOOK",
		ValidArgsFunction: workbookFiles,
		Short:             "Write next week's workbook: this one moved on a week",
		Long: "Writes next week's workbook: a copy of this one, moved on a week. Dates of tabs, titles\n" +
			"and headings are next week's. What is fed now is what this week's cards end on, in your\n" +
			"own words. What was planned is cleared. This week's work stays to begin with. The first\n" +
			"sheet lists every cell that was changed.\n\n" +
			"All else is kept as it is, to the byte: formulas, looks, comments, charts, pictures,\n" +
			"drop-down lists, hidden sheets, macros. A formula is never written over. A workbook that\n" +
			"is signed, or shared with a log of its changes, is refused. A file that is there is\n" +
			"never replaced." + exitWritten,
		Example: "  hardfeed next week.xlsx                beside it, named as it is with the week moved on\n" +
			"  hardfeed next week.xlsx -o \"7 December.xlsx\"\n" +
			"  hardfeed next week.xlsx --planned path   the plan is the next step to the target",
		Args: oneWorkbook,
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := how.check(); err != nil {
				return err
			}
			settings, err := flags.settings(std, folderOf(args[0]), cmd.Flags())
			if err != nil {
				return err
			}
			how.recall = flags.recall
			return writeNext(cmd.Context(), std, settings, args[0], to, how)
		},
	}
	flags.addConfig(cmd.Flags())
	flags.addHistory(cmd.Flags())
	cmd.Flags().StringVarP(&to, "output", "o", "", "`FILE` to write; otherwise beside the workbook, named as it is with the week moved on")
	cmd.Flags().StringVar(&how.planned, "planned", "clear", "`WHAT` becomes of the plan: clear, or path, the next step to the target")
	cmd.Flags().StringVar(&how.work, "work", "copy", "`WHAT` becomes of the work: copy or clear")
	return cmd
}

// writeNext writes next week's workbook and says what it came to.
func writeNext(ctx context.Context, std streams, s Settings, workbook, to string, how nextFlags) error {
	data, err := xlsx.FileBytes(workbook)
	if err != nil {
		return err
	}
	ext := filepath.Ext(workbook)
	if to != "" && !strings.EqualFold(filepath.Ext(to), ext) {
		return refuse("The copy of a workbook that ends in %s must end in %s too. %q does not.", ext, ext, filepath.Base(to))
	}
	if to != "" {
		if _, err := os.Lstat(to); err == nil {
			return refuse("%s is already there and was left as it is. Choose another name.", to)
		}
	}
	doing := startProgress(std.err, isTerminal(std.err), progressAfter())
	doing.say("working out the week")
	name := filepath.Base(workbook)
	plan, err := planOf(name, data, s, how.recall)
	var moved rollover.Moved
	if err == nil {
		moved, err = moveOn(name, data, plan, s, how)
	}
	doing.stop()
	if err != nil {
		return err
	}
	if ctx.Err() != nil {
		return errStopped
	}
	if to == "" {
		to = filepath.Join(filepath.Dir(workbook), nextName(name, moved))
	}
	if err := writeWholeNew(to, moved.Data); err != nil {
		return err
	}
	fmt.Fprint(std.err, sayMoved(to, moved))
	return nil
}

// planOf works a workbook's week out.
func planOf(name string, data []byte, s Settings, recall func(yard.Week) (yard.Week, error)) (plan yard.Plan, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = refuse("hardfeed itself failed on %s: %v. The fault is in this program, not in your workbook. Nothing was written. Please report it with the lines below.\n%s",
				name, fault, debug.Stack())
		}
	}()
	week, err := ingest.Read(name, data, s.options())
	if err == nil && recall != nil {
		week, err = recall(week)
	}
	if err != nil {
		return plan, err
	}
	return words.Proof(ration.Plan(week, s.rules())), nil
}

// moveOn makes next week's workbook. plan is what was worked out of this one.
func moveOn(name string, data []byte, plan yard.Plan, s Settings, how nextFlags) (rollover.Moved, error) {
	opt := rollover.Options{Read: s.options(), ClearWork: how.work == "clear"}
	say := s.hers(plan.Week).AsWritten
	moved, err := rollover.Move(name, data, plan, opt, say)
	if err == nil && how.planned == "path" {
		// The way goes on from what the cards ended on, as next week's run will see it.
		var next yard.Plan
		if next, err = planOf(name, moved.Data, s, how.recall); err == nil {
			opt.Planned = &next
			moved, err = rollover.Move(name, data, plan, opt, say)
		}
	}
	return moved, err
}

// nextBeside is the name of next week's workbook beside the cards.
func nextBeside(workbook string) string {
	if strings.EqualFold(filepath.Ext(workbook), ".xlsm") {
		return nextNames[1]
	}
	return nextNames[0]
}

// nextWeek is next week's workbook, where it is to be made and can be: the cards do not
// depend on it.
func (j job) nextWeek(data []byte, plan yard.Plan, s Settings) (next []byte) {
	if j.next == nil {
		return nil
	}
	defer func() {
		if fault := recover(); fault != nil {
			next = nil
			j.next(refuse("hardfeed itself failed on next week's workbook of %s: %v. The cards are not touched by it.", j.name, fault))
		}
	}()
	moved, err := moveOn(filepath.Base(j.name), data, plan, s, nextFlags{planned: "clear", work: "copy"})
	if err != nil {
		j.next(err)
		return nil
	}
	return moved.Data
}

// nextName is the workbook's name with the date or the week's number in it moved on;
// else with words behind it.
func nextName(name string, m rollover.Moved) string {
	ext := filepath.Ext(name)
	stem := strings.TrimSuffix(name, ext)
	if m.Name != "" && m.Name != stem {
		return m.Name + ext
	}
	return stem + " – next week" + ext
}

// writeWholeNew writes a file that must not be there yet: whole, or not at all.
func writeWholeNew(name string, data []byte) error {
	failed := func(err error) error {
		return refuse("%s could not be written: %v.%s", name, reason(err), remedy(err))
	}
	full, err := filepath.Abs(name)
	if err != nil {
		return failed(err)
	}
	d, err := disk.Open(filepath.Dir(full))
	if err != nil {
		return failed(err)
	}
	defer d.Close()
	err = putNew(d, filepath.Base(full), data)
	if errors.Is(err, fs.ErrExist) {
		return refuse("%s is already there and was left as it is. Choose another name with -o.", name)
	}
	if err != nil {
		return failed(err)
	}
	return nil
}

// nextBeginning begins the name of a file that is being written.
const nextBeginning = ".hardfeed-next-"

// putNew makes a file appear whole, and never in the place of another.
func putNew(d disk.FS, name string, data []byte) error {
	if is, err := disk.There(d, name); err != nil {
		return err
	} else if is {
		return fs.ErrExist
	}
	return disk.WriteWhole(d, nextBeginning, name, data)
}

// sayMoved is what a person is told of a workbook that was moved on.
func sayMoved(to string, m rollover.Moved) string {
	var out strings.Builder
	fmt.Fprintf(&out, "Written: %s", to)
	if !m.Week.IsZero() {
		fmt.Fprintf(&out, ", for the week beginning %s", m.Week.Format("2 January 2006"))
	}
	fmt.Fprintf(&out, ". Changed: %s, listed on its first sheet.\n", count(len(m.Changes), "cell"))
	for _, l := range m.Left {
		place := l.Horse
		if l.At.Sheet != "" {
			place = strings.TrimPrefix(place+", "+l.At.String(), ", ")
		}
		if place != "" {
			place += ": "
		}
		fmt.Fprintf(&out, "  %s%s\n", place, words.Said(l.Why))
	}
	return out.String()
}
