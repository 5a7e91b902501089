package board

import (
	"fmt"
	"strings"

	"hardfeed/ration/yard"
)

// findings are the questions, and what is said besides, each once.
func (b *book) findings() []yard.Finding {
	out := b.extra
	for _, a := range b.asked {
		f := yard.Finding{Rule: yard.RuleID(a.rule), Severity: yard.Warn, Message: b.message(a)}
		if a.note {
			f.Severity = yard.Note
		}
		if a.sheet != nil {
			f.Cell = place(a.sheet, a.cell)
		}
		if len(a.horses) == 1 {
			f.Horse = b.horses[a.horses[0]].name
		}
		out = append(out, f)
	}
	return out
}

// many says how often something stands in the workbook beside the place named.
func (a ask) many() string {
	if a.cells < 2 {
		return ""
	}
	return fmt.Sprintf(" It stands in %d cells; this is the first.", a.cells)
}

func (b *book) message(a ask) string {
	w := strings.Join(strings.Fields(a.word), " ")
	if len(w) > 70 {
		w = w[:70] + "…"
	}
	many := a.many()
	switch a.rule {
	case "weight-doubt":
		return fmt.Sprintf("The weight %q could be right or not, so no weight was taken. Write the kilograms as a number, such as 520, or weigh the horse.%s", w, many)
	case "weight-missing":
		return fmt.Sprintf("The weight is given as %q. Write what the horse weighs, such as 520.%s", w, many)
	case "weight-unread":
		return fmt.Sprintf("The weight %q could not be read. Write it as a number, such as 520.%s", w, many)
	case "amount-doubt":
		return fmt.Sprintf("The feed %q can be meant in two ways. Write one amount, such as 1½ scoops nuts.%s", w, many)
	case "amount-same":
		return fmt.Sprintf("The feed %q refers to an amount that could not be found. Write the amount itself.%s", w, many)
	case "amount-unread":
		return fmt.Sprintf("The feed %q could not be read in full. Write an amount and a feed, such as 1½ scoops nuts.%s", w, many)
	case "amount-feed":
		return fmt.Sprintf("The amount %q does not say of which feed. Write the feed behind it, or over the column.%s", w, many)
	case "amount-unit":
		return fmt.Sprintf("The amount of feed %q has no unit. Write kg or scoops behind it, or in the heading of the column.%s", w, many)
	case "amount-times":
		return fmt.Sprintf("The feed %q is an amount for each feed, and how many feeds a day is written nowhere. Write twice a day behind it.%s", w, many)
	case "amount-vague":
		if a.note {
			return fmt.Sprintf("%q of %s has no weight, so it is left out of the feed that is worked out. Give it as before.%s", w, a.feed, many)
		}
		return fmt.Sprintf("The feed %q has no amount that can be weighed. Write how many scoops or kilograms.%s", w, many)
	case "amount-blank":
		return fmt.Sprintf("Nothing is written under %q for a horse that is fed now, so what is planned for it is not known. Write the amount, or same.%s", w, many)
	case "measure-weight":
		return fmt.Sprintf("What one %s of %s weighs is written nowhere, so its feed is not known in kilograms. Write it in a line on the sheet: 1 %s %s = 1.2 kg.", a.unit, a.feed, a.unit, a.feed)
	case "work-word":
		near := ""
		if a.near != "" {
			near = fmt.Sprintf(" Is it %s?", a.near)
		}
		switch a.why {
		case "length", "pace":
			return fmt.Sprintf("The work %q gives no time. Write the minutes behind it, or say once on the sheet: %s = 45 min.%s", w, a.feed, many)
		case "word", "nothing":
			return fmt.Sprintf("The work %q could not be read.%s Write what is done and for how long, such as hack 45.%s", w, near, many)
		case "number", "figure":
			return fmt.Sprintf("The work %q is a number, and nothing says whether it is minutes or hours. Write the unit in the heading: Work (minutes).%s", w, many)
		}
		return fmt.Sprintf("The work %q can be meant in two ways. Write what is done and for how long, such as hack 45.%s", w, many)
	case "work-length":
		return fmt.Sprintf("%q gives no time for the work, so %.0f minutes were taken. Write its own minutes behind it if it is longer or shorter.%s", w, a.value, many)
	case "work-missing":
		return fmt.Sprintf("No work is written for %s, though it is for others. Write its work, or off for each day.", w)
	case "work-blank":
		switch a.why {
		case "none":
			return fmt.Sprintf("Nothing could be read of the work of %s. These days are taken as not known. Write the work of the whole week in one place, and rest for a day off.", b.daysOfHorses(a))
		case "blank":
			return fmt.Sprintf("The work of %s is blank, and other days off are written. These days are taken as not known. Write rest where the horse has the day off.", b.daysOfHorses(a))
		}
		return fmt.Sprintf("Blank days are taken as days off on the sheet %q: %s. Write the work where it is no day off.", a.sheet.Name, b.daysOfHorses(a))
	case "work-same":
		return fmt.Sprintf("The work %q refers to a day whose work could not be found. Write the work itself.%s", w, many)
	case "diagnosis-word":
		return fmt.Sprintf("The notes speak of %s (%q). There is no rule of feeding for it here: ask your vet whether it changes what may be fed.", a.why, w)
	case "horse-gone":
		if a.why == "struck" {
			return fmt.Sprintf("%s is crossed out, so it gets no card. Take the line through it off if it is still here.", w)
		}
		return fmt.Sprintf("The workbook says %q, so the horse is taken as gone (sold, away) and gets no card.", w)
	case "week-year":
		return fmt.Sprintf("The year of the week %q is not written; %s was taken, by its weekdays. Write the year behind it.", w, a.feed)
	case "week-unknown":
		return "Which week this is stands nowhere, so no dates are printed. Write it over the table, such as: Week beginning 30 November 2026."
	case "cell-unused":
		return fmt.Sprintf("%q was not used: nothing says what it is about.%s", w, many)
	case "column-unused":
		return fmt.Sprintf("The column %q was not used: it is not known what it is about.%s", w, many)
	case "sheet-unused":
		return fmt.Sprintf("Nothing on the sheet %q was used: no horses were found on it.", w)
	case "sheet-old":
		return fmt.Sprintf("The sheet %q is of an earlier week. It is used only for what was fed and done before.", w)
	}
	return fmt.Sprintf("%q was not understood.%s", w, many)
}
