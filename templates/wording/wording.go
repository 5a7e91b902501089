// Package wording holds the words of the cards and the scoop sheet, a file a
// language, so that somebody who knows a language and the trade can mend them
// without knowing the program.
//
// A file is a plain table: key = text, one a line; lines that start with # are
// remarks. English is the original. All others are first translations and await
// a native reader; each says so in its head, and under the key awaiting, which
// is printed at the foot of the sheets.
package wording

import (
	"embed"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"sync"
)

//go:embed *.txt
var files embed.FS

// Original is the language the others are translated from.
const Original = "en"

// Codes are the languages there are, by their ISO 639 codes, the original first.
func Codes() []string {
	names, _ := fs.Glob(files, "*.txt")
	codes := []string{Original}
	for _, n := range names {
		if code := strings.TrimSuffix(n, ".txt"); code != Original {
			codes = append(codes, code)
		}
	}
	return codes
}

// OnlyInOriginal says whether a key is printed nowhere: what a rule compares and for
// whom, which describe it for whoever reads the table.
func OnlyInOriginal(key string) bool {
	return strings.HasPrefix(key, "rule.") && (strings.HasSuffix(key, ".what") || strings.HasSuffix(key, ".who"))
}

// Table is the words of one language.
type Table struct {
	Code string // ISO 639
	text map[string]string
	key  func() map[string]string // by the key's first part and the text in small letters
}

// In is the table of a language: one of [Codes]. It is read once.
func In(code string) (Table, error) {
	read, _ := loaded.LoadOrStore(code, sync.OnceValues(func() (Table, error) { return tableOf(code) }))
	return read.(func() (Table, error))()
}

var loaded sync.Map // code -> func() (Table, error)

func tableOf(code string) (Table, error) {
	data, err := files.ReadFile(code + ".txt")
	if err != nil || !slices.Contains(Codes(), code) {
		return Table{}, fmt.Errorf("language %q is not known: it can be %s", code, strings.Join(Codes(), ", "))
	}
	t, err := parse(string(data))
	t.Code = code
	return t, err
}

var original = sync.OnceValue(func() Table {
	t, err := In(Original)
	if err != nil {
		panic(err) // it is built in
	}
	return t
})

func parse(data string) (Table, error) {
	t := Table{text: make(map[string]string, strings.Count(data, "\n"))}
	i := 0
	for line := range strings.Lines(data) {
		i++
		key, text, ok := parts(line)
		if key == "" && text == "" && !ok {
			continue
		}
		if _, twice := t.text[key]; !ok || key == "" || twice {
			return t, fmt.Errorf("line %d of a table of words: %q is no key = text, or its key stands twice", i, strings.TrimSuffix(line, "\n"))
		}
		t.text[key] = text
	}
	t.key = sync.OnceValue(func() map[string]string { return keysByText(data) })
	return t, nil
}

// parts are a line's key and text; nothing of a remark or an empty line.
func parts(line string) (key, text string, ok bool) {
	line = strings.TrimSpace(line)
	if strings.HasPrefix(line, "#") {
		return "", "", false
	}
	key, text, ok = strings.Cut(line, "=")
	return strings.TrimSpace(key), strings.TrimSpace(text), ok
}

// keysByText finds keys by what they say; the first in the table counts.
func keysByText(data string) map[string]string {
	out := map[string]string{}
	for line := range strings.Lines(data) {
		key, text, ok := parts(line)
		if !ok {
			continue
		}
		part, _, _ := strings.Cut(key, ".")
		if at := part + "." + strings.ToLower(text); out[at] == "" {
			out[at] = key
		}
	}
	return out
}

// Say is the text of a key with its {places} filled in; args are name, value,
// name, value. A key that is not there is a fault of the program.
func (t Table) Say(key string, args ...string) string {
	return Fill(t.Text(key), args...)
}

// Text is the text of a key with its {places} open, the original's where the language has
// none yet: a sentence in English helps more than none.
func (t Table) Text(key string) string {
	text, ok := t.text[key]
	if !ok && t.Code != Original {
		return original().Text(key)
	}
	if !ok {
		panic(fmt.Sprintf("the words %s have no %q", t.Code, key))
	}
	return text
}

// Fill fills the {places} of a text; args are name, value, name, value.
func Fill(text string, args ...string) string {
	if len(args) == 0 {
		return text
	}
	// In one go, so that a brace in a value is not a place of ours; a replacer would
	// be built anew for each of thousands of texts.
	var b strings.Builder
	for {
		before, rest, open := strings.Cut(text, "{")
		b.WriteString(before)
		if !open {
			return b.String()
		}
		place, after, closed := strings.Cut(rest, "}")
		value := "{" + place
		if closed {
			value += "}"
		}
		for i := 0; i+1 < len(args); i += 2 {
			if closed && args[i] == place {
				value = args[i+1]
			}
		}
		b.WriteString(value)
		text = after
	}
}

// Has says whether there is such a key.
func (t Table) Has(key string) bool { _, ok := t.text[key]; return ok }

// Keys are those that begin with a prefix, in order.
func (t Table) Keys(prefix string) []string {
	var out []string
	for k := range t.text {
		if strings.HasPrefix(k, prefix) {
			out = append(out, k)
		}
	}
	slices.Sort(out)
	return out
}

// Called finds the key whose text is a name, whatever its capitals: what the
// workbook calls "tea" is "meal.tea". It looks among the keys whose first part is
// prefix, "meal." here, and takes the first in the file; "" where there is none.
func (t Table) Called(prefix, name string) string {
	return t.key()[prefix+strings.ToLower(strings.TrimSpace(name))]
}
