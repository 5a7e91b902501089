package phrase

import (
	"hardfeed/ingest/lexicon"
)

// ReadClock reads an hour that can be nothing else at token i: "7am", "5.30 pm",
// "17h", "7h30", "6 Uhr", "14:30", "6.30:" and noon in figures ("12.00:"), as
// minutes after midnight; n is 0 where there is none.
func ReadClock(t *lexicon.Table, text string, toks []lexicon.Token, i int) (minute, n int) {
	tok := toks[i]
	switch tok.Kind {
	case lexicon.Clock:
		m, k := halfOfDay(toks, i+1, tok.Minute)
		return m, 1 + k
	case lexicon.Number:
	default:
		return 0, 0
	}
	if m, ok := dotted(tok.Of(text)); ok { // 6.30 am, 17.30 Uhr, 6.30:
		if v, k := halfOfDay(toks, i+1, m); k > 0 {
			return v, 1 + k
		}
		if i+1 < len(toks) && toks[i+1].Text == ":" {
			return m, 1
		}
		return 0, 0
	}
	if !tok.Whole || tok.Value > 23 {
		return 0, 0
	}
	h := int(tok.Value) * 60
	if v, k := halfOfDay(toks, i+1, h); k > 0 {
		return v, 1 + k
	}
	return hourAndH(toks, i, h)
}

// halfOfDay takes "am", "pm" or "Uhr" at token k behind a time of day, and gives the time
// meant.
func halfOfDay(toks []lexicon.Token, k, minute int) (int, int) {
	if k >= len(toks) {
		return minute, 0
	}
	switch w := toks[k].Text; {
	case (w == "am" || w == "pm") && minute >= 60 && minute < 13*60:
		minute %= 12 * 60
		if w == "pm" {
			minute += 12 * 60
		}
		return minute, 1
	case (w == "a" || w == "p") && toks[k].Glued && toks[k].Dot:
		return 0, 0
	case w == "uhr":
		return minute, 1
	}
	return minute, 0
}

// firstHour is the first hour believed before an "h" alone (ours): "2h" is how long.
const firstHour = 4

// hourAndH reads "17h" and "7h30" at token i.
func hourAndH(toks []lexicon.Token, i, minute int) (int, int) {
	if i+1 >= len(toks) || toks[i+1].Text != "h" || !toks[i+1].Glued || minute < 60*firstHour {
		return 0, 0
	}
	if i+2 < len(toks) && toks[i+2].Glued && toks[i+2].Whole && toks[i+2].Value < 60 {
		return minute + int(toks[i+2].Value), 3
	}
	return minute, 2
}

// dotted reads "6.30" and "12.00" as a time of day.
func dotted(raw string) (int, bool) {
	h, m, k := 0, 0, 0
	for k < len(raw) && raw[k] >= '0' && raw[k] <= '9' {
		h = 10*h + int(raw[k]-'0')
		k++
	}
	if k == 0 || k > 2 || len(raw) != k+3 || raw[k] != '.' || h > 23 {
		return 0, false
	}
	for _, c := range raw[k+1:] {
		if c < '0' || c > '9' {
			return 0, false
		}
		m = 10*m + int(c-'0')
	}
	return 60*h + m, m < 60
}

// ClockMeal is the key of a meal at a time of day.
func ClockMeal(minute int) string {
	const digits = "0123456789"
	h, m := minute/60, minute%60
	return string([]byte{digits[h/10], digits[h%10], ':', digits[m/10], digits[m%10]})
}
