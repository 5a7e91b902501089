package rollover

import (
	"cmp"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ingest/board"
	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/phrase"
	"hardfeed/ration/yard"
)

// fed is what a horse gets on an ordinary work day: kilograms by feed and meal.
type fed map[string]map[string]float64

func (f fed) day(feed string) float64 {
	sum := 0.0
	for _, kg := range f[feed] {
		sum += kg
	}
	return sum
}

// endsOn is what the card of a week ends on, of the feeds that are served by amount.
func endsOn(h yard.HorsePlan, known func(feed string) bool) fed {
	return served(h, known, yard.WorkDay, 6)
}

// servedOn is what the card says for a day of its week, which may be one of rest or with
// an event.
func servedOn(h yard.HorsePlan, known func(feed string) bool, day yard.Weekday) fed {
	kind := yard.WorkDay
	switch work := h.Horse.Work[day]; {
	case work.Event:
		kind = yard.EventDay
	case h.Horse.WorkGiven && work.Rest():
		kind = yard.RestDay
	}
	if !slices.ContainsFunc(h.Servings, func(s yard.Serving) bool { return s.Day == kind }) {
		kind = yard.WorkDay
	}
	return served(h, known, kind, day)
}

// served is what is served on a kind of day, from the latest stage that has begun by then.
func served(h yard.HorsePlan, known func(feed string) bool, kind yard.DayKind, day yard.Weekday) fed {
	type place struct{ feed, meal string }
	last := map[place]yard.Serving{}
	for _, s := range h.Servings {
		k := place{s.Feed, s.Meal}
		if s.Day != kind || s.From > day || s.AdLib || s.Grazed.IsKnown() || !known(s.Feed) {
			continue
		}
		if old, ok := last[k]; !ok || s.From >= old.From {
			last[k] = s
		}
	}
	out := fed{}
	for k, s := range last {
		if out[k.feed] == nil {
			out[k.feed] = map[string]float64{}
		}
		if s.Kg > 0 {
			out[k.feed][k.meal] = float64(s.Kg)
		}
	}
	return out
}

// hardOf is the hard feed among it.
func hardOf(h yard.HorsePlan, f fed) float64 {
	hard := map[string]bool{}
	for _, s := range h.Servings {
		hard[s.Feed] = s.Class == yard.HardFeed
	}
	sum := 0.0
	for feed := range f {
		if hard[feed] {
			sum += f.day(feed)
		}
	}
	return sum
}

// exactKg is how far what is written for a horse may be from its card in all, kg.
const exactKg = 0.009

// sameKg is how far two amounts may be apart and be the same, kg.
const sameKg = 0.0005

// style is how she writes numbers.
type style struct {
	vulgar, slash bool            // ½, or 1/2
	comma         bool            // 1,5
	partKg        float64         // how far one amount may be off
	one, more     map[string]bool // words behind a number up to one, and over it: "scoop", "scoops"
}

var wordBehind = lazily(`^ (\pL+)`)

var countedWord = lazily(`^[\d½¼¾⅓⅔⅛.,/ ]+ (\pL+)`)

// counted is the word behind a number for another amount, where the book has both forms:
// "scoop", "scoops".
func (st style) counted(word string, was, is float64) string {
	from, to := st.one, st.more
	if is <= 1 {
		from, to = to, from
	}
	if (was > 1) == (is > 1) || !from[word] || to[word] {
		return word
	}
	for _, w := range slices.Sorted(maps.Keys(to)) {
		if strings.HasPrefix(w, word) && len(w) <= len(word)+2 || strings.HasPrefix(word, w) && len(word) <= len(w)+2 {
			return w
		}
	}
	return word
}

// styleOf is the way most numbers of a book are written.
func styleOf(spots []board.Spot) style {
	var vulgar, slash, comma, point int
	one, more := map[string]bool{}, map[string]bool{}
	for _, s := range spots {
		for _, p := range s.Parts {
			t := part(s.From, p)
			if m := countedWord().FindStringSubmatch(t); m != nil && p.Value > 1 {
				more[m[1]] = true
			} else if m != nil && p.Value > 0 {
				one[m[1]] = true
			}
			switch {
			case strings.ContainsAny(t, "½¼¾⅓⅔⅛"):
				vulgar++
			case strings.Contains(t, "1/") || strings.Contains(t, "3/4"):
				slash++
			}
			if i := strings.IndexByte(t, ','); i > 0 && i+1 < len(t) && digit(t[i-1]) && digit(t[i+1]) {
				comma++
			}
			if i := strings.IndexByte(t, '.'); i > 0 && i+1 < len(t) && digit(t[i-1]) && digit(t[i+1]) {
				point++
			}
		}
	}
	return style{vulgar: vulgar > 0 && vulgar >= slash && vulgar*2 >= comma+point, slash: slash > vulgar && slash*2 >= comma+point, comma: comma > point, one: one, more: more}
}

func digit(b byte) bool { return b >= '0' && b <= '9' }

func part(text string, p board.SpotPart) string {
	if p.Start < 0 || p.End > len(text) || p.Start > p.End {
		return text
	}
	return text[p.Start:p.End]
}

var quarters = [...]string{"", "¼", "½", "¾"}
var slashes = [...]string{"", "1/4", "1/2", "3/4"}

// write is a number of something that weighs kgPer, in her way of writing.
func (st style) write(v, kgPer float64) string {
	tolerance := cmp.Or(st.partKg, sameKg) / max(kgPer, 1e-6)
	if q := math.Round(v * 4); math.Abs(v-q/4) <= tolerance {
		whole, rest := int(q)/4, int(q)%4
		switch {
		case rest == 0:
			return strconv.Itoa(whole)
		case st.vulgar && whole == 0:
			return quarters[rest]
		case st.vulgar:
			return strconv.Itoa(whole) + quarters[rest]
		case st.slash && whole == 0:
			return slashes[rest]
		case st.slash:
			return strconv.Itoa(whole) + " " + slashes[rest]
		}
		v, tolerance = q/4, 1e-9
	}
	s := decimal(v, tolerance)
	if st.comma {
		s = strings.Replace(s, ".", ",", 1)
	}
	return s
}

// decimal is a number in as few figures as keep it right. Three behind the comma or point
// could be thousands and are not written.
func decimal(v, tolerance float64) string {
	for digits := range 7 {
		s := strconv.FormatFloat(v, 'f', digits, 64)
		if back, err := strconv.ParseFloat(s, 64); err == nil && math.Abs(back-v) <= tolerance && (digits != 3 || math.Abs(v) < 1) {
			if strings.Contains(s, ".") {
				s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
			}
			if i := strings.IndexByte(s, '.'); i > 0 && len(s)-i-1 == 3 && math.Abs(v) >= 1 {
				s += "0"
			}
			return s
		}
	}
	return strconv.FormatFloat(v, 'f', 6, 64)
}

// of is the style of one number, else the book's.
func (st style) of(number string) style {
	switch {
	case strings.ContainsAny(number, "½¼¾⅓⅔⅛"):
		return style{vulgar: true, comma: st.comma, partKg: st.partKg}
	case strings.Contains(number, "/"):
		return style{slash: true, comma: st.comma, partKg: st.partKg}
	case strings.Contains(number, ","):
		return style{comma: true, partKg: st.partKg}
	case strings.Contains(number, "."):
		return style{partKg: st.partKg}
	}
	return st
}

// rewritten is a cell's text with the amounts of its parts replaced; false where a
// part's number is not to be found.
func rewritten(words *phrase.Words, st style, s board.Spot, kg []float64) (string, bool) {
	text, at := "", 0
	for i, p := range s.Parts {
		if !p.Known {
			continue
		}
		n, ok := words.NumberAt(s.From, lexicon.Span{Start: p.Start, End: p.End}, p.Value)
		if !ok || p.KgPer <= 0 {
			if math.Abs(kg[i]-p.Kg) <= sameKg {
				continue // stays as it is
			}
			return "", false
		}
		if n.Start < at {
			if math.Abs(kg[i]-kg[i-1]) <= sameKg {
				continue // one number for two meals
			}
			return "", false
		}
		is := st.of(s.From[n.Start:n.End]).write(kg[i]/p.KgPer, p.KgPer)
		if math.Abs(kg[i]-p.Kg) <= sameKg {
			is = s.From[n.Start:n.End]
		} else if n.Word && n.End < len(s.From) && s.From[n.End] != ' ' {
			is += " "
		}
		text += s.From[at:n.Start] + is
		at = n.End
		if m := wordBehind().FindStringSubmatchIndex(s.From[at:]); m != nil && math.Abs(kg[i]-p.Kg) > sameKg {
			text += s.From[at:at+m[2]] + st.counted(s.From[at+m[2]:at+m[3]], p.Value, kg[i]/p.KgPer)
			at += m[3]
		}
	}
	return text + s.From[at:], true
}
