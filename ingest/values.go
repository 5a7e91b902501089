package ingest

import (
	"math"
	"math/bits"
	"regexp"
	"strings"
	"sync"
	"time"
	"unicode"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// lazily compiles an expression when it is first used: most runs need few of
// them, and every start of the program would pay for all.
func lazily(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}

// blank says whether a cell says nothing: empty, or one of the marks people
// put to show that they did not forget it.
func blank(c xlsx.Cell) bool {
	if c.Kind == xlsx.Empty {
		return true
	}
	if c.Kind != xlsx.Text {
		return false
	}
	switch fold(c.Shown) {
	case "", "-", "--", "n/a", "na", ".", "/":
		return true
	}
	return false
}

// quantityOf reads an amount and, where it cannot, says why: the rule and a
// clause such as "holds an error".
func quantityOf(c xlsx.Cell) (q Quantity, rule string, why yard.Saying) {
	switch c.Kind {
	case xlsx.Number:
		if c.Percent {
			return Quantity{c.Num * 100, "%"}, "", why
		}
		return Quantity{c.Num, unitOfFormat(c.Format)}, "", why
	case xlsx.Elapsed:
		return Quantity{float64(c.Minute), "min"}, "", why
	case xlsx.Wrong:
		return q, "cell-error", yard.Say("part.cell.error", wrote("wrote", c.Shown))
	case xlsx.Uncached:
		return q, "cell-error", yard.Say("part.cell.uncached")
	case xlsx.Date:
		return q, "cell-number", yard.Say("part.cell.date", wrote("wrote", c.Shown))
	case xlsx.Clock:
		return q, "cell-number", yard.Say("part.cell.clock", wrote("wrote", c.Shown))
	case xlsx.Boolean:
		return q, "cell-number", yard.Say("part.cell.boolean", wrote("wrote", c.Shown))
	}
	q, err := ParseQuantity(c.Shown)
	if err != nil {
		return q, "cell-number", yard.Say("part.cell.text", wrote("wrote", c.Shown), yard.Failure("why", err))
	}
	return q, "", why
}

// field is what a number in a column may be.
type field struct {
	what     yard.Saying        // "the weight"
	factors  map[string]float64 // unit -> factor to the unit used inside
	unit     string             // taken where neither header nor cell gives one; "" : none is needed
	min, max float64            // in the unit used inside
	in       yard.Unit          // the unit used inside, for sentences
	example  string             // of what to write, with its unit
	imperial bool               // without a unit it is not accepted in a yard that works in pounds
	do       yard.Saying        // what to do about a number out of range
	outOf    string             // the end of its scale, which may be written behind it: "5/9"
}

// outOf is a mark and the end of the scale it is on, as "5/9" or "5 out of 9"; the
// scales in use end at 5, 6, 9 or 10. "5 1/2" is none.
var outOf = lazily(`^([^ /]+) ?(?:/|out of|of) ?(5|6|9|10)$`)

// units are those of the numbers of a yard that have none beside them.
type units struct {
	bare     map[string]string // "kg" or "cm" -> the unit of weights or lengths without one
	imperial bool              // the yard works in pounds
}

// cellReader reads single cells by the units of the yard, and tells the log what cannot
// be read.
type cellReader struct {
	log   *log
	units units
}

// take reads a number from a cell. An unknown comes back for an empty cell, and
// with a finding for one that cannot be believed.
func (r *cellReader) take(t *table, c xlsx.Cell, headUnit string, f field, horse string, sev yard.Severity) yard.Num {
	if blank(c) {
		return yard.Num{}
	}
	place := t.sheet.place(c)
	if c.Kind == xlsx.Clock && f.unit == "min" {
		c.Kind = xlsx.Elapsed // 0:45 in a column of minutes is three quarters of an hour
	}
	if m := outOf().FindStringSubmatch(tidy(c.Shown)); m != nil && c.Kind == xlsx.Text && f.outOf != "" {
		if m[2] != f.outOf {
			r.log.find("cell-range", sev, horse, place, yard.Say("finding.cell-range.scale", yard.Said("what", f.what), wrote("wrote", c.Shown), yard.Named("scale", yard.Term, m[2]), yard.Named("used", yard.Term, f.outOf), yard.Said("do", f.do)))
			return yard.Num{}
		}
		c.Shown = m[1]
	}
	q, rule, why := quantityOf(c)
	if rule != "" {
		if v, ok := r.units.onlyReading(c, headUnit, f); ok {
			return yard.Known(v)
		}
		r.log.find(rule, sev, horse, place, yard.Say("finding.cell.number", yard.Said("what", f.what), yard.Said("why", why), yard.Words("example", f.example)))
		return yard.Num{}
	}
	v, ok := r.units.convert(q, headUnit, f)
	if !ok {
		if q.Unit == "" {
			r.log.find("cell-unit", sev, horse, place, yard.Say("finding.cell-unit.none", yard.Said("what", f.what), yard.Words("unit", headerExample(f))))
			return yard.Num{}
		}
		if fold(q.Unit) == "o" {
			r.log.find("cell-unit", sev, horse, place, yard.Say("finding.cell-unit.letter", wrote("wrote", c.Shown), yard.Words("example", f.example)))
			return yard.Num{}
		}
		r.log.find("cell-unit", sev, horse, place, yard.Say("finding.cell-unit", yard.Said("what", f.what), yard.Words("unit", q.Unit), yard.Words("example", f.example)))
		return yard.Num{}
	}
	if v < f.min-1e-9 || v > f.max+1e-9 {
		do, key := f.do, "finding.cell-range"
		if do.Empty() {
			do = yard.Say("part.do.check")
		}
		if f.in == yard.NoUnit {
			key = "finding.cell-range.no unit"
		}
		figure := func(name string, v float64) yard.Arg { return yard.Figures(name, v, f.in, 6) }
		r.log.find("cell-range", sev, horse, place, yard.Say(key, yard.Said("what", f.what), figure("value", v), figure("least", f.min), figure("most", f.max),
			yard.Named("unit", yard.Term, string(f.in)), yard.Said("do", do)))
		return yard.Num{}
	}
	return yard.Known(v)
}

// commaGroup is a number whose comma can be a decimal comma or part thousands.
var commaGroup = lazily(`^(-?\d{1,3}),(\d{3})(\D.*)?$`)

// onlyReading takes a number with an ambiguous comma where the field's own
// bounds leave one reading: no horse weighs 1.150 lb, so "1,150 lb" is not a guess.
func (u units) onlyReading(c xlsx.Cell, headUnit string, f field) (float64, bool) {
	m := commaGroup().FindStringSubmatch(tidy(c.Shown))
	if c.Kind != xlsx.Text || m == nil || f.min <= 0 || f.max <= f.min {
		return 0, false
	}
	var fits []float64
	for _, mark := range []string{"", "."} {
		q, err := ParseQuantity(m[1] + mark + m[2] + m[3])
		if err != nil {
			continue
		}
		if v, ok := u.convert(q, headUnit, f); ok && v >= f.min-1e-9 && v <= f.max+1e-9 {
			fits = append(fits, v)
		}
	}
	if len(fits) != 1 {
		return 0, false
	}
	return fits[0], true
}

func headerExample(f field) string {
	if _, ok := f.factors["cm"]; ok {
		return "in"
	}
	return "lb"
}

// convert brings a quantity to the unit used inside: by the unit in the cell,
// else by the header's, else by the field's own.
func (u units) convert(q Quantity, headUnit string, f field) (float64, bool) {
	unit := q.Unit
	if unit == "" {
		unit = unitName(headUnit)
		if _, known := f.factors[unit]; !known {
			unit = "" // a header such as "Weight (today)" gives no unit
		}
	}
	if unit == "" {
		if bare := u.bare[f.unit]; bare != "" {
			unit = bare
		} else if f.imperial && u.imperial {
			return 0, false
		} else {
			unit = f.unit
		}
	}
	if unit == "" || f.factors == nil {
		return q.Value, q.Unit == "" || f.factors != nil && f.factors[q.Unit] != 0
	}
	k, ok := f.factors[unit]
	return exact(q.Value * k), ok
}

// exact drops what only binary arithmetic adds: 700 g is 0.7 kg.
func exact(v float64) float64 { return math.Round(v*1e9) / 1e9 }

// date reads a date.
func (r *cellReader) date(t *table, c xlsx.Cell, what yard.Saying, horse string) time.Time {
	if blank(c) {
		return time.Time{}
	}
	d, err := dateOf(c)
	if err != nil {
		r.log.find("cell-date", yard.Warn, horse, t.sheet.place(c), yard.Say("finding.cell-date", yard.Said("what", what), wrote("wrote", c.Shown), yard.Failure("why", err)))
	}
	return d
}

func dateOf(c xlsx.Cell) (time.Time, error) {
	switch c.Kind {
	case xlsx.Date:
		if c.Day.Year() < firstYear || c.Day.Year() > last {
			return time.Time{}, unread(yard.Say("part.date.year", yard.Count("year", c.Day.Year())))
		}
		return c.Day, nil
	case xlsx.Text:
		return ParseDate(c.Shown)
	case xlsx.Number:
		return time.Time{}, unread(yard.Say("part.date.number"))
	case xlsx.Wrong:
		return time.Time{}, unread(yard.Say("part.date.error"))
	case xlsx.Uncached:
		return time.Time{}, unread(yard.Say("part.date.uncached"))
	}
	return time.Time{}, errNoDate
}

// word gives the text of a cell, and a finding where it holds an error.
func (r *cellReader) word(t *table, c xlsx.Cell, what yard.Saying, horse string) string {
	if blank(c) {
		return ""
	}
	if c.Kind == xlsx.Wrong || c.Kind == xlsx.Uncached {
		_, rule, why := quantityOf(c)
		r.log.find(rule, yard.Warn, horse, t.sheet.place(c), yard.Say("finding.cell.word", yard.Said("what", what), yard.Said("why", why)))
		return ""
	}
	return strings.TrimSpace(c.Shown)
}

// name reads the naming cell of a row. A number is a name too.
func (r *cellReader) name(t *table, c xlsx.Cell, what string) string {
	switch c.Kind {
	case xlsx.Empty:
		return ""
	case xlsx.Wrong, xlsx.Uncached:
		_, rule, why := quantityOf(c)
		r.log.find(rule, yard.Stop, "", t.sheet.place(c), yard.Say("finding.cell.name", yard.Said("what", yard.Say("field.name."+what)), yard.Said("why", why), sheetArg("sheet", t.kind)))
		return ""
	}
	return tidyName(c.Shown)
}

// choice maps a word to one of a few values. Words are folded; an unknown word
// is reported with the nearest one known.
func choice[T ~string](r *cellReader, t *table, c xlsx.Cell, what yard.Saying, horse string, words map[string]T, otherwise T, expected yard.Saying) T {
	text := r.word(t, c, what, horse)
	if text == "" {
		return otherwise
	}
	if v, ok := words[fold(text)]; ok {
		return v
	}
	known := make([]string, 0, len(words))
	for w := range words {
		known = append(known, w)
	}
	r.log.find("cell-word", yard.Warn, horse, t.sheet.place(c), orNear("finding.cell-word", nearest(text, known), yard.Said("what", what), wrote("wrote", text), yard.Said("expected", expected)))
	return otherwise
}

// nearest is [yard.Nearest] over many candidates. Most differ in too many letters
// to be compared in earnest: a slip of the pen changes two at most, one for another.
func nearest(word string, candidates []string) string {
	letters := func(s string) (set uint64, n int) {
		for _, r := range s {
			set |= 1 << (unicode.ToLower(r) & 63)
			n++
		}
		return set, n
	}
	word = strings.ToLower(strings.TrimSpace(word))
	set, n := letters(word)
	slips := max(1, (n+1)/3)
	var like []string
	for _, c := range candidates {
		if its, length := letters(c); bits.OnesCount64(set^its) <= 2*slips && max(length-n, n-length) <= slips {
			like = append(like, c)
		}
	}
	if len(like) == 0 {
		return ""
	}
	return yard.Nearest(word, like)
}

// yes reads a yes or no cell.
func yes(c xlsx.Cell) (is, said bool) {
	if c.Kind == xlsx.Boolean {
		return c.Shown == "TRUE", true
	}
	if c.Kind == xlsx.Number {
		return c.Num == 1, true
	}
	switch fold(c.Shown) {
	case "yes", "y", "true", "x", "✓", "✔", "ja", "oui", "agreed":
		return true, true
	case "no", "n", "false", "":
		return false, c.Kind != xlsx.Empty
	}
	return false, false
}
