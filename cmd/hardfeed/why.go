package main

import (
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"hardfeed/ingest"
	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/record"
)

func whyCommand(std streams, code *int) *cobra.Command {
	var flags jobFlags
	cmd := &cobra.Command{
		Use: "why WORKBOOK HORSE",

		ValidArgsFunction: workbookThenHorse,
		Short:             "Work out every number of a horse's card line by line, with cells and sources",
		Long: "Prints every number of one horse's card: the formula, the cells and settings it came\n" +
			"from, and whose figure it is.\n\n" +
			"Exit codes: 0 done; 1 the horse has no card; 2 nothing could be done.",
		Example: "  hardfeed why week.xlsx Juniper\n" +
			"  hardfeed why week.xlsx \"Old Wilfred\" --json",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 2 {
				return refuse("Name the workbook and one horse, for example: hardfeed why week.xlsx Juniper. Put a name with spaces in quotation marks.")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			settings, err := flags.settings(std, folderOf(args[0]), cmd.Flags())
			if err != nil {
				return err
			}
			week, err := ingest.ReadFile(args[0], settings.options())
			if err != nil {
				return err
			}
			if week, err = flags.recall(week); err != nil {
				return err
			}
			rules := settings.rules()
			rules.Workings = true
			plan := ration.Plan(week, rules)
			h, err := horseNamed(plan, args[1])
			if err != nil {
				return err
			}
			if h.Status == yard.NoCard {
				*code = exitNoCard
			}
			if !flags.json {
				_, err = io.WriteString(console{std.out}, record.WhyText(plan, h, settings.hers(week)))
				return err
			}
			data, err := record.WhyJSON(h)
			if err == nil {
				_, err = std.out.Write(data)
			}
			return err
		},
	}
	cmd.Flags().BoolVar(&flags.json, "json", false, "write the workings as one JSON object")
	flags.addConfig(cmd.Flags())
	flags.addHistory(cmd.Flags())
	return cmd
}

// workbookThenHorse is what a shell offers: workbooks, then the horses of the one named.
func workbookThenHorse(cmd *cobra.Command, args []string, word string) ([]string, cobra.ShellCompDirective) {
	if len(args) == 0 {
		return workbookFiles(cmd, args, word)
	}
	if len(args) > 1 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	config, _ := cmd.Flags().GetString("config")
	silent := jobFlags{config: config, quiet: true}
	settings, err := silent.settings(streams{}, folderOf(args[0]), cmd.Flags())
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	week, err := ingest.ReadFile(args[0], settings.options())
	if err != nil {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	var names []string
	for _, h := range week.Horses {
		if strings.HasPrefix(strings.ToLower(h.Name), strings.ToLower(word)) {
			names = append(names, visible(h.Name))
		}
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

func horseNamed(p yard.Plan, name string) (yard.HorsePlan, error) {
	var names []string
	for _, h := range p.Horses {
		if strings.EqualFold(strings.Join(strings.Fields(h.Horse.Name), " "), strings.Join(strings.Fields(name), " ")) {
			return h, nil
		}
		names = append(names, h.Horse.Name)
	}
	hint := fmt.Sprintf("It has %d horses, the first is %s.", len(names), names[0])
	if near := yard.Nearest(name, names); near != "" {
		hint = fmt.Sprintf("Do you mean %q?", near)
	}
	return yard.HorsePlan{}, refuse("There is no horse called %q in the workbook. %s", name, hint)
}
