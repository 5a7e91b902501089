package main

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"hardfeed/ingest"
	"hardfeed/ration/yard"
	"hardfeed/report/record"
	"hardfeed/report/words"
	"hardfeed/templates"
)

// version is printed by the command and is in every file that is written. A build
// between releases adds its commit (-ldflags "-X main.version=…", see .ci/release); it
// never holds a time, so that the same program gives the same bytes.
var version = released

// released and releasedOn are the version and the date of the newest heading of the changelog.
const (
	released   = "0.2.0"
	releasedOn = "2026-11-30"
)

// The exit codes, the same for every command.
const (
	exitDone    = 0 // every horse has its card
	exitNoCard  = 1 // the workbook was read, but a horse could not be computed
	exitNothing = 2 // nothing could be done and nothing was written
	exitReduced = 3 // with --strict: every horse has its card, and one prints less than was planned
)

// exitText says what the exit codes mean.
const exitText = "Exit codes: 0 every horse has its card; 1 the workbook was read, and a horse has no\n" +
	"card; 2 nothing could be done and nothing was written; 3 (with --strict) every horse\n" +
	"has its card, and one is reduced."

// exitWritten ends the help of a command that makes no cards.
const exitWritten = "\n\nExit codes: 0 done; 2 nothing could be done and nothing was written."

// exitHelp ends the help of a command.
const exitHelp = "\n\n" + exitText

//go:embed licences.txt
var licences string

// refusal is an error in one plain sentence for the person at the keyboard:
// what was found, and what to do.
type refusal string

func (r refusal) Error() string { return string(r) }

func refuse(format string, args ...any) error { return refusal(sprintf(format, args...)) }

// sprintf is fmt.Sprintf with the words of errors that have them.
func sprintf(format string, args ...any) string {
	for i, a := range args {
		if err, ok := a.(error); ok {
			args[i] = words.Told(err)
		}
	}
	return fmt.Sprintf(format, args...)
}

// streams are the program's ends: words for programs, words for people.
type streams struct{ out, err io.Writer }

// run is the whole program but for the process around it. It returns the exit
// code. Nothing is read from the standard input: a workbook is a file.
func run(ctx context.Context, args []string, _ io.Reader, stdout, stderr io.Writer) int {
	// cobra would hold a double-clicked program open with advice to use a
	// terminal; a file dragged on the program must simply run.
	cobra.MousetrapHelpText = ""
	people := console{stderr}
	if files := dragged(args); files != nil {
		return runAll(ctx, files, stdout, people)
	}
	code := exitDone
	root := rootCommand(streams{stdout, people}, &code)
	root.SetArgs(args)
	root.SetOut(stdout)
	root.SetErr(people)
	if err := root.ExecuteContext(ctx); err != nil {
		if errors.Is(err, context.Canceled) {
			err = errStopped
		}
		fmt.Fprintln(people, sayError(err))
		return exitNothing
	}
	return code
}

// dragged are the files that were dragged on the program; nil if the arguments are a
// command. A file of any kind is answered as run answers it.
func dragged(args []string) []string {
	if len(args) == 0 || isCommand(args[0]) || slices.ContainsFunc(args, func(a string) bool { return strings.HasPrefix(a, "-") }) {
		return nil
	}
	if _, err := os.Stat(args[0]); err != nil && !isWorkbookName(args[0]) {
		return nil
	}
	return args
}

func isCommand(word string) bool {
	var code int
	root := rootCommand(streams{io.Discard, io.Discard}, &code)
	root.InitDefaultHelpCmd()
	root.InitDefaultCompletionCmd()
	cmd, _, err := root.Find([]string{word})
	return err == nil && cmd != root
}

// runAll runs one workbook after the other. The exit code is the worst there was.
func runAll(ctx context.Context, files []string, stdout io.Writer, people console) int {
	worst := exitDone
	for i, file := range files {
		if i > 0 {
			fmt.Fprintln(people)
		}
		code := exitDone
		root := rootCommand(streams{stdout, people}, &code)
		root.SetArgs([]string{"run", "--", file})
		if err := root.ExecuteContext(ctx); err != nil {
			fmt.Fprintln(people, sayError(err))
			code = exitNothing
		}
		worst = max(worst, code)
		if ctx.Err() != nil {
			break
		}
	}
	return worst
}

func isWorkbookName(s string) bool {
	ext := strings.ToLower(filepath.Ext(s))
	return ext == ".xlsx" || ext == ".xlsm"
}

func rootCommand(std streams, code *int) *cobra.Command {
	root := &cobra.Command{
		Use:     "hardfeed",
		Short:   "Feed cards for a yard of working horses, from its workbook",
		Version: version,
		Example: "  hardfeed run week.xlsx                 the sheets of a week, into the folder week\n" +
			"  hardfeed check week.xlsx --strict      write nothing, say everything\n" +
			"  hardfeed why week.xlsx Juniper         where each number of a card comes from\n" +
			"  hardfeed next week.xlsx                next week's workbook, this one moved on\n" +
			"  hardfeed watch \"Feed cards\"            run every workbook dropped there\n" +
			"  hardfeed starter week.xlsx             a workbook to begin with",
		Long: "hardfeed reads the workbook a yard keeps (its horses, next week's work, what is\n" +
			"being fed) and writes the week's feed cards, a scoop-weight sheet and an office\n" +
			"sheet as PDF. A workbook dragged on the program is run.\n\n" +
			"It compares plans with published figures and decides nothing: vets,\n" +
			"nutritionists and local rules come first.\n\n" +
			exitText,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return refuse("There is no command %q. See hardfeed --help for the commands. To run a workbook: hardfeed run WORKBOOK.xlsx.", args[0])
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	usage(root)
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		return refuse("%s. See %s --help.", words.Capital(err.Error()), cmd.CommandPath())
	})
	root.SetVersionTemplate("{{.Name}} {{.Version}}\n")
	root.AddCommand(
		runCommand(std, code), checkCommand(std, code), whyCommand(std, code), nextCommand(std), demoCommand(std, code),
		watchCommand(std, code), sendCommand(std, code),
		starterCommand(std), versionCommand(std), licencesCommand(std), manCommand(std),
	)
	root.AddCommand(topicCommands()...)
	return root
}

// jobFlags are the flags of the commands that run a workbook.
type jobFlags struct {
	json    bool
	strict  bool
	quiet   bool
	verbose bool
	config  string
	history string
}

func (j *jobFlags) addHistory(flags *pflag.FlagSet) {
	flags.StringVar(&j.history, "history", "", "`DIR` of past results: finished folders, or a drop folder's archive")
}

// recall fills in what the past results of --history tell.
func (j *jobFlags) recall(week yard.Week) (yard.Week, error) {
	if j.history == "" {
		return week, nil
	}
	folder, err := os.OpenRoot(j.history)
	if err == nil {
		defer folder.Close()
		week, err = ingest.RecallFrom(week, folder.FS())
	}
	if err != nil {
		return week, refuse("The folder of past results %s could not be read: %v. Name the folder that holds the finished folders of earlier weeks.", j.history, reason(err))
	}
	return week, nil
}

func (j *jobFlags) addStrict(flags *pflag.FlagSet) {
	flags.BoolVar(&j.strict, "strict", false, "exit code 3 where every horse has its card and one is reduced")
}

func (j *jobFlags) add(flags *pflag.FlagSet) {
	flags.BoolVar(&j.json, "json", false, "put results.json on standard output, and nothing else there")
	flags.BoolVar(&j.quiet, "quiet", false, "say nothing, unless a horse has no card (or, with --strict, a reduced one)")
	flags.BoolVar(&j.verbose, "verbose", false, "say every finding, with its rule and its source")
	j.addConfig(flags)
	flags.String("paper", "", "`PAPER`: A4 or Letter; else as the settings or the workbook say")
	flags.Int("cards-per-page", 0, "`N` cards a page: 1, 2 or 4; else as the settings say")
}

func (j *jobFlags) addConfig(flags *pflag.FlagSet) {
	flags.StringVar(&j.config, "config", "", "settings in `FILE`, else in "+settingsName+" beside the workbook or the program")
}

func runCommand(std streams, code *int) *cobra.Command {
	var flags jobFlags
	var dir string
	var season bool
	cmd := &cobra.Command{
		Use: "run WORKBOOK",

		ValidArgsFunction: workbookFiles,
		Short:             "Write the feed cards, scoop sheet and office sheet of a workbook",
		Long:              "Reads the workbook, works out each horse's feed and writes one folder: cards.pdf,\ncards.html, scoops.pdf, office.pdf, results.xlsx and results.json." + exitHelp,
		Example: "  hardfeed run week.xlsx                 into the folder week beside it\n" +
			"  hardfeed run week.xlsx -o \"Feed room\"  into another folder\n" +
			"  hardfeed run week.xlsx --history archive   with what past weeks tell",
		Args: oneWorkbook,
		RunE: func(cmd *cobra.Command, args []string) error {
			if dir == "" {
				dir = defaultFolder(args[0])
			}
			j := job{std: std, flags: flags, set: cmd.Flags(), name: args[0], file: filepath.Base(args[0]), read: readFile(args[0]), dir: dir, recall: flags.recall, season: season}
			var err error
			*code, err = j.run(cmd.Context())
			return err
		},
	}
	flags.add(cmd.Flags())
	flags.addStrict(cmd.Flags())
	flags.addHistory(cmd.Flags())
	cmd.Flags().BoolVar(&season, "season", false, "write season.pdf too, a page a horse over past weeks and weeks to come; see --history")
	addFolderFlag(cmd.Flags(), &dir, "a folder beside the workbook, named as it is")
	offerValues(cmd)
	return cmd
}

func checkCommand(std streams, code *int) *cobra.Command {
	var flags jobFlags
	cmd := &cobra.Command{
		Use: "check WORKBOOK",

		ValidArgsFunction: workbookFiles,
		Short:             "Write nothing, and say how each horse was read and what was found",
		Long:              "Reads and plans the workbook and writes nothing. It lists how each horse and\neach table was read (with --verbose: why each column was) and every finding with what to\ndo. Nothing is kept." + exitHelp,
		Example: "  hardfeed check week.xlsx\n" +
			"  hardfeed check week.xlsx --verbose     rules and sources as well\n" +
			"  hardfeed check week.xlsx --json        results.json on standard output",
		Args: oneWorkbook,
		RunE: func(cmd *cobra.Command, args []string) error {
			j := job{std: std, flags: flags, set: cmd.Flags(), name: args[0], read: readFile(args[0]), recall: flags.recall}
			var err error
			*code, err = j.run(cmd.Context())
			return err
		},
	}
	flags.add(cmd.Flags())
	flags.addStrict(cmd.Flags())
	flags.addHistory(cmd.Flags())
	offerValues(cmd)
	return cmd
}

func demoCommand(std streams, code *int) *cobra.Command {
	var flags jobFlags
	var dir string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Run the built-in example, an invented yard of eighteen horses",
		Long:  "Writes the sheets of an invented yard into a folder, to see what they look like." + exitHelp,
		Example: "  hardfeed demo\n" +
			"  hardfeed demo -o \"Cold Brook\"",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if dir == "" {
				dir = "hardfeed-demo"
			}
			j := job{std: std, flags: flags, set: cmd.Flags(), name: "the demo workbook", file: "demo.xlsx", read: readDemo, dir: dir}
			var err error
			*code, err = j.run(cmd.Context())
			return err
		},
	}
	flags.add(cmd.Flags())
	addFolderFlag(cmd.Flags(), &dir, "hardfeed-demo")
	offerValues(cmd)
	return cmd
}

func addFolderFlag(flags *pflag.FlagSet, dir *string, otherwise string) {
	flags.StringVarP(dir, "output", "o", "", "`DIR` to write; otherwise "+otherwise)
}

// workbookFiles is what a shell offers where a workbook is to be named.
func workbookFiles(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return []string{"xlsx", "xlsm"}, cobra.ShellCompDirectiveFilterFileExt
}

func oneWorkbook(cmd *cobra.Command, args []string) error {
	switch len(args) {
	case 1:
		return nil
	case 0:
		return refuse("No workbook was named. Write: hardfeed %s WORKBOOK.xlsx.", cmd.Name())
	}
	return refuse("%d names were given, and hardfeed takes one workbook at a time. Put a name with spaces in quotation marks.", len(args))
}

func starterCommand(std streams) *cobra.Command {
	var example, settings, coming bool
	var week string
	cmd := &cobra.Command{
		Use:   "starter FILE.xlsx",
		Short: "Write a workbook to begin with, with drop-down lists and notes",
		Long:  "Writes a workbook to fill in. It is never written over a file that is there." + exitWritten,
		Example: "  hardfeed starter week.xlsx\n" +
			"  hardfeed starter demo.xlsx --example\n" +
			"  hardfeed starter hardfeed.yaml --settings",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return refuse("Name the one file to write, for example: hardfeed starter week.xlsx.")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if chosen := slices.DeleteFunc([]bool{example, settings, week != "", coming}, func(set bool) bool { return !set }); len(chosen) > 1 {
				return refuse("--example, --settings, --week and --coming don't go together. Choose one.")
			}
			if settings {
				return writeNew(std, args[0], []byte(templates.Settings()))
			}
			if !strings.EqualFold(filepath.Ext(args[0]), ".xlsx") {
				return refuse("The starter workbook needs a name that ends in .xlsx. %q does not.", args[0])
			}
			make := templates.Starter
			switch {
			case example:
				make = templates.Demo
			case coming:
				monday := comingMonday(time.Now())
				make = func() ([]byte, error) { return templates.StarterOf(monday) }
			case week != "":
				first, err := time.Parse(time.DateOnly, week)
				if err != nil || first.Year() < 2000 || first.Year() > 2099 {
					return refuse("%q is not a date that can be used. Write the first day of the week like this: --week 2026-12-07.", week)
				}
				make = func() ([]byte, error) { return templates.StarterOf(first) }
			}
			data, err := make()
			if err != nil {
				return err
			}
			return writeNew(std, args[0], data)
		},
	}
	cmd.Flags().BoolVar(&example, "example", false, "write the workbook of the demo yard instead")
	cmd.Flags().BoolVar(&settings, "settings", false, "write a settings file with every setting explained instead")
	cmd.Flags().StringVar(&week, "week", "", "its week begins on `DATE`, such as 2026-12-07")
	cmd.Flags().BoolVar(&coming, "coming", false, "its week begins on the coming Monday")
	return cmd
}

// comingMonday is the next Monday after today.
func comingMonday(now time.Time) time.Time {
	today := time.Date(now.Year(), now.Month(), now.Day(), 0, 0, 0, 0, time.UTC)
	return today.AddDate(0, 0, (7 - (int(today.Weekday())+6)%7))
}

// writeNew writes a file that must not be there yet: a starter must never
// replace the workbook a yard has been filling in.
func writeNew(std streams, name string, data []byte) error {
	f, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o640)
	if errors.Is(err, fs.ErrExist) {
		return refuse("%s is already there and was left as it is. Choose another name.", name)
	}
	if err != nil {
		return refuse("%s could not be written: %v.%s", name, reason(err), remedy(err))
	}
	_, err = f.Write(data)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		os.Remove(name)
		return refuse("%s could not be written: %v.%s", name, reason(err), remedy(err))
	}
	fmt.Fprintf(std.err, "Written: %s\n", name)
	return nil
}

func versionCommand(std streams) *cobra.Command {
	var schema bool
	cmd := &cobra.Command{
		Use:   "version",
		Short: "Say which version this is",
		Long:  "Prints the version, or the JSON Schema of results.json." + exitWritten,
		Example: "  hardfeed version\n" +
			"  hardfeed version --schema",
		Args: cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			text := "hardfeed " + version + "\n"
			if schema {
				text = record.Schema()
			}
			_, err := io.WriteString(std.out, text)
			return err
		},
	}
	cmd.Flags().BoolVar(&schema, "schema", false, "print the JSON Schema of results.json instead")
	return cmd
}

func licencesCommand(std streams) *cobra.Command {
	return &cobra.Command{
		Use:     "licences",
		Short:   "Print the licences of the program and of all that is built into it",
		Long:    "Prints the licences of the program, its fonts, libraries and data." + exitWritten,
		Example: "  hardfeed licences | less",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := io.WriteString(std.out, licences)
			return err
		},
	}
}
