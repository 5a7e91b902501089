package main

// The console's voice, all of it in this file.
//
//  1. Counts first: what was read, so that a missing horse is noticed.
//  2. Then what did not go as planned, with the horses' names.
//  3. Then where the files are, then the findings, worst first.
//  4. One line for one thing. A refusal is one sentence or two: what was found,
//     what to do. No codes, no jargon of programs, no exclamation marks.
//  5. Numbers are said even when they are nought: "no card: none" is news.
//  6. Nothing is ever called safe; what was compared is said.
//  7. Everything here goes to standard error. Standard output is for programs.

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"hardfeed/ingest/disk"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

func saySummary(workbook string, p yard.Plan) string {
	var b strings.Builder
	read := p.Week.Read
	fmt.Fprintf(&b, "Read %s: %s, %s, %s.\n", visible(workbook),
		count(read.Sheets, "sheet"), count(read.Rows, "row"), count(read.Horses, "horse"))
	fmt.Fprintf(&b, "Held: %s\n", names(p, yard.Held))
	fmt.Fprintf(&b, "No card: %s\n", names(p, yard.NoCard))
	var tally [yard.Stop + 1]int
	for _, f := range p.Findings {
		tally[f.Severity]++
	}
	fmt.Fprintf(&b, "Findings: %s, %s, %s.\n",
		count(tally[yard.Stop], "stop"), count(tally[yard.Warn], "warning"), count(tally[yard.Note], "note"))
	return b.String()
}

func sayFiles(dir string, names []string) string {
	return fmt.Sprintf("Written to %s: %s\n", visible(dir), strings.Join(names, ", "))
}

// sayKept names the files of a person that were kept.
func sayKept(kept []string) string {
	if len(kept) == 0 {
		return ""
	}
	return fmt.Sprintf("What was changed by hand in that folder since the last run is kept in it: %s.\n", strings.Join(kept, ", "))
}

// sayFindings lists stops and warnings, and the notes as well if all is set.
func sayFindings(p yard.Plan, all bool) string {
	var b strings.Builder
	left := 0
	for _, f := range p.Findings {
		if f.Severity == yard.Note && !all {
			left++
			continue
		}
		b.WriteString(strings.Join(strings.Fields(words.Text(f)), " ") + "\n")
	}
	if left == 1 {
		b.WriteString("1 note stands on the office sheet; hardfeed check says it too.\n")
	} else if left > 1 {
		fmt.Fprintf(&b, "%d notes stand on the office sheet; hardfeed check says them too.\n", left)
	}
	return b.String()
}

// sayLayout gives the settings lines that make the columns certain whose
// headings had to be guessed.
func sayLayout(p yard.Plan) string {
	var file struct{ Synonyms []Synonym }
	for _, g := range p.Week.Guessed {
		if y := (Synonym{g.Column, g.Word}); !slices.Contains(file.Synonyms, y) {
			file.Synonyms = append(file.Synonyms, y)
		}
	}
	if len(file.Synonyms) == 0 {
		return ""
	}
	text, err := yaml.Marshal(file)
	if err != nil {
		panic("voice: " + err.Error()) // a list of words always can be written
	}
	return "If these columns were guessed rightly, the lines below in the settings file (--config) make it certain:\n\n" + string(text)
}

// mostUnused is how many cells that were not used are named.
const mostUnused = 12

// sayRead is how the workbook was read, a line a horse, and the cells nothing was made
// of: what a manager looks through before she trusts the cards.
func sayRead(p yard.Plan) string {
	var b strings.Builder
	b.WriteString("How each horse was read:\n")
	for _, h := range p.Horses {
		parts := []string{"weight " + kgOrNot(h.Horse.WeightKg)}
		if kg, ok := h.WeightKg.Get(); ok {
			parts[0] = fmt.Sprintf("%.0f kg (%s)", kg, strings.ReplaceAll(string(h.WeightBasis), "_", " and "))
		}
		parts = append(parts, "work "+workRead(p.Week, h.Horse), "hard feed now "+kgOrNot(h.HardFeed.Now), "planned "+kgOrNot(h.HardFeed.Planned))
		for _, d := range h.Horse.Diagnoses {
			parts = append(parts, visible(d.Text))
		}
		fmt.Fprintf(&b, "  %s: %s\n", visible(h.Horse.Name), strings.Join(parts, "; "))
	}
	if n := len(p.Week.NotUsed); n > 0 {
		var cells []string
		for _, c := range p.Week.NotUsed[:min(n, mostUnused)] {
			cells = append(cells, visible(fmt.Sprintf("%s %q", c, c.Text)))
		}
		if n > mostUnused {
			cells = append(cells, fmt.Sprintf("and %d more", n-mostUnused))
		}
		fmt.Fprintf(&b, "Cells that were not used: %s.\n", strings.Join(cells, ", "))
	}
	return b.String()
}

func kgOrNot(n yard.Num) string {
	if kg, ok := n.Get(); ok {
		return strconv.FormatFloat(math.Round(kg*100)/100, 'f', -1, 64) + " kg"
	}
	return "not known"
}

// workRead is a horse's minutes day by day; a question mark where they are not known.
func workRead(w yard.Week, h yard.Horse) string {
	if !h.WorkGiven {
		return "not known"
	}
	var days []string
	for i, d := range h.Work {
		minutes := 0.0
		for _, s := range d.Sessions {
			minutes += s.Total()
		}
		what := fmt.Sprintf("%.0f min", minutes)
		switch {
		case d.Unknown:
			what = "?"
		case minutes == 0:
			what = "off"
		}
		days = append(days, words.Weekday(w, i)+" "+what)
	}
	return strings.Join(days, ", ")
}

func count(n int, of string) string {
	switch n {
	case 0:
		return "no " + of + "s"
	case 1:
		return "1 " + of
	}
	return fmt.Sprintf("%d %ss", n, of)
}

func names(p yard.Plan, s yard.Status) string {
	var list []string
	for _, h := range p.Horses {
		if h.Status == s {
			list = append(list, visible(h.Horse.Name))
		}
	}
	if len(list) == 0 {
		return "none."
	}
	return strings.Join(list, ", ") + "."
}

// sayError is what is said before the program ends without having done its work. The
// lines of a fault of the program's own are kept as lines.
func sayError(err error) string { return "hardfeed: " + words.Told(err) }

// reason is the part of a file system's error that people can use: the path is
// already in the sentence around it.
func reason(err error) string { return words.Told(disk.Reason(err)) }

// remedy is what to do about a file system's error, with a blank before it; "" where
// nothing better is known than what the error says.
func remedy(err error) string {
	if do := disk.Remedy(err); do != "" {
		return " " + words.AsWritten(yard.Say(do))
	}
	return ""
}

// show names a folder by its last part, for sentences.
func show(path string) string { return filepath.Base(path) }
