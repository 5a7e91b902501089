package wording

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// example is a line of YAML behind a remark's sign.
var example = regexp.MustCompile(`^(  |[a-z_]+:( |$))`)

// paragraphs are the running text of a file for people: of Markdown and help topics without
// code, examples, tables and headings; of YAML the remarks; of a table its cells. The
// licence is not ours to word.
func paragraphs(name, text string) (out []string) {
	text, _, _ = strings.Cut(text, "Permission is hereby granted")
	if strings.HasSuffix(name, ".csv") {
		rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
		if err != nil {
			panic(name + ": " + err.Error())
		}
		return slices.Concat(rows...)
	}
	block, bullet, code := "", false, false
	flush := func() {
		if block != "" {
			out = append(out, strings.Join(strings.Fields(block), " "))
		}
		block, bullet = "", false
	}
	for line := range strings.Lines(text) {
		line = strings.TrimRight(line, "\n")
		if strings.HasSuffix(name, ".yaml") {
			remark, is := strings.CutPrefix(strings.TrimSpace(line), "#")
			if !is {
				flush()
				if _, remark, _ = strings.Cut(line, " # "); remark != "" {
					out = append(out, remark)
				}
				continue
			}
			if line = strings.TrimPrefix(remark, " "); example.MatchString(line) {
				continue
			}
		}
		trimmed := strings.TrimSpace(line)
		switch {
		case strings.HasPrefix(trimmed, "```"):
			code = !code
			flush()
		case code:
		case trimmed == "", strings.HasPrefix(trimmed, "|"), strings.HasPrefix(trimmed, "#"), strings.HasPrefix(line, "  ") && !bullet, strings.HasPrefix(trimmed, "!["):
			flush()
		case strings.HasPrefix(trimmed, "- "), strings.HasPrefix(trimmed, "* "):
			flush()
			block, bullet = trimmed[2:], true
		default:
			block += " " + line
		}
	}
	flush()
	return out
}

// The files for people: the README and its like, help topics, settings, the starter.
func TestTheFilesVoice(t *testing.T) {
	banned := bans(t)
	up := filepath.Join("..", "..")
	names := []string{filepath.Join(up, "README.md"), filepath.Join(up, "DEVELOPERS.md"), filepath.Join(up, "testdata", "workbooks", "README.md"), filepath.Join(up, "testdata", "published", "README.md"), filepath.Join("..", "settings.yaml")}
	for _, pattern := range []string{"help/*.txt", "starter/*.csv", "demo/*.csv", "columns.csv"} {
		found, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(pattern)))
		if err != nil || len(found) == 0 {
			t.Fatalf("%s: %v, %v", pattern, found, err)
		}
		names = append(names, found...)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		var e ease
		for _, text := range paragraphs(name, string(data)) {
			for _, f := range faults(banned, text, false) {
				t.Errorf("%s: %s", name, f)
			}
			if len(wordsOf(text)) >= 4 {
				e.add(text)
			}
		}
		if e.words > 0 {
			t.Logf("%s: %s", filepath.Base(name), e)
		}
	}
}
