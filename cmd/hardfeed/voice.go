package main

// The console's voice, all of it in this file.
//
//  1. Counts first: what was read, so that a missing horse is noticed.
//  2. Then where the files are.
//  3. Then who has no card or gets less than planned, and why in a line each.
//  4. Then how much there is to read, and where. Twelve lines at most.
//  5. The findings themselves are for check, and for --verbose with their rules and
//     sources.
//  6. A refusal is one sentence or two: what was found, what to do. No codes, no jargon of
//     programs, no exclamation marks.
//  7. Nothing is ever called safe: what was compared is said.
//  8. Everything here goes to standard error. Standard output is for programs.

import (
	"fmt"
	"io"
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

// sayCounts is what was read, and how many horses were planned.
func sayCounts(workbook string, p yard.Plan) string {
	read := p.Week.Read
	return fmt.Sprintf("Read %s: %s, %s, %s. Planned: %s.\n", visible(workbook),
		count(read.Sheets, "sheet"), count(read.Rows, "row"), count(read.Horses, "horse"), count(len(p.Horses), "horse"))
}

// mostTold is how many horses are told of by a line each; the others are named.
const mostTold = 6

// sayHorses tells who has no card and whose is not as planned, mostly less, and why.
func sayHorses(p yard.Plan) string {
	var b strings.Builder
	left := mostTold
	for _, of := range []struct {
		is    func(h *yard.HorsePlan) bool
		words string
	}{
		{func(h *yard.HorsePlan) bool { return h.Status == yard.NoCard }, "No card"},
		{words.AskFirst, "Ask first"},
		{func(h *yard.HorsePlan) bool { return h.Status == yard.Held && !words.AskFirst(h) }, "Not as planned"},
	} {
		var more []string
		for i := range p.Horses {
			switch h := &p.Horses[i]; {
			case !of.is(h):
			case left > 0:
				left--
				is := of.words
				if words.StatusKey(h) == "status.held" {
					is = "Less than planned"
				}
				b.WriteString(words.Join(" ", is+": "+visible(h.Horse.Name)+".", visible(shortWhy(*h))) + "\n")
			default:
				more = append(more, visible(h.Horse.Name))
			}
		}
		if more != nil {
			fmt.Fprintf(&b, "%s, too: %s.\n", of.words, strings.Join(more, ", "))
		}
	}
	if left == mostTold {
		return "Every horse has the card that was planned.\n"
	}
	return b.String()
}

// shortWhy is the first of a horse's reasons, in two sentences at most, and how much hard
// feed a card has that is less than was planned.
func shortWhy(h yard.HorsePlan) string {
	if words.AskFirst(&h) {
		return words.Said(yard.Say("ask.why"))
	}
	all := words.Why(h)
	if len(all) == 0 {
		return ""
	}
	parts := strings.SplitAfterN(all[0], ". ", 3)
	why := strings.TrimSpace(strings.Join(parts[:min(2, len(parts))], ""))
	if words.StatusKey(&h) == "status.held" {
		why += " The card has " + kgOrNot(h.HardFeed.Card) + "."
	}
	return why
}

// sayWhere says how much there is to read, and where.
func sayWhere(p yard.Plan, written []string) string {
	var tally [yard.Stop + 1]int
	for _, f := range p.Findings {
		tally[f.Severity]++
	}
	text := fmt.Sprintf("To decide: %d. To do this week: %d. Good to know: %d.", tally[yard.Stop], tally[yard.Warn], tally[yard.Note])
	if slices.Contains(written, correctionsName) {
		text += " " + correctionsName + " shows the cells to put right."
	}
	if written != nil {
		text += " Read page 1 of office.pdf. Then print the cards and count them."
	}
	return text + "\n"
}

func sayFiles(dir string, names []string) string {
	return fmt.Sprintf("Written to %s: %s.\n", visible(dir), strings.Join(names, ", "))
}

// sayKept names the files of a person that were kept.
func sayKept(kept []string) string {
	if len(kept) == 0 {
		return ""
	}
	return fmt.Sprintf("Your own changes in that folder were kept: %s.\n", strings.Join(kept, ", "))
}

// sayLine is one line.
func sayLine(to io.Writer, format string, args ...any) { fmt.Fprintf(to, format+"\n", args...) }

// sayFindings lists the findings, with what to do; with all, why and by which rule and
// source as well.
func sayFindings(p yard.Plan, all bool) string {
	var b strings.Builder
	for _, f := range p.Findings {
		at := words.Join(", ", visible(f.Horse), visible(words.Where(f.Cell)))
		parts := []string{words.Message(f), words.Said(f.Next)}
		if still := words.English().Still(f); still != "" {
			parts = append(parts[:1], still)
			if all {
				parts = append(parts, words.Said(f.Next))
			}
		}
		if all {
			parts = append(parts, words.Said(f.Why))
			if whose := words.Whose(f); whose != "" {
				parts = append(parts, "("+whose+")")
			}
		}
		line := words.Join(": ", words.Join(" ", severityWords[f.Severity], at), words.Together(parts...))
		b.WriteString(strings.Join(strings.Fields(line), " ") + "\n")
	}
	return b.String()
}

// severityWords begin a finding's line.
var severityWords = map[yard.Severity]string{yard.Stop: "DECIDE", yard.Warn: "THIS WEEK", yard.Note: "GOOD TO KNOW"}

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
	return "If these columns were guessed right, put the lines below in the settings file (--config), and they are certain:\n\n" + string(text)
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
		parts = append(parts, "work "+workRead(p.Week, h.Horse), "hard feed now "+kgOrNot(h.HardFeed.Now), plannedRead(h))
		for _, name := range yard.DiagnosesSaid(h.Horse.Diagnoses) {
			parts = append(parts, visible(name))
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
		fmt.Fprintf(&b, "Not used: %s.\n", strings.Join(cells, ", "))
	}
	return b.String()
}

// plannedRead is the hard feed planned, as the office sheet has it.
func plannedRead(h yard.HorsePlan) string {
	switch {
	case !h.Horse.PlanUnread.Empty():
		return "planned not known"
	case !h.HardFeed.Planned.IsKnown():
		return "not planned"
	}
	return "planned " + kgOrNot(h.HardFeed.Planned)
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
