package ingest

import (
	"slices"
	"strings"

	"hardfeed/ingest/phrase"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// Problem is a place in a work cell that could not be taken as it stands.
type Problem struct {
	Rule   string      // "work-word", "work-minutes" or "work-time"
	Pos    int         // byte offset in the text
	Word   string      // what is there
	Saying yard.Saying // what is the matter with it and what to do: it follows the words of the cell
}

// MostMinutes is the longest day's work believed: ten hours.
const MostMinutes = phrase.MostMinutes

// ParseWork reads a work cell, what people write on a whiteboard, in the words
// of all languages there are: see [phrase.Words.Work]. The yard's own sessions,
// keyed by name in lower case, win over every word of ours.
//
// What is understood is kept; each thing that is not gives a [Problem] and sets
// Day.Unknown, so that it never counts as a day off. A day of more than
// [MostMinutes] is not accepted and comes back without sessions. An empty text
// is a day without work. Day.Cell is left to the caller.
func ParseWork(text string, sessions map[string]yard.Session) (yard.Day, []Problem) {
	return newWorkWords(sessions, headerWords{}).parse(text)
}

// workWords is what a yard's work cells are read by: its sessions and its own
// words for the paces and for rest, which win over the built-in ones.
type workWords struct{ w *phrase.Words }

func newWorkWords(sessions map[string]yard.Session, own headerWords) *workWords {
	var defs []phrase.Definition
	for word, gait := range own.paces {
		defs = append(defs, phrase.Definition{Kind: phrase.Meaning, Word: word, Section: "paces", Key: gait.String()})
	}
	slices.SortFunc(defs, func(a, b phrase.Definition) int { return strings.Compare(a.Word, b.Word) })
	for _, word := range own.rest {
		defs = append(defs, phrase.Definition{Kind: phrase.Meaning, Word: word, Section: "rest", Key: string(phrase.Rest)})
	}
	return &workWords{phrase.Load().With(defs).WithSessions(sessions)}
}

// parse is [ParseWork].
func (w *workWords) parse(text string) (yard.Day, []Problem) {
	d := w.w.Work(text, phrase.WorkContext{PacesAsWritten: true})
	day := yard.Day{Text: strings.TrimSpace(text), Event: d.Event}
	if d.Event {
		day.StartMin, day.Also = d.StartMin, d.Also
	}
	for _, s := range d.Sessions {
		day.Sessions = append(day.Sessions, s.Session)
	}
	var problems []Problem
	for _, x := range d.Doubts {
		rule, why := sayDoubt(x, d)
		problems = append(problems, Problem{rule, x.Span.Start, x.Word, why})
	}
	switch {
	case d.Ref != nil && d.Ref.Other == "":
		problems = append(problems, Problem{"work-word", d.Ref.Start, day.Text, yard.Say("part.work.elsewhere")})
	case d.Ref != nil:
		problems = append(problems, Problem{"work-word", d.Ref.Start, day.Text, yard.Say("part.work.as", yard.Words("day", d.Ref.Other))})
	case d.Free == phrase.Visit || d.Free == phrase.Lame:
		problems = append(problems, Problem{"work-word", 0, day.Text, yard.Say("part.work.neither")})
	}
	day.Unknown = len(problems) > 0
	return day, problems
}

// sayDoubt is the rule of a doubt and what is said of it.
func sayDoubt(x phrase.Doubt, d phrase.Work) (rule string, says yard.Saying) {
	switch x.Kind {
	case phrase.UnknownWord:
		return "work-word", orNear("part.work.word", x.Near, yard.Words("word", x.Word))
	case phrase.NoLength:
		return "work-minutes", yard.Say("part.work.length", yard.Words("word", x.Word), yard.Words("again", x.Word))
	case phrase.WhatWork:
		return "work-minutes", yard.Say("part.work.what")
	case phrase.HowMuch:
		return "work-minutes", yard.Say("part.work.how much", yard.Words("word", x.Word))
	case phrase.ARange:
		return "work-minutes", yard.Say("part.work.range", yard.Words("word", x.Word))
	case phrase.AQuestion:
		return "work-word", yard.Say("part.work.open", yard.Words("word", x.Word))
	case phrase.TooMuch:
		return "work-minutes", yard.Say("part.work.too much", yard.Count("most", MostMinutes))
	case phrase.RestAndWork:
		return "work-word", yard.Say("part.work.rest too")
	case phrase.AClock:
		return "work-time", yard.Say("part.work.clock", yard.Words("word", x.Word))
	case phrase.NotAgreed:
		return "work-minutes", yard.Say("part.work.sum", yard.Words("word", x.Word))
	case phrase.WhichTimes:
		return "work-word", yard.Say("part.work.times", yard.Words("word", x.Word))
	case phrase.NoPace:
		return "work-minutes", yard.Say("part.work.pace")
	case phrase.NoPaces:
		return "work-minutes", yard.Say("part.work.session", yard.Words("word", x.Word))
	}
	return "work-word", yard.Say("part.work.neither")
}

// workCells reads the work cells of a workbook, each text once.
type workCells struct {
	log   *log
	words *workWords
	seen  map[string]workCellRead
	chars int // read so far
}

// workCellRead is the text of a work cell, read.
type workCellRead struct {
	day      yard.Day
	problems []Problem
}

func newWorkCells(said *log, words *workWords) *workCells {
	return &workCells{log: said, words: words, seen: map[string]workCellRead{}}
}

// tooMuch says that there is more work than any yard writes: not all of it was read.
func (r *workCells) tooMuch() bool { return r.chars > mostWorkText }

func (r *workCells) read(t *table, c xlsx.Cell, horse string) yard.Day {
	place := t.sheet.place(c)
	unknown := yard.Day{Unknown: true, Text: c.Shown, Cell: place}
	switch c.Kind {
	case xlsx.Wrong, xlsx.Uncached:
		_, rule, why := quantityOf(c)
		r.log.find(rule, yard.Warn, horse, place, yard.Say("finding.cell.work", yard.Said("why", why)))
		return unknown
	case xlsx.Date:
		r.log.find("work-word", yard.Warn, horse, place, yard.Say("finding.work-word.date", wrote("wrote", c.Shown)))
		return unknown
	case xlsx.Boolean:
		r.log.find("work-word", yard.Warn, horse, place, yard.Say("finding.work-word.boolean", wrote("wrote", c.Shown)))
		return unknown
	case xlsx.Clock:
		r.log.find("work-word", yard.Warn, horse, place, yard.Say("finding.work-word.clock", wrote("wrote", c.Shown)))
		return unknown
	}
	known, seen := r.seen[c.Shown]
	if !seen { // the same work is in many cells
		if len(c.Shown) > mostCellText {
			unknown.Text, unknown.Cell.Text = short(c.Shown), short(c.Shown)
			r.log.find("work-word", yard.Warn, horse, unknown.Cell, yard.Say("finding.work-word.long", yard.Count("n", len(c.Shown))))
			return unknown
		}
		if r.chars += len(c.Shown); r.chars > mostWorkText {
			return unknown // refused in the end
		}
		known.day, known.problems = r.words.parse(c.Shown)
		r.seen[c.Shown] = known
	}
	day := known.day
	day.Sessions = slices.Clone(day.Sessions)
	day.Cell = place
	for _, p := range known.problems {
		r.log.find(p.Rule, yard.Warn, horse, place, yard.Say("finding.work.cell", wrote("wrote", c.Shown), yard.Said("why", p.Saying)))
	}
	return day
}
