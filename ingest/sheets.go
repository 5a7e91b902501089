package ingest

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
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
// and marks.
var columnWords = map[sheetKind]map[string][]string{
	horsesKind: {
		"horse":           {"name", "horse", "horse name", "horses name", "horse s name", "pony", "animal", "stable name", "horses"},
		"weight":          {"weight", "body weight", "bodyweight", "bw", "wt", "liveweight", "live weight", "weight now", "current weight"},
		"how":             {"how weighed", "weight by", "weighed by", "weighed how", "how", "weight basis", "basis", "method", "weight method", "weighed with"},
		"weighed":         {"date weighed", "weighed", "weighed on", "weight date", "last weighed", "date of weight", "when weighed", "weigh date"},
		"girth":           {"girth", "heart girth", "heartgirth", "girth measurement"},
		"length":          {"length", "body length"},
		"height":          {"height", "size", "hands"},
		"age":             {"age"},
		"type":            {"type", "horse type", "sort"},
		"score":           {"score", "condition score", "body condition", "body condition score", "bcs", "condition", "cs", "fat score"},
		"target score":    {"target score", "target", "target condition", "target bcs", "target condition score", "score wanted"},
		"fitness":         {"fitness", "fit"},
		"keeper":          {"keeper", "doer", "keep"},
		"temper":          {"temper", "temperament", "nature"},
		"housing":         {"housing", "housed", "kept", "living", "turnout", "stabling"},
		"rider":           {"rider tack", "rider and tack", "rider plus tack", "rider", "load", "rider weight", "rider with tack"},
		"breed":           {"breed", "breeding type", "blood"},
		"breeding":        {"in foal", "breeding", "mare state", "foal", "in foal or foal at foot"},
		"appetite":        {"appetite", "eating", "eats up", "off feed"},
		"in work since":   {"in work since", "came up", "brought up", "back in work", "work began", "up since"},
		"sweat score":     {"sweat score", "sweat score 1 5"},
		"sweat litres":    {"sweat", "sweat loss", "measured sweat", "sweat measured"},
		"grass hours":     {"hours at grass", "grass hours", "hours on grass", "turnout hours", "hours out", "hours turned out", "hours out a day"},
		"grass before":    {"hours at grass last week", "grass hours last week", "hours out last week", "turnout hours last week"},
		"check vet":       {"vet check", "vet checked", "vetted", "seen by vet"},
		"check farrier":   {"shod", "farrier check", "feet done", "seen by farrier", "shoeing"},
		"check saddle":    {"saddle checked", "saddle fit", "saddle check", "saddle fitted"},
		"check teeth":     {"teeth done", "teeth", "teeth checked"},
		"check worms":     {"worm count", "worming", "worms", "worm egg count", "wormed by count"},
		"diagnoses":       {"diagnoses", "diagnosis", "vet diagnoses", "vet diagnosis", "medical", "known conditions", "health", "vet named"},
		"override":        {"override", "overrule"},
		"override by":     {"override by", "override who", "overridden by", "overruled by"},
		"override reason": {"override reason", "override why", "reason for override", "reason"},
		"notes":           {"notes", "note", "remarks", "comments", "comment"},
	},
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
		"since":   {"since", "fed since", "started", "first fed", "new since", "introduced"},
		"planned": {"planned", "plan", "new", "next week", "to feed", "planned amount", "amount planned", "this week"},
	},
	feedsKind: {
		"feed":        {"feed", "name", "feed name", "feedstuff", "product", "item", "feeds"},
		"kind":        {"kind", "type", "class", "category", "sort"},
		"what it is":  {"what it is", "generic", "generic feed", "is", "description", "what is it", "what"},
		"one measure": {"one measure", "measure weight", "weight of one measure", "one scoop", "scoop", "scoop weight", "1 scoop", "1 measure", "weight of scoop", "weight of one scoop", "level scoop", "weight of measure", "measure weighs", "scoop weighs", "one level measure", "one level scoop"},
		"measure":     {"measure", "which measure", "measure used"},
		"weighed on":  {"weighed on", "weighed", "date weighed", "when weighed", "scoop weighed", "measure weighed"},
		"dry matter":  {"dm", "dry matter"},
		"energy":      {"de", "digestible energy", "energy"},
		"protein":     {"protein", "crude protein", "cp"},
		"fibre":       {"fibre", "fiber", "crude fibre", "crude fiber", "cf"},
		"ndf":         {"ndf"},
		"adf":         {"adf"},
		"fat":         {"fat", "oil", "crude fat", "oils and fats", "crude oils and fats", "crude oil", "ether extract"},
		"starch":      {"starch"},
		"sugar":       {"sugar", "sugars", "wsc"},
		"calcium":     {"ca", "calcium"},
		"phosphorus":  {"p", "phosphorus"},
		"sodium":      {"na", "sodium"},
		"lysine":      {"lysine", "lys"},
		"magnesium":   {"mg", "magnesium"},
		"potassium":   {"k", "potassium"},
		"chloride":    {"cl", "chloride"},
		"sulphur":     {"s", "sulphur", "sulfur"},
		"copper":      {"cu", "copper"},
		"zinc":        {"zn", "zinc"},
		"manganese":   {"mn", "manganese"},
		"iron":        {"fe", "iron"},
		"selenium":    {"se", "selenium"},
		"iodine":      {"i", "iodine"},
		"cobalt":      {"co", "cobalt"},
		"vitamin a":   {"vit a", "vitamin a"},
		"vitamin d":   {"vit d", "vitamin d", "vitamin d3", "vit d3"},
		"vitamin e":   {"vit e", "vitamin e"},
		"thiamin":     {"thiamin", "thiamine", "vit b1", "vitamin b1"},
		"riboflavin":  {"riboflavin", "vit b2", "vitamin b2"},
		"basis":       {"basis", "analysis basis", "analysis is", "analysis as"},
		"pack":        {"bag", "bale", "bag weight", "pack", "pack weight", "bale weight", "bag bale", "bag or bale", "sack", "pack size", "bag size", "sack weight"},
		"pack name":   {"pack name", "sold", "sold by", "unit", "pack unit"},
		"price":       {"price", "cost", "bag price", "price a bag", "price per bag", "price bag", "price a pack", "price per pack", "pack price"},
		"stock":       {"stock", "in stock", "bags in stock", "in store", "packs in stock"},
		"batch since": {"batch since", "batch", "new batch", "since", "batch from"},
		"opened on":   {"opened", "opened on", "bale opened", "tub opened", "date opened"},
		"best before": {"best before", "expires", "expiry", "use by", "expiry date", "best before date"},
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
}

// ColumnKeys lists the column keys that [Options.Synonyms] may extend, sorted.
func ColumnKeys() []string {
	seen := map[string]bool{}
	for _, cols := range columnWords {
		for k := range cols {
			seen[k] = true
		}
	}
	keys := make([]string, 0, len(seen))
	for k := range seen {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// headerWords finds the column key of a header's words, by kind of sheet.
type headerWords map[sheetKind]map[string]string

// allWords joins the built-in words and the yard's own; the yard's win.
func allWords(synonyms map[string][]string) headerWords {
	all := headerWords{}
	for kind, cols := range columnWords {
		all[kind] = map[string]string{}
		for key, words := range cols {
			for _, w := range words {
				all[kind][w] = key
			}
		}
		for _, key := range ColumnKeys() {
			if _, ok := cols[key]; ok {
				for _, w := range synonyms[key] {
					all[kind][splitHeading(w).words] = key
				}
			}
		}
	}
	return all
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
}

var headerUnits = map[string]bool{
	"kg": true, "kgs": true, "g": true, "lb": true, "lbs": true, "oz": true, "st": true, "cm": true, "in": true, "ins": true, "inches": true,
	"hh": true, "hands": true, "min": true, "mins": true, "minutes": true, "mj/kg": true, "mcal/kg": true, "g/kg": true, "mg/kg": true, "iu/kg": true, "ppm": true, "iu": true,
	"scoops": true, "measures": true, "bags": true, "bales": true, "sacks": true, "years": true, "yrs": true, "ml": true, "l": true, "litres": true,
	"packs": true, "mj": true, "mcal": true, "kilos": true, "grams": true, "pounds": true,
}

func splitHeading(text string) heading {
	s := strings.ToLower(tidy(text))
	var h heading
	note := func(u string) {
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
	for _, pair := range []string{"()", "[]"} {
		for {
			i := strings.IndexByte(s, pair[0])
			if i < 0 {
				break
			}
			j := strings.IndexByte(s[i:], pair[1])
			if j < 0 {
				break
			}
			note(s[i+1 : i+j])
			s = s[:i] + " " + s[i+j+1:]
		}
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
	f := strings.Fields(s)
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
				return h
			}
		case headerUnits[l]:
			if h.unit == "" {
				h.unit = l
			}
		case l == "of" || l == "in":
		default:
			h.words = strings.Join(strings.Fields(strings.ReplaceAll(strings.Join(f, " "), "/", " ")), " ")
			return h
		}
		f = f[:len(f)-1]
	}
	h.words = strings.Join(strings.Fields(strings.ReplaceAll(strings.Join(f, " "), "/", " ")), " ")
	return h
}

// column is one column of a table.
type column struct {
	key     string // of columnWords, or "" for a day or a meal
	col     int
	heading heading
	cell    cell
	// For a day column of the work sheet.
	isDay   bool
	weekday time.Weekday
	date    time.Time // zero where the header is a weekday word
	// For a meal column of the rations sheet.
	meal    string
	planned bool
}

// table is a sheet understood as one kind.
type table struct {
	kind  sheetKind
	sheet *sheet
	head  int // index of the header row in sheet.rows; -1: none (a yard sheet of bare pairs)
	cols  []column
	score int
}

// col returns the column with a key.
func (t *table) col(key string) (column, bool) {
	for _, c := range t.cols {
		if c.key == key {
			return c, true
		}
	}
	return column{}, false
}

func (t *table) has(keys ...string) bool {
	for _, k := range keys {
		if _, ok := t.col(k); ok {
			return true
		}
	}
	return false
}

// cell returns the cell of a row under the column with a key.
func (t *table) cell(r row, key string) cell {
	c, ok := t.col(key)
	if !ok {
		return cell{row: r.n}
	}
	return r.at(c.col)
}

const headerSearchRows = 30

// wordKinds orders the kinds so that a draw goes to the one named first.
var wordKinds = []sheetKind{horsesKind, workKind, rationsKind, feedsKind, sessionsKind, weightsKind, yardKind}

// recognise returns every kind the sheet can be read as, best first.
func recognise(s *sheet, mealNames []string, words headerWords) []table {
	best := map[sheetKind]table{}
	for i, r := range s.rows {
		if r.n > s.rows[0].n+headerSearchRows {
			break
		}
		for _, k := range wordKinds {
			t := matchHeader(k, s, i, mealNames, words)
			if t.score > best[k].score {
				best[k] = t
			}
		}
	}
	if pairs := looksLikeYard(s); pairs >= 2 && best[yardKind].score == 0 {
		best[yardKind] = table{kind: yardKind, sheet: s, head: -1, score: pairs}
	}
	var all []table
	for _, k := range wordKinds {
		if t := best[k]; t.score > 0 {
			// The name on the tab only breaks a draw.
			t.score *= 10
			if name := strings.ToLower(s.name); strings.Contains(name, strings.TrimSuffix(string(k), "s")) ||
				k == workKind && strings.Contains(name, "exercise") || k == feedsKind && strings.Contains(name, "feed") {
				t.score += 5
			}
			all = append(all, t)
		}
	}
	slices.SortStableFunc(all, func(a, b table) int { return b.score - a.score })
	return all
}

func matchHeader(k sheetKind, s *sheet, i int, mealNames []string, words headerWords) table {
	t := table{kind: k, sheet: s, head: i}
	for _, c := range s.rows[i].cells {
		if c.kind != written && !(k == workKind && c.kind == dated) || len(c.shown) > 60 {
			continue
		}
		h := splitHeading(c.shown)
		col := column{col: c.col, heading: h, cell: c}
		if k == workKind && dayColumn(&col, c) || k == rationsKind && mealColumn(&col, h.words, mealNames) {
			t.cols = append(t.cols, col)
			continue
		}
		col.key = words[k][h.words]
		// A second column of the same name is left out here and reported when
		// the table is read.
		if col.key != "" && !t.has(col.key) {
			t.cols = append(t.cols, col)
		}
	}
	if satisfied(&t) {
		t.score = len(t.cols)
		if k == yardKind {
			t.score += 3
		}
	}
	return t
}

// satisfied says whether the columns are enough for the kind.
func satisfied(t *table) bool {
	days, meals := 0, 0
	for _, c := range t.cols {
		if c.isDay {
			days++
		}
		if c.meal != "" {
			meals++
		}
	}
	switch t.kind {
	case horsesKind:
		return t.has("horse") && t.has("weight", "girth", "height", "age", "type", "score", "fitness", "keeper", "diagnoses", "rider", "temper", "housing")
	case workKind:
		return t.has("horse") && (days >= 3 || t.has("date", "day") && t.has("work"))
	case rationsKind:
		return t.has("horse") && t.has("feed") && (t.has("now", "planned") || meals > 0)
	case feedsKind:
		c, ok := t.col("feed")
		if !ok {
			return false
		}
		return t.has("kind", "what it is", "one measure", "dry matter", "energy", "protein", "starch", "pack", "stock") ||
			c.heading.words != "name" && c.heading.words != "item" && strings.Contains(strings.ToLower(t.sheet.name), "feed") && len(t.sheet.rows[t.head].cells) == 1
	case sessionsKind:
		return t.has("session") && t.has("walk", "trot", "canter", "gallop")
	case weightsKind:
		return t.has("date") && t.has("horse") && t.has("weight")
	case yardKind:
		return t.has("setting") && t.has("value")
	}
	return false
}

func dayColumn(col *column, c cell) bool {
	if c.kind == dated {
		col.isDay, col.date, col.weekday = true, c.day, c.day.Weekday()
		return true
	}
	text := strings.ToLower(tidy(c.shown))
	if t, err := ParseDate(text); err == nil {
		col.isDay, col.date, col.weekday = true, t, t.Weekday()
		return true
	}
	first, rest, _ := strings.Cut(text, " ")
	if w, ok := weekdayOf(first); ok && (rest == "" || rest == "am" || rest == "pm" || strings.IndexFunc(rest, unicode.IsDigit) == 0 || rest[0] == '(') {
		col.isDay, col.weekday = true, w
		return true
	}
	return false
}

// usualMeals are the meal names known without a yard sheet.
var usualMeals = []string{"breakfast", "morning", "am", "mid morning", "elevenses", "lunch", "midday", "noon", "afternoon", "tea", "dinner", "evening", "pm", "supper", "late", "late night", "night"}

// mealColumn recognises "Breakfast", "Breakfast now", "planned breakfast".
func mealColumn(col *column, words string, mealNames []string) bool {
	w, planned := words, false
	for _, p := range []string{"fed now", "now", "current", "planned", "plan"} {
		if t, ok := strings.CutSuffix(w, " "+p); ok {
			w, planned = t, strings.HasPrefix(p, "plan")
			break
		}
		if t, ok := strings.CutPrefix(w, p+" "); ok {
			w, planned = t, strings.HasPrefix(p, "plan")
			break
		}
	}
	for _, m := range mealNames {
		if strings.EqualFold(splitHeading(m).words, w) {
			col.meal, col.planned = m, planned
			return true
		}
	}
	if slices.Contains(usualMeals, w) {
		col.meal, col.planned = strings.ToUpper(w[:1])+w[1:], planned
		return true
	}
	return false
}

// expected says in words what a sheet of a kind is known by.
func expected(k sheetKind) string {
	switch k {
	case horsesKind:
		return "a sheet with a column headed Name or Horse and at least one of Weight, Girth, Age, Type, Score or Fitness"
	case workKind:
		return "a sheet with a column headed Horse and columns headed Mon to Sun, or columns headed Horse, Date and Work"
	case rationsKind:
		return "a sheet with columns headed Horse, Feed and Now (and Planned, if you plan the amounts yourself)"
	case feedsKind:
		return "a sheet with a column headed Feed and at least one of Kind, What it is, One measure or an analysis"
	}
	return fmt.Sprintf("a %s sheet", k)
}
