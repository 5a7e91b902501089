package phrase

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"pgregory.net/rapid"

	"hardfeed/ingest/lexicon"
	"hardfeed/ingest/quantity"
)

// spellings of a number of quarters, in figures, fractions and words.
func spellings(q int) []string {
	whole, part := q/4, q%4
	v := float64(q) / 4
	point := strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.2f", v), "0"), ".")
	out := []string{point, strings.Replace(point, ".", ",", 1)}
	sign := []string{"", "¼", "½", "¾"}[part]
	low := []string{"", "1/4", "1/2", "3/4"}[part]
	if part > 0 {
		w := ""
		if whole > 0 {
			w = fmt.Sprint(whole)
		}
		out = append(out, w+sign)
		if whole > 0 {
			out = append(out, w+" "+sign, w+" "+low, w+"-"+low)
		} else {
			out = append(out, low, strings.TrimPrefix(point, "0"))
		}
		if part == 2 && whole > 0 {
			out = append(out, w+" and a half")
		}
	}
	return out
}

// A quantity reads back the same however it is spelled, whatever the blanks and
// capitals.
func TestAmountsReadBack(t *testing.T) {
	units := [][2]string{{"scoop", "scoop"}, {"scoops", "scoop"}, {"sc", "scoop"}, {"sc.", "scoop"}, {"kg", "kg"}, {"lb", "lb"}, {"lbs", "lb"}, {"qt", "qt"}, {"mugs", "mug"}, {"Schaufeln", "Schaufel"}, {"mesures", "mesure"}, {"medidas", "medida"}, {"litres", "l"}, {"bowls", "bowl"}}
	feeds := []string{"nuts", "oats", "pony nuts", "Hafer", "granulés", "avena", "cool mix"}
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 3).Draw(t, "parts")
		var parts, want []string
		for range n {
			q := rapid.IntRange(1, 24).Draw(t, "quarters")
			u := rapid.SampledFrom(units).Draw(t, "unit")
			f := rapid.SampledFrom(feeds).Draw(t, "feed")
			num := rapid.SampledFrom(spellings(q)).Draw(t, "number")
			text := num + " " + u[0] + " " + f
			switch rapid.IntRange(0, 3).Draw(t, "case") {
			case 1:
				text = strings.ToUpper(text)
			case 2:
				text = strings.ReplaceAll(text, " ", "  ")
			case 3:
				text = strings.ReplaceAll(text, " ", "\u00a0")
			}
			parts = append(parts, text)
			want = append(want, fmt.Sprintf("%g %s %s", float64(q)/4, u[1], strings.ToLower(f)))
		}
		text := strings.Join(parts, rapid.SampledFrom([]string{" + ", " & ", "; ", ", ", "\n", " / "}).Draw(t, "mark"))
		a := every.Amounts(text, AmountContext{})
		var got []string
		for _, p := range a.Parts {
			got = append(got, fmt.Sprintf("%g %s %s", p.Value, p.Unit, strings.ToLower(p.Feed)))
		}
		if strings.Join(got, "|") != strings.Join(want, "|") || len(a.Unread) > 0 || a.Question || a.Alternative != nil {
			t.Fatalf("%q reads as %v, want %v", text, got, want)
		}
	})
}

// The same weight in kilograms, pounds or stones is the same weight.
func TestWeightsInAnyUnit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kg := float64(rapid.IntRange(150, 900).Draw(t, "kg"))
		about := rapid.SampledFrom([]string{"%s", "c. %s", "~%s", "%s approx", "%s (tape)", "%s (weighbridge 12/11)", "ca. %s", "env. %s", "aprox. %s", "%s on 12/11"}).Draw(t, "about")
		for unit, per := range map[string]float64{"kg": 1, "lb": 0.45359237, "st": 6.35029318} {
			v := math.Round(kg/per*1000) / 1000
			text := fmt.Sprintf(about, strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%.4f", v), "0"), ".")+" "+unit)
			w := every.Weight(text, quantity.WeightContext{})
			if len(w.Weighings) != 1 || math.Abs(w.Weighings[0].Kg-kg) > 0.01 || len(w.Unread) > 0 || w.Question {
				t.Fatalf("%q reads as %+v, want %g kg", text, w, kg)
			}
		}
	})
}

// A day's minutes are those of its pieces, however each is written.
func TestWorkAddsUp(t *testing.T) {
	words := []string{"hack", "school", "Flat", "lunge", "walker", "Dressur", "Ausritt", "plat", "balade", "doma", "paseo", "drive", "lesson"}
	rapid.Check(t, func(t *rapid.T) {
		var parts []string
		sum := 0.0
		for range rapid.IntRange(1, 3).Draw(t, "pieces") {
			m := rapid.SampledFrom([]int{15, 20, 30, 45, 60, 75, 90}).Draw(t, "minutes")
			word := rapid.SampledFrom(words).Draw(t, "word")
			lengths := []string{fmt.Sprint(m), fmt.Sprintf("%d min", m), fmt.Sprintf("%dmins", m), fmt.Sprintf("%d'", m)}
			if m >= 60 {
				h, r := m/60, m%60
				lengths = append(lengths, fmt.Sprintf("%dh%02d", h, r), fmt.Sprintf("%dhr %d", h, r), fmt.Sprintf("%g hrs", float64(m)/60), fmt.Sprintf("%g Std.", float64(m)/60))
				if r == 30 {
					lengths = append(lengths, fmt.Sprintf("%d 1/2 hrs", h), fmt.Sprintf("%d½ h", h))
				}
			}
			l := rapid.SampledFrom(lengths).Draw(t, "length")
			times := rapid.IntRange(1, 2).Draw(t, "times")
			text := word + " " + l
			if rapid.Bool().Draw(t, "first") {
				text = l + " " + word
			}
			if times > 1 {
				text += fmt.Sprintf(" x%d", times)
			}
			if rapid.Bool().Draw(t, "upper") {
				text = strings.ToUpper(text)
			}
			parts = append(parts, text)
			sum += float64(m * times)
		}
		text := strings.Join(parts, rapid.SampledFrom([]string{" + ", " & ", "; ", "\n"}).Draw(t, "mark"))
		d := every.Work(text, WorkContext{})
		if !d.Known() || math.Abs(d.Minutes()-sum) > 1e-6 {
			t.Fatalf("%q reads as %q, want %g minutes", text, describeWork(d), sum)
		}
	})
}

// A week's title reads back as its first day, in every way of writing it.
func TestWeeksReadBack(t *testing.T) {
	months := map[string][]string{
		"en": {"January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"},
		"de": {"Januar", "Februar", "März", "April", "Mai", "Juni", "Juli", "August", "September", "Oktober", "November", "Dezember"},
		"fr": {"janvier", "février", "mars", "avril", "mai", "juin", "juillet", "août", "septembre", "octobre", "novembre", "décembre"},
		"es": {"enero", "febrero", "marzo", "abril", "mayo", "junio", "julio", "agosto", "septiembre", "octubre", "noviembre", "diciembre"},
	}
	rapid.Check(t, func(t *rapid.T) {
		first := time.Date(2024, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 7*rapid.IntRange(0, 300).Draw(t, "week"))
		last := first.AddDate(0, 0, 6)
		d, m, y := first.Day(), int(first.Month()), first.Year()
		d2, m2, y2 := last.Day(), int(last.Month()), last.Year()
		year, no := first.ISOWeek()
		en, de, fr, es := months["en"], months["de"], months["fr"], months["es"]
		text := rapid.SampledFrom([]string{
			fmt.Sprintf("Week commencing %d %s %d", d, en[m-1], y), fmt.Sprintf("W/C %d/%d/%02d", d, m, y%100), fmt.Sprintf("w/c %d.%d.%d", d, m, y), fmt.Sprintf("%d %s – %d %s %d", d, en[m-1][:3], d2, en[m2-1][:3], y2),
			fmt.Sprintf("Week %d (%d %s – %d %s %d)", no, d, en[m-1], d2, en[m2-1], y2), fmt.Sprintf("%s %d, %d", en[m-1], d, y), first.Format("2006-01-02"), fmt.Sprintf("week %d %d", no, year),
			fmt.Sprintf("Woche vom %d.%d. bis %d.%d.%d", d, m, d2, m2, y2), fmt.Sprintf("KW %d / %d", no, year), fmt.Sprintf("Woche ab Montag, %d. %s %d", d, de[m-1], y), fmt.Sprintf("KW %d (%02d.%02d. – %02d.%02d.%d)", no, d, m, d2, m2, y2),
			fmt.Sprintf("Semaine du %d %s %d", d, fr[m-1], y), fmt.Sprintf("du %d/%d au %d/%d/%d", d, m, d2, m2, y2), fmt.Sprintf("Semaine du lundi %d %s au dimanche %d %s %d", d, fr[m-1], d2, fr[m2-1], y2),
			fmt.Sprintf("Semana del %d de %s de %d", d, es[m-1], y), fmt.Sprintf("SEMANA DEL %d DE %s AL %d DE %s DE %d", d, strings.ToUpper(es[m-1]), d2, strings.ToUpper(es[m2-1]), y2),
		}).Draw(t, "title")
		w, ok := every.Week("OLD YARD  " + text)
		r := w.Readings(time.Time{})
		// Where day and month can change places and both ways begin on a Monday,
		// both are given.
		if !ok || len(r) == 0 || len(r) > 2 || !contains(r, first) || len(r) == 2 && (d > 12 || m > 12) {
			t.Fatalf("%q reads as %v, want %s", text, r, first.Format("2006-01-02"))
		}
	})
}

func contains(days []time.Time, d time.Time) bool {
	for _, x := range days {
		if x.Equal(d) {
			return true
		}
	}
	return false
}

var seeds = []string{"", "2", "1½ sc nuts + handful chaff", "1 sc am / 1.5 sc pm", "½ cubes ½ oats", "2 x 30", "W30 T20 C10", "lame – box rest", "as Mon", "Hunt = 5 h (mostly walk), half day = 3 h", "Scoop: nuts 1.7 kg, oats 1 kg.", "w/c 15/3/27", "KW 2 (11.01. – 17.01.2027)",
	"560 (weighbridge 20/11)", "35 st 4", "Weight\n(lb)", "no sign of laminitis", "1/2/3/4", "+++---", "x2 x2 x2", "((((", "½½½", "1.2.3.4.5", "99999999999999999999", "x", "am pm am pm", "= = =", "\xff\xfe", "é́́", "half a half a half", "1-1/2-1/2", "\"", "''"}

// Nothing anybody types makes a reader panic or take long, what it says it read
// lies in the text, and no amount is made up.
func FuzzCells(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if len(s) > 4000 {
			return
		}
		checkCell(t, s)
	})
}

// cellCheck reads one cell in every way, and fails where a reading can't be.
type cellCheck struct {
	*testing.T
	s string
}

func checkCell(t *testing.T, s string) {
	t.Helper()
	c := cellCheck{t, s}
	c.tokens()
	c.amounts()
	c.work()
	c.weights()
	c.legends()
	for _, x := range every.Conditions(s) {
		c.inside("condition", x.Span)
	}
	every.MeasureHeading(s)
	every.Decoration(s)
}

// inside fails where a span is not within the text.
func (c cellCheck) inside(what string, spans ...lexicon.Span) {
	c.Helper()
	for _, x := range spans {
		if x.Start < 0 || x.End > len(c.s) || x.Start > x.End {
			c.Fatalf("%q: %s spans %v", c.s, what, x)
		}
	}
}

// number fails where a value is not a number, or less than nothing.
func (c cellCheck) number(what string, v float64) {
	c.Helper()
	if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
		c.Fatalf("%q: %s %v", c.s, what, v)
	}
}

func (c cellCheck) tokens() {
	c.Helper()
	end := 0
	for _, k := range lexicon.Scan(c.s) {
		c.inside("token", k.Span)
		if k.Start < end {
			c.Fatalf("%q: tokens overlap at %d", c.s, k.Start)
		}
		end = k.End
	}
}

func (c cellCheck) amounts() {
	c.Helper()
	a := every.Amounts(c.s, AmountContext{Unit: "kg"})
	c.inside("amount", append(a.Read, a.Unread...)...)
	figure := func(r rune) bool { return r >= '0' && r <= '9' || r >= '¼' && r <= '¾' || r >= '⅐' && r <= '⅞' }
	for _, p := range a.Parts {
		c.inside("part", p.Span)
		c.number("part", p.Value)
		if p.High != 0 && p.High <= p.Value {
			c.Fatalf("%q: part %+v", c.s, p)
		}
		if p.Known && p.Value != 0 && !strings.ContainsFunc(c.s, figure) && !spelled(c.s) {
			c.Fatalf("%q: the amount %v stands nowhere", c.s, p.Value)
		}
	}
}

func (c cellCheck) work() {
	c.Helper()
	w := every.Work(c.s, WorkContext{Bare: "min"})
	c.inside("work", append(w.Read, w.Unread...)...)
	sum := 0.0
	for _, x := range w.Sessions {
		for _, m := range x.Minutes {
			c.number("minutes", m)
			sum += m
		}
	}
	if sum > MostMinutes {
		c.Fatalf("%q: %v minutes", c.s, sum)
	}
	for _, d := range w.Doubts {
		c.inside("doubt", d.Span)
	}
	if w.StartMin < -1 || w.StartMin >= 24*60 {
		c.Fatalf("%q starts at minute %d", c.s, w.StartMin)
	}
}

func (c cellCheck) weights() {
	c.Helper()
	q := every.Weight(c.s, quantity.WeightContext{})
	c.inside("weight", append(q.Spans, q.Unread...)...)
	for _, x := range q.Weighings {
		c.number("weight", x.Kg)
	}
}

func (c cellCheck) legends() {
	c.Helper()
	if k, ok := every.Week(c.s); ok {
		c.inside("week", k.Span)
		k.Readings(time.Time{})
		k.Readings(time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC))
	}
	defs := every.Define(c.s)
	for _, d := range defs {
		c.inside("definition", d.Span)
		c.number("definition", d.Kg)
		if d.Kind == MeasureWeight && d.Kg == 0 {
			c.Fatalf("%q defines %+v", c.s, d)
		}
	}
	every.With(defs).Work(c.s, WorkContext{})
}

// spelled says whether a text may have a number in words, or a measure that
// stands for one of it.
func spelled(s string) bool {
	for i, toks := 0, lexicon.Scan(s); i < len(toks); i++ {
		if _, n := every.t.Match(toks, i, "numbers", "articles", "measures", "vague", "units"); n > 0 {
			return true
		}
	}
	return !utf8.ValidString(s)
}

// A letter in a cell is not read as an amount or a day's work, and that is said.
func TestLettersAreLeft(t *testing.T) {
	letter := strings.Repeat("1 sc nuts and ", LongestCell/10)
	if a := every.Amounts(letter, AmountContext{}); len(a.Parts) != 0 || len(a.Unread) != 1 {
		t.Errorf("a letter reads as %d amounts", len(a.Parts))
	}
	if d := every.Work(letter, WorkContext{}); d.Known() || len(d.Sessions) > 0 {
		t.Errorf("a letter reads as work: %+v", d)
	}
	if w := every.Weight(letter, quantity.WeightContext{}); len(w.Weighings) != 0 {
		t.Errorf("a letter reads as a weight: %+v", w)
	}
}

func BenchmarkCells(b *testing.B) {
	for name, read := range map[string]func(string){
		"amounts": func(s string) { every.Amounts(s, AmountContext{}) }, "work": func(s string) { every.Work(s, WorkContext{}) }, "weight": func(s string) { every.Weight(s, quantity.WeightContext{}) },
		"week": func(s string) { every.Week(s) }, "define": func(s string) { every.Define(s) }, "conditions": func(s string) { every.Conditions(s) }, "heading": func(s string) { every.MeasureHeading(s) },
	} {
		for _, cell := range []string{"1½ sc nuts + handful chaff", "hack 1hr 15 + lunge 20", "560 (weighbridge 20/11)", strings.Repeat("1 sc nuts + hack 45, ", 48)} {
			b.Run(fmt.Sprintf("%s/%d", name, len(cell)), func(b *testing.B) {
				for b.Loop() {
					read(cell)
				}
			})
		}
	}
}
