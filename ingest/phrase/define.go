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

// general reads what a clause says of all numbers: bare numbers are minutes, all
// amounts are in scoops, amounts are for each feed, a session's length.
func (w *Words) general(text string, toks []lexicon.Token, c clause) []Definition {
	t := w.t
	sub := toks[:c.to]
	i := c.from
	if i >= c.to {
		return nil
	}
	if sub[i].Whole && sub[i].Value == 1 && i+1 < c.to { // "1 session = 45 mins"
		i++
	}
	s, n := t.Match(sub, i, "legend")
	at := spanOf(toks, c.from, c.to-c.from)
	unit := func(j int) (string, int) {
		if m, k := t.Match(sub, j, "measures"); k > 0 {
			return m.Key, k
		}
		return quantity.ReadUnit(t, sub, j, quantity.Mass, quantity.Volume)
	}
	skip := func(j int) int {
		for j < len(sub) {
			if _, k := t.Match(sub, j, "legend"); k > 0 {
				if s, _ := t.Match(sub, j, "legend"); s.Key != "is" {
					return j
				}
				j += k
			} else if sub[j].Kind == lexicon.Word && sub[j].End-sub[j].Start <= 3 {
				if _, u := unit(j); u > 0 {
					return j
				}
				if _, u := quantity.ReadUnit(t, sub, j, quantity.Time); u > 0 {
					return j
				}
				j++ // "in", "are", "the"
			} else {
				break
			}
		}
		return j
	}
	switch {
	case n > 0 && s.Key == "bare":
		j := skip(i + n)
		if u, k := quantity.ReadUnit(t, sub, j, quantity.Time); k > 0 {
			d := Definition{Kind: BareWork, Span: spanOf(toks, c.from, j+k-c.from), Unit: u}
			for m := j + k; m < len(sub) && sub[m].Text != ","; m++ {
				if x, q := t.Match(sub, m, ownWork, "work"); q > 0 {
					d.Length.Kind = x.Key
					break
				}
			}
			return []Definition{d}
		}
		if x, k := t.Match(sub, j, "legend"); k > 0 && x.Key == "session" {
			return []Definition{{Kind: BareWork, Span: at, Unit: "session"}}
		}
		if u, k := unit(j); k > 0 {
			return []Definition{{Kind: BareAmount, Span: at, Unit: u}}
		}
	case n > 0 && s.Key == "session":
		j := skip(i + n)
		if d, k := quantity.ReadDuration(t, sub, j); k > 0 && (d.Unit != "" || d.Value >= fewestMinutes) {
			m := d.Minutes
			if d.Unit == "" {
				m = d.Value
			}
			return []Definition{{Kind: BareWork, Span: spanOf(toks, c.from, j+k-c.from), Unit: "session", Length: Length{Minutes: m}}}
		}
	}
	// "1 shift = 2 h 30": what a number alone counts, where nothing else is said.
	if i > c.from && n == 0 && i+1 < len(sub) && sub[i].Kind == lexicon.Word && sub[i+1].Text == "=" {
		if _, k := unit(i); k == 0 {
			if d, k := quantity.ReadDuration(t, sub, i+2); k > 0 && d.Minutes > 0 && d.High == 0 {
				out := Definition{Kind: BareWork, Span: Span{Start: toks[c.from].Start, End: toks[c.from].End}, Unit: "session", Length: Length{Minutes: d.Minutes}}
				if x, q := t.Match(sub, i, "work"); q > 0 {
					out.Length.Kind = x.Key
				}
				return []Definition{out}
			}
		}
	}
	// "Amounts are per feed, fed twice a day", "All amounts in scoops", "Kilos of
	// cubes unless it says".
	per, times, all, key := false, 0, false, ""
	feed, feedKey := "", ""
	for j := i; j < len(sub); j++ {
		if x, k := t.Match(sub, j, "legend"); k > 0 {
			switch x.Key {
			case "per feed":
				per = true
				if j > i {
					_, isAmounts := t.Match(sub, i, "legend")
					per = isAmounts > 0
				}
			case "all amounts", "unless":
				all = true
			}
			if x.Key != "is" {
				if x.Key == "all amounts" {
					if u, q := unit(j + k); q > 0 {
						key = u // "FEEDS – all in scoops": feeds are no measure there
					}
				}
			}
		}
		if x, k := t.Match(sub, j, "times"); k > 0 && x.Key[0] >= '1' && x.Key[0] <= '9' {
			times = int(x.Key[0] - '0')
		}
		if key == "" {
			if u, k := unit(j); k > 0 && (j == i || sub[j-1].Kind != lexicon.Number) {
				key = u
				j += k - 1
				continue
			}
		} else if x, k := t.Match(sub, j, "feeds"); k > 0 && feed == "" {
			feed, feedKey = spanOf(sub, j, k).Of(text), x.Key
		}
	}
	switch {
	case per:
		return []Definition{{Kind: PerFeed, Span: at, Times: times}}
	case all && key != "" && key != "feed" && !slices.ContainsFunc(sub[c.from:], func(k lexicon.Token) bool { return k.Kind == lexicon.Number }):
		return []Definition{{Kind: BareAmount, Span: at, Unit: key, Feed: feed, FeedKey: feedKey}}
	}
	return nil
}

// weighed is one measure's weight on its way.
type weighed struct {
	count    float64
	measure  string
	word     string
	from, to int // the tokens of the feed's name
	value    float64
	unit     string
	size     string // "heaped", where it says so
	start    int    // tokens
	end      int
}

// measureWeights reads what measures of feeds weigh.
func (w *Words) measureWeights(text string, toks []lexicon.Token) []Definition {
	t := w.t
	var found []weighed
	cur := weighed{count: 1, from: -1}
	measure, word := "", ""
	done := func(i int) {
		if cur.value > 0 {
			cur.end = i
			found = append(found, cur)
		}
		cur = weighed{count: 1, from: -1, start: i, measure: measure, word: word}
	}
	measureAt := func(i int) (string, int) {
		if s, n := t.Match(toks, i, "measures"); n > 0 {
			return s.Key, n
		}
		return quantity.ReadUnit(t, toks, i, quantity.Volume)
	}
	for i := 0; i < len(toks); {
		if i > 0 && gapped(text, toks, i) || stops(toks[i]) {
			if cur.value > 0 {
				done(i)
			}
			cur.from = -1
		}
		if stops(toks[i]) {
			measure, word = "", ""
			cur.measure = ""
			i++
			continue
		}
		if _, n := t.Match(toks, i, "sizes"); n > 0 {
			if cur.value > 0 {
				done(i)
			}
			cur.size = lexicon.Fold(spanOf(toks, i, n).Of(text))
			i += n
			continue
		}
		if _, n := t.Match(toks, i, "rates"); n > 0 && cur.value > 0 {
			if m, k := measureAt(i + n); k > 0 { // "1.5 kg a scoop"
				cur.measure, cur.word = m, spanOf(toks, i+n, k).Of(text)
				i += n + k
				done(i)
				continue
			}
		}
		if m, n := measureAt(i); n > 0 && !(cur.from >= 0 && cur.value == 0 && cur.measure != "" && cur.to == i) {
			if cur.value > 0 {
				done(i)
			}
			cur.measure, cur.word = m, spanOf(toks, i, n).Of(text)
			if cur.from < 0 {
				measure, word = cur.measure, cur.word
			}
			i += n
			continue
		}
		if num, n := quantity.ReadNumber(t, toks, i); n > 0 && !(num.Word && cur.from >= 0) {
			if u, k := quantity.ReadUnit(t, toks, i+n, quantity.Mass); k > 0 {
				if cur.value > 0 {
					done(i)
				}
				cur.value, cur.unit = num.Value, u
				i += n + k
				if more, m := quantity.ReadNumber(t, toks, i); m > 0 && u == "lb" { // "1 lb 8 oz"
					if u2, k2 := quantity.ReadUnit(t, toks, i+m, quantity.Mass); k2 > 0 && u2 == "oz" {
						cur.value += more.Value / 16
						i += m + k2
					}
				}
				continue
			}
			j := i + n
			size := cur.size
			for {
				if _, k := t.Match(toks, j, "sizes"); k > 0 {
					size = lexicon.Fold(spanOf(toks, j, k).Of(text))
					j += k
					continue
				}
				break
			}
			if m, k := measureAt(j); k > 0 {
				if cur.value > 0 {
					done(i)
				}
				if cur.from < 0 || cur.value == 0 && cur.measure == "" {
					cur = weighed{count: num.Value, from: cur.from, to: cur.to, start: i, size: size}
					cur.measure, cur.word = m, spanOf(toks, j, k).Of(text)
					measure, word = cur.measure, cur.word
				}
				i = j + k
				continue
			}
			if cur.value == 0 && cur.from >= 0 {
				cur.value = num.Value // its unit may come with the next
			}
			i += n
			continue
		}
		if _, n := t.Match(toks, i, "legend"); n > 0 || toks[i].Kind == lexicon.Mark {
			if toks[i].Text == "," || toks[i].Text == "/" || toks[i].Text == "+" || toks[i].Text == "&" {
				if cur.value > 0 {
					done(i + 1)
				} else if cur.from >= 0 && toks[i].Text == "," {
					cur.from = -1
				}
			}
			if s, k := t.Match(toks, i, "legend"); k > 0 && s.Key != "is" && toks[i].Kind == lexicon.Word {
				i += k
				continue
			}
			i++
			continue
		}
		if s, n := t.Match(toks, i, "amounts"); n > 0 && (s.Key == "of" || s.Key == "with") {
			if s.Key == "with" && cur.value > 0 {
				done(i + n)
			}
			i += n
			continue
		}
		if s, n := t.Match(toks, i, "qualifiers"); n > 0 && toks[i].Kind == lexicon.Word && (s.Key == "approx" || s.Key == "or") {
			if s.Key == "or" && cur.value > 0 {
				done(i + n)
			}
			i += n
			continue
		}
		_, n := t.Match(toks, i, "feeds")
		if cur.value > 0 && cur.unit != "" && cur.from < 0 && n > 0 && w.endsWithFeed(text, toks, i) { // "1 scoop = 1.5 kg nuts / 1.2 kg mix"
			cur.from, cur.to = i, i+n
			i += n
			done(i)
			continue
		}
		if cur.value > 0 {
			done(i)
		}
		n = max(n, 1)
		if cur.from < 0 {
			cur.from = i
		}
		cur.to = i + n
		i += n
	}
	done(len(toks))
	var out []Definition
	var sizes []string
	unit := ""
	for k := len(found) - 1; k >= 0; k-- { // "nuts 1.4, mix 1.05 kg": the unit is written once
		if found[k].unit == "" {
			found[k].unit = unit
		}
		unit = found[k].unit
	}
	for _, f := range found {
		per, ok := quantity.KgPer(f.unit)
		if !ok || f.measure == "" || f.count <= 0 {
			continue
		}
		d := Definition{Kind: MeasureWeight, Measure: f.measure, Word: f.word, Kg: exact(f.value * per / f.count)}
		d.Span = spanOf(toks, f.start, max(1, f.end-f.start))
		if f.from >= 0 {
			d.Feed = strings.Join(strings.Fields(spanOf(toks, f.from, f.to-f.from).Of(text)), " ")
			if s, n := t.Match(toks, f.from, "feeds"); n > 0 {
				d.FeedKey = s.Key
			} else if s, n := t.Match(toks, f.to-1, "feeds"); n > 0 {
				d.FeedKey = s.Key
			}
		}
		if f.from >= 0 && f.to-f.from > 4 { // a sentence, not a name
			continue
		}
		sizes = append(sizes, f.size)
		out = append(out, d)
	}
	return w.bySize(out, sizes)
}

// endsWithFeed says whether of the feeds and weights from token i to the end of the
// line a feed comes last: then each weight stands before its feed.
func (w *Words) endsWithFeed(text string, toks []lexicon.Token, i int) bool {
	feed := false
	for from := i; i < len(toks) && !stops(toks[i]) && (i == from || !gapped(text, toks, i)); {
		if _, n := w.t.Match(toks, i, "feeds"); n > 0 {
			feed = true
			i += n
			continue
		}
		if _, n := quantity.ReadUnit(w.t, toks, i, quantity.Mass); n > 0 && toks[i-1].Kind == lexicon.Number {
			feed = false
		}
		i++
	}
	return feed
}

// bySize makes two measures of one that is said to weigh different things by its
// size: "big scoop 2 kg, small scoop 1 kg". A size of its own that is said once
// ("1 heaped scoop = 1.5 kg") is a measure too, and stands for the plain one.
func (w *Words) bySize(defs []Definition, sizes []string) []Definition {
	split := make([]bool, len(defs))
	for i, a := range defs {
		for j, b := range defs[:i] {
			if a.Measure == b.Measure && sizes[i] != sizes[j] && a.Kg != b.Kg && (a.Feed == "" || b.Feed == "" || lexicon.Fold(a.Feed) == lexicon.Fold(b.Feed)) {
				split[i], split[j] = true, true
			}
		}
	}
	for i := range len(defs) {
		key, _ := w.t.Has(sizes[i], "sizes")
		switch own := sizes[i] + " " + defs[i].Measure; {
		case sizes[i] == "":
		case split[i]:
			defs[i].Measure = own
		case key == unlike:
			d := defs[i]
			d.Measure = own
			defs = append(defs, d)
		}
	}
	return defs
}
