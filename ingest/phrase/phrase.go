// Package phrase reads the language of a yard's cells: amounts of feed, a day's
// work, words for illness and for horses that are gone, legends, and what is only
// decoration.
//
// [Load] gives the words of some languages; [Words.Define] reads her legends and
// [Words.With] puts them in front of ours. Every reading says which part of the
// text it understood (spans of bytes) and what it did not. Nothing is guessed in
// silence: a range, a question mark, a word without a length, and two readings
// that both fit are told. Functions are pure.
package phrase

import (
	"maps"
	"math"
	"math/bits"
	"slices"
	"strings"
	"sync"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
	"hardfeed/templates/words"
)

// Span is a part of a cell's text, in bytes.
type Span = lexicon.Span

// LongestCell is how long a cell may be, in bytes, to be read as an amount, a
// day's work or a week (ours); a longer one is a letter, and is left unread.
const LongestCell = 1000

// Words is what cells are read by. It does not change and may be shared.
type Words struct {
	t     *lexicon.Table
	kinds kindsOfWork // ours
	own   map[string]Length
	defs  []Definition
	near  *sync.Map // word -> what it may have been meant for: found once
}

// Kind is a kind of work: how its minutes divide over the gaits.
type Kind struct {
	Share   [yard.Gaits]float64 // adds up to 1; all zero for an event
	Minutes [yard.Gaits]float64 // of an event without a length; ours, and said
	Led     bool                // without a rider's weight
	Hills   bool
	Event   bool
}

// Load gives the words of some languages, the yard's own first; all there are
// where none is named.
func Load(languages ...string) *Words {
	return &Words{t: lexicon.Load(languages...), kinds: kinds(), near: &sync.Map{}}
}

// Table is the table of words itself, for the functions of package quantity.
func (w *Words) Table() *lexicon.Table { return w.t }

// kinds reads the table of the kinds of work.
var kinds = sync.OnceValue(func() kindsOfWork {
	file, err := lexicon.Parse(words.Work())
	if err != nil {
		panic("the kinds of work: " + err.Error()) // they are part of the program, and tested
	}
	all := kindsOfWork{}
	for name, line := range file[""] {
		var k Kind
		var v []float64
		for f := range strings.FieldsSeq(line) {
			switch f {
			case "led":
				k.Led = true
			case "hills":
				k.Hills = true
			case "event":
				k.Event = true
			default:
				x := 0.0
				for _, c := range f {
					x = 10*x + float64(c-'0')
				}
				v = append(v, x)
			}
		}
		for g := range yard.Gaits {
			if k.Event {
				k.Minutes[g] = v[g]
			} else {
				k.Share[g] = v[g] / 100
			}
		}
		all[name] = k
	}
	return all
})

// Kind is what a key of work stands for; false for a key there is not.
func (w *Words) Kind(key string) (Kind, bool) {
	k, ok := w.kinds[key]
	return k, ok
}

// Languages says which languages a book's texts are written in, the likeliest
// first, by the words that belong to one language alone: how many different ones
// there are counts for more than how often one is written, as one
// abbreviation may fill a table. Languages without such a word come last, in the
// order of the tables.
func Languages(texts []string) []string {
	all := lexicon.Load()
	type word struct{ language, section, key string }
	said := map[word]int{}
	sections := []string{"columns", "stages", "meals", "feeds", "work", "rest", "calendar", "weekdays", "week", "measures", "amounts", "illness", "events", "times", "sheets", "marks", "visits"}
	times := map[string]int{} // a yard's week says a few things a thousand times
	for _, text := range texts {
		times[text]++
	}
	for text, n := range times {
		toks := lexicon.Scan(text)
		for i := 0; i < len(toks); {
			senses, long := all.Senses(toks, i, sections...)
			if long == 0 {
				i++
				continue
			}
			if toks[i].Kind == lexicon.Word && toks[i+long-1].End-toks[i].Start > 2 {
				one := senses[0].Language
				if !slices.ContainsFunc(senses, func(s lexicon.Sense) bool { return s.Language != one }) {
					said[word{one, senses[0].Section, senses[0].Key}] += n
				}
			}
			i += long
		}
	}
	votes := map[string]int{}
	for w, n := range said {
		votes[w.language] += bits.Len(uint(n))
	}
	order := slices.Clone(words.Languages())
	slices.SortStableFunc(order, func(a, b string) int { return votes[b] - votes[a] })
	return order
}

// Weight is [quantity.ReadWeight] in these words.
func (w *Words) Weight(text string, ctx quantity.WeightContext) quantity.Weight {
	if len(text) > LongestCell {
		return quantity.Weight{Unread: []Span{{Start: 0, End: len(text)}}}
	}
	return quantity.ReadWeight(w.t, text, ctx)
}

// Week is [quantity.ReadWeek] in these words.
func (w *Words) Week(text string) (quantity.Week, bool) {
	if len(text) > LongestCell {
		return quantity.Week{}, false
	}
	return quantity.ReadWeek(w.t, text)
}

// Dates is [quantity.FindDates] in these words.
func (w *Words) Dates(text string) []quantity.Date {
	return quantity.FindDates(w.t, text, lexicon.Scan(text))
}

// spanOf is where n tokens from i on stand.
func spanOf(toks []lexicon.Token, i, n int) Span {
	return Span{Start: toks[i].Start, End: toks[i+n-1].End}
}

// merged joins spans that touch or have only blanks between them.
func merged(text string, spans []Span) []Span {
	slices.SortFunc(spans, func(a, b Span) int { return a.Start - b.Start })
	var out []Span
	for _, s := range spans {
		if s.Start >= s.End {
			continue
		}
		if k := len(out) - 1; k >= 0 && (s.Start <= out[k].End || strings.TrimSpace(text[out[k].End:s.Start]) == "") {
			out[k].End = max(out[k].End, s.End)
			continue
		}
		out = append(out, s)
	}
	return out
}

// exact drops what only binary arithmetic adds: 700 g is 0.7 kg.
func exact(v float64) float64 { return math.Round(v*1e9) / 1e9 }

// With is the words with her definitions in front of ours.
func (w *Words) With(defs []Definition) *Words {
	if len(defs) == 0 {
		return w
	}
	c := &Words{t: w.t, kinds: w.kinds, own: maps.Clone(w.own), defs: append(slices.Clone(w.defs), defs...), near: &sync.Map{}}
	if c.own == nil {
		c.own = map[string]Length{}
	}
	phrases := map[string]lexicon.Sense{}
	for _, d := range defs {
		switch d.Kind {
		case WorkLength:
			key := lexicon.Fold(d.Word)
			c.own[key] = d.Length
			phrases[d.Word] = lexicon.Sense{Section: ownWork, Key: key}
			for _, several := range []string{"s", "es", "n", "en"} { // "2 lessons", "2 Reitstunden"
				if one, plural := strings.CutSuffix(d.Word, several); plural && c.sameWork(one, d.Word) {
					phrases[one] = lexicon.Sense{Section: ownWork, Key: key}
				}
				if _, said := phrases[d.Word+several]; !said && len(d.Word) > 3 {
					phrases[d.Word+several] = lexicon.Sense{Section: ownWork, Key: key}
				}
			}
		case Meaning:
			phrases[d.Word] = lexicon.Sense{Section: d.Section, Key: d.Key}
		case MeasureWeight:
			if _, known := c.t.Has(d.Measure, "measures", "units"); !known && d.Measure != "" {
				phrases[d.Measure] = lexicon.Sense{Section: "measures", Key: d.Measure}
				if size, plain, two := strings.Cut(d.Measure, " "); two { // "heaped scoop", "medida colmada"
					phrases[plain+" "+size] = phrases[d.Measure]
					phrases[size+" "+plain+"s"] = phrases[d.Measure]
				}
			}
		}
	}
	c.t = w.t.With(phrases)
	return c
}

// sameWork says whether two words are of one kind of work: "lesson" and "lessons".
func (w *Words) sameWork(one, other string) bool {
	x, known := w.t.Has(one, "work", "events")
	y, too := w.t.Has(other, "work", "events")
	return known && too && x == y
}

// WithSessions is the words with the sessions of her table in front of ours, by
// their names. Brackets and hyphens in a name do not matter.
func (w *Words) WithSessions(sessions map[string]yard.Session) *Words {
	var defs []Definition
	for _, key := range slices.Sorted(maps.Keys(sessions)) {
		s := sessions[key]
		var parts []string
		for _, t := range lexicon.Scan(key) {
			if t.Kind != lexicon.Mark {
				parts = append(parts, t.Text)
			}
		}
		word := strings.Join(parts, " ")
		if word == "" {
			continue
		}
		l := Length{Gaits: s.Minutes, Led: s.Led, Hills: s.Hills, Efforts: s.Efforts, Name: s.Name, Empty: s.Total() == 0}
		if e, ok := w.t.Has(word, "events"); ok {
			l.Event = w.kinds[e].Event
		}
		defs = append(defs, Definition{Kind: WorkLength, Word: word, Length: l})
		if !strings.HasSuffix(word, "s") {
			defs = append(defs, Definition{Kind: WorkLength, Word: word + "s", Length: l})
		}
	}
	return w.With(defs)
}

// Definitions are those the words were made with.
func (w *Words) Definitions() []Definition { return w.defs }

const ownWork = "own work"
