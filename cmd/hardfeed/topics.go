package main

import (
	"strings"

	"github.com/spf13/cobra"

	"hardfeed/templates"
)

// topicCommands are the help topics: commands that only have a text, shown by
// "hardfeed help TOPIC".
func topicCommands() []*cobra.Command {
	var out []*cobra.Command
	for _, t := range templates.Topics() {
		head, _, _ := strings.Cut(t.Text, "\n")
		out = append(out, &cobra.Command{Use: t.Name, Short: head, Long: strings.TrimSpace(t.Text)})
	}
	return out
}
