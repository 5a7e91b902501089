package rollover

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ingest/board"
	"hardfeed/ingest/phrase"
)

func week(t *testing.T, monday string, languages ...string) calendar {
	t.Helper()
	day, err := time.Parse(time.DateOnly, monday)
	if err != nil {
		t.Fatal(err)
	}
	return calendar{words: phrase.Load(languages...), week: day, first: day, last: day.AddDate(0, 0, 6)}
}

// Titles, tabs and headings a week later, in the spelling they have.
func TestDatesMoveOnAsTheyAreWritten(t *testing.T) {
	for _, c := range []struct{ language, monday, was, is string }{
		{"en", "2026-11-30", "Week beginning 30 November 2026", "Week beginning 7 December 2026"},
		{"en", "2026-11-30", "W/C 30TH NOV", "W/C 7TH DEC"},
		{"en", "2026-11-30", "Monday 30th November – Sunday 6th December", "Monday 7th December – Sunday 13th December"},
		{"en", "2026-11-30", "Mon 30", "Mon 7"},
		{"en", "2026-11-30", "Tue 1st", "Tue 8th"},
		{"en", "2026-12-14", "14th", "21st"},
		{"en", "2026-11-30", "30/11/2026", "07/12/2026"},
		{"en", "2026-11-30", "30/11", "7/12"},
		{"en", "2026-12-28", "28.12.26", "4.1.27"},
		{"en", "2026-11-23", "23–29 Nov", "30 Nov–6 Dec"},
		{"en", "2026-12-07", "TRAINING wk 50, 7–13 Dec 2026", "TRAINING wk 51, 14–20 Dec 2026"},
		{"en", "2026-12-28", "Week 53", "Week 1"},
		{"en", "2026-11-30", "Week 3 of 12", "Week 4 of 12"},
		{"en", "2026-11-30", "Prepared 27/11, for week beginning 30/11", "Prepared 27/11, for week beginning 7/12"},
		{"en", "2026-11-30", "Yard diary", "Yard diary"},
		{"en", "2026-11-30", "Weighed 16 November", "Weighed 16 November"},
		{"de", "2027-01-11", "Futterplan KW 2 (11.01. – 17.01.2027)", "Futterplan KW 3 (18.01. – 24.01.2027)"},
		{"de", "2026-11-30", "Mo 30.11.", "Mo 7.12."},
		{"de", "2026-12-07", "9.", "16."},
		{"de", "2026-03-30", "30. März", "6. April"},
		{"fr", "2027-01-11", "du lundi 11 au dimanche 17 janvier 2027", "du lundi 18 au dimanche 24 janvier 2027"},
		{"fr", "2027-01-11", "mar. 12", "mar. 19"},
		{"fr", "2026-11-30", "1er décembre", "8 décembre"},
		{"es", "2027-01-11", "SEMANA DEL 11 AL 17 DE ENERO DE 2027", "SEMANA DEL 18 AL 24 DE ENERO DE 2027"},
	} {
		cal := week(t, c.monday, c.language)
		if is, _ := cal.text(c.was, false); is != c.is {
			t.Errorf("%s: %q became %q, want %q", c.monday, c.was, is, c.is)
		}
	}
	us := week(t, "2027-03-01", "en")
	us.learn([]board.WeekPlace{{Text: "Tue 3/2"}, {Text: "Thu 3/4"}})
	if is, _ := us.text("Wed 3/3", false); is != "Wed 3/10" {
		t.Errorf("the American way: %q", is)
	}
	if is, _ := us.text("3-1 to 3-7", true); is != "3-8 to 3-14" {
		t.Errorf("a tab: %q", is)
	}
}

// Whatever day it is and however it is written: what was written is read as seven days
// later, and that is moved on like any other.
func TestAnyDateMovesSevenDays(t *testing.T) {
	forms := []string{"2 January 2006", "Mon 2 Jan 2006", "2/1/2006", "02.01.2006", "2006-01-02", "January 2, 2006", "2 Jan 06", "Monday 2 January 2006"}
	rapid.Check(t, func(r *rapid.T) {
		day := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 2000).Draw(r, "day"))
		monday := day.AddDate(0, 0, -(int(day.Weekday())+6)%7)
		form := rapid.SampledFrom(forms).Draw(r, "form")
		c := calendar{words: phrase.Load("en"), week: monday, first: monday, last: monday.AddDate(0, 0, 6)}
		is, ok := c.text("Plan for "+day.Format(form), false)
		next := day.AddDate(0, 0, 7)
		read := c.words.Dates(is)
		if !ok || len(read) != 1 || read[0].Day != next.Day() && read[0].Month != next.Day() {
			r.Fatalf("%q became %q, want %s", day.Format(form), is, next.Format(form))
		}
		found := false
		for _, d := range read[0].Readings(next) {
			found = found || d.Equal(next)
		}
		if !found {
			r.Fatalf("%q became %q, which is not %s", day.Format(form), is, next.Format(form))
		}
	})
}

// An amount in her words, with another number.
func TestAmountsKeepHerWords(t *testing.T) {
	words := phrase.Load("en")
	for _, c := range []struct {
		was  string
		each float64 // kg of one
		kg   []float64
		is   string
	}{
		{"1½ sc nuts", 1.4, []float64{2.45}, "1¾ sc nuts"},
		{"1 1/2 sc nuts", 1.4, []float64{2.45}, "1 3/4 sc nuts"},
		{"1.5 sc nuts", 1.4, []float64{2.45}, "1.75 sc nuts"},
		{"1,5 sc nuts", 1.4, []float64{2.45}, "1,75 sc nuts"},
		{"1 sc nuts + ½ sc oats", 1, []float64{0.5, 0.75}, "½ sc nuts + ¾ sc oats"},
		{"1 sc nuts am / 1 sc mix pm", 1, []float64{1, 0}, "1 sc nuts am / 0 sc mix pm"},
		{"½ sc nuts twice a day", 2, []float64{3}, "1½ sc nuts twice a day"},
	} {
		a := words.Amounts(c.was, phrase.AmountContext{})
		s := board.Spot{Text: c.was, From: c.was}
		for _, p := range a.Parts {
			s.Parts = append(s.Parts, board.SpotPart{Feed: p.Feed, Start: p.Start, End: p.End, Value: p.Value, KgPer: c.each, Kg: p.Value * c.each, Known: true})
		}
		if len(s.Parts) != len(c.kg) {
			t.Fatalf("%q has %d parts", c.was, len(s.Parts))
		}
		st := styleOf([]board.Spot{s})
		if is, ok := rewritten(words, st, s, c.kg); !ok || is != c.is {
			t.Errorf("%q became %q, want %q", c.was, is, c.is)
		}
	}
}

// The word behind a number is hers for that many, where the book has both.
func TestTheCountedWordFollows(t *testing.T) {
	words := phrase.Load("en")
	spot := func(text string, v float64) board.Spot {
		return board.Spot{Text: text, From: text, Parts: []board.SpotPart{{Feed: "x", End: len(text), Value: v, KgPer: 1, Kg: v, Known: true}}}
	}
	st := styleOf([]board.Spot{spot("1 scoop", 1), spot("2½ scoops", 2.5), spot("1 mug", 1)})
	for _, c := range []struct {
		was      string
		from, to float64
		is       string
	}{{"1 scoop", 1, 2, "2 scoops"}, {"2½ scoops", 2.5, 0.5, "½ scoop"}, {"2½ scoops", 2.5, 3, "3 scoops"}, {"1 mug", 1, 2, "2 mug"}} {
		if is, ok := rewritten(words, st, spot(c.was, c.from), []float64{c.to}); !ok || is != c.is {
			t.Errorf("%q became %q, want %q", c.was, is, c.is)
		}
	}
}

// A number that is written is right to what was asked, and never has three figures
// behind its comma, which could be thousands.
func TestWrittenNumbersAreRight(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		kg, each := rapid.Float64Range(0, 12).Draw(r, "kg"), rapid.Float64Range(0.1, 3).Draw(r, "each")
		off := rapid.Float64Range(0.0006, 0.009).Draw(r, "off")
		s := style{partKg: off, comma: rapid.Bool().Draw(r, "comma")}.write(kg/each, each)
		v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
		if err != nil || math.Abs(v*each-kg) > off+1e-9 {
			r.Fatalf("%v kg at %v each is %q", kg, each, s)
		}
		if i := strings.IndexAny(s, ".,"); i > 0 && v >= 1 && len(s)-i-1 == 3 {
			r.Fatalf("%q could be thousands", s)
		}
	})
}
