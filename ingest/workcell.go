package ingest

import (
	"fmt"
	"slices"
	"strings"

	"hardfeed/ingest/phrase"
	"hardfeed/ration/yard"
)

// Problem is a place in a work cell that could not be taken as it stands.
type Problem struct {
	Rule    string // "work-word", "work-minutes" or "work-time"
	Pos     int    // byte offset in the text
	Word    string // what stands there
	Message string // a sentence: what was expected, what to do
}

// MostMinutes is the longest day's work believed: ten hours.
const MostMinutes = phrase.MostMinutes

// ParseWork reads a work cell, what people write on a whiteboard, in the words
// of all languages there are: see [phrase.Words.Work]. The yard's own sessions,
// keyed by name in lower case, win over every word of ours.
//
// What is understood is kept; each thing that is not gives a [Problem] and sets
// Day.Unknown, so that it never counts as a day off. A day of more than
// [MostMinutes] is not believed and comes back without sessions. An empty text
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
		day.StartMin = d.StartMin
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
		problems = append(problems, Problem{"work-word", d.Ref.Start, day.Text, "points to another cell; write the work itself"})
	case d.Ref != nil:
		problems = append(problems, Problem{"work-word", d.Ref.Start, day.Text, fmt.Sprintf("says it is as %q; write the work itself", d.Ref.Other)})
	case d.Free == phrase.Visit || d.Free == phrase.Lame:
		problems = append(problems, Problem{"work-word", 0, day.Text, "says neither what work nor that there is none; expected work such as hack 60, W30 T20 C10 or rest"})
	}
	day.Unknown = len(problems) > 0
	return day, problems
}

// sayDoubt is the rule and the sentence of a doubt.
func sayDoubt(x phrase.Doubt, d phrase.Work) (rule, message string) {
	switch x.Kind {
	case phrase.UnknownWord:
		message = fmt.Sprintf("%q was not understood", x.Word)
		if x.Near != "" {
			return "work-word", message + fmt.Sprintf("; did you mean %q?", x.Near)
		}
		return "work-word", message + "; expected work such as hack 60, W30 T20 C10 or rest, or a name from the sessions sheet"
	case phrase.NoLength:
		return "work-minutes", fmt.Sprintf("how many minutes of %s? Write %s 45", x.Word, x.Word)
	case phrase.WhatWork:
		return "work-minutes", "minutes of what? Write the work before the minutes, such as W30 or hack 45"
	case phrase.HowMuch:
		return "work-minutes", fmt.Sprintf("%q can be hours, minutes or how often; write hack 45, or 2 x hack", x.Word)
	case phrase.ARange:
		return "work-minutes", fmt.Sprintf("%q is a range; write one number of minutes", x.Word)
	case phrase.AQuestion:
		return "work-word", fmt.Sprintf("%q leaves it open; write what is done", x.Word)
	case phrase.TooMuch:
		return "work-minutes", fmt.Sprintf("adds up to more than %d minutes of work in one day, which is not believed; correct the minutes", MostMinutes)
	case phrase.RestAndWork:
		return "work-word", "says rest and work in one cell; leave only one of them"
	case phrase.AClock:
		return "work-time", fmt.Sprintf("%q behind an event can be an hour or minutes; write the start as 10:00", x.Word)
	case phrase.NotAgreed:
		return "work-minutes", fmt.Sprintf("%q is followed by paces of another sum; write a comma or a plus between them if they come on top", x.Word)
	case phrase.WhichTimes:
		return "work-word", fmt.Sprintf("%q behind several paces can mean the last or all of them; write each pace with all its minutes", x.Word)
	case phrase.NoPace:
		return "work-minutes", "led, loose or hills for how many minutes, and at which pace? Write walk 20 led"
	case phrase.NoPaces:
		return "work-minutes", fmt.Sprintf("the sessions sheet gives no minutes for %s, so its paces are not known", x.Word)
	}
	return "work-word", "says neither what work nor that there is none; expected work such as hack 60, W30 T20 C10 or rest"
}
