package main

import (
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
)

// manCommand writes the manual pages that a release carries.
func manCommand(std streams) *cobra.Command {
	return &cobra.Command{
		Use:    "man DIR",
		Short:  "Write manual pages (section 1) into a folder",
		Hidden: true,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return refuse("Name the one folder to write into, for example: hardfeed man man1.")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := args[0]
			if err := os.MkdirAll(dir, 0o755); err != nil {
				return refuse("The folder %s could not be made: %v.%s", dir, reason(err), remedy(err))
			}
			day, err := time.Parse(time.DateOnly, releasedOn)
			if err != nil {
				return err
			}
			root := cmd.Root()
			root.DisableAutoGenTag = true // it has the day on which it was made
			header := &doc.GenManHeader{Title: "HARDFEED", Section: "1", Date: &day, Source: "hardfeed " + version, Manual: "Feed cards"}
			if err := doc.GenManTree(root, header, dir); err != nil {
				return refuse("The manual pages could not be written to %s: %v.%s", dir, reason(err), remedy(err))
			}
			pages, err := filepath.Glob(filepath.Join(dir, "*.1"))
			if err != nil {
				return err
			}
			sayLine(std.err, "Written to %s: %s.", visible(dir), count(len(pages), "manual page"))
			return nil
		},
	}
}

// offerValues has a shell offer what a flag can be.
func offerValues(cmd *cobra.Command) {
	for flag, values := range map[string][]string{"paper": {"A4", "Letter"}, "cards-per-page": {"1", "2", "4"}} {
		if err := cmd.RegisterFlagCompletionFunc(flag, cobra.FixedCompletions(values, cobra.ShellCompDirectiveNoFileComp)); err != nil {
			panic("command: " + err.Error()) // the flag is there
		}
	}
	for flag, endings := range map[string][]string{"config": {"yaml", "yml"}} {
		if err := cmd.MarkFlagFilename(flag, endings...); err != nil {
			panic("command: " + err.Error())
		}
	}
	for _, flag := range []string{"history", "output"} {
		if cmd.Flags().Lookup(flag) != nil {
			if err := cmd.MarkFlagDirname(flag); err != nil {
				panic("command: " + err.Error())
			}
		}
	}
}
