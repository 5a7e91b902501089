package board

import (
	"strings"
	"time"

	"hardfeed/ration/yard"
)

// findings are the questions, and what is said besides, each once.
func findings(asks *questions, hd *herd) []yard.Finding {
	out := asks.extra
	for _, a := range asks.asked {
		f := yard.Finding{Rule: yard.RuleID(a.rule), Severity: yard.Warn, Saying: says(hd, a)}
		if a.note {
			f.Severity = yard.Note
		}
		if a.sheet != nil {
			f.Cell = place(a.sheet, a.cell)
		}
		if len(a.horses) == 1 {
			f.Horse = hd.horses[a.horses[0]].name
		}
		out = append(out, f)
	}
	return out
}

// mostSaid is how many characters of a cell a question says again.
const mostSaid = 70

// wrote is what stands in a cell, on one line and cut where it is long.
func wrote(text string) yard.Arg {
	text = strings.Join(strings.Fields(text), " ")
	if r := []rune(text); len(r) > mostSaid {
		text = string(r[:mostSaid]) + "…"
	}
	return yard.Words("wrote", text)
}

// askedOfOne are the questions about one thing of the workbook: how many cells say
// it is not said.
var askedOfOne = map[string]bool{"measure-weight": true, "work-missing": true, "work-blank": true, "diagnosis-word": true, "horse-gone": true, "week-year": true, "week-unknown": true, "amount-missing": true, "row-skipped": true, "sheet-unused": true, "sheet-old": true}

// says is a question as data: the key is that of its rule, with what sets it apart
// behind it, and of all the cells that ask the same how many there are.
func says(hd *herd, a ask) yard.Saying {
	s := question(hd, a)
	if a.cells < 2 || askedOfOne[a.rule] {
		return s
	}
	return yard.Say("finding.board.many", yard.Said("what", s), yard.Count("n", a.cells))
}

// question is one, without how often it stands in the workbook.
func question(hd *herd, a ask) yard.Saying {
	key, word := "finding.board."+a.rule, wrote(a.word)
	switch a.rule {
	case "amount-vague":
		if a.why == "size" {
			return yard.Say(key+".size", word, yard.Words("size", a.near), yard.Words("measure", a.unit))
		}
		if a.note {
			return yard.Say(key+".note", word, yard.FeedArg("feed", a.feed))
		}
		return yard.Say(key, word)
	case "measure-weight":
		return yard.Say(key, yard.Words("measure", a.unit), yard.FeedArg("feed", a.feed))
	case "work-word":
		return a.workWord(key, word)
	case "work-length":
		return yard.Say(key, word, yard.Fixed("minutes", a.value, yard.Minutes, 0))
	case "amount-times":
		if a.why == "each" {
			return yard.Say(key+".each", word)
		}
		return yard.Say(key, word)
	case "amount-missing":
		if a.why == "last plan" {
			return yard.Say(key+".last", yard.Named("sheet", yard.Place, a.sheet.Name), hd.namesOf(a.horses))
		}
		return yard.Say(key+"."+a.why, hd.namesOf(a.horses))
	case "amount-sum":
		return yard.Say(key, word, yard.Words("sum", a.near))
	case "row-skipped":
		return yard.Say(key, yard.Named("sheet", yard.Place, a.sheet.Name), yard.Names("horses", yard.Comma, yard.HorseName, strings.Split(a.near, "\x00")))
	case "work-missing":
		return yard.Say(key, hd.namesOf(a.horses))
	case "work-blank":
		return blankDays(hd, key+"."+a.why, a)
	case "diagnosis-word":
		if a.why == "losing weight" {
			return yard.Say(key+".losing", word)
		}
		return yard.Say(key, word, yard.Named("diagnosis", yard.Term, a.why))
	case "horse-gone":
		if a.why == "struck" {
			return yard.Say(key+".struck", word)
		}
		return yard.Say(key, word)
	case "week-year":
		return yard.Say(key, word, yard.Words("week", a.feed))
	case "week-unknown":
		if a.why == "days" {
			return yard.Say(key+".days", word)
		}
		return yard.Say(key)
	case "weight-doubt", "amount-doubt":
		if a.why == "far" || a.why == "much" || a.why == "ahead" {
			return yard.Say(key+"."+a.why, word)
		}
		return yard.Say(key, word)
	case "amount-blank":
		if a.why == "meal" {
			return yard.Say(key+".meal", word, hd.namesOf(a.horses))
		}
		return yard.Say(key, word)
	case "weight-missing", "weight-unread",
		"amount-same", "amount-unread", "amount-feed", "amount-unit",
		"work-same", "cell-unused", "column-unused", "sheet-unused", "sheet-old":
		return yard.Say(key, word)
	}
	return yard.Say("finding.board.unclear", word)
}

// blankDays asks about days nothing is written for, by why they are blank.
func blankDays(hd *herd, key string, a ask) yard.Saying {
	return yard.Say(key, yard.Named("sheet", yard.Place, a.sheet.Name), yard.SayingList("days", yard.Comma, hd.daysOfHorses(a)))
}

// workWord asks about a word of work, by what is not clear in it.
func (a ask) workWord(key string, word yard.Arg) yard.Saying {
	switch a.why {
	case "length", "pace":
		return yard.Say(key+".length", word, yard.Words("work", a.feed))
	case "word", "nothing":
		if a.near != "" {
			return yard.Say(key+".near", word, yard.Words("near", a.near))
		}
		return yard.Say(key, word)
	case "much", "days", "which days":
		return yard.Say(key+"."+a.why, word)
	case "number", "figure":
		return yard.Say(key+".number", word)
	}
	return yard.Say(key+".doubt", word)
}

// someMonday is any Monday: only the names of the days from it on are said.
var someMonday = time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)

// daysOfHorses lists the horses and days a question is about: "Bella (Mon, Wed)".
func (hd *herd) daysOfHorses(a ask) (out []yard.Saying) {
	for _, h := range a.horses {
		var days []yard.Value
		for _, d := range a.days[h] {
			days = append(days, yard.DayOfWeek{Date: someMonday.AddDate(0, 0, d), Number: yard.Weekday(d)})
		}
		out = append(out, yard.Say("part.days of horse", yard.Named("horse", yard.HorseName, hd.horses[h].name), yard.Listed("days", yard.Comma, days...)))
	}
	return out
}
