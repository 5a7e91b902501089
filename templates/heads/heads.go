// Package heads holds the words that stand over, beside and above the tables of
// a yard's own workbook, a file a language.
package heads

import "embed"

//go:embed *.txt
var files embed.FS

// Languages are those there is a table for, English first.
func Languages() []string { return []string{"en", "de", "fr", "es"} }

// Table is the file of a language; "" if there is none.
func Table(language string) string {
	b, err := files.ReadFile(language + ".txt")
	if err != nil {
		return ""
	}
	return string(b)
}
