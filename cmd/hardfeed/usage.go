package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// usage is the help of a command's flags as people read it: a flag that is only on or off
// is printed without "[=true|false]", and what flags do is in one column.
func usage(root *cobra.Command) {
	root.CompletionOptions.HiddenDefaultCmd = true
	cobra.AddTemplateFunc("flagUsages", flagUsages)
	text := root.UsageTemplate()
	for _, of := range []string{".LocalFlags", ".InheritedFlags"} {
		text = strings.ReplaceAll(text, of+".FlagUsages | trimTrailingWhitespaces", "flagUsages "+of)
	}
	root.SetUsageTemplate(text)
}

func flagUsages(flags *pflag.FlagSet) string {
	const onOff = "[=true|false]"
	var names, does []string
	wide := 0
	for line := range strings.Lines(strings.TrimRight(flags.FlagUsages(), "\n")) {
		line = strings.ReplaceAll(strings.TrimRight(line, "\n"), onOff, strings.Repeat(" ", len(onOff)))
		begin := len(line) - len(strings.TrimLeft(line, " "))
		name, what, _ := strings.Cut(line[begin:], "   ")
		names, does = append(names, line[:begin]+name), append(does, strings.TrimSpace(what))
		wide = max(wide, begin+len(name))
	}
	var b strings.Builder
	for i, name := range names {
		fmt.Fprintf(&b, "%-*s   %s\n", wide, name, does[i])
	}
	return strings.TrimRight(b.String(), "\n")
}
