package season

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

var monday = time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)

func weeksFrom(n int) time.Time { return monday.AddDate(0, 0, 7*n) }

func hack(minutes float64) yard.Day {
	return yard.Day{Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{yard.Walk: minutes}}}}
}

// otter has a record of four and of one week ago, and work written down for two weeks on.
func otter() yard.HorsePlan {
	var minutes [yard.Gaits]yard.Num
	for g := range minutes {
		minutes[g] = yard.Known(float64(10 * (g + 1)))
	}
	h := yard.HorsePlan{Status: yard.Carded, WorkMinutes: 240, WeightKg: yard.Known(500),
		HardFeed: yard.HardFeedDay{Now: yard.Known(1), Card: yard.Known(1.5)},
		Step:     yard.Step{WarnKg: yard.Known(0.7), StopKg: yard.Known(1.4), PathKg: []float64{1.5, 2}},
		Horse: yard.Horse{Name: "Otter", WorkGiven: true,
			Past: []yard.PastWeek{
				{Beginning: weeksFrom(-4), HardKg: yard.Known(0.5), FromKg: yard.Known(0.25), WarnKg: yard.Known(0.75), StopKg: yard.Known(1.5), Minutes: minutes, WeightKg: yard.Known(510),
					Events: []yard.PastEvent{{Date: weeksFrom(-4).AddDate(0, 0, 6), Text: "fun ride"}}},
				{Beginning: weeksFrom(-1), WeightKg: yard.Known(505)}},
			Later: []yard.WorkWeek{{Beginning: weeksFrom(2), Work: [7]yard.Day{hack(30), hack(45), 4: {Event: true, Text: "hunter trial"}}}}}}
	h.Horse.Work[5] = yard.Day{Event: true, Text: "show 10:00"}
	return h
}

func seasonOf(h yard.HorsePlan) *season {
	p := yard.Plan{Week: yard.Week{Yard: "Cold Brook", Beginning: monday}, Horses: []yard.HorsePlan{h}}
	return &season{Sheet: words.New(p, words.Meta{})}
}

// Every week has its place, those without a record too, and each its own figures.
func TestTheWeeksOfAHorse(t *testing.T) {
	num := func(n yard.Num) string { return fmt.Sprint(n.Or(math.NaN())) }
	var got []string
	for _, w := range seasonOf(otter()).weeks(otter()) {
		got = append(got, fmt.Sprintf("%s %d: work %s, hard %s, marks %s %s, %t", w.begins.Format("2 Jan"), w.ago, num(w.minutes), num(w.hardKg), num(w.warn), num(w.stop), w.recorded))
	}
	want := `2 Nov 4: work 150, hard 0.5, marks 1 1.75, true
9 Nov 3: work NaN, hard NaN, marks NaN NaN, false
16 Nov 2: work NaN, hard NaN, marks NaN NaN, false
23 Nov 1: work NaN, hard NaN, marks NaN NaN, true
30 Nov 0: work 240, hard 1.5, marks 1.7 2.4, true
7 Dec -1: work NaN, hard 2, marks NaN NaN, false
14 Dec -2: work 75, hard NaN, marks NaN NaN, false`
	if strings.Join(got, "\n") != want {
		t.Errorf("the weeks are\n%s\nwant\n%s", strings.Join(got, "\n"), want)
	}
}

// What a bar looks like says when it is; no record is not a bar, and not known is hatched.
func TestBarsTellPastFromToCome(t *testing.T) {
	weeks := seasonOf(otter()).weeks(otter())
	say := func(bars []draw.WeekBar) string {
		var out []string
		for _, b := range bars {
			out = append(out, fmt.Sprintf("%d %v %s", b.Week, b.Value, map[draw.Ink]string{draw.White: "outline", draw.Black: "black", draw.Mid: "grey"}[b.Fill]))
		}
		return strings.Join(out, ", ")
	}
	if got, want := say(bars(weeks, func(w week) yard.Num { return w.minutes })), "0 150 outline, 3 NaN outline, 4 240 black, 6 75 grey"; got != want {
		t.Errorf("work: %s, want %s", got, want)
	}
	if got, want := say(bars(weeks, func(w week) yard.Num { return w.hardKg })), "0 0.5 outline, 3 NaN outline, 4 1.5 black, 5 2 grey"; got != want {
		t.Errorf("hard feed: %s, want %s", got, want)
	}
	if got, want := fmt.Sprint(seasonOf(otter()).marks(weeks)), "[{0 1 false} {0 1.75 true} {4 1.7 false} {4 2.4 true}]"; got != want {
		t.Errorf("marks: %s, want %s", got, want)
	}
}

func TestAWeekPartlyUnknownIsUnknown(t *testing.T) {
	if v := minutesOf([7]yard.Day{hack(30), {Unknown: true}}); v.IsKnown() {
		t.Errorf("%v minutes", v)
	}
	h := otter()
	h.WorkAtLeast = true
	for _, w := range seasonOf(h).weeks(h) {
		if w.ago == 0 && w.minutes.IsKnown() {
			t.Errorf("this week has %v minutes", w.minutes)
		}
	}
}

func textOf(t *testing.T, h yard.HorsePlan, change func(*yard.Plan)) string {
	t.Helper()
	p := yard.Plan{Week: yard.Week{Yard: "Cold Brook", Beginning: monday}, Horses: []yard.HorsePlan{h}}
	change(&p)
	return reporttest.TextOf(t, Document(), p, 2) // without its spaces
}

// What is read off a page: the span, each event on its day, and what is not there.
func TestASeasonsPage(t *testing.T) {
	text := textOf(t, otter(), func(*yard.Plan) {})
	for _, must := range []string{"Otter", "2 Nov 2026", "20 Dec 2026", "Work, minutes a week", "Hard feed, kg a work day", "Body weight, kg", "8 Nov: fun ride", "5 Dec: show 10:00", "18 Dec: hunter trial", "Outlined bars: past weeks."} {
		if !strings.Contains(text, reporttest.Unspaced(must)) {
			t.Errorf("%q is not on the page: %s", must, text)
		}
	}
	if strings.Contains(text, reporttest.Unspaced("no record of past weeks")) {
		t.Error("it denies its record")
	}
	pounds := textOf(t, otter(), func(p *yard.Plan) { p.Week.Imperial = true })
	if !strings.Contains(pounds, reporttest.Unspaced("Hard feed, lb a work day")) || strings.Contains(pounds, "kg") {
		t.Errorf("a yard in pounds reads %s", pounds)
	}
	h := otter()
	h.Horse.Past, h.Horse.Later, h.WeightKg = nil, nil, yard.Num{}
	bare := textOf(t, h, func(*yard.Plan) {})
	for _, must := range []string{"no record of past weeks", "no weighings to show"} {
		if !strings.Contains(bare, reporttest.Unspaced(must)) {
			t.Errorf("%q is not on the page: %s", must, bare)
		}
	}
	undated := textOf(t, otter(), func(p *yard.Plan) { p.Week.Beginning = time.Time{} })
	if !strings.Contains(undated, reporttest.Unspaced("does not say which week it is for")) || strings.Contains(undated, "show10:00") {
		t.Errorf("an undated week reads %s", undated)
	}
}

// The weighings are drawn, the odd one as a ring, and what is expected of the weeks to come.
func TestTheWeightAndItsRange(t *testing.T) {
	h := otter()
	odd := yard.Weighing{Date: weeksFrom(-2), Kg: yard.Known(560), Basis: yard.ByScale}
	h.Horse.Weighings = []yard.Weighing{{Date: weeksFrom(-4), Kg: yard.Known(510)}, odd, {Date: weeksFrom(-1), Kg: yard.Known(505)}}
	h.Evidence = &yard.HorseEvidence{}
	h.Evidence.Odd = []yard.OddWeighing{{Weighing: odd}}
	h.Evidence.Ahead = []yard.WeightForecast{{On: monday, WeightKg: yard.Estimate{Low: 500, Mean: 504, High: 508}}, {On: weeksFrom(4), WeightKg: yard.Estimate{Low: 490, Mean: 500, High: 510}}}
	s := seasonOf(h)
	weeks := s.weeks(h)
	if n := len(weeks); n != 8 || weeks[0].ago != 4 {
		t.Errorf("%d weeks, the first %d ago", n, weeks[0].ago)
	}
	p := s.weight(h, weeks[0].begins)
	if got, want := fmt.Sprint(p.Points), "[{0 510 false} {2 560 true} {3 505 false}]"; got != want {
		t.Errorf("weighings: %s, want %s", got, want)
	}
	if got, want := fmt.Sprint(p.Fan), "[{4 500 504 508} {8 490 500 510}]"; got != want {
		t.Errorf("expected: %s, want %s", got, want)
	}
	text := textOf(t, h, func(*yard.Plan) {})
	for _, must := range []string{"Grey band: where the weight is expected", "Ring: a weighing unlike the others"} {
		if !strings.Contains(text, reporttest.Unspaced(must)) {
			t.Errorf("%q is not on the page", must)
		}
	}
}

// Whatever the weeks hold, nothing leaves its place, on either paper.
func TestAnySeasonFitsItsPages(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		num := func(what string, most float64) yard.Num {
			if rapid.Bool().Draw(t, what+" known") {
				return yard.Known(rapid.Float64Range(0, most).Draw(t, what))
			}
			return yard.Num{}
		}
		h := otter()
		h.Horse.Past, h.Horse.Later = nil, nil
		for ago := yard.MostPastWeeks; ago > 0; ago-- {
			if rapid.Bool().Draw(t, "recorded") {
				p := yard.PastWeek{Beginning: weeksFrom(-ago), HardKg: num("hard", 12), FromKg: num("from", 12), WarnKg: num("warn", 1), StopKg: num("stop", 2), WeightKg: num("weight", 1200)}
				for g := range p.Minutes {
					p.Minutes[g] = num("minutes", 3000)
				}
				if rapid.Bool().Draw(t, "event") {
					p.Events = append(p.Events, yard.PastEvent{Date: p.Beginning.AddDate(0, 0, 3), Text: rapid.String().Draw(t, "text")})
				}
				h.Horse.Past = append(h.Horse.Past, p)
			}
		}
		for ahead := 1; ahead <= rapid.IntRange(0, yard.MostWeeksAhead).Draw(t, "ahead"); ahead++ {
			h.Horse.Later = append(h.Horse.Later, yard.WorkWeek{Beginning: weeksFrom(ahead), Work: [7]yard.Day{hack(60), {Unknown: rapid.Bool().Draw(t, "unknown")}}})
		}
		p := yard.Plan{Week: yard.Week{Yard: "Cold Brook", Beginning: monday}, Horses: []yard.HorsePlan{h}}
		s, err := reporttest.Sketch("season.pdf", Document(), p, words.Meta{KeepBoxes: true, Paper: rapid.SampledFrom([]string{"A4", "Letter"}).Draw(t, "paper")})
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range s.D.Boxes {
			if b.X < margin-0.1 || b.X+b.W > s.D.PageW-margin+0.1 || b.Y < margin-0.1 || b.Y+b.H > s.D.PageH-margin+0.1 {
				t.Fatalf("%+v leaves the page of %v by %v mm", b, s.D.PageW, s.D.PageH)
			}
		}
	})
}

// A week whose card has no hard feed says zero, and is not left out as one of which
// nothing is known is.
func TestNoughtIsSaid(t *testing.T) {
	h := otter()
	h.HardFeed.Card, h.Step.PathKg = yard.Known(0), []float64{0, 0}
	noughts := func(h yard.HorsePlan) (n int) {
		for _, b := range drawn(t, h) {
			if b.Text == "0" && b.X > 30 { // those of the scale are on the left
				n++
			}
		}
		return n
	}
	if got := noughts(h); got != 2 {
		t.Errorf("%d noughts stand over weeks, want this week's and the next's", got)
	}
	if got := noughts(otter()); got != 0 {
		t.Errorf("%d noughts stand over weeks in which hard feed is fed, or not known", got)
	}
}

// A horse that was weighed once: its weight is said, in the middle of the panel.
func TestOneWeightStandsInTheMiddle(t *testing.T) {
	h := otter()
	h.Horse.Past, h.Horse.Weighings = nil, nil
	h.WeightKg = yard.Known(503)
	title, foot, at := 0.0, 0.0, 0.0
	for _, b := range drawn(t, h) {
		switch {
		case strings.HasPrefix(b.Text, "Body weight"):
			title = b.Y
		case b.Text == "503":
			at = b.Y
		case b.Text == "30 Nov":
			foot = max(foot, b.Y)
		}
	}
	if at == 0 || at < title+0.3*(foot-title) || at > title+0.7*(foot-title) {
		t.Errorf("503 kg stands at %.0f mm, the panel from %.0f to %.0f", at, title, foot)
	}
}

// drawn is the text of a horse's page.
func drawn(t *testing.T, h yard.HorsePlan) []draw.Box {
	t.Helper()
	p := yard.Plan{Week: yard.Week{Yard: "Cold Brook", Beginning: monday}, Horses: []yard.HorsePlan{h}}
	s, err := reporttest.Sketch("season", Document(), p, words.Meta{KeepBoxes: true, Paper: "A4"})
	if err != nil {
		t.Fatal(err)
	}
	return s.D.Boxes
}
