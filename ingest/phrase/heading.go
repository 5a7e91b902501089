package phrase

import (
	"cmp"
	"slices"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// Meaning of a column: the key of section "columns" of the word tables, such as
// "horse", "weight", "notes", and how much of the heading says so, 0 to 1.
type ColumnMeaning struct {
	Key   string
	Score float64
}

// Stage is which feeding a column or a line is about.
type Stage string

const (
	NoStage  Stage = ""
	NowStage Stage = "now"    // what is fed now
	NewStage Stage = "new"    // what is planned
	ChangeTo Stage = "change" // planned, and a blank means no change
)

// Heading is what the words over or beside cells say. Several may be said at
// once: "Oats AM now (scoops)".
type Heading struct {
	Columns []ColumnMeaning // best first
	Stage   Stage
	// Unit is the key of a unit or measure; IsMeasure that it is a measure.
	Unit      string
	IsMeasure bool
	// Feed is the words of a feed, FeedKey its class in the tables.
	Feed, FeedKey string
	Meal          string // key of the meal; a time of day as "06:30"
	Meals         []string
	Weekday       int // 0 Monday to 6 Sunday, -1 none
	Date          quantity.Date
	PerDay        bool // "kg a day"
	PerFeed       bool
	Times         int
	ScoopWeight   bool   // what one measure weighs: "1 scoop (kg)"
	Measure       string // the measure that is weighed
	Week          string // "last", "this" or "next", where it says so
	Basis         quantity.Basis
	// Covered is how much of the words was understood, 0 to 1.
	Covered float64
	Read    []Span
}

// Is gives how well the heading fits a column's key.
func (h Heading) Is(key string) float64 {
	for _, c := range h.Columns {
		if c.Key == key {
			return c.Score
		}
	}
	return 0
}

var headingSections = []string{"columns", "stages", "meals", "feeds", "measures", "units", "weekdays", "week", "times", "qualifiers", "marks"}

// headingReader walks over the tokens of a heading.
type headingReader struct {
	w    *Words
	text string
	toks []lexicon.Token
	h    Heading

	words      int            // tokens that are no marks
	covered    int            // of these, understood
	aside      int            // of these, what takes nothing from a column: dates, units, brackets
	brackets   int            // open
	columns    map[string]int // key -> tokens that say so
	stageWords int            // tokens of the phrase that says the stage
}

// headingPieces are what may begin at a token, in the order they are tried: each says
// how many tokens it took, 0 for none.
var headingPieces = []func(*headingReader, int) int{
	(*headingReader).sign, (*headingReader).hour, (*headingReader).date, (*headingReader).phrase, (*headingReader).unitAlone,
}

// Heading reads a heading: "Weight (lb)", "Mon 30/11", "Kraftfutter neu ab Montag
// (kg/Tag)", "Oats AM", "6.30", "Change to", "1 scoop (kg)", "Vet / notes".
func (w *Words) Heading(text string) Heading {
	r := &headingReader{w: w, text: text, toks: lexicon.Scan(text), h: Heading{Weekday: -1}, columns: map[string]int{}}
	if len(text) > LongestCell {
		return r.h
	}
	r.words = countWords(r.toks)
	if r.words == 0 { // "%", "£", "#"
		if s, n := w.t.Match(r.toks, 0, "columns"); n > 0 {
			r.h.Columns, r.h.Covered = []ColumnMeaning{{s.Key, 1}}, 1
		}
		return r.h
	}
	for i := 0; i < len(r.toks); {
		i += max(1, r.step(i))
	}
	r.settle()
	return r.h
}

// countWords is how many tokens are no marks.
func countWords(toks []lexicon.Token) int {
	n := 0
	for _, t := range toks {
		if t.Kind != lexicon.Mark {
			n++
		}
	}
	return n
}

func (r *headingReader) step(i int) int {
	for _, take := range headingPieces {
		if n := take(r, i); n > 0 {
			return n
		}
	}
	return 0
}

// take counts n tokens from i on as understood.
func (r *headingReader) take(i, n int) int {
	words := countWords(r.toks[i : i+n])
	r.covered += words
	if r.brackets > 0 {
		r.aside += words
	}
	r.h.Read = append(r.h.Read, spanOf(r.toks, i, n))
	return n
}

// sign counts brackets, and passes over signs that say nothing.
func (r *headingReader) sign(i int) int {
	tok := r.toks[i]
	switch tok.Text {
	case "(", "[":
		r.brackets++
	case ")", "]":
		r.brackets = max(0, r.brackets-1)
	case "%", "£", "$", "€", "/":
		return 0
	}
	if tok.Kind == lexicon.Mark {
		return 1
	}
	return 0
}

// hour takes a time of day: "6.30" alone, "7am".
func (r *headingReader) hour(i int) int {
	tok := r.toks[i]
	if tok.Kind != lexicon.Clock && tok.Kind != lexicon.Number {
		return 0
	}
	m, n := ReadClock(r.w.t, r.text, r.toks, i)
	if d, ok := dotted(tok.Of(r.text)); n == 0 && ok && len(r.toks) == 1 && tok.Kind == lexicon.Number {
		m, n = d, 1
	}
	if n == 0 {
		return 0
	}
	r.h.meal(ClockMeal(m))
	return r.take(i, n)
}

// date takes a date, which takes nothing from a column.
func (r *headingReader) date(i int) int {
	d, n := quantity.ReadDate(r.w.t, r.text, r.toks, i)
	if n == 0 || d.Weak && i == 0 && n != len(r.toks) {
		return 0
	}
	r.h.Date = d
	if d.Weekday >= 0 {
		r.h.Weekday = d.Weekday
	}
	if r.brackets == 0 {
		r.aside += countWords(r.toks[i : i+n])
	}
	return r.take(i, n)
}

// unitAlone takes a unit glued to a figure, or one the sections do not have.
func (r *headingReader) unitAlone(i int) int {
	u, n := quantity.ReadUnit(r.w.t, r.toks, i, quantity.Mass, quantity.Volume, quantity.Time, quantity.Length)
	if _, known := r.w.t.Senses(r.toks, i, headingSections...); n == 0 || known > 0 {
		return 0
	}
	r.h.unit(u, false)
	return r.take(i, n)
}

// headingPhrase is words of a heading with all that they mean.
type headingPhrase struct {
	i, n   int
	size   int // tokens that are no marks
	senses []lexicon.Sense
	seen   map[string]bool
}

// phrase takes the words of the tables.
func (r *headingReader) phrase(i int) int {
	senses, n := r.w.t.Senses(r.toks, i, headingSections...)
	if n == 0 {
		return 0
	}
	if tok := r.toks[i]; tok.Kind == lexicon.Word && n == 1 && tok.End-tok.Start == 1 && len(r.toks) > 1 { // a letter among words
		senses = slices.DeleteFunc(senses, func(s lexicon.Sense) bool { return s.Section != "units" })
		if len(senses) == 0 {
			return 0
		}
	}
	p := headingPhrase{i: i, n: n, size: countWords(r.toks[i : i+n]), senses: senses, seen: map[string]bool{}}
	if p.has("units") && r.brackets == 0 && r.words > 1 {
		r.aside++ // a unit takes nothing from a column
	}
	for _, s := range senses {
		if p.seen[s.Section+s.Key] {
			continue
		}
		p.seen[s.Section+s.Key] = true
		if mean := headingMeans[s.Section]; mean != nil {
			mean(r, &p, s.Key)
		}
	}
	return r.take(i, n)
}

// has says whether one of the senses is of a section.
func (p *headingPhrase) has(section string) bool {
	return slices.ContainsFunc(p.senses, func(s lexicon.Sense) bool { return s.Section == section })
}

// headingMeans is what a sense of each section says about the column.
var headingMeans = map[string]func(r *headingReader, p *headingPhrase, key string){
	"columns": (*headingReader).column,
	"stages":  (*headingReader).stage,
	"meals": func(r *headingReader, p *headingPhrase, key string) {
		if !p.seen["meal"] {
			p.seen["meal"] = true
			r.h.meal(key)
		}
	},
	"feeds":    (*headingReader).feed,
	"measures": func(r *headingReader, _ *headingPhrase, key string) { r.h.unit(key, true) },
	"units":    func(r *headingReader, _ *headingPhrase, key string) { r.h.unit(key, false) },
	"weekdays": func(r *headingReader, _ *headingPhrase, key string) {
		if r.h.Weekday < 0 {
			r.h.Weekday = slices.Index([]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}, key)
		}
	},
	"week":  (*headingReader).week,
	"times": (*headingReader).times,
	"qualifiers": func(r *headingReader, _ *headingPhrase, key string) {
		switch key {
		case "scale", "tape", "formula":
			r.h.Basis = quantity.Basis(key)
		}
	},
}

// column counts the words for a kind of column. In brackets they only explain; "kg" is
// the weight only where it stands alone.
func (r *headingReader) column(p *headingPhrase, key string) {
	if r.brackets > 0 || key == "weight" && r.words > p.size && p.has("units") {
		return
	}
	r.columns[key] += max(p.size, 1)
	if key != "scoop weight" {
		return
	}
	for k := p.i; k < p.i+p.n; k++ {
		if m, j := r.w.t.Match(r.toks, k, "measures", "units"); j > 0 {
			r.h.Measure = m.Key
		}
	}
}

// stage takes now or new, and the weekday of "from Monday". The longest phrase says it;
// of two as long the change.
func (r *headingReader) stage(p *headingPhrase, key string) {
	for k := p.i; k < p.i+p.n; k++ {
		if d, j := quantity.ReadWeekday(r.w.t, r.toks, k); j > 0 && r.h.Weekday < 0 && r.toks[k].End-r.toks[k].Start > 1 {
			r.h.Weekday = d
		}
	}
	if p.size < r.stageWords {
		return
	}
	st := Stage(key)
	better := r.h.Stage == NoStage || p.size > r.stageWords || r.h.Stage == NewStage && st == ChangeTo
	if better && !(r.h.Stage == ChangeTo && st == NewStage) {
		r.h.Stage = st
	}
	r.stageWords = p.size
}

func (r *headingReader) feed(p *headingPhrase, key string) {
	if r.h.Feed == "" || !p.seen["feeds"] {
		f := spanOf(r.toks, p.i, p.n).Of(r.text)
		if r.h.Feed != "" {
			f = r.h.Feed + " " + f
		}
		r.h.Feed, r.h.FeedKey = f, key
	}
	p.seen["feeds"] = true
}

func (r *headingReader) week(_ *headingPhrase, key string) {
	switch key {
	case "last", "this", "next":
		r.h.Week = key
	case "begins":
		if r.h.Stage == NoStage {
			r.h.Stage = NewStage
		}
	}
}

func (r *headingReader) times(p *headingPhrase, key string) {
	switch key {
	case "day":
		r.h.PerDay = !p.seen["columnstotal"]
	case "feed":
		r.h.PerFeed = true
	default:
		r.h.Times = int(key[0] - '0')
	}
}

// settle scores the columns by how much of the words says so.
func (r *headingReader) settle() {
	rest := max(1, r.words-r.aside)
	for key, n := range r.columns {
		r.h.ScoopWeight = r.h.ScoopWeight || key == "scoop weight"
		r.h.Columns = append(r.h.Columns, ColumnMeaning{key, min(1, float64(n)/float64(rest))})
	}
	slices.SortFunc(r.h.Columns, func(a, b ColumnMeaning) int {
		return cmp.Or(cmp.Compare(b.Score, a.Score), cmp.Compare(a.Key, b.Key))
	})
	r.h.Covered = float64(r.covered) / float64(r.words)
}

func (h *Heading) meal(key string) {
	if h.Meal == "" {
		h.Meal = key
	}
	if !slices.Contains(h.Meals, key) {
		h.Meals = append(h.Meals, key)
	}
}

// unit keeps the first unit said, but a measure in words before a unit of time
// or length.
func (h *Heading) unit(key string, measure bool) {
	if h.Unit == "" || measure && !h.IsMeasure {
		h.Unit, h.IsMeasure = key, measure
	}
}

// WeekdayRow reads seven or more headings of one letter each as the days of a
// week: M T W T F S S, L M X J V S D, and from Sunday. It gives for each heading
// its weekday, 0 for Monday; nil where they are none.
func (w *Words) WeekdayRow(headings []string) []int {
	if len(headings) != 7 {
		return nil
	}
	var row [7]string
	for i, h := range headings {
		toks := lexicon.Scan(h)
		if len(toks) == 0 || toks[0].Kind != lexicon.Word && toks[0].Text != "x" || len(toks) > 2 {
			return nil
		}
		row[i] = toks[0].Text
	}
	for _, pattern := range w.t.Phrases("weekday letters") {
		letters := lexicon.Scan(pattern)
		if len(letters) != 7 {
			continue
		}
		for _, first := range []int{0, 6, 5} {
			days, ok := make([]int, 7), true
			for i := range 7 {
				d := (first + i) % 7
				days[i] = d
				ok = ok && row[i] == letters[d].Text
			}
			if ok {
				return days
			}
		}
	}
	return nil
}
