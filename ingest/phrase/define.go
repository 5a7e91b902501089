package phrase

import (
	"slices"
	"strings"
	"unicode/utf8"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

// DefinitionKind is what a legend defines.
type DefinitionKind int

const (
	MeasureWeight DefinitionKind = iota + 1 // 1 scoop of nuts is 1.2 kg
	WorkLength                              // a lesson is 45 minutes
	Meaning                                 // Sch is school, TO is turnout
	BareWork                                // numbers alone are minutes
	BareAmount                              // all amounts are in scoops
	PerFeed                                 // amounts are for each feed
)

// Length is how long and of what a word of work is.
type Length struct {
	Minutes float64 // 0: the legend gives no length
	Kind    string  // key of the kind of work, "" where the legend says none
	Gaits   [yard.Gaits]float64
	Event   bool
	Led     bool
	Hills   bool
	Efforts int
	Name    string // of a session of her table; "" where it is called as it is written
	Empty   bool   // a session of her table without minutes
}

// Definition is one thing a legend defines.
type Definition struct {
	Kind DefinitionKind
	Span Span
	Word string // the word defined, as written

	Measure string  // MeasureWeight: the key of the measure or unit of volume
	Feed    string  // MeasureWeight, BareAmount: the feed's name, "" for any
	FeedKey string  // its class in the tables
	Kg      float64 // MeasureWeight: of one measure

	Length Length // WorkLength; BareWork: Kind, and Minutes of a session

	Section, Key string // Meaning: what the word stands for
	// Sure says that the word can be nothing but a legend's, wherever it stands: a
	// sign of equality, or an abbreviation before the words it is short for.
	Sure bool

	Unit  string // BareWork: "min", "h" or "session"; BareAmount: the unit's or measure's key
	Times int    // PerFeed: how often a day, 0 where it is not said
}

// Define reads a legend: what a measure of a feed weighs ("1 scoop nuts = 1.2
// kg", "Scoop: nuts 1.7 kg, oats 1 kg", "nuts 1.5 kg a scoop"), how long a word
// of work is and what it means ("lesson = 45 min", "Sch = school 45", "TO =
// turnout only"), what numbers alone are ("numbers = minutes", "all in scoops"),
// and for how many feeds amounts are. A text that defines nothing gives none.
func (w *Words) Define(text string) []Definition {
	if len(text) > 4*LongestCell {
		return nil
	}
	toks := lexicon.Scan(text)
	if !w.mayDefine(toks) {
		return nil
	}
	var out []Definition
	for _, c := range w.clauses(text, toks) {
		out = append(out, w.general(text, toks, c)...)
	}
	out = append(out, w.measureWeights(text, toks)...)
	out = append(out, w.workWords(text, toks, out)...)
	slices.SortStableFunc(out, func(a, b Definition) int { return a.Span.Start - b.Span.Start })
	return out
}

// mayDefine says whether a text has what every definition has one of: a sign between a
// word and what it means, a legend's own word, or a unit of weight.
func (w *Words) mayDefine(toks []lexicon.Token) bool {
	for i, k := range toks {
		switch k.Text {
		case "=", "-", ":":
			return true
		}
		if _, n := w.t.Match(toks, i, "legend"); n > 0 {
			return true
		}
		if _, n := quantity.ReadUnit(w.t, toks, i, quantity.Mass); n > 0 {
			return true
		}
	}
	return false
}

// clause is tokens from to to.
type clause struct{ from, to int }

// gapped says whether token i stands apart from the one before: behind two
// blanks or more, a line's end, or a full stop.
func gapped(text string, toks []lexicon.Token, i int) bool {
	if i == 0 {
		return true
	}
	if toks[i].Text == "\n" || toks[i-1].Text == "\n" {
		return true
	}
	gap := text[toks[i-1].End:toks[i].Start]
	if strings.Contains(gap, ".") && toks[i].Kind == lexicon.Word {
		c, _ := utf8.DecodeRuneInString(text[toks[i].Start:])
		if strings.ToUpper(string(c)) == string(c) && strings.ToLower(string(c)) != string(c) || toks[i-1].End-toks[i-1].Start > 4 {
			return true
		}
	}
	return len(strings.TrimLeft(gap, ".")) >= 2
}

func stops(t lexicon.Token) bool { return t.Text == ";" || t.Text == "\n" || t.Text == "|" }

// clauses cuts a legend at its full stops, semicolons and wide gaps.
func (w *Words) clauses(text string, toks []lexicon.Token) []clause {
	var out []clause
	from := 0
	for i := range toks {
		switch {
		case stops(toks[i]) || toks[i].Text == "." && !toks[i].Glued:
			if i > from {
				out = append(out, clause{from, i})
			}
			from = i + 1
		case i > from && gapped(text, toks, i):
			out = append(out, clause{from, i})
			from = i
		case toks[i].Text == "." && (i+1 >= len(toks) || !toks[i+1].Glued):
			if i > from {
				out = append(out, clause{from, i})
			}
			from = i + 1
		}
	}
	if from < len(toks) {
		out = append(out, clause{from, len(toks)})
	}
	return out
}
