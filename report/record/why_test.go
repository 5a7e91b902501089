package record

import (
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// Whatever is worked out of any yard is said in every language, by every model of work;
// each text of the tables is said, and English is left in none but names and sources.
func TestEveryWorkingIsSaidInEveryLanguage(t *testing.T) {
	t.Parallel()
	english := regexp.MustCompile(`(?i)\b(the|and|with|this|feed|from|of|over|week|a day|mean|body weight|settings)\b`)
	r := rand.New(rand.NewPCG(18, 1))
	spoken := map[string]bool{}
	spell := func(s yard.Saying) {
		spoken[s.Key] = true
		for _, a := range s.Args {
			if inside, ok := a.Value.(yard.Saying); ok {
				spoken[inside.Key] = true
			}
		}
	}
	languages := map[string]words.Language{}
	for _, code := range words.Languages() {
		languages[code] = reporttest.In(t, code)
	}
	lines := 0
	for i := range 15 {
		week := reporttest.RandomWeek(r)
		week.Horses = append(week.Horses, oneTaped(week))
		rules := ration.DefaultRules()
		rules.Workings, rules.WorkModel = true, yard.WorkModels()[i%3]
		p := ration.Plan(week, rules)
		for _, h := range p.Horses {
			for _, w := range h.Workings {
				spell(w.What())
				spell(w.How())
				spell(w.Unit)
				for _, in := range w.Inputs {
					spell(in.Name)
					spell(in.Unit)
					spell(in.From)
				}
			}
			if i >= 3 {
				continue
			}
			for code, in := range languages {
				text := WhyText(p, yard.HorsePlan{Horse: h.Horse, Workings: h.Workings}, in)
				source, _, _ := strings.Cut(in.Text("working.source"), "{")
				for line := range strings.Lines(text) {
					lines++
					if strings.Contains(line, "{") {
						t.Errorf("%s: a place is left open: %s", code, line)
					}
					if whose := strings.TrimSpace(line); code != "en" && !strings.Contains(whose, "[") && !strings.HasPrefix(whose, source) && english.MatchString(whose) {
						t.Errorf("%s: English is left: %s", code, whose)
					}
				}
			}
		}
	}
	// No week of these yards has a record, a pony's keeper, a sweat of its own, or a
	// choice that could not be proven.
	rare := regexp.MustCompile(`^working\.(head|model|no card|source|foot|own need|in\.(own|weighings|weeks known|need\.|by the tables|keeper|on a work day|work days)|from\.(weights|records|not proven|ad lib|no temperature)|choice\.equal|sweat$|sweat\.how|basis|goal\.(lean|climb|brought|unknown|energy under|cost)|unit\.goal\.(shares|hundredths))`)
	for _, key := range words.English().Keys("working.") {
		if !spoken[key] && !rare.MatchString(key) {
			t.Errorf("%s is never said by the engine", key)
		}
	}
	if lines < 5_000 {
		t.Errorf("only %d lines were read", lines)
	}
}

// oneTaped is the week's first horse once more, with what the others have not: its weight
// from girth and length, its sweat by a score, a gallop.
func oneTaped(w yard.Week) yard.Horse {
	h := w.Horses[0]
	h.Name, h.WeightKg = "Qx", yard.Num{}
	h.GirthCm, h.LengthCm, h.SweatScore = yard.Known(190), yard.Known(165), yard.Known(3)
	h.Work[2] = yard.Day{Text: "x", Sessions: []yard.Session{{Minutes: [yard.Gaits]float64{yard.Walk: 20, yard.Gallop: 2}}}}
	return h
}
