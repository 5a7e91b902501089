package phrase

import (
	"slices"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// Condition is a word for an illness, or for a horse that is gone, as it stands
// in a text. Words count as whole words: "ems" is not in "seems".
type Condition struct {
	Span
	Section string // "illness" or "fate"
	Key     string // "laminitis", "colic", "overweight", …; "sold", "loan", "away", "died", "for sale"
	Negated bool   // "no sign of laminitis", "insulin normal"
	Past    bool   // said to be of the past: "had colic in spring"
	// Sure says that the word begins the text or a part of it. Words such as
	// "left" and "gone" mean a horse that is gone only then.
	Sure bool
	Date quantity.Date // beside it; Day 0 where there is none
}

// weakFates are keys whose words often mean something else inside a sentence.
var weakFates = []string{"sold", "away", "loan"}

// Conditions finds every word for an illness and every word that a horse is
// gone.
func (w *Words) Conditions(text string) []Condition {
	toks := lexicon.Scan(text)
	var out []Condition
	begins := true // a part of the text begins here
	negatedTill, pastTill := -1, -1
	for i := 0; i < len(toks); {
		tok := toks[i]
		if tok.Kind == lexicon.Mark {
			begins = tok.Text != "'" && tok.Text != "\"" || begins
			if tok.Text == "," || tok.Text == ";" || tok.Text == "-" && !tok.Glued || tok.Text == "\n" || tok.Text == "/" || tok.Text == "(" {
				negatedTill = -1
			}
			i++
			continue
		}
		senses, n := w.t.Senses(toks, i, "illness", "fate")
		if n == 1 && tok.End-tok.Start <= 2 {
			senses = slices.DeleteFunc(senses, func(s lexicon.Sense) bool { return !tok.Upper })
		}
		if k := w.otherwise(toks, i, senses, n); k > 0 {
			i += k
			begins = false
			continue
		}
		_, k := w.t.Match(toks, i, "negation")
		if k > n || k > 0 && k == n && len(senses) == 0 {
			negatedTill = i + k + 3
			i += k
			begins = false
			continue
		}
		if n == 0 || len(senses) == 0 {
			if _, k := w.t.Match(toks, i, "past"); k > 0 {
				pastTill = i + k + 4
				i += k
				continue // "ex laminitic" still begins
			}
			begins = begins && tok.Kind == lexicon.Number
			i++
			if i < len(toks) && gapped(text, toks, i) {
				begins = true
			}
			continue
		}
		s := preferred(senses, "illness", "fate")
		if begins {
			s = preferred(senses, "fate", "illness")
		}
		c := Condition{Span: spanOf(toks, i, n), Section: s.Section, Key: s.Key, Sure: begins, Negated: i < negatedTill, Past: i < pastTill}
		j := i + n
		if d, m := dateAt(w, text, toks, j); m > 0 {
			c.Date = d
			j += m
		}
		for k := j; k < len(toks) && k < j+2; k++ {
			if toks[k].Kind == lexicon.Mark {
				break
			}
			if _, m := w.t.Match(toks, k, "settled"); m > 0 && s.Section == "illness" && slices.Contains([]string{"teeth", "EMS", "PPID", "liver", "kidney", "lame", "tying-up"}, s.Key) {
				c.Negated = true
			}
			if _, m := w.t.Match(toks, k, "past"); m > 0 {
				c.Past = true
			}
		}
		if s.Section == "fate" {
			// "left hind", "gone well", "moved to box 3": the word must end its part,
			// or lead to a date or another word of that kind.
			ends := j >= len(toks) || toks[j].Kind == lexicon.Mark || c.Date.Day != 0
			if !ends {
				if _, m := w.t.Match(toks, j, "week", "calendar", "weekdays", "fate", "date fillers"); m > 0 {
					ends = true
				}
			}
			c.Sure = c.Sure && (ends || !slices.Contains(weakFates, s.Key))
		}
		out = append(out, c)
		begins = false
		i += n
	}
	return out
}

// otherwise says how many tokens from i on are a word of work or of every day that
// only looks like an illness: "lead rein" is no kidney, and what a word of another
// language means counts for nothing where the yard's own has it.
func (w *Words) otherwise(toks []lexicon.Token, i int, senses []lexicon.Sense, n int) int {
	if toks[i].Kind != lexicon.Word {
		return 0
	}
	if _, k := w.t.Match(toks, i, "work", "fillers", "paces"); k > 1 && k > n {
		return k
	}
	first := w.t.Languages()[0]
	ours := func(s lexicon.Sense) bool { return s.Language == "" || s.Language == first }
	if n == 0 || slices.ContainsFunc(senses, ours) {
		return 0
	}
	all, k := w.t.Senses(toks, i, "work", "fillers", "paces", "rest", "ways", "feeds", "meals", "amounts", "columns", "calendar", "weekdays")
	if k == n && slices.ContainsFunc(all, ours) {
		return n
	}
	return 0
}

// dateAt is a date at token i, weak ones too.
func dateAt(w *Words, text string, toks []lexicon.Token, i int) (quantity.Date, int) {
	if i >= len(toks) {
		return quantity.Date{}, 0
	}
	d, n := quantity.ReadDate(w.t, text, toks, i)
	if n > 0 && d.Month == 0 {
		return quantity.Date{}, 0
	}
	return d, n
}
