package phrase

import (
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

// Heading reads a heading: "Weight (lb)", "Mon 30/11", "Kraftfutter neu ab Montag
// (kg/Tag)", "Oats AM", "6.30", "Change to", "1 scoop (kg)", "Vet / notes".
func (w *Words) Heading(text string) Heading {
	toks := lexicon.Scan(text)
	h := Heading{Weekday: -1}
	if len(text) > LongestCell {
		return h
	}
	words, covered := 0, 0
	for _, t := range toks {
		if t.Kind != lexicon.Mark {
			words++
		}
	}
	if words == 0 {
		// "%", "£", "#"
		if s, n := w.t.Match(toks, 0, "columns"); n > 0 {
			h.Columns = []ColumnMeaning{{s.Key, 1}}
			h.Covered = 1
		}
		return h
	}
	columns := map[string]int{} // key -> tokens that say so
	stageWords := 0
	brackets := 0
	inBrackets := 0 // words in brackets: a unit there takes nothing from a column
	for i := 0; i < len(toks); {
		tok := toks[i]
		if tok.Text == "(" || tok.Text == "[" {
			brackets++
		} else if tok.Text == ")" || tok.Text == "]" {
			brackets = max(0, brackets-1)
		}
		if tok.Kind == lexicon.Mark && tok.Text != "%" && tok.Text != "£" && tok.Text != "$" && tok.Text != "€" && tok.Text != "/" {
			i++
			continue
		}
		take := func(n int) {
			for _, t := range toks[i : i+n] {
				if t.Kind != lexicon.Mark {
					covered++
					if brackets > 0 {
						inBrackets++
					}
				}
			}
			h.Read = append(h.Read, spanOf(toks, i, n))
			i += n
		}
		if tok.Kind == lexicon.Clock || tok.Kind == lexicon.Number {
			if m, n := ReadClock(w.t, text, toks, i); n > 0 {
				h.meal(ClockMeal(m))
				take(n)
				continue
			}
		}
		if m, ok := dotted(tok.Of(text)); ok && len(toks) == 1 && tok.Kind == lexicon.Number {
			h.meal(ClockMeal(m)) // "6.30"
			take(1)
			continue
		}
		if d, n := quantity.ReadDate(w.t, text, toks, i); n > 0 && (!d.Weak || i > 0 || n == len(toks)) {
			h.Date = d
			if d.Weekday >= 0 {
				h.Weekday = d.Weekday
			}
			for _, t := range toks[i : i+n] { // a date takes nothing from a column
				if t.Kind != lexicon.Mark && brackets == 0 {
					inBrackets++
				}
			}
			take(n)
			continue
		}
		senses, n := w.t.Senses(toks, i, headingSections...)
		if n == 0 {
			if u, k := quantity.ReadUnit(w.t, toks, i, quantity.Mass, quantity.Volume, quantity.Time, quantity.Length); k > 0 {
				h.unit(u, false)
				take(k)
				continue
			}
			i++
			continue
		}
		if tok.Kind == lexicon.Word && n == 1 && tok.End-tok.Start == 1 && len(toks) > 1 { // a letter among words
			senses = slices.DeleteFunc(senses, func(s lexicon.Sense) bool { return s.Section != "units" })
			if len(senses) == 0 {
				i++
				continue
			}
		}
		if slices.ContainsFunc(senses, func(o lexicon.Sense) bool { return o.Section == "units" }) && brackets == 0 && words > 1 {
			inBrackets++ // a unit takes nothing from a column
		}
		seen := map[string]bool{}
		size := 0
		for _, t := range toks[i : i+n] {
			if t.Kind != lexicon.Mark {
				size++
			}
		}
		for _, s := range senses {
			if seen[s.Section+s.Key] {
				continue
			}
			seen[s.Section+s.Key] = true
			switch s.Section {
			case "columns":
				if brackets > 0 && s.Key != "weight" && s.Key != "share" && s.Key != "total" && s.Key != "minutes" {
					continue
				}
				if brackets > 0 {
					continue
				}
				if s.Key == "weight" && words > size && slices.ContainsFunc(senses, func(o lexicon.Sense) bool { return o.Section == "units" }) {
					continue // "kg" is the weight only where it stands alone
				}
				columns[s.Key] += max(size, 1)
				if s.Key == "scoop weight" {
					for k := i; k < i+n; k++ {
						if m, j := w.t.Match(toks, k, "measures", "units"); j > 0 {
							h.Measure = m.Key
						}
					}
				}
			case "stages":
				for k := i; k < i+n; k++ { // "from Monday"
					if d, j := quantity.ReadWeekday(w.t, toks, k); j > 0 && h.Weekday < 0 && toks[k].End-toks[k].Start > 1 {
						h.Weekday = d
					}
				}
				if size >= stageWords {
					st := Stage(s.Key)
					if h.Stage == NoStage || size > stageWords || h.Stage == NewStage && st == ChangeTo {
						if !(h.Stage == ChangeTo && st == NewStage) {
							h.Stage = st
						}
					}
					stageWords = size
				}
			case "meals":
				if !seen["meal"] {
					seen["meal"] = true
					h.meal(s.Key)
				}
			case "feeds":
				if h.Feed == "" || !seen["feeds"] {
					f := spanOf(toks, i, n).Of(text)
					if h.Feed != "" {
						f = h.Feed + " " + f
					}
					h.Feed, h.FeedKey = f, s.Key
				}
				seen["feeds"] = true
			case "measures":
				h.unit(s.Key, true)
			case "units":
				h.unit(s.Key, false)
			case "weekdays":
				if h.Weekday < 0 {
					h.Weekday = slices.Index([]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}, s.Key)
				}
			case "week":
				switch s.Key {
				case "last", "this", "next":
					h.Week = s.Key
				case "begins":
					if h.Stage == NoStage {
						h.Stage = NewStage
					}
				}
			case "times":
				switch s.Key {
				case "day":
					h.PerDay = !seen["columnstotal"]
				case "feed":
					h.PerFeed = true
				default:
					h.Times = int(s.Key[0] - '0')
				}
			case "qualifiers":
				switch s.Key {
				case "scale", "tape", "formula":
					h.Basis = quantity.Basis(s.Key)
				}
			}
		}
		take(n)
	}
	rest := max(1, words-inBrackets)
	for key, n := range columns {
		if key == "scoop weight" {
			h.ScoopWeight = true
		}
		h.Columns = append(h.Columns, ColumnMeaning{key, min(1, float64(n)/float64(rest))})
	}
	slices.SortFunc(h.Columns, func(a, b ColumnMeaning) int {
		switch {
		case a.Score > b.Score:
			return -1
		case a.Score < b.Score:
			return 1
		case a.Key < b.Key:
			return -1
		}
		return 1
	})
	h.Covered = float64(covered) / float64(words)
	return h
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
