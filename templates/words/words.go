// Package words holds what people write in the cells of a yard's workbook, a
// file a language, and the kinds of work those words stand for.
//
// A language file is sections of keys, each with the phrases that mean it,
// between commas. A key is the same in every language; a phrase may be of
// several words. Case, accents and the full stop of an abbreviation do not
// matter. English, German, French and Spanish are written from memory of the
// trade; no native reader has seen the last three yet.
//
// work.txt gives, for each kind of work, how its minutes divide over the
// gaits: common practice, no source. A yard's own sessions and legends win.
package words

import (
	"embed"
	"strings"
)

//go:embed *.txt heads/*.txt
var files embed.FS

// Languages are the languages there is a file for, by their two letters.
func Languages() []string { return []string{"en", "de", "fr", "es"} }

// Language is the file of one language; nil where there is none.
func Language(code string) []byte {
	b, err := files.ReadFile(code + ".txt")
	if err != nil {
		return nil
	}
	return b
}

// Heads is the file of the words that are over, beside and above the tables of
// a yard's own workbook, in one language; "" where there is none.
func Heads(code string) string {
	b, err := files.ReadFile("heads/" + code + ".txt")
	if err != nil {
		return ""
	}
	return string(b)
}

// Fact is a column of the starter's sheets and the key of the words that say the same over a
// column of any workbook, see [Heads].
type Fact struct{ Column, Key string }

// Facts are the columns whose headings are read the same way in both layouts.
func Facts() []Fact {
	var all []Fact
	for line := range strings.Lines(Heads("facts")) {
		if column, key, ok := strings.Cut(strings.TrimSpace(line), ": "); ok && line[0] != '#' {
			all = append(all, Fact{column, key})
		}
	}
	return all
}

// HeadWords are the words of a key of [Heads] in one language, as they are written there.
func HeadWords(code, key string) []string {
	var all []string
	for line := range strings.Lines(Heads(code)) {
		if k, list, ok := strings.Cut(line, ":"); ok && k == key {
			for w := range strings.SplitSeq(list, "|") {
				all = append(all, strings.TrimSpace(w))
			}
		}
	}
	return all
}

// Work is the file of the kinds of work.
func Work() []byte {
	b, err := files.ReadFile("work.txt")
	if err != nil {
		panic(err) // it is embedded
	}
	return b
}
