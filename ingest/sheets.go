package ingest

import (
	"cmp"
	"maps"
	"slices"
	"strings"
	"sync"
	"time"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// sheetKind is what a sheet is about.
type sheetKind string

const (
	horsesKind   sheetKind = "horses"
	workKind     sheetKind = "work"
	rationsKind  sheetKind = "rations"
	feedsKind    sheetKind = "feeds"
	sessionsKind sheetKind = "sessions"
	weightsKind  sheetKind = "weights"
	yardKind     sheetKind = "yard"
)

// columnWords is, for each kind of sheet, the header words of each column. The
// keys are those of [Options.Synonyms]. Words are lower case, without units
// and marks. Those of the horses sheet are of horseColumns.
var columnWords = withConstituents(map[sheetKind]map[string][]string{
	workKind: {
		"horse": {"horse", "name", "horse name", "pony", "horses", "animal"},
		"date":  {"date"},
		"day":   {"day", "weekday"},
		"work":  {"work", "session", "exercise", "plan", "work planned"},
		"time":  {"time", "am pm", "session no", "when", "part of day"},
	},
	rationsKind: {
		"horse":   {"horse", "name", "horse name", "pony", "animal"},
		"feed":    {"feed", "feedstuff", "ration", "food", "fed"},
		"meal":    {"meal", "feed time", "mealtime", "meal time", "when"},
		"now":     {"now", "fed now", "current", "currently", "now fed", "present", "amount", "amount now", "feeding now", "currently fed", "last week"},
		"week":    {"week", "date", "week beginning", "week commencing", "week starting", "wc", "w c"},
		"since":   {"since", "fed since", "started", "first fed", "new since", "introduced"},
		"planned": {"planned", "plan", "new", "next week", "to feed", "planned amount", "amount planned", "this week"},
	},
	feedsKind: {
		"feed":        {"feed", "name", "feed name", "feedstuff", "product", "item", "feeds"},
		"kind":        {"kind", "type", "class", "category", "sort"},
		"what it is":  {"what it is", "generic", "generic feed", "is", "description", "what is it", "what"},
		"one measure": {"one measure", "measure weight", "weight of one measure", "one scoop", "scoop", "scoop weight", "1 scoop", "1 measure", "weight of scoop", "weight of one scoop", "level scoop", "weight of measure", "measure weighs", "scoop weighs", "one level measure", "one level scoop", "one quart", "1 quart", "quart weighs", "one cup", "1 cup", "one jug", "1 jug", "one bowl", "1 bowl"},
		"measure":     {"measure", "which measure", "measure used"},
		"weighed on":  {"weighed on", "weighed", "date weighed", "when weighed", "scoop weighed", "measure weighed"},
		"basis":       {"basis", "analysis basis", "analysis is", "analysis as"},
		"pack":        {"bag", "bale", "bag weight", "pack", "pack weight", "bale weight", "bag bale", "bag or bale", "sack", "pack size", "bag size", "sack weight"},
		"pack name":   {"pack name", "sold", "sold by", "unit", "pack unit"},
		"price":       {"price", "cost", "bag price", "price a bag", "price per bag", "price bag", "price a pack", "price per pack", "pack price"},
		"stock":       {"stock", "in stock", "bags in stock", "in store", "packs in stock"},
		"batch since": {"batch since", "batch", "new batch", "since", "batch from"},
		"opened on":   {"opened", "opened on", "bale opened", "tub opened", "date opened"},
		"best before": {"best before", "expires", "expiry", "use by", "expiry date", "best before date"},
		"label rate":  {"label rate", "feeding rate", "label dose", "most a day", "daily dose"},
		"analysed on": {"analysed on", "analysed", "analyzed", "date of analysis", "analysis date", "tested on"},
		"notes":       {"notes", "note", "remarks", "comments", "label says", "label"},
	},
	sessionsKind: {
		"session": {"session", "name", "work", "session name", "sessions"},
		"walk":    {"walk", "walking"},
		"trot":    {"trot", "trotting"},
		"canter":  {"canter", "cantering", "lope"},
		"gallop":  {"gallop", "galloping", "fast work"},
		"jump":    {"jump", "jumping"},
		"efforts": {"efforts", "jumps", "jumping efforts", "fences"},
		"how":     {"ridden led", "ridden led loose", "ridden or led", "ridden", "led", "how", "led ridden", "led ridden loose", "led loose"},
		"hills":   {"hills", "hilly"},
	},
	weightsKind: {
		"date":   {"date", "weighed", "date weighed", "weighed on", "day"},
		"horse":  {"horse", "name", "horse name", "pony", "animal"},
		"weight": {"weight", "body weight", "bodyweight", "bw", "wt"},
		"how":    {"how", "how weighed", "weighed by", "method", "basis", "weighed with"},
		"score":  {"score", "condition score", "bcs", "body condition score", "condition"},
	},
	yardKind: {
		"setting": {"setting", "settings", "item", "what", "yard setting"},
		"value":   {"value", "values", "answer", "entry"},
	},
})

// withConstituents adds the columns of an analysis, from the table of constituents.
func withConstituents(words map[sheetKind]map[string][]string) map[sheetKind]map[string][]string {
	for _, n := range yard.Constituents() {
		words[feedsKind][n.Key] = n.Headings
	}
	return words
}

// settingKeys are the settings of the yard sheet as [Options.Synonyms] calls them.
var settingKeys = map[string]string{"yard": "yard", "week beginning": "week", "meals": "meals", "measures": "measures", "measure": "measure", "units": "units",
	"weights": "weights", "lengths": "lengths", "paper": "paper", "temperature": "temperature", "humidity": "humidity", "contact": "contact"}

// ColumnKeys lists the keys that [Options.Synonyms] may extend, sorted: the
// columns, the weekdays, the settings of the yard sheet, and "rest"; the words
// for rest and for the paces are known in the work cells too.
func ColumnKeys() []string {
	seen := map[string]bool{}
	for _, cols := range columnWords {
		for k := range cols {
			seen[k] = true
		}
	}
	for _, d := range weekdayWords {
		seen[d] = true
	}
	for k := range settingKeys {
		seen[k] = true
	}
	seen["rest"] = true
	keys := make([]string, 0, len(seen))
	for k := range seen {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// headerWords finds the column key of a header's words, by kind of sheet. It is
// not changed once it is made: readers may share it.
type headerWords struct {
	kind map[sheetKind]map[string]string
	days map[string]time.Weekday // the yard's own words for the days

	settings map[string]string    // words of the yard sheet -> the setting
	week     []string             // the yard's own words before the week's first day, in a title
	paces    map[string]yard.Gait // the yard's own words for the paces
	rest     []string             // and for a day without work
}

// builtInWords are those known without any of the yard's own.
var builtInWords = sync.OnceValue(func() headerWords {
	all := map[sheetKind]map[string]string{}
	for kind, cols := range columnWords {
		all[kind] = map[string]string{}
		for key, words := range cols {
			for _, w := range words {
				all[kind][w] = key
			}
		}
	}
	return headerWords{kind: all, settings: settingWords}
})

// allWords joins the built-in words and the yard's own; the yard's win.
func allWords(synonyms map[string][]string) headerWords {
	if len(synonyms) == 0 {
		return builtInWords()
	}
	all := map[sheetKind]map[string]string{}
	keys := ColumnKeys()
	for kind, words := range builtInWords().kind {
		all[kind] = maps.Clone(words)
		for _, key := range keys {
			if _, ok := columnWords[kind][key]; ok {
				for _, w := range synonyms[key] {
					all[kind][splitHeading(w).words] = key
				}
			}
		}
	}
	hw := headerWords{kind: all, days: map[string]time.Weekday{}, settings: maps.Clone(settingWords), paces: map[string]yard.Gait{}}
	for key, setting := range settingKeys {
		for _, w := range synonyms[key] {
			hw.settings[splitHeading(w).words] = setting
			if setting == "week" {
				hw.week = append(hw.week, fold(w))
			}
		}
	}
	slices.Sort(hw.week)
	for key, pace := range map[string]yard.Gait{"walk": yard.Walk, "trot": yard.Trot, "canter": yard.Canter, "gallop": yard.Gallop} {
		for _, w := range synonyms[key] {
			hw.paces[fold(w)] = pace
		}
	}
	for _, w := range synonyms["rest"] {
		hw.rest = append(hw.rest, fold(w))
	}
	for i, d := range weekdayWords {
		for _, w := range synonyms[d] {
			hw.days[fold(w)] = time.Weekday((i + 1) % 7)
		}
	}
	return hw
}

// Ambiguous says which word of opt stands for two columns of one
// sheet; nothing if none does. A word may take an English heading's place.
func Ambiguous(opt Options) yard.Saying {
	for _, kind := range wordKinds {
		meaning := map[string]string{}
		for _, key := range slices.Sorted(maps.Keys(columnWords[kind])) {
			for _, w := range opt.Synonyms[key] {
				word := splitHeading(w).words
				if other := meaning[word]; other != "" && other != key {
					return yard.Say("part.ambiguous", yard.Words("word", w), yard.Named("first", yard.Term, other), yard.Named("second", yard.Term, key), sheetArg("sheet", kind))
				}
				meaning[word] = key
			}
		}
	}
	return yard.Saying{}
}

// basis of an analysis figure.
type basis string

const (
	notSaid   basis = ""
	asFed     basis = "as fed"
	dryMatter basis = "dry matter"
)

// heading is a header cell taken apart: "DE (MJ/kg DM)" is the words "de", the
// unit "mj/kg" and the basis dry matter.
type heading struct {
	words string
	unit  string // lower case, "" if none
	basis basis
	// joined: the words are in two cells, one above the other.
	joined bool
}

var headerUnits = map[string]bool{
	"kg": true, "kgs": true, "g": true, "lb": true, "lbs": true, "oz": true, "st": true, "cm": true, "in": true, "ins": true, "inches": true,
	"hh": true, "hands": true, "min": true, "mins": true, "minutes": true, "mj/kg": true, "mcal/kg": true, "mcal/lb": true, "g/kg": true, "mg/kg": true, "iu/kg": true, "ppm": true, "iu": true,
	"scoops": true, "measures": true, "bags": true, "bales": true, "sacks": true, "years": true, "yrs": true, "ml": true, "l": true, "litres": true,
	"packs": true, "mj": true, "mcal": true, "kilos": true, "grams": true, "pounds": true,
}

// unaccented leaves out the accents, which capitals often go without: "Ecurie".
func unaccented(s string) string {
	if strings.IndexFunc(s, func(r rune) bool { return r >= 0x80 }) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range norm.NFD.String(s) {
		if !unicode.Is(unicode.Mn, r) {
			b.WriteRune(r)
		}
	}
	return b.String()
}

func splitHeading(text string) heading {
	s := unaccented(strings.ToLower(tidy(text)))
	var h heading
	for _, pair := range []string{"()", "[]"} {
		s = h.takeBrackets(s, pair)
	}
	if strings.Contains(s, "%") {
		s = strings.ReplaceAll(s, "%", " ")
		h.unit = "%"
	}
	s = strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '/' {
			return r
		}
		return ' '
	}, s)
	h.takeWords(strings.Fields(s))
	return h
}

// takeBrackets takes what is in brackets as the unit and the basis, and leaves it out.
func (h *heading) takeBrackets(s, pair string) string {
	for {
		i := strings.IndexByte(s, pair[0])
		if i < 0 {
			return s
		}
		j := strings.IndexByte(s[i:], pair[1])
		if j < 0 {
			return s
		}
		h.note(s[i+1 : i+j])
		s = s[:i] + " " + s[i+j+1:]
	}
}

// note takes a text as the basis, the unit, or both: "mj/kg dm".
func (h *heading) note(u string) {
	u = strings.TrimSpace(u)
	for _, w := range []string{"dry matter", "dm", "as fed", "as-fed", "fresh"} {
		if u == w || strings.HasSuffix(u, " "+w) || strings.HasPrefix(u, w+" ") || strings.HasSuffix(u, "/kg "+w) {
			h.basis = asFed
			if w == "dry matter" || w == "dm" {
				h.basis = dryMatter
			}
			u = strings.TrimSpace(strings.Replace(u, w, "", 1))
			for _, filler := range []string{"of", "in", ",", "in the"} {
				u = strings.TrimSpace(strings.TrimSuffix(u, filler))
			}
		}
	}
	if u != "" {
		h.unit = u
	}
}

// takeWords takes the basis and the unit off the end of a heading's words.
func (h *heading) takeWords(f []string) {
	for len(f) > 1 {
		l := f[len(f)-1]
		switch {
		case l == "dm" || l == "matter" && len(f) > 2 && f[len(f)-2] == "dry":
			h.basis = dryMatter
			if l == "matter" {
				f = f[:len(f)-1]
			}
		case l == "fed" && f[len(f)-2] == "as":
			h.basis = asFed
			f = f[:len(f)-1]
			if len(f) == 1 {
				h.words = "as fed"
				return
			}
		case headerUnits[l]:
			h.unit = cmp.Or(h.unit, l)
		case l == "of" || l == "in":
		default:
			h.words = joined(f)
			return
		}
		f = f[:len(f)-1]
	}
	h.words = joined(f)
}

// joined makes one text of words; a slash parts them too.
func joined(f []string) string {
	s := strings.Join(f, " ")
	if strings.Contains(s, "/") {
		s = strings.Join(strings.Fields(strings.ReplaceAll(s, "/", " ")), " ")
	}
	return s
}

// column is one column of a table.
type column struct {
	key     string // of columnWords, or "" for a day, a meal or a feed
	col     int
	heading heading
	cell    xlsx.Cell
	guessed bool // the heading is only like one that is known
	// For a day column of the work sheet.
	isDay   bool
	weekday time.Weekday
	date    time.Time // zero where the header is a weekday word
	// For a meal or feed column of the rations sheet.
	meal    string
	feed    string
	planned bool
}

// table is part of a sheet understood as one kind.
type table struct {
	kind   sheetKind
	sheet  *sheet
	head   int // index of the (last) header row in sheet.rows; -1: none (a yard sheet of bare pairs)
	end    int // index behind the last row
	c1, c2 int // the columns it lies in
	cols   []column
	score  int
	title  xlsx.Cell // the line above the header, if it stands alone
	// For a sheet a day: what the tab or the title says.
	day     time.Weekday
	date    time.Time
	isOfDay bool
	// A table without a column of horses' names belongs to one horse: the one on
	// the tab, in the title or in the sheet's own Name line.
	nameless bool
	horse    xlsx.Cell
	loose    bool // pairs above another table: only known settings count
}

// col returns the column with a key.
func (t *table) col(key string) (column, bool) {
	if i := t.index(key); i >= 0 {
		return t.cols[i], true
	}
	return column{}, false
}

// index is where in cols the column with a key stands; -1: nowhere.
func (t *table) index(key string) int {
	for i := range t.cols {
		if t.cols[i].key == key {
			return i
		}
	}
	return -1
}

func (t *table) has(keys ...string) bool {
	for _, k := range keys {
		if t.index(k) >= 0 {
			return true
		}
	}
	return false
}

// cell returns the cell of a row under the column with a key.
func (t *table) cell(r xlsx.Row, key string) xlsx.Cell {
	i := t.index(key)
	if i < 0 {
		if key == "horse" && t.horse.Kind != xlsx.Empty {
			return t.horse
		}
		return xlsx.Cell{Row: r.N}
	}
	return r.At(t.cols[i].col)
}

// dayOf finds the day a tab or a title is about: "Mon", "Monday 30 Nov 2026",
// "Work on Tuesday".
func (hw headerWords) dayOf(text string) (day time.Weekday, date time.Time, ok bool) {
	if text == "" || len(text) > 60 {
		return 0, time.Time{}, false
	}
	if d, err := ParseDate(text); err == nil {
		return d.Weekday(), d, true
	}
	found := 0
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) }) {
		if len(w) < 3 {
			continue // "mo" and "sa" are too little outside a row of days
		}
		if d, is := hw.weekdayOf(w); is {
			day, found = d, found+1
		}
	}
	return day, time.Time{}, found == 1
}

// weekdayOf reads a day in the yard's own words or in English.
func (hw headerWords) weekdayOf(text string) (time.Weekday, bool) {
	if d, ok := hw.days[strings.Trim(fold(text), ". ")]; ok {
		return d, true
	}
	return weekdayOf(text)
}

// dayHeading recognises a column headed by a weekday or a date; the date is zero
// where it is a weekday.
func (hw headerWords) dayHeading(text string) (day time.Weekday, date time.Time, ok bool) {
	text = strings.ToLower(tidy(text))
	if t, err := ParseDate(text); err == nil {
		return t.Weekday(), t, true
	}
	first, rest, _ := strings.Cut(text, " ")
	if w, ok := hw.weekdayOf(first); ok && (rest == "" || rest == "am" || rest == "pm" || strings.IndexFunc(rest, unicode.IsDigit) == 0 || rest[0] == '(') {
		return w, time.Time{}, true
	}
	return 0, time.Time{}, false
}

// usualMeals are the meal names known without a yard sheet.
var usualMeals = []string{"breakfast", "morning", "am", "mid morning", "elevenses", "lunch", "midday", "noon", "afternoon", "tea", "dinner", "evening", "pm", "supper", "late", "late night", "night"}

// nowOrPlanned takes "now" or "planned" off the words of a heading.
func nowOrPlanned(words string) (rest string, planned bool) {
	for _, p := range []string{"fed now", "now", "current", "planned", "plan"} {
		if t, ok := cutLast(words, p); ok {
			return t, strings.HasPrefix(p, "plan")
		}
		if t, ok := cutFirst(words, p); ok {
			return t, strings.HasPrefix(p, "plan")
		}
	}
	return words, false
}

// mealWord is a meal's name as a heading has it.
type mealWord struct{ words, name string }

// nameMeals tells the vocabulary the yard's meals.
func (v *vocabulary) nameMeals(names []string) {
	v.meals = nil
	for _, m := range names {
		v.meals = append(v.meals, mealWord{splitHeading(m).words, m})
	}
	for _, m := range usualMeals {
		v.meals = append(v.meals, mealWord{m, strings.ToUpper(m[:1]) + m[1:]})
	}
}

// feedHeading recognises a column headed by a feed of the feeds sheet: "Oats",
// "Breakfast oats".
func (v *vocabulary) feedHeading(words string) (feed, meal string, ok bool) {
	if len(v.feeds) == 0 {
		return "", "", false
	}
	if f, ok := v.feeds[words]; ok {
		return f, "", true
	}
	for _, m := range v.meals {
		rest, ok := cutFirst(words, m.words)
		if !ok {
			if rest, ok = cutLast(words, m.words); !ok {
				continue
			}
		}
		if f, ok := v.feeds[rest]; ok {
			return f, m.name, true
		}
	}
	return "", "", false
}

// mealHeading recognises a column headed by a meal: "Breakfast".
func (v *vocabulary) mealHeading(words string) (meal string, ok bool) {
	for _, m := range v.meals {
		if m.words == words {
			return m.name, true
		}
	}
	return "", false
}

// cutFirst takes words off the front of others, cutLast off their end.
func cutFirst(s, words string) (rest string, ok bool) {
	if rest, ok = strings.CutPrefix(s, words); ok {
		if rest, ok = strings.CutPrefix(rest, " "); ok {
			return rest, true
		}
	}
	return s, false
}

func cutLast(s, words string) (rest string, ok bool) {
	if rest, ok = strings.CutSuffix(s, words); ok {
		if rest, ok = strings.CutSuffix(rest, " "); ok {
			return rest, true
		}
	}
	return s, false
}

// expected says what a sheet of a kind is known by.
func expected(k sheetKind) yard.Saying {
	switch k {
	case horsesKind:
		return yard.Say("part.expected.horses")
	case workKind:
		return yard.Say("part.expected.work")
	case rationsKind:
		return yard.Say("part.expected.rations")
	case feedsKind:
		return yard.Say("part.expected.feeds")
	}
	return yard.Say("part.expected.sheet", sheetArg("sheet", k))
}
