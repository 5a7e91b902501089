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

// settings are what the yard sheet says.
type settings struct {
	yard        string
	beginning   time.Time // of the week; zero: not known
	meals       *mealList
	measures    measures
	paper       string
	temperature yard.Num
	humidityPct yard.Num
	contacts    []yard.Contact
	units       units
	at          yard.Cell // where they stand
}

// yardSheets reads the settings, each a row.
type yardSheets struct {
	in      *layout
	cells   *cellReader // knows the units as far as they are read
	misread bool        // the week could not be read
	out     settings
}

func readYard(in *layout, file string) settings {
	r := &yardSheets{in: in, cells: &cellReader{log: in.log, units: units{bare: map[string]string{}}}}
	r.out.paper, r.out.meals = "A4", &mealList{log: in.log}
	tables := in.tables[yardKind]
	// A yard sheet proper counts before what is above other tables.
	slices.SortStableFunc(tables, func(a, b table) int { return cmp.Compare(b.head, a.head) })
	for i := range tables {
		t := &tables[i]
		for j := t.head + 1; j < t.end; j++ {
			rw := clip(t.sheet.Rows[j], t.c1, t.c2)
			if len(rw.Cells) == 0 {
				continue
			}
			if d, ok := r.in.vocab.weekTitle(rw.Cells[0]); ok && t.head < 0 {
				r.setWeek(t, rw.Cells[0], d)
				continue
			}
			if t.loose {
				if w := splitHeading(rw.Cells[0].Shown).words; r.in.vocab.words.settings[w] == "" {
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
	w := &r.out
	at := &w.at
	if len(tables) > 0 {
		at.Sheet = tables[0].sheet.Name
	} else {
		in.log.find("sheet-missing", yard.Note, "", yard.Cell{}, yard.Say("finding.sheet-missing.yard"))
	}
	if w.yard == "" {
		base := filepath.Base(file)
		w.yard = strings.TrimSpace(strings.TrimSuffix(base, filepath.Ext(base)))
		in.log.find("yard-default", yard.Note, "", *at, yard.Say("finding.yard-default.name", yard.Named("name", yard.Term, w.yard)))
	}
	if w.beginning.IsZero() && !r.misread {
		in.log.find("week-unknown", yard.Warn, "", *at, yard.Say("finding.week-unknown"))
	}
	w.meals.given = len(w.meals.list) > 0
	if len(w.measures) == 0 {
		w.measures = measures{{Name: "scoop"}}
		in.log.find("yard-default", yard.Note, "", *at, yard.Say("finding.yard-default.measures"))
	}
	w.units = r.cells.units
	return r.out
}

func (r *yardSheets) readSetting(t *table, key xlsx.Cell, values []xlsx.Cell) {
	head := splitHeading(key.Shown)
	v := values[0]
	if v.Kind == xlsx.Wrong || v.Kind == xlsx.Uncached {
		_, rule, why := quantityOf(v)
		r.in.log.find(rule, yard.Warn, "", t.sheet.place(v), yard.Say("finding.cell.setting", yard.Words("setting", key.Shown), yard.Said("why", why)))
		return
	}
	setting, ok := r.in.vocab.words.settings[head.words]
	if !ok {
		minute, isTime := minuteOf(v)
		switch {
		case isTime:
			r.out.meals.add(t, v, key.Shown, minute)
		case isContact(values):
			r.addContact(key, values)
		default:
			known := slices.Sorted(maps.Keys(r.in.vocab.words.settings))
			r.in.log.find("setting-unknown", yard.Note, "", t.sheet.place(key), orNear("finding.setting-unknown", nearest(key.Shown, known), wrote("wrote", key.Shown)))
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
var settingReaders map[string]func(*yardSheets, settingCell)

func init() { // the readers know the words, which are made of this table
	settingReaders = map[string]func(*yardSheets, settingCell){
		"yard":     func(r *yardSheets, s settingCell) { r.out.yard = s.v.Shown },
		"week":     (*yardSheets).readWeek,
		"weights":  func(r *yardSheets, s settingCell) { r.readUnit(s, "kg", kgPer, "finding.cell-word.weights") },
		"lengths":  func(r *yardSheets, s settingCell) { r.readUnit(s, "cm", cmPer, "finding.cell-word.lengths") },
		"meals":    (*yardSheets).readMeals,
		"measures": (*yardSheets).readMeasures,
		"measure":  (*yardSheets).readMeasure,
		"units":    (*yardSheets).readUnits,
		"paper":    (*yardSheets).readPaper,
		"temperature": func(r *yardSheets, s settingCell) {
			r.out.temperature = readTemperature(r.in.log, s.t, s.v, s.head.unit)
		},
		"humidity": func(r *yardSheets, s settingCell) {
			r.out.humidityPct = r.cells.take(s.t, s.v, "%", field{what: yard.Say("field.humidity"), example: "70", factors: map[string]float64{"%": 1}, unit: "%", min: 0, max: 100, in: yard.Percent}, "", yard.Warn)
		},
		"contact": func(r *yardSheets, s settingCell) { r.addContact(s.key, s.values) },
	}
}

func (r *yardSheets) readWeek(s settingCell) {
	d, err := dateOf(s.v)
	if err != nil && s.v.Kind == xlsx.Text {
		if day, ok := weekInWords(s.v.Shown); ok {
			d, err = day, nil
		}
	}
	if err != nil {
		r.misread = true
		r.in.log.find("week-unknown", yard.Warn, "", s.t.sheet.place(s.v), yard.Say("finding.week-unknown.unread", wrote("wrote", s.v.Shown), yard.Failure("why", err)))
		return
	}
	r.setWeek(s.t, s.v, d)
}

// readUnit reads the unit of all numbers without one.
func (r *yardSheets) readUnit(s settingCell, of string, known map[string]float64, says string) {
	if u := unitName(fold(s.v.Shown)); known[u] != 0 {
		r.cells.units.bare[of] = u
	} else {
		r.in.log.find("cell-word", yard.Warn, "", s.t.sheet.place(s.v), yard.Say(says, wrote("wrote", s.v.Shown)))
	}
}

func (r *yardSheets) readMeals(s settingCell) {
	for _, c := range s.values {
		if c.Kind != xlsx.Text {
			continue
		}
		for _, part := range strings.FieldsFunc(c.Shown, func(x rune) bool { return x == ',' || x == ';' || x == '\n' || x == '+' }) {
			r.mealFromText(s.t, c, part)
		}
	}
}

func (r *yardSheets) readMeasures(s settingCell) {
	for _, c := range s.values {
		for _, part := range strings.FieldsFunc(c.Shown, func(x rune) bool { return x == ';' || x == '\n' }) {
			r.measuresFromText(s.t, c, part)
		}
	}
}

// readMeasure reads a measure named in the setting's own word, such as Scoop volume.
func (r *yardSheets) readMeasure(s settingCell) {
	name := fold(strings.TrimSuffix(s.head.words, " volume"))
	if name == "measure" {
		r.measuresFromText(s.t, s.v, s.v.Shown)
		return
	}
	r.addMeasure(s.t, s.v, name, r.cells.take(s.t, s.v, cmp.Or(s.head.unit, "l"), volumeField(name), "", yard.Warn))
}

func (r *yardSheets) readUnits(s settingCell) {
	begins := func(u string, with ...string) bool {
		return slices.ContainsFunc(with, func(w string) bool { return strings.HasPrefix(u, w) })
	}
	switch u := fold(s.v.Shown); {
	case begins(u, "imp", "us", "lb", "pound"):
		r.cells.units.imperial = true
	case begins(u, "met", "kg", "kilo"):
		r.cells.units.imperial = false
	default:
		r.in.log.find("cell-word", yard.Warn, "", s.t.sheet.place(s.v), yard.Say("finding.cell-word.units", wrote("wrote", s.v.Shown)))
	}
}

func (r *yardSheets) readPaper(s settingCell) {
	switch p := fold(s.v.Shown); {
	case p == "a4":
		r.out.paper = "A4"
	case strings.Contains(p, "letter"), p == "us":
		r.out.paper = "Letter"
	default:
		r.in.log.find("cell-word", yard.Warn, "", s.t.sheet.place(s.v), yard.Say("finding.cell-word.paper", wrote("wrote", s.v.Shown)))
	}
}

// setWeek: the first that is named counts, another one is a finding.
func (r *yardSheets) setWeek(t *table, c xlsx.Cell, d time.Time) {
	w := &r.out
	if w.beginning.IsZero() {
		w.beginning = d
	} else if !w.beginning.Equal(d) {
		for i := range r.in.tables[workKind] { // the work of a week to come is headed with it
			if first, later := (plannedWeek{w.beginning}).titledLater(r.in, &r.in.tables[workKind][i]); later && first.Equal(d) {
				return
			}
		}
		r.in.log.find("week-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.week-twice", yard.Arg{Name: "here", Value: yard.Date{Date: d, Year: true}}, yard.Arg{Name: "used", Value: yard.Date{Date: w.beginning, Year: true}}))
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

func (r *yardSheets) mealFromText(t *table, c xlsx.Cell, part string) {
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
				r.in.log.find("cell-date", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-date.meal", wrote("wrote", part)))
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
		r.in.log.find("cell-word", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-word.meal", wrote("wrote", part)))
		return
	}
	r.out.meals.add(t, c, name, minute)
}

// measuresFromText reads "scoop 2 l, jug 1 l". A comma between figures is a
// decimal comma.
func (r *yardSheets) measuresFromText(t *table, c xlsx.Cell, text string) {
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
			litres = r.cells.take(t, x, "l", volumeField(name), "", yard.Warn)
			if q, err := ParseQuantity(x.Shown); err == nil && q.Unit == "qt" {
				r.in.log.find("measure-volume", yard.Note, "", t.sheet.place(c), yard.Say("finding.measure-volume.quarts", yard.Named("measure", yard.Term, name), wrote("wrote", x.Shown)))
			}
		} else {
			r.in.log.find("measure-volume", yard.Note, "", t.sheet.place(c), yard.Say("finding.measure-volume", yard.Named("measure", yard.Term, name)))
		}
		r.addMeasure(t, c, name, litres)
	}
}

func isFigure(r rune) bool { return r >= '0' && r <= '9' }

func (r *yardSheets) addMeasure(t *table, c xlsx.Cell, name string, litres yard.Num) {
	if len(r.out.measures) > mostMeasures {
		return // refused in the end
	}
	for _, m := range r.out.measures {
		if fold(m.Name) == fold(name) {
			r.in.log.find("measure-twice", yard.Warn, "", t.sheet.place(c), yard.Say("finding.measure-twice", yard.Named("measure", yard.Term, m.Name)))
			return
		}
	}
	r.out.measures = append(r.out.measures, yard.Measure{Name: name, Litres: litres})
}

func readTemperature(said *log, t *table, c xlsx.Cell, headUnit string) yard.Num {
	q, rule, why := quantityOf(c)
	if rule != "" {
		said.find(rule, yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell.temperature", yard.Said("why", why)))
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
		said.find("cell-unit", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-unit.temperature", wrote("wrote", c.Shown)))
		return yard.Num{}
	}
	if v < -50 || v > 50 {
		said.find("cell-range", yard.Warn, "", t.sheet.place(c), yard.Say("finding.cell-range.temperature", yard.Figures("value", v, yard.NoUnit, 6)))
		return yard.Num{}
	}
	return yard.Known(v)
}

// isContact recognises a row by its telephone number.
func isContact(values []xlsx.Cell) bool {
	for _, v := range values {
		if v.Kind == xlsx.Text && phoneNumber().MatchString(v.Shown) {
			return true
		}
	}
	return false
}

// addContact takes "Vet | Anna Bell 01632 960123" or "Vet | Anna Bell | 01632
// 960123".
func (r *yardSheets) addContact(key xlsx.Cell, values []xlsx.Cell) {
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
	r.out.contacts = append(r.out.contacts, ct)
}
