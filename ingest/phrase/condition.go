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

// settles are illnesses of which "normal", "done", "checked" behind them says that there
// is nothing now.
var settles = []string{"teeth", "EMS", "PPID", "liver", "kidney", "lame", "tying-up"}

// How far the words before an illness reach, in tokens (ours).
const (
	negationReach = 3 // "no sign of laminitis"
	pastReach     = 4 // "had bad colic in spring"
	behindReach   = 2 // "insulin normal", "laminitis 2019, past"
)

// conditionReader walks over a text for words of illness and of horses that are gone.
type conditionReader struct {
	w                     *Words
	text                  string
	toks                  []lexicon.Token
	begins                bool // a part of the text begins here
	negatedTill, pastTill int  // tokens
	out                   []Condition
}

// Conditions finds every word for an illness and every word that a horse is
// gone.
func (w *Words) Conditions(text string) []Condition {
	r := conditionReader{w: w, text: text, toks: lexicon.Scan(text), begins: true, negatedTill: -1, pastTill: -1}
	for i := 0; i < len(r.toks); {
		i += r.step(i)
	}
	return r.out
}

func (r *conditionReader) step(i int) int {
	tok, t := r.toks[i], r.w.t
	if tok.Kind == lexicon.Mark {
		r.mark(tok)
		return 1
	}
	senses, n := t.Senses(r.toks, i, "illness", "fate")
	if size := tok.End - tok.Start; n == 1 && !tok.Upper {
		// "ID" is not "id"; and a cob is a horse in English, COB a cough in German.
		senses = slices.DeleteFunc(senses, func(s lexicon.Sense) bool { return size <= 2 || size <= 4 && !r.w.ours(s) })
	}
	if k := r.w.otherwise(r.toks, i, senses, n); k > 0 {
		r.begins = false
		return k
	}
	if _, k := t.Match(r.toks, i, "negation"); k > n || k > 0 && k == n && len(senses) == 0 {
		r.negatedTill = i + k + negationReach
		r.begins = false
		return k
	}
	if len(senses) == 0 {
		return r.otherWord(i)
	}
	r.out = append(r.out, r.condition(i, n, senses))
	r.begins = false
	return n
}

// mark says what a sign begins, and what it ends the reach of.
func (r *conditionReader) mark(tok lexicon.Token) {
	r.begins = r.begins || tok.Text != "'" && tok.Text != `"`
	switch tok.Text {
	case "-":
		if tok.Glued {
			return
		}
		fallthrough
	case ",", ";", "\n", "/", "(":
		r.negatedTill = -1
	}
}

// otherWord takes a word that is not an illness; "ex laminitic" still begins.
func (r *conditionReader) otherWord(i int) int {
	if _, k := r.w.t.Match(r.toks, i, "past"); k > 0 {
		r.pastTill = i + k + pastReach
		return k
	}
	r.begins = r.begins && r.toks[i].Kind == lexicon.Number || i+1 < len(r.toks) && gapped(r.text, r.toks, i+1)
	return 1
}

// condition is what n tokens from i on say, with what is behind them.
func (r *conditionReader) condition(i, n int, senses []lexicon.Sense) Condition {
	s := preferred(senses, "illness", "fate")
	if r.begins {
		s = preferred(senses, "fate", "illness")
	}
	c := Condition{Span: spanOf(r.toks, i, n), Section: s.Section, Key: s.Key, Sure: r.begins, Negated: i < r.negatedTill, Past: i < r.pastTill}
	j := i + n
	if d, m := dateAt(r.w, r.text, r.toks, j); m > 0 {
		c.Date = d
		j += m
	}
	for k := j; k < min(len(r.toks), j+behindReach) && r.toks[k].Kind != lexicon.Mark; k++ {
		if _, m := r.w.t.Match(r.toks, k, "settled"); m > 0 && s.Section == "illness" && slices.Contains(settles, s.Key) {
			c.Negated = true
		}
		if _, m := r.w.t.Match(r.toks, k, "past"); m > 0 {
			c.Past = true
		}
	}
	if s.Section == "fate" && slices.Contains(weakFates, s.Key) {
		c.Sure = c.Sure && r.ends(j, c.Date)
	}
	return c
}

// ends says whether a word such as "left" or "moved" ends its part, or leads to a date
// or another word of that kind, at token j: "left hind", "gone well", "moved to box 3"
// are not horses that are gone.
func (r *conditionReader) ends(j int, date quantity.Date) bool {
	if j >= len(r.toks) || r.toks[j].Kind == lexicon.Mark || date.Day != 0 {
		return true
	}
	_, m := r.w.t.Match(r.toks, j, "week", "calendar", "weekdays", "fate", "date fillers")
	return m > 0
}

// otherwise says how many tokens from i on are a word of work or of every day that
// only looks like an illness: "lead rein" is not a kidney, and what a word of another
// language means counts for nothing where the yard's own has it.
func (w *Words) otherwise(toks []lexicon.Token, i int, senses []lexicon.Sense, n int) int {
	if toks[i].Kind != lexicon.Word {
		return 0
	}
	if _, k := w.t.Match(toks, i, "work", "fillers", "paces"); k > 1 && k > n {
		return k
	}
	if n == 0 || slices.ContainsFunc(senses, w.ours) {
		return 0
	}
	all, k := w.t.Senses(toks, i, "work", "fillers", "paces", "rest", "ways", "feeds", "meals", "amounts", "columns", "calendar", "weekdays")
	if k == n && slices.ContainsFunc(all, w.ours) {
		return n
	}
	return 0
}

// ours says whether a sense is of the yard's own language, or of none.
func (w *Words) ours(s lexicon.Sense) bool {
	return s.Language == "" || s.Language == w.t.Languages()[0]
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
