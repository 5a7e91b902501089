package report

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"golang.org/x/text/feature/plural"
	"golang.org/x/text/language"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/templates/wording"
)

// tongue is one language the sheets are written in.
type tongue struct{ wording.Table }

func tongueOf(code string) (tongue, error) {
	t, err := wording.In(code)
	return tongue{t}, err
}

// english is the language of the office sheet, the results and the console.
var english = sync.OnceValue(func() tongue {
	t, err := tongueOf(wording.Original)
	if err != nil {
		panic(fmt.Sprintf("the words built into the program are damaged: %v", err))
	}
	return t
})

// pointed is a figure with the language's own decimal sign.
func (t tongue) pointed(s string) string { return strings.Replace(s, ".", t.Say("decimal"), 1) }

func (t tongue) figure(v float64, dec int) string { return t.pointed(figure(v, dec)) }
func (t tongue) weight(v float64) string          { return t.pointed(weight(v)) }
func (t tongue) pounds(v float64) string          { return t.pointed(pounds(v)) }
func (t tongue) count(n float64) string           { return t.pointed(count(n)) }

// name is a name of the workbook's that has a word of its own in the language,
// as "tea" and "vet" have; any other stays as it is written.
func (t tongue) name(kind, name string) string {
	key := t.Called(kind, name)
	if key == "" {
		key = english().Called(kind, name)
	}
	if key == "" || strings.EqualFold(t.Say(key), name) {
		return name
	}
	return t.Say(key)
}

// plural is a measure's name for n of them: "½ scoop", "1¼ scoops". Names that
// are not known in the language stay as they are; in English they get an s.
func (t tongue) plural(n float64, name string) string {
	key := "measure." + strings.ToLower(name) + "."
	switch {
	case t.Code == wording.Original && (n <= 1 || strings.HasSuffix(name, "s")):
		return name
	case t.Code == wording.Original:
		return name + "s"
	case !t.Has(key + "1"):
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

// unbroken has its spaces replaced so that it stays on one line.
func unbroken(s string) string { return strings.ReplaceAll(s, " ", nb) }

// dayOf is day i of the week; a week without a date is taken to start on a
// Monday, as the work sheet's columns do.
func dayOf(w yard.Week, i int) time.Time { return w.Beginning.AddDate(0, 0, i) }

// weekdayKeys are those of the days of a week, by [time.Weekday].
var weekdayKeys = [7]string{"weekday.0", "weekday.1", "weekday.2", "weekday.3", "weekday.4", "weekday.5", "weekday.6"}

func (t tongue) weekdayOf(d time.Time) string { return t.Say(weekdayKeys[d.Weekday()]) }

func (t tongue) weekday(w yard.Week, i int) string { return t.weekdayOf(dayOf(w, i)) }

func (t tongue) tick(w yard.Week, i int) string {
	return t.Say("tick." + strconv.Itoa(int(dayOf(w, i).Weekday())))
}

func (t tongue) dated(key string, d time.Time) string {
	return t.Say(key, "weekday", t.weekdayOf(d), "day", strconv.Itoa(d.Day()), "month", t.Say("month."+strconv.Itoa(int(d.Month()))), "year", strconv.Itoa(d.Year()))
}

func (t tongue) date(w yard.Week, i int) string {
	if w.Beginning.IsZero() {
		return t.weekday(w, i)
	}
	return t.dated("date", dayOf(w, i))
}

// weekSpan is "Mon 30 Nov – Sun 6 Dec 2026".
func (t tongue) weekSpan(w yard.Week) string {
	if w.Beginning.IsZero() {
		return t.Say("week.none")
	}
	return unbroken(t.date(w, 0) + " – " + t.dated("date.year", dayOf(w, 6)))
}

func (t tongue) notAfter(w yard.Week) string {
	if w.Beginning.IsZero() {
		return t.Say("week.ask")
	}
	return unbroken(t.Say("week.after", "date", t.date(w, 6)))
}

// listed names the days of a set: "Mon–Wed, Fri".
func (t tongue) listed(w yard.Week, on days) string {
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
			parts = append(parts, t.weekday(w, i))
		case 1:
			parts = append(parts, t.weekday(w, i), t.weekday(w, j))
		default:
			parts = append(parts, t.weekday(w, i)+"–"+t.weekday(w, j))
		}
		i = j
	}
	return strings.Join(parts, ", ")
}

// says is which days a column holds for.
func (t tongue) says(w yard.Week, c dayColumn) string {
	switch days := t.listed(w, c.on); {
	case days == "":
		return t.Say("days.none")
	case c.short == "":
		return t.Say("days.off too", "days", days)
	default:
		return days
	}
}

// days is which days a stage holds for; empty: all the column's.
func (t tongue) days(w yard.Week, st stage) string {
	if st.from >= 0 {
		return unbroken(t.Say("from.day", "day", t.weekday(w, st.from)))
	}
	return t.listed(w, st.on)
}

// amountOf is a serving as it is written.
func (t tongue) amountOf(s yard.Serving, imperial bool) amount {
	kg := float64(s.Kg)
	n, inMeasures := s.Measures.Get()
	inMeasures = inMeasures && s.Measure != ""
	weights := t.weight(kg) // the yard's own unit first
	if imperial && kg > 0 {
		weights = join(" / ", t.pounds(kg), weights)
	}
	none := amount{number: t.Say("amount.none"), none: true}
	ml, byMl := s.Ml.Get()
	switch {
	case s.Grazed.IsKnown(): // its hours are the order: "ad lib" would turn it out all day
		return amount{number: t.figure(s.Grazed.Or(0), 2), unit: "h"}
	case s.AdLib:
		return amount{number: t.Say("amount.adlib")}
	case byMl:
		if ml == 0 {
			return none
		}
		return amount{number: t.figure(ml, 1), unit: "ml"}
	case kg == 0 && (!inMeasures || n == 0):
		return none
	case inMeasures && !s.Weigh:
		return amount{number: t.count(n), unit: t.plural(n, s.Measure), aside: weights, byMeasure: true}
	}
	a := amount{weigh: s.Weigh}
	a.number, a.unit = kilos(kg)
	small := s.Class == yard.Salt || s.Class == yard.Supplement
	switch {
	case small && kg < 1:
		a.number, a.unit = figure(kg*1000, 1), "g"
	case a.unit == "kg" && imperial: // a scale in pounds, a large number in kilos: half or double the feed
		a.number, a.unit, a.aside = figure(kg*lbPerKg, 2), "lb", t.weight(kg)
		if kg >= 1 && !s.Weigh { // nobody hangs hay to a hundredth of a pound
			a.number = figure(kg*lbPerKg, 1)
		}
	case a.unit == "kg" && s.Weigh: // to the gram: this is what the scale must show
		a.number = figure(kg, 3)
	}
	if imperial && a.unit == "g" {
		a.aside = t.pounds(kg)
	}
	a.number = t.pointed(a.number)
	if inMeasures && n >= 0.05 { // less would read as none
		a.aside = join(", ", a.aside, unbroken(t.Say("amount.about", "amount", t.figure(n, 1)+" "+t.plural(n, s.Measure))))
	}
	return a
}

// ask names whom to ask: the yard's contacts in order, or the yard manager.
func (t tongue) ask(w yard.Week) string {
	var parts []string
	for _, c := range w.Contacts {
		parts = append(parts, unbroken(join(" ", t.name("role.", c.Role), c.Name, c.Phone)))
	}
	if len(parts) == 0 {
		return t.Say("role.nobody")
	}
	return strings.Join(parts, "; ")
}

// askFirst names the first of them: the others stand at the card's foot.
func (t tongue) askFirst(w yard.Week) string {
	w.Contacts = w.Contacts[:min(1, len(w.Contacts))]
	return t.ask(w)
}

// said is t, or what stands for a word that was left out.
func (t tongue) said(text string) string {
	if text == "" {
		return t.Say("not said")
	}
	return text
}

// standing are the general cautions that stand on every card; the rest of a
// horse's cautions are its own. In short it is what to do at once.
func (t tongue) standing(short bool) string {
	keys := t.Keys("foot.")
	if short {
		keys = []string{"foot.1", "foot.5", "foot.6", "foot.7"}
	}
	var all []string
	for _, k := range keys {
		all = append(all, t.Say(k))
	}
	return strings.Join(append(all, t.awaiting()...), "  ")
}

// awaiting says at a sheet's foot that nobody who knows the language has read
// its words; nothing of the original.
func (t tongue) awaiting() []string {
	if a := t.Say("awaiting"); a != "" {
		return []string{a}
	}
	return nil
}

// form is a sentence the program writes about a horse as it is found again: the
// English one with its places open.
type form struct {
	key string
	*regexp.Regexp
}

var forms = sync.OnceValue(func() (out []form) {
	place := regexp.MustCompile(`\\\{(\w+)\\\}`)
	for _, k := range slices.Concat(english().Keys("caution."), english().Keys("reason.")) {
		text := regexp.QuoteMeta(capital(english().Say(k)))
		out = append(out, form{k, regexp.MustCompile("^" + place.ReplaceAllString(text, "(?P<$1>.+?)") + "$")})
	}
	return out
})

var decimals = regexp.MustCompile(`^\d+\.\d+$`)

// saidAs is one of those sentences in the language; ok is false of any other.
func (t tongue) saidAs(kind, text string) (_ string, ok bool) {
	text = capital(text)
	for _, f := range forms() {
		if !strings.HasPrefix(f.key, kind) {
			continue
		}
		m := f.FindStringSubmatch(text)
		if m == nil {
			continue
		}
		var args []string
		for i, name := range f.SubexpNames()[1:] {
			v := m[i+1]
			switch {
			case decimals.MatchString(v):
				v = t.pointed(v)
			case name == "day":
				v = t.dayCalled(v)
			}
			args = append(args, name, v)
		}
		return capital(t.Say(f.key, args...)), true
	}
	return "", false
}

// caution is what a horse's card warns of in the language; what a person or the
// vet's words made stays as it is. It says whether it was the program's.
func (t tongue) caution(text string) (string, bool) {
	if said, ok := t.saidAs("caution.", text); ok {
		return said, true
	}
	return text, false
}

// rowID is the id of a row of the table of limits; other rules have names in English.
var rowID = regexp.MustCompile(`^[A-Z]+-\d+$`)

// reason is why a card is held or was not computed. In English it is as the
// engine wrote it. Other languages have the commonest reasons; for the rest, as
// for the numbers of limits, they send to the office sheet, by the words of key
// and the row of the limit. What the card prints instead stands in its rows, and
// is not said again.
func (t tongue) reason(h yard.HorsePlan, text, key string) string {
	if t.Code == wording.Original {
		return text
	}
	why, _, _ := strings.Cut(text, ". The card prints ")
	if said, ok := t.saidAs("reason.", why); ok {
		return said + "."
	}
	say := t.Say(key)
	if i := slices.IndexFunc(h.Findings, func(f yard.Finding) bool {
		return strings.EqualFold(f.Message, why) && rowID.MatchString(string(f.Rule))
	}); i >= 0 {
		say = strings.TrimSuffix(say, ".") + " (" + string(h.Findings[i].Rule) + ")."
	}
	return say
}

// reasons are all of a card's, those that read alike once.
func (t tongue) reasons(h yard.HorsePlan, texts []string, key string) []string {
	var out []string
	for _, text := range texts {
		r := t.reason(h, text, key)
		if t.Code == wording.Original {
			r = capital(r)
		}
		if !slices.Contains(out, r) {
			out = append(out, r)
		}
	}
	return out
}

// dayCalled is an English weekday, or a day of a week without a date, in the language.
func (t tongue) dayCalled(day string) string {
	if k := english().Called("weekday.", day); k != "" {
		return t.Say(k)
	}
	if n, ok := strings.CutPrefix(day, "Day "); ok {
		return t.Say("day.numbered", "n", n)
	}
	return day
}

// since is the day a change is reached, in bold.
func (t tongue) since(w yard.Week, c yard.Change) draw.Run {
	return draw.Run{Face: draw.Bold, Text: unbroken(t.Say("change.from", "date", t.date(w, int(c.From))))}
}

// changeText says what changed since last week, of a change whose earlier
// amount is known; the day it is reached stands out.
func (s *sheet) changeText(t tongue, c yard.Change) []draw.Run {
	was := c.FromKg.Or(0)
	is, isKnown := c.ToKg.Get()
	when := t.since(s.p.Week, c)
	plain := func(key string, args ...string) draw.Run {
		return draw.Run{Text: t.Say(key, append(args, "feed", c.Feed)...)}
	}
	switch {
	case !isKnown:
		return []draw.Run{plain("change.unknown"), when, plain("change.unknown.ask")}
	case is == 0:
		return []draw.Run{plain("change.out"), when, plain("change.out.was", "was", s.daily(t, c.Feed, was))}
	case was == 0:
		return []draw.Run{plain("change.new", "now", s.daily(t, c.Feed, is)), when}
	}
	return []draw.Run{plain("change.is", "was", s.daily(t, c.Feed, was), "now", s.daily(t, c.Feed, is)), when}
}

// notKnownBefore says once, for all feeds of a horse of which nobody knows what
// was fed last week, what they are now; nil where there is none. Those of one
// day stand together.
func (s *sheet) notKnownBefore(t tongue, changes []yard.Change) []draw.Run {
	var out []draw.Run
	some := false // is known of others
	last := yard.Weekday(-1)
	for _, c := range changes {
		if c.FromKg.IsKnown() {
			some = true
			continue
		}
		is := t.Say("before.ask")
		if kg, ok := c.ToKg.Get(); ok {
			is = t.Say("before.day", "amount", s.daily(t, c.Feed, kg))
		}
		text := c.Feed + " " + is
		if n := len(out) - 1; n >= 0 && c.From == last {
			out[n].Text += "; " + text
		} else {
			if n >= 0 {
				out[n].Text += "."
			}
			when := t.since(s.p.Week, c)
			out = append(out, draw.Run{Face: when.Face, Text: capital(when.Text) + ":"}, draw.Run{Text: text})
		}
		last = c.From
	}
	if len(out) == 0 {
		return nil
	}
	say := t.Say("before.unknown")
	if some {
		say = t.Say("before.unknown.some")
	}
	out[len(out)-1].Text += "."
	return append([]draw.Run{{Text: say}}, out...)
}

// daily is a day's amount of a feed, in measures too where it has one.
func (s *sheet) daily(t tongue, feed string, kg float64) string {
	f, ok := s.feeds[strings.ToLower(feed)]
	one, weighed := f.MeasureKg.Get()
	if !ok || !weighed || one <= 0 || f.Feed.Class == yard.Forage {
		return t.weight(kg)
	}
	n := kg / one
	if q := math.Round(n*4) / 4; math.Abs(q-n) < 0.005 {
		n = q
	}
	return t.count(n) + nb + t.plural(n, s.measureName(f)) + " (" + t.weight(kg) + ")"
}

// word is what the sheet says, in its main language; also the same in its second
// one, empty where there is none or the two are alike.
func (s *sheet) word(key string, args ...string) string { return s.main.Say(key, args...) }

func (s *sheet) also(key string, args ...string) string {
	return s.second(func(t tongue) string { return t.Say(key, args...) })
}

// second is what a phrase is in the second language; empty where there is none or it
// is the same as in the main one.
func (s *sheet) second(phrase func(tongue) string) string {
	if s.beside == nil {
		return ""
	}
	if text := phrase(*s.beside); !strings.EqualFold(text, phrase(s.main)) {
		return text
	}
	return ""
}

// both is a short phrase in one language or in two with a stroke between.
func (s *sheet) both(phrase func(tongue) string) string {
	return join(" / ", phrase(s.main), s.second(phrase))
}

func (s *sheet) bothOf(key string, args ...string) string {
	return s.both(func(t tongue) string { return t.Say(key, args...) })
}

// tongues are the sheet's languages, the main one first.
func (s *sheet) tongues() []tongue {
	if s.beside == nil {
		return []tongue{s.main}
	}
	return []tongue{s.main, *s.beside}
}

// statusWord is what is said, in white on black, of a horse whose card is not
// simply its plan; empty for one whose is.
func (s *sheet) statusWord(v yard.Status) string {
	if key := "status." + string(v); s.main.Has(key) {
		return s.word(key)
	}
	return ""
}

func (s *sheet) basisWord(b yard.WeightBasis) string {
	if key := "basis." + string(b); s.main.Has(key) {
		return s.word(key)
	}
	return ""
}

func (s *sheet) amountOf(v yard.Serving) amount { return s.main.amountOf(v, s.p.Week.Imperial) }

// awaiting says of each language of the sheet that nobody has read it yet.
func (s *sheet) awaiting() string {
	var all []string
	for _, t := range s.tongues() {
		all = append(all, t.awaiting()...)
	}
	return strings.Join(all, " ")
}

// weekday, weekSpan and date are in English, for what is not on the wall.
func weekday(w yard.Week, i int) string { return english().weekday(w, i) }
func weekSpan(w yard.Week) string       { return english().weekSpan(w) }
func date(w yard.Week, i int) string    { return english().date(w, i) }
