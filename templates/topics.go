package templates

import (
	"embed"
	"path"
	"strings"
)

//go:embed help/*.txt
var help embed.FS

// Topic is a text of "hardfeed help". Its first line is its head.
type Topic struct{ Name, Text string }

// Topics are the help topics, in the order of their names.
func Topics() []Topic {
	entries, err := help.ReadDir("help")
	if err != nil {
		panic("templates: " + err.Error()) // it is built in
	}
	var out []Topic
	for _, e := range entries {
		text, err := help.ReadFile(path.Join("help", e.Name()))
		if err != nil {
			panic("templates: " + err.Error())
		}
		out = append(out, Topic{strings.TrimSuffix(e.Name(), ".txt"), string(text)})
	}
	return out
}
