package board

import (
	"slices"
	"strings"
	"unicode"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/phrase"
	"hardfeed/ingest/quantity"
)

// language reads single cells in the words of the book's languages and of its
// own legends.
type language struct {
	w     *phrase.Words
	t     *lexicon.Table
	pound bool // the book speaks of pounds
	memo  readings
}

// newLanguage reads in languages, the book's own first.
func newLanguage(texts []string, order []string, memo readings) *language {
	w := phrase.Load(order...)
	l := &language{w: w, t: w.Table(), memo: memo}
	more := 0                // units of pounds than of kilos
	said := map[string]int{} // and in one text: the same is said in many cells
	for _, t := range texts {
		n, ok := said[t]
		if !ok && mayWeigh(t) {
			n = poundsOverKilos(t)
		}
		said[t] = n
		more += n
	}
	l.pound = more > 0
	return l
}

// poundsOverKilos is how many more units of pounds than of kilos are in a text.
func poundsOverKilos(text string) (n int) {
	for _, tok := range lexicon.Scan(text) {
		switch tok.Text {
		case "lb", "lbs", "pound", "pounds", "qt", "qts", "quart", "quarts":
			n++
		case "kg", "kilo", "kilos":
			n--
		}
	}
	return n
}

// learn takes over what the book's own legends define.
func (l *language) learn(defs []phrase.Definition) {
	l.w = l.w.With(defs)
	l.t = l.w.Table()
}

// mayWeigh says whether one of the units counted here may stand in a text: each has
// one of these pairs of letters. Of a text with accents it says so always.
func mayWeigh(text string) bool {
	if !ascii(text) {
		return true
	}
	text = strings.ToLower(text)
	for _, pair := range []string{"lb", "po", "qt", "qu", "kg", "ki"} {
		if strings.Contains(text, pair) {
			return true
		}
	}
	return false
}

func (l *language) pounds() bool { return l.pound }

// dayOfMonthAsStones is the 21st or the 31st, which no horse weighs.
var dayOfMonthAsStones = lazily(`(?i)\b[23]1st\b`)

// looksLikeWeight says whether a cell holds what a horse can weigh.
func (l *language) looksLikeWeight(c *Cell) bool {
	if c.Kind == Number {
		return c.Num >= 60 && c.Num <= 2400 && !c.Percent
	}
	if c.Kind != Text || len(c.Text) > 40 {
		return false
	}
	return l.memo.at(c).weight.is(func() bool {
		w := l.weightIn(c.Text, "")
		if len(w.Unread) == 0 && w.Unknown {
			return true
		}
		return slices.ContainsFunc(w.Weighings, func(x quantity.Weighing) bool {
			return x.Value >= 60 && x.Value <= 2400 && len(w.Unread) == 0 || x.Unit == "st" && x.Value > 20 && !dayOfMonthAsStones().MatchString(c.Text)
		})
	})
}

var heightText = lazily(`(?i)^\d{1,2}([.,]\d{1,2})?\s*(hh|h\.h|hands|m)?$`)

func (l *language) looksLikeHeight(c *Cell) bool {
	if c.Kind == Number {
		return c.Num >= 9 && c.Num < 19 || c.Num > 0.8 && c.Num < 2
	}
	return heightText().MatchString(strings.TrimSpace(c.Text))
}

// looksLikeFeed says whether a text is an amount of feed.
func (l *language) looksLikeFeed(c *Cell) bool {
	if c.Kind == Number {
		return c.Num < 15
	}
	a := l.amount(c.Text)
	return (a.Same || a.None) && len(a.Unread) == 0 || slices.ContainsFunc(a.Parts, func(p phrase.Part) bool {
		return p.Known && (p.Unit != "" && p.Unit != "min" && p.Unit != "h" || p.FeedKey != "") || p.Vague != ""
	})
}

// namesFeed says whether a text is an amount of a feed that it names.
func (l *language) namesFeed(text string) bool {
	return slices.ContainsFunc(l.amount(text).Parts, func(p phrase.Part) bool { return p.FeedKey != "" && (p.Known && p.Unit != "" || p.Vague != "") })
}

// weightIn is a text read as what a horse weighs, with the unit its figures alone are in.
func (l *language) weightIn(text, unit string) quantity.Weight {
	r := l.memo.of(text)
	w, ok := r.weights[unit]
	if !ok {
		w = l.w.Weight(text, quantity.WeightContext{Unit: unit})
		if r.weights == nil {
			r.weights = map[string]quantity.Weight{}
		}
		r.weights[unit] = w
	}
	return w
}

// measureHeading is what [phrase.Words.MeasureHeading] finds in a heading.
type measureHeading struct {
	measure, unit string
	ok            bool
}

// measureOver is the measure a heading of weights names, and the unit these are in.
func (l *language) measureOver(c *Cell) (measure, unit string, ok bool) {
	h := readOnce(&l.memo.at(c).over, func() (h measureHeading) {
		h.measure, h.unit, h.ok = l.w.MeasureHeading(c.Text)
		return h
	})
	return h.measure, h.unit, h.ok
}

// amount is a text read as feed, work as a day's work, ills as a note on a horse, with
// nothing around it that says more.
func (l *language) amount(text string) *phrase.Amount {
	return readOnce(&l.memo.of(text).amount, func() phrase.Amount { return l.w.Amounts(text, phrase.AmountContext{}) })
}

func (l *language) work(text string) *phrase.Work {
	return readOnce(&l.memo.of(text).work, func() phrase.Work { return l.w.Work(text, phrase.WorkContext{}) })
}

func (l *language) ills(text string) []phrase.Condition {
	return *readOnce(&l.memo.of(text).ills, func() []phrase.Condition { return l.w.Conditions(text) })
}

// readOnce is what is kept of a reading, read where nothing is.
func readOnce[T any](kept **T, read func() T) *T {
	if *kept == nil {
		v := read()
		*kept = &v
	}
	return *kept
}

// counted says whether a text is an amount with its number in words: "half scoop mix".
func (l *language) counted(text string) bool {
	a := l.amount(text)
	if len(a.Parts) == 0 || len(a.Unread) > 0 || a.Question {
		return false
	}
	for _, p := range a.Parts {
		if !p.Known || p.Unit == "" {
			return false
		}
	}
	return true
}

func (l *language) isWeightUnit(u string) bool { return u == "" || u == "kg" || u == "lb" || u == "st" }

// adorns is [phrase.Words.Decoration], found once for each text.
func (l *language) adorns(text string) phrase.DecorationKind {
	return l.adornsBy(l.memo.of(text), text)
}

func (l *language) adornsBy(r *reading, text string) phrase.DecorationKind {
	if !r.adorned {
		r.adorns, r.adorned = l.w.Decoration(text), true
	}
	return r.adorns
}

// emptyStableIn says whether a cell is an empty stable.
func (l *language) emptyStableIn(c *Cell) bool {
	return l.adornsBy(l.memo.at(c), c.Text) == phrase.EmptyBox
}

func (l *language) emptyStable(text string) bool {
	return l.adorns(text) == phrase.EmptyBox
}

func (l *language) phone(text string) bool { return l.adorns(text) == phrase.Phone }

// measureKey is the unit or measure a word stands for, "" for none.
func (l *language) measureKey(word string) string {
	if len(word) < 2 && word != "l" && word != "g" {
		return ""
	}
	if k, ok := l.t.Has(word, "units"); ok {
		switch k {
		case "kg", "g", "lb", "oz", "l", "qt", "dry qt", "pt", "st":
			return k
		}
		return ""
	}
	if k, ok := l.t.Has(word, "measures"); ok {
		if l.counts(k) {
			return k
		}
	}
	return ""
}

// counts says whether a measure is one for hard feed, rather than hay, a bag, or a
// word for the ration itself.
func (l *language) counts(measure string) bool {
	switch measure {
	case "net", "flake", "bale", "bag", "feed", "bucket", "ration", "ración", "racion", "portion":
		return false
	}
	return true
}

// feedKey is the class of feed a phrase names, "" for none.
func (l *language) feedKey(words string) string {
	k, ok := l.t.Has(words, "feeds")
	if !ok {
		return ""
	}
	switch k {
	case "hay", "medicine":
		return ""
	}
	return k
}

// saysSame says whether a text means "as it is now" or "nothing": what stands in
// cells, never over them.
func (l *language) saysSame(text string) bool {
	if len(text) > 30 {
		return false
	}
	return l.memo.of(text).same.is(func() bool {
		k, ok := l.t.Has(text, "amounts")
		return ok && (k == "same" || k == "none" || k == "ditto" || k == "ad lib")
	})
}

// refers says whether a text is work like that of another day.
func (l *language) refers(text string) bool {
	w := l.work(text)
	return w.Ref != nil
}

// decoration says what a cell is that no fact stands in: telephone numbers,
// prices, a total, an empty stable; "" where it is none of these.
func (l *language) decoration(c *Cell) string {
	if c.Kind != Text {
		return ""
	}
	switch l.adornsBy(l.memo.at(c), c.Text) {
	case phrase.Phone:
		return "telephone numbers"
	case phrase.Price:
		return "prices"
	case phrase.Total:
		return "a total"
	case phrase.EmptyBox:
		return "an empty stable"
	}
	return ""
}

// isWork says whether a text is a day's work or a word for none.
func (l *language) isWork(text string) bool {
	w := l.work(text)
	if w.Free != "" && len(w.Doubts) == 0 {
		return true
	}
	for _, d := range w.Doubts {
		if d.Kind == phrase.UnknownWord || d.Kind == phrase.NothingSaid {
			return false
		}
	}
	return len(w.Sessions) > 0 || len(w.Doubts) > 0
}

// isAmount says whether a text is amounts of feed and nothing else.
func (l *language) isAmount(text string) bool {
	a := l.amount(text)
	return len(a.Parts) > 0 && len(a.Unread) == 0 && !slices.ContainsFunc(a.Parts, func(p phrase.Part) bool { return !p.Known || p.Unit == "" })
}

// sameAsNow says whether a text means that an amount stays as it is.
func (l *language) sameAsNow(text string) bool {
	a := l.amount(text)
	return a.Same || a.None || a.Ditto
}

// isTimedWork says whether a text is work with its minutes.
func (l *language) isTimedWork(text string) bool {
	if !strings.ContainsFunc(text, unicode.IsLetter) {
		return false // 2½ may be hours or scoops
	}
	w := l.work(text)
	return len(w.Doubts) == 0 && w.Minutes() > 0
}

// mayBeIll says whether a text has a word of illness in it that it does not deny.
func (l *language) mayBeIll(text string) bool {
	return slices.ContainsFunc(l.ills(text), func(x phrase.Condition) bool { return !x.Negated })
}

// speaksOfIllness says whether a text names something a horse has or had for sure.
func (l *language) speaksOfIllness(text string) bool {
	return slices.ContainsFunc(l.ills(text), func(x phrase.Condition) bool { return x.Sure && !x.Negated })
}

// countable says whether a key of the words for measures is one that feed is
// counted in; "rations" over a table are its subject.
func (l *language) countable(unit string) bool {
	if _, ok := quantity.KgPer(unit); ok {
		return true
	}
	return l.counts(unit)
}

// ownWord says whether her legend defines a text.
func (l *language) ownWord(text string) bool {
	f := foldName(text)
	for _, d := range l.w.Definitions() {
		if d.Word != "" && foldName(d.Word) == f {
			return true
		}
	}
	return false
}
