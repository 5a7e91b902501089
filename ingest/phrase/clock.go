package phrase

import (
	"hardfeed/ingest/lexicon"
)

// ReadClock reads an hour that can be nothing else at token i: "7am", "5.30 pm",
// "17h", "7h30", "6 Uhr", "14:30", "6.30:" and noon in figures ("12.00:"), as
// minutes after midnight; n is 0 where there is none.
func ReadClock(t *lexicon.Table, text string, toks []lexicon.Token, i int) (minute, n int) {
	tok := toks[i]
	next := func(k int) string {
		if k < len(toks) {
			return toks[k].Text
		}
		return ""
	}
	half := func(h int, k int) (int, int) { // am and pm behind an hour
		switch w := next(k); {
		case (w == "am" || w == "pm") && h >= 60 && h < 13*60:
			h %= 12 * 60
			if w == "pm" {
				h += 12 * 60
			}
			return h, 1
		case (w == "a" || w == "p") && k < len(toks) && toks[k].Glued && toks[k].Dot:
			return 0, 0
		case w == "uhr":
			return h, 1
		}
		return h, 0
	}
	switch {
	case tok.Kind == lexicon.Clock:
		m, k := half(tok.Minute, i+1)
		return m, 1 + k
	case tok.Kind != lexicon.Number:
		return 0, 0
	}
	raw := text[tok.Start:tok.End]
	if m, ok := dotted(raw); ok { // 6.30 am, 17.30 Uhr, 6.30:
		if v, k := half(m, i+1); k > 0 {
			return v, 1 + k
		}
		if next(i+1) == ":" {
			return m, 1
		}
		return 0, 0
	}
	if !tok.Whole || tok.Value > 23 {
		return 0, 0
	}
	h := int(tok.Value) * 60
	if v, k := half(h, i+1); k > 0 {
		return v, 1 + k
	}
	if next(i+1) == "h" && toks[i+1].Glued && tok.Value >= 4 {
		if i+2 < len(toks) && toks[i+2].Glued && toks[i+2].Whole && toks[i+2].Value < 60 {
			return h + int(toks[i+2].Value), 3
		}
		return h, 2
	}
	return 0, 0
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
