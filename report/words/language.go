// Package words is how a plan is said: numbers and amounts as hands use them, days and
// meals, findings and sayings, in each language of [wording]. Nothing in it is drawn.
package words

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"hardfeed/ration/yard"
	"hardfeed/templates/wording"
)

// Language is one language the sheets are written in.
type Language struct {
	wording.Table
	imperial bool // weights are in pounds and ounces
	wall     bool // what is said is for those who feed
}

// LanguageOf is the language of a code: one of [Languages].
func LanguageOf(code string) (Language, error) {
	t, err := wording.In(code)
	return Language{Table: t}, err
}

// English is the language of the results and of the console.
var English = sync.OnceValue(func() Language {
	t, err := LanguageOf(wording.Original)
	if err != nil {
		panic(fmt.Sprintf("the words built into the program are damaged: %v", err))
	}
	return t
})

// pointed is a figure with the language's own decimal sign.
func (t Language) pointed(s string) string { return strings.Replace(s, ".", t.Say("decimal"), 1) }

// Figure is a number with the language's decimal sign; see [Figure].
func (t Language) Figure(v float64, dec int) string { return t.pointed(Figure(v, dec)) }

// In is the language with weights in pounds and ounces, or in kilos and grams.
func (t Language) In(imperial bool) Language {
	t.imperial = imperial
	return t
}

// Weight is a weight of feed in the yard's units.
func (t Language) Weight(kg float64) string {
	n, u := heavy(kg, t.imperial, false)
	return t.pointed(n) + NoBreak + u
}

// BodyWeight is a horse's weight in the yard's units, whole.
func (t Language) BodyWeight(kg float64) string {
	n, u := kg, "kg"
	if t.imperial {
		n, u = kg*LbPerKg, "lb"
	}
	s := Figure(n, 0)
	if n >= 1000 { // a comma from a thousand on (LE-12); where that is the decimal sign, a space
		sep := ","
		if t.Say("decimal") == "," {
			sep = NoBreak
		}
		s = s[:len(s)-3] + sep + s[len(s)-3:]
	}
	return s + NoBreak + u
}

// Litres is a volume, in litres or, where weights are in pounds, in US liquid quarts.
func (t Language) Litres(l float64) string {
	if t.imperial {
		return t.pointed(Figure(l/LitresPerQuart, 1)) + NoBreak + "qt"
	}
	return t.pointed(Figure(l, 2)) + NoBreak + "l"
}

// LitresBetween is a range of volumes, in the unit of [Language.Litres]; "at least" where
// its high end is not known.
func (t Language) LitresBetween(r yard.Range) string {
	per, unit := 1.0, NoBreak+"l"
	if t.imperial {
		per, unit = LitresPerQuart, NoBreak+"qt"
	}
	low := Figure(r.Low.Or(0)/per, 0)
	high, ok := r.High.Get()
	if !ok {
		return t.Say("part.at least", "value", low+unit)
	}
	return low + "–" + Figure(high/per, 0) + unit
}

// Count is a number of measures, quarters as fractions.
func (t Language) Count(n float64) string { return t.pointed(count(n)) }

// Name is a name of the workbook's that has a word of its own in the language,
// as "tea" and "vet" have; any other stays as it is written.
func (t Language) Name(kind, name string) string {
	key := t.Called(kind, name)
	if key == "" {
		key = English().Called(kind, name)
	}
	if key == "" || strings.EqualFold(t.Say(key), name) {
		return name
	}
	return t.Say(key)
}

// Plural is a measure's name for n of them: "½ scoop", "1¼ scoops". Names that
// are not known in the language stay as they are; in English they get an s.
func (t Language) Plural(n float64, name string) string {
	key := "measure." + strings.ToLower(name) + "."
	switch {
	case t.Has(key + "1"):
	case t.Code == wording.Original && n > 1 && !strings.HasSuffix(name, "s"):
		return name + "s"
	default:
		return name
	}
	switch {
	case n == 1:
		key += "1"
	case n < 1:
		key += "½"
	case n < 2:
		key += "1½"
	case n != math.Trunc(n):
		key += "2½"
	case n == 2 || n < 1e6 && plural.Cardinal.MatchPlural(language.Make(t.Code), int(n), 0, 0, 0, 0) == plural.Few:
		key += "2"
	default:
		key += "5"
	}
	return t.Say(key)
}

// Unbroken has its spaces replaced so that it stays on one line.
func Unbroken(s string) string { return strings.ReplaceAll(s, " ", NoBreak) }

// dayOf is day i of the week; a week without a date starts on a
// Monday, as the work sheet's columns do.
func dayOf(w yard.Week, i int) time.Time { return w.Beginning.AddDate(0, 0, i) }

// weekdayKeys are those of the days of a week, by [time.Weekday].
var weekdayKeys = [7]string{"weekday.0", "weekday.1", "weekday.2", "weekday.3", "weekday.4", "weekday.5", "weekday.6"}

func (t Language) weekdayOf(d time.Time) string { return t.Say(weekdayKeys[d.Weekday()]) }

// Weekday is day i of the week, short.
func (t Language) Weekday(w yard.Week, i int) string { return t.weekdayOf(dayOf(w, i)) }

// Tick is day i of the week over a box to tick: one or two letters.
func (t Language) Tick(w yard.Week, i int) string {
	return t.Say("tick." + strconv.Itoa(int(dayOf(w, i).Weekday())))
}

// Dated is a text of the table with a date in it.
func (t Language) Dated(key string, d time.Time) string {
	return t.Say(key, "weekday", t.weekdayOf(d), "day", strconv.Itoa(d.Day()), "month", t.Say("month."+strconv.Itoa(int(d.Month()))), "year", strconv.Itoa(d.Year()))
}

// Date is day i of the week with its date, the weekday alone in a week without one.
func (t Language) Date(w yard.Week, i int) string {
	if w.Beginning.IsZero() {
		return t.Weekday(w, i)
	}
	return t.Dated("date", dayOf(w, i))
}

// WeekSpan is "Mon 30 Nov – Sun 6 Dec 2026".
func (t Language) WeekSpan(w yard.Week) string {
	if w.Beginning.IsZero() {
		return t.Say("week.none")
	}
	return Unbroken(t.Date(w, 0) + " – " + t.Dated("date.year", dayOf(w, 6)))
}

// NotAfter says until when a sheet holds, or to ask which week it is for.
func (t Language) NotAfter(w yard.Week) string {
	if w.Beginning.IsZero() {
		return t.Say("week.ask")
	}
	return Unbroken(t.Say("week.after", "date", t.Date(w, 6)))
}

// Listed names the days of a set: "Mon–Wed, Fri".
func (t Language) Listed(w yard.Week, on Days) string {
	var parts []string
	for i := 0; i < 7; i++ {
		if !on[i] {
			continue
		}
		j := i
		for j < 6 && on[j+1] {
			j++
		}
		switch j - i {
		case 0:
			parts = append(parts, t.Weekday(w, i))
		case 1:
			parts = append(parts, t.Weekday(w, i), t.Weekday(w, j))
		default:
			parts = append(parts, t.Weekday(w, i)+"–"+t.Weekday(w, j))
		}
		i = j
	}
	return strings.Join(parts, ", ")
}

// Says is which days a column holds for.
func (t Language) Says(w yard.Week, c Column) string {
	switch days := t.Listed(w, c.On); {
	case days == "":
		return t.Say("days.none")
	case c.Short == "":
		return t.Say("days.off too", "days", days)
	default:
		return days
	}
}

// Days is which days a stage holds for; empty: all the column's.
func (t Language) Days(w yard.Week, st Stage) string {
	if st.from >= 0 {
		return Unbroken(t.Say("from.day", "day", t.Weekday(w, st.from)))
	}
	return t.Listed(w, st.On)
}

// AmountOf is a serving as it is written: one number and its unit, in the yard's units.
func (t Language) AmountOf(s yard.Serving, imperial bool) Amount {
	t = t.In(imperial)
	kg := float64(s.Kg)
	n, inMeasures := s.Measures.Get()
	inMeasures = inMeasures && s.Measure != ""
	none := Amount{Number: t.Say("amount.none"), None: true}
	ml, byMl := s.Ml.Get()
	switch {
	case s.Grazed.IsKnown(): // its hours are the order: "ad lib" would turn it out all day
		return Amount{Number: t.Figure(s.Grazed.Or(0), 2), Unit: "h"}
	case s.AdLib:
		return Amount{Number: t.Say("amount.adlib")}
	case byMl:
		if ml == 0 {
			return none
		}
		fine := 0
		if ml < 10 {
			fine = 1
		}
		return Amount{Number: t.Figure(ml, fine), Unit: "ml"}
	case kg == 0 && (!inMeasures || n == 0):
		return none
	case inMeasures && !s.Weigh:
		return Amount{Number: t.Count(n), Unit: t.Plural(n, s.Measure), Aside: t.Weight(kg), byMeasure: true}
	}
	a := Amount{Weigh: s.Weigh}
	a.Number, a.Unit = heavy(kg, imperial, s.Weigh)
	if imperial && a.Unit == "lb" && kg >= 1 && !s.Weigh { // nobody hangs hay to a hundredth of a pound
		a.Number = Figure(kg*LbPerKg, 1)
	}
	a.Number = t.pointed(a.Number)
	if inMeasures && n >= 0.05 { // less would read as none
		a.Aside = Unbroken(t.Say("amount.about", "amount", t.Figure(n, 1)+" "+t.Plural(n, s.Measure)))
	}
	return a
}

// Ask names whom to ask: the yard's contacts in order, or the yard manager.
func (t Language) Ask(w yard.Week) string {
	var parts []string
	for _, c := range w.Contacts {
		parts = append(parts, Unbroken(Join(" ", t.Name("role.", c.Role), c.Name, c.Phone)))
	}
	if len(parts) == 0 {
		return t.Say("role.nobody")
	}
	return strings.Join(parts, "; ")
}

// AskFirst names the first of them: the others are at the card's foot.
func (t Language) AskFirst(w yard.Week) string {
	w.Contacts = w.Contacts[:min(1, len(w.Contacts))]
	return t.Ask(w)
}

// Known is n as a figure, or that it is not known.
func (t Language) Known(n yard.Num, dec int, unit string) string {
	v, ok := n.Get()
	if !ok {
		return t.Say("unknown")
	}
	if unit != "" {
		unit = NoBreak + unit
	}
	return t.Figure(v, dec) + unit
}

// Day is a day of the calendar, with its year or without.
func (t Language) Day(d time.Time, year bool) string {
	if year {
		return t.Dated("date.day.year", d)
	}
	return t.Dated("date.day", d)
}

// OrNotSaid is t, or what stands for a word that was left out.
func (t Language) OrNotSaid(text string) string {
	if text == "" {
		return t.Say("not said")
	}
	return text
}

// Standing are the general warnings, for every horse; a horse's own are on its card.
func (t Language) Standing() string {
	var all []string
	for _, k := range t.Keys("foot.") {
		all = append(all, t.Say(k))
	}
	return strings.Join(append(all, t.Awaiting()...), "  ")
}

// Awaiting says at a sheet's foot that nobody who knows the language has read
// its words; nothing of the original.
func (t Language) Awaiting() []string {
	if a := t.Say("awaiting"); a != "" {
		return []string{a}
	}
	return nil
}

// Caution is what a horse's card warns of in the language.
func (t Language) Caution(c yard.Saying) string { return t.Said(c) }

// Reasons are why a horse's card is reduced or there is none, those that read alike once,
// the last of a reduced card with what the card has instead. What is not all in the
// language is left to the office sheet, by the words of key and the row of the limit.
// They are for the wall: without per cents of dry matter, which nobody can weigh.
func (t Language) Reasons(h *yard.HorsePlan, key string) []string {
	t.wall = true
	var out []string
	add := func(why, instead yard.Saying) {
		text := t.Say(key)
		switch rule, ok := why.Arg("rule").(yard.Text); {
		case t.whole(why):
			text = t.Said(why)
		case ok:
			text = strings.TrimSuffix(text, ".") + " (" + rule.Text + ")."
		}
		if !instead.Empty() && t.whole(instead) {
			text += " " + t.Said(instead)
		}
		if !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	for i, why := range h.HeldWhy {
		instead := yard.Saying{}
		if i == len(h.HeldWhy)-1 {
			instead = h.Instead
		}
		add(why, instead)
	}
	for _, why := range byEnglish(h.NoCardWhy) {
		add(why, yard.Saying{})
	}
	return out
}

// whole says whether a value, with all that is said in it, is in the language's table.
func (t Language) whole(v yard.Value) bool {
	switch v := v.(type) {
	case yard.List:
		return !slices.ContainsFunc(v.Items, func(i yard.Value) bool { return !t.whole(i) })
	case yard.Saying:
		known := t.Has(v.Key) && (v.Key != yard.VerbatimKey || t.Code == wording.Original)
		return v.Empty() || known && !slices.ContainsFunc(v.Args, func(a yard.Arg) bool { return !t.whole(a.Value) })
	}
	return true
}

// Weekday, weekSpan and date are in English, for what is not on the wall.
func Weekday(w yard.Week, i int) string { return English().Weekday(w, i) }

// WeekSpan is the week in English.
func WeekSpan(w yard.Week) string { return English().WeekSpan(w) }

// Date is day i of the week in English.
func Date(w yard.Week, i int) string { return English().Date(w, i) }

// undated is in the properties of a file of a week without a date, so that equal
// input gives equal bytes.
var undated = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// FileDate is the date in a file's properties: the week's first day, never the clock's.
func FileDate(w yard.Week) time.Time {
	if w.Beginning.IsZero() {
		return undated
	}
	return w.Beginning
}
