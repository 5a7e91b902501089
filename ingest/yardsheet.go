package ingest

import (
	"cmp"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// settingWords are the settings of the yard sheet.
var settingWords = map[string]string{
	"yard": "yard", "yard name": "yard", "name": "yard", "name of yard": "yard", "stables": "yard", "stable": "yard", "name of the yard": "yard", "barn": "yard", "farm": "yard", "barn name": "yard",
	"week beginning": "week", "week commencing": "week", "w c": "week", "wc": "week", "w b": "week", "week starting": "week", "week": "week", "week of": "week", "week from": "week", "beginning": "week", "starts": "week", "first day": "week",
	"meals": "meals", "meal times": "meals", "meals and times": "meals", "feed times": "meals", "feeds": "meals", "feeding times": "meals", "mealtimes": "meals",
	"measures": "measures", "scoops": "measures", "measures and volumes": "measures", "measures and their volume": "measures",
	"measure": "measure", "scoop": "measure", "jug": "measure", "bowl": "measure", "cup": "measure", "mug": "measure", "scoop volume": "measure", "small scoop": "measure", "large scoop": "measure", "bucket": "measure",
	"units": "units", "unit": "units",
	"weights": "weights", "weights in": "weights", "unit of weight": "weights", "weight unit": "weights", "weights are in": "weights", "all weights": "weights", "all weights in": "weights",
	"lengths": "lengths", "lengths in": "lengths", "measurements in": "lengths", "unit of length": "lengths",
	"paper": "paper", "paper size": "paper",
	"temperature": "temperature", "temp": "temperature", "temperature c": "temperature", "weather": "temperature", "expected temperature": "temperature", "temperature expected": "temperature", "lowest temperature": "temperature",
	"humidity": "humidity", "relative humidity": "humidity", "expected humidity": "humidity", "rh": "humidity",
	"vet": "contact", "vets": "contact", "veterinary surgeon": "contact", "yard manager": "contact", "manager": "contact", "head groom": "contact", "nutritionist": "contact", "feed adviser": "contact", "farrier": "contact", "owner": "contact", "physio": "contact", "dentist": "contact", "emergency": "contact", "feed merchant": "contact", "contact": "contact", "groom": "contact", "yard owner": "contact", "instructor": "contact", "emergency vet": "contact", "out of hours vet": "contact",
}

// looksLikeYard counts rows of the sheet that are a known setting and a value.
func (v *vocabulary) looksLikeYard(s *sheet) int {
	n := 0
	for _, r := range s.Rows {
		if _, ok := v.weekTitle(r.Cells[0]); ok {
			n++
			continue
		}
		if len(r.Cells) >= 2 && r.Cells[0].Kind == xlsx.Text && len(r.Cells) <= 4 {
			if v.words.settings[splitHeading(r.Cells[0].Shown).words] != "" {
				n++
			}
		}
	}
	return n
}

var (
	mealPart    = lazily(`^(.*?)[\s@(]*(\d{1,2}[:.]\d{2}\s*(?:am|pm)?|\d{1,2}\s*(?:am|pm))?\)?$`)
	phoneNumber = lazily(`\+?[\d(][\d\s()/\-]{4,}\d`)
	measurePart = lazily(`^(.*?)[\s:=]*(\d.*)?$`)
)

// weekInTitle is the week in a line such as "Work, week commencing 30 November
// 2026".
var weekInTitle = lazily(`(?i)(?:^|\s)(?:week (?:beginning|commencing|starting|of|from)|w/?[cb])\b[\s:]*(\S.*)$`)

func (v *vocabulary) weekTitle(c xlsx.Cell) (time.Time, bool) {
	if c.Kind != xlsx.Text || len(c.Shown) > 120 {
		return time.Time{}, false
	}
	date := ""
	if m := weekInTitle().FindStringSubmatch(c.Shown); m != nil {
		date = m[1]
	}
	for _, w := range v.words.week { // the yard's own words, at the beginning
		if rest, ok := strings.CutPrefix(fold(c.Shown), w); ok && strings.HasPrefix(rest, " ") {
			date = rest
		}
	}
	if date == "" {
		return time.Time{}, false
	}
	d, err := ParseDate(strings.Trim(date, " ().:"))
	if err != nil {
		return weekInWords(c.Shown)
	}
	return d, true
}

func (r *reader) readYard(file string) {
	tables := r.tables[yardKind]
	// A yard sheet proper counts before what is above other tables.
	slices.SortStableFunc(tables, func(a, b table) int { return cmp.Compare(b.head, a.head) })
	for i := range tables {
		t := &tables[i]
		for j := t.head + 1; j < t.end; j++ {
			rw := clip(t.sheet.Rows[j], t.c1, t.c2)
			if len(rw.Cells) == 0 {
				continue
			}
			if d, ok := r.vocab.weekTitle(rw.Cells[0]); ok && t.head < 0 {
				r.setWeek(t, rw.Cells[0], d)
				continue
			}
			if t.loose {
				if w := splitHeading(rw.Cells[0].Shown).words; r.vocab.words.settings[w] == "" {
					continue // a line above a table, not a setting
				}
			}
			key, values := rw.Cells[0], rw.Cells[1:]
			if col, ok := t.col("setting"); ok {
				key, values = rw.At(col.col), nil
				for _, c := range rw.Cells {
					if c.Col > col.col {
						values = append(values, c)
					}
				}
			}
			if key.Kind != xlsx.Text || len(values) == 0 {
				continue
			}
			r.readSetting(t, key, values)
		}
	}
	w := &r.week
	var at yard.Cell
	if len(tables) > 0 {
		at.Sheet = tables[0].sheet.Name
	} else {
		r.find("sheet-missing", yard.Note, "", yard.Cell{}, yard.Say("finding.sheet-missing.yard"))
	}
	if w.Yard == "" {
		base := filepath.Base(file)
		w.Yard = strings.TrimSpace(strings.TrimSuffix(base, filepath.Ext(base)))
		r.find("yard-default", yard.Note, "", at, yard.Say("finding.yard-default.name", yard.Named("name", yard.Term, w.Yard)))
	}
	if w.Beginning.IsZero() && !r.noted["week"] {
		r.find("week-unknown", yard.Warn, "", at, yard.Say("finding.week-unknown"))
	}
	r.mealsSet = len(w.Meals) > 0
	r.yardAt = at
	if len(w.Measures) == 0 {
		w.Measures = []yard.Measure{{Name: "scoop"}}
		r.find("yard-default", yard.Note, "", at, yard.Say("finding.yard-default.measures"))
	}
}

// nameMeals takes the meals from the rations where the yard sheet has none.
func (r *reader) nameMeals() {
	w, at := &r.week, r.yardAt
	if !r.mealsSet && !r.namesMeals() {
		w.Meals = []yard.Meal{{Name: "Breakfast", Minute: -1}, {Name: "Tea", Minute: -1}}
		r.find("yard-default", yard.Note, "", at, yard.Say("finding.yard-default.meals"))
	}
}

// namesMeals says whether the rations sheet names meals of its own, which then
// are the yard's.
func (r *reader) namesMeals() bool {
	for i := range r.tables[rationsKind] {
		t := &r.tables[rationsKind][i]
		for _, c := range t.cols {
			if c.meal != "" {
				r.mealNamed(c.meal, yard.Cell{})
			}
		}
		if t.has("meal") {
			r.rowsOf(t, "horse", func(rw xlsx.Row) {
				if c := t.cell(rw, "meal"); c.Kind == xlsx.Text && !blank(c) {
					r.mealNamed(c.Shown, yard.Cell{})
				}
			})
		}
	}
	return len(r.week.Meals) > 0
}

func (r *reader) readSetting(t *table, key xlsx.Cell, values []xlsx.Cell) {
	head := splitHeading(key.Shown)
	v := values[0]
	if v.Kind == xlsx.Wrong || v.Kind == xlsx.Uncached {
		_, rule, why := quantityOf(v)
		r.find(rule, yard.Warn, "", t.sheet.place(v), yard.Say("finding.cell.setting", yard.Words("setting", key.Shown), yard.Said("why", why)))
		return
	}
	setting, ok := r.vocab.words.settings[head.words]
	if !ok {
		minute, isTime := minuteOf(v)
		switch {
		case isTime:
			r.addMeal(t, v, key.Shown, minute)
		case r.isContact(values):
			r.addContact(key, values)
		default:
			known := slices.Sorted(maps.Keys(r.vocab.words.settings))
			r.find("setting-unknown", yard.Note, "", t.sheet.place(key), orNear("finding.setting-unknown", nearest(key.Shown, known), wrote("wrote", key.Shown)))
		}
		return
	}
	if blank(v) {
		return
	}
	settingReaders[setting](r, settingCell{t, key, v, values, head})
}

// settingCell is a setting of the yard sheet: its word, the word taken apart, and what
// is beside it.
type settingCell struct {
	t      *table
	key, v xlsx.Cell
	values []xlsx.Cell
	head   heading
}

// settingReaders read the settings of settingKeys. Each has a value that says something.
var settingReaders map[string]func(*reader, settingCell)

func init() { // the readers know the words, which are made of this table
	settingReaders = map[string]func(*reader, settingCell){
		"yard":        func(r *reader, s settingCell) { r.week.Yard = s.v.Shown },
		"week":        (*reader).readWeek,
		"weights":     func(r *reader, s settingCell) { r.readUnit(s, "kg", kgPer, "finding.cell-word.weights") },
		"lengths":     func(r *reader, s settingCell) { r.readUnit(s, "cm", cmPer, "finding.cell-word.lengths") },
		"meals":       (*reader).readMeals,
		"measures":    (*reader).readMeasures,
		"measure":     (*reader).readMeasure,
		"units":       (*reader).readUnits,
		"paper":       (*reader).readPaper,
		"temperature": func(r *reader, s settingCell) { r.week.Temperature = r.readTemperature(s.t, s.v, s.head.unit) },
		"humidity": func(r *reader, s settingCell) {
			r.week.HumidityPct = r.take(s.t, s.v, "%", field{what: yard.Say("field.humidity"), example: "70", factors: map[string]float64{"%": 1}, unit: "%", min: 0, max: 100, in: yard.Percent}, "", yard.Warn)
		},
		"contact": func(r *reader, s settingCell) { r.addContact(s.key, s.values) },
	}
}

func (r *reader) readWeek(s settingCell) {
	d, err := dateOf(s.v)
	if err != nil && s.v.Kind == xlsx.Text {
		if day, ok := weekInWords(s.v.Shown); ok {
			d, err = day, nil
		}
	}
	if err != nil {
		r.noted["week"] = true
		r.find("week-unknown", yard.Warn, "", s.t.sheet.place(s.v), yard.Say("finding.week-unknown.unread", wrote("wrote", s.v.Shown), yard.Failure("why", err)))
		return
	}
	r.setWeek(s.t, s.v, d)
}

// readUnit reads the unit of all numbers without one.
func (r *reader) readUnit(s settingCell, of string, known map[string]float64, says string) {
	if u := unitName(fold(s.v.Shown)); known[u] != 0 {
		r.bareUnit[of] = u
	} else {
		r.find("cell-word", yard.Warn, "", s.t.sheet.place(s.v), yard.Say(says, wrote("wrote", s.v.Shown)))
	}
}

func (r *reader) readMeals(s settingCell) {
	for _, c := range s.values {
		if c.Kind != xlsx.Text {
			continue
		}
		for _, part := range strings.FieldsFunc(c.Shown, func(x rune) bool { return x == ',' || x == ';' || x == '\n' || x == '+' }) {
			r.mealFromText(s.t, c, part)
		}
	}
}

func (r *reader) readMeasures(s settingCell) {
	for _, c := range s.values {
		for _, part := range strings.FieldsFunc(c.Shown, func(x rune) bool { return x == ';' || x == '\n' }) {
			r.measuresFromText(s.t, c, part)
		}
	}
}

// readMeasure reads a measure named in the setting's own word, such as Scoop volume.
func (r *reader) readMeasure(s settingCell) {
	name := fold(strings.TrimSuffix(s.head.words, " volume"))
	if name == "measure" {
		r.measuresFromText(s.t, s.v, s.v.Shown)
		return
	}
	r.addMeasure(s.t, s.v, name, r.take(s.t, s.v, cmp.Or(s.head.unit, "l"), volumeField(name), "", yard.Warn))
}

func (r *reader) readUnits(s settingCell) {
	begins := func(u string, with ...string) bool {
		return slices.ContainsFunc(with, func(w string) bool { return strings.HasPrefix(u, w) })
	}
	switch u := fold(s.v.Shown); {
	case begins(u, "imp", "us", "lb", "pound"):
		r.week.Imperial = true
	case begins(u, "met", "kg", "kilo"):
		r.week.Imperial = false
	default:
		r.find("cell-word", yard.Warn, "", s.t.sheet.place(s.v), yard.Say("finding.cell-word.units", wrote("wrote", s.v.Shown)))
	}
}

func (r *reader) readPaper(s settingCell) {
	switch p := fold(s.v.Shown); {
	case p == "a4":
		r.week.Paper = "A4"
	case strings.Contains(p, "letter"), p == "us":
		r.week.Paper = "Letter"
	default:
		r.find("cell-word", yard.Warn, "", s.t.sheet.place(s.v), yard.Say("finding.cell-word.paper", wrote("wrote", s.v.Shown)))
	}
}

// setWeek: the first that is named counts, another one is a finding.
func (r *reader) setWeek(t *table, c xlsx.Cell, d time.Time) {
	w := &r.week
	if w.Beginning.IsZero() {
		w.Beginning = d
	} else if !w.Beginning.Equal(d) {
		for i := range r.tables[workKind] { // the work of a week to come is headed with it
			if first, later := r.titledLater(&r.tables[workKind][i]); later && first.Equal(d) {
				return
			}
		}
		r.find("week-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.week-twice", yard.Arg{Name: "here", Value: yard.Date{Date: d, Year: true}}, yard.Arg{Name: "used", Value: yard.Date{Date: w.Beginning, Year: true}}))
	}
}

func volumeField(name string) field {
	return field{what: yard.Say("field.volume", yard.Named("measure", yard.Term, name)), example: "2 l", factors: litresPer, unit: "l", min: 0.02, max: 30, in: yard.Litres, do: yard.Say("part.do.check")}
}

func minuteOf(c xlsx.Cell) (int, bool) {
	switch c.Kind {
	case xlsx.Clock:
		return c.Minute, true
	case xlsx.Text:
		m, err := ParseClock(c.Shown)
		return m, err == nil
	}
	return 0, false
}

func (r *reader) mealFromText(t *table, c xlsx.Cell, part string) {
	part = strings.TrimSpace(tidy(part))
	if part == "" {
		return
	}
	m := mealPart().FindStringSubmatch(strings.TrimRight(part, "."))
	name, minute := part, -1
	if m != nil {
		name = m[1]
		if m[2] != "" {
			v, err := ParseClock(m[2])
			if err != nil {
				r.find("cell-date", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-date.meal", wrote("wrote", part)))
			} else {
				minute = v
			}
		}
	}
	name = strings.Trim(name, " :=-@(")
	if f := strings.Fields(name); len(f) > 1 && f[len(f)-1] == "at" {
		name = strings.Join(f[:len(f)-1], " ")
	}
	if name == "" {
		r.find("cell-word", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-word.meal", wrote("wrote", part)))
		return
	}
	r.addMeal(t, c, name, minute)
}

func (r *reader) addMeal(t *table, c xlsx.Cell, name string, minute int) {
	if len(r.week.Meals) > mostMeals {
		return // refused in the end
	}
	for _, m := range r.week.Meals {
		if fold(m.Name) == fold(name) {
			r.find("meal-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.meal-twice", yard.Named("meal", yard.Term, m.Name)))
			return
		}
	}
	r.week.Meals = append(r.week.Meals, yard.Meal{Name: strings.TrimSpace(name), Minute: minute})
	// Meals are in the order of the day, as far as their times say.
	ms := r.week.Meals
	for i := len(ms) - 1; i > 0 && ms[i].Minute >= 0 && ms[i-1].Minute > ms[i].Minute; i-- {
		ms[i], ms[i-1] = ms[i-1], ms[i]
	}
}

// measuresFromText reads "scoop 2 l, jug 1 l". A comma between figures is a
// decimal comma.
func (r *reader) measuresFromText(t *table, c xlsx.Cell, text string) {
	var parts []string
	start := 0
	rs := []rune(text)
	for i, x := range rs {
		if x == ',' && !(i > 0 && i+1 < len(rs) && isFigure(rs[i-1]) && isFigure(rs[i+1])) {
			parts = append(parts, string(rs[start:i]))
			start = i + 1
		}
	}
	parts = append(parts, string(rs[start:]))
	for _, part := range parts {
		part = tidy(part)
		if part == "" {
			continue
		}
		m := measurePart().FindStringSubmatch(part)
		if m == nil {
			continue
		}
		name := strings.Trim(m[1], " :=-(")
		if name == "" {
			name = "scoop"
		}
		litres := yard.Num{}
		if m[2] != "" {
			x := c
			x.Kind, x.Shown = xlsx.Text, strings.TrimRight(m[2], " )")
			litres = r.take(t, x, "l", volumeField(name), "", yard.Warn)
			if q, err := ParseQuantity(x.Shown); err == nil && q.Unit == "qt" {
				r.find("measure-volume", yard.Note, "", t.sheet.place(c), yard.Say("finding.measure-volume.quarts", yard.Named("measure", yard.Term, name), wrote("wrote", x.Shown)))
			}
		} else {
			r.find("measure-volume", yard.Note, "", t.sheet.place(c), yard.Say("finding.measure-volume", yard.Named("measure", yard.Term, name)))
		}
		r.addMeasure(t, c, name, litres)
	}
}

func isFigure(r rune) bool { return r >= '0' && r <= '9' }

func (r *reader) addMeasure(t *table, c xlsx.Cell, name string, litres yard.Num) {
	if len(r.week.Measures) > mostMeasures {
		return // refused in the end
	}
	for _, m := range r.week.Measures {
		if fold(m.Name) == fold(name) {
			r.find("measure-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.measure-twice", yard.Named("measure", yard.Term, m.Name)))
			return
		}
	}
	r.week.Measures = append(r.week.Measures, yard.Measure{Name: name, Litres: litres})
}

func (r *reader) readTemperature(t *table, c xlsx.Cell, headUnit string) yard.Num {
	q, rule, why := quantityOf(c)
	if rule != "" {
		r.find(rule, yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell.temperature", yard.Said("why", why)))
		return yard.Num{}
	}
	unit := q.Unit
	if unit == "" {
		unit = unitName(headUnit)
	}
	v := q.Value
	switch unit {
	case "°C", "":
	case "°F":
		v = (v - 32) / 1.8
	default:
		r.find("cell-unit", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-unit.temperature", wrote("wrote", c.Shown)))
		return yard.Num{}
	}
	if v < -50 || v > 50 {
		r.find("cell-range", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-range.temperature", yard.Figures("value", v, yard.NoUnit, 6)))
		return yard.Num{}
	}
	return yard.Known(v)
}

// isContact recognises a row by its telephone number.
func (r *reader) isContact(values []xlsx.Cell) bool {
	for _, v := range values {
		if v.Kind == xlsx.Text && phoneNumber().MatchString(v.Shown) {
			return true
		}
	}
	return false
}

// addContact takes "Vet | Anna Bell 01632 960123" or "Vet | Anna Bell | 01632
// 960123".
func (r *reader) addContact(key xlsx.Cell, values []xlsx.Cell) {
	ct := yard.Contact{Role: key.Shown}
	var names []string
	for _, v := range values {
		text := strings.TrimSpace(v.Shown)
		if v.Kind == xlsx.Number && len(text) >= 6 {
			ct.Phone = text
			continue
		}
		if p := phoneNumber().FindString(text); p != "" && ct.Phone == "" {
			ct.Phone = strings.TrimSpace(p)
			text = strings.Replace(text, p, "", 1)
		}
		if text = strings.Trim(text, " ,;:-()"); text != "" && !blank(v) {
			names = append(names, text)
		}
	}
	ct.Name = strings.Join(names, ", ")
	if ct.Name == "" && ct.Phone == "" {
		return
	}
	r.week.Contacts = append(r.week.Contacts, ct)
}
