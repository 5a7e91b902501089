// Package ration_test proves what the card decides from outside: it knows the
// nouns of package yard and the one door, ration.Plan, and no sentence.
//
// Four proofs print their figures and hold them: planted dangers, calm yards,
// horses followed card by card, and what hands can do. What they hold to stands
// in one table, floors, of its own file; whoever betters a figure lowers its floor with it.
package ration_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

var long = flag.Bool("long", false, "run the proofs of what the card decides over as many horses as issue and guide speak of")

// holds compares a figure with its floor.
func holds(t *testing.T, what string, got float64, f floor) {
	t.Helper()
	most := f.quick
	if *long {
		most = f.long
	}
	t.Logf("%-58s %6.3f (floor %.3f)", what, got, most)
	if !(got <= most+5e-4) {
		t.Errorf("%s: %.4f, the floor is %.4f", what, got, most)
	}
}

// pick is a count for a quick run and one for a long run.
func pick(quick, all int) int {
	if *long {
		return all
	}
	return quick
}

// sight is one thing a person is told of a horse.
type sight struct {
	rule  string // "" of a caution: cautions have no rule
	words string // of a caution
}

// sights are what a person sees of a horse without turning to its own page: the
// cautions of its card, and the stops and warnings on it or on the whole yard.
func sights(p yard.Plan, hp yard.HorsePlan) []sight {
	var out []sight
	for _, c := range hp.Cautions {
		out = append(out, sight{words: strings.ToLower(words.Said(c))})
	}
	add := func(f yard.Finding) {
		if f.Severity == yard.Warn || f.Severity == yard.Stop {
			out = append(out, sight{rule: string(f.Rule)})
		}
	}
	for _, f := range hp.Findings {
		add(f)
	}
	for _, f := range p.Findings {
		if f.Horse == "" {
			add(f)
		}
	}
	return out
}

// matter is what a sight is about: the ids of rules that speak of it or for one that
// does; of ids in words a part is enough, so that a rule may get a better name. And
// what a caution about it has in its words.
type matter struct {
	ids   []string
	words string
}

func about(ids ...string) matter { return matter{ids: ids} }

func (m matter) orWords(pattern string) matter { m.words = pattern; return m }

// in says whether any of the sights is about the matter.
func (m matter) in(all []sight) bool {
	words := regexp.MustCompile(m.words)
	return slices.ContainsFunc(all, func(s sight) bool {
		if s.rule == "" {
			return m.words != "" && words.MatchString(s.words)
		}
		row, _ := yard.RuleOf(yard.RuleID(s.rule))
		return slices.ContainsFunc(m.ids, func(id string) bool {
			return s.rule == id || id == strings.ToLower(id) && strings.Contains(s.rule, id) || slices.Contains(row.SpeaksFor, yard.RuleID(id))
		})
	})
}

// printed is a horse's card as hands read it.
type printed struct {
	yard.HorsePlan
	feeds map[string]yard.FeedNeed
	now   map[string]float64 // kg a day of each feed of the lines, 0 where none or unknown
	kg    float64            // body weight
}

func readCard(p yard.Plan, name string) printed {
	c := printed{feeds: map[string]yard.FeedNeed{}, now: map[string]float64{}}
	for _, f := range p.Feeds {
		c.feeds[f.Feed.Name] = f
	}
	for _, hp := range p.Horses {
		if hp.Horse.Name == name {
			c.HorsePlan = hp
		}
	}
	for _, l := range p.Week.Lines {
		if l.Horse == name {
			kg := l.Now.Kg.Or(0)
			if n, ok := l.Now.Measures.Get(); ok && !l.Now.Kg.IsKnown() {
				kg = n * c.feeds[l.Feed].MeasureKg.Or(0)
			}
			c.now[l.Feed] += kg
		}
	}
	c.kg = c.WeightKg.Or(c.Horse.WeightKg.Or(500))
	return c
}

// serving is what is given at one meal of one day, the latest stage by that day.
func (c printed) servings(day int, kind yard.DayKind) []yard.Serving {
	var out []yard.Serving
	for _, s := range c.Servings {
		if s.Day != kind || int(s.From) > day {
			continue
		}
		i := slices.IndexFunc(out, func(o yard.Serving) bool { return o.Feed == s.Feed && o.Meal == s.Meal })
		switch {
		case i < 0:
			out = append(out, s)
		case s.From >= out[i].From:
			out[i] = s
		}
	}
	return out
}

func (c printed) on(day int) []yard.Serving { return c.servings(day, c.Days[day].Kind) }

// total adds up the kilograms of some servings.
func total(all []yard.Serving, of func(yard.Serving) bool) float64 {
	kg := 0.0
	for _, s := range all {
		if of(s) {
			kg += float64(s.Kg)
		}
	}
	return kg
}

func feed(name string) func(yard.Serving) bool {
	return func(s yard.Serving) bool { return s.Feed == name }
}

func class(k yard.FeedClass) func(yard.Serving) bool {
	return func(s yard.Serving) bool { return s.Class == k }
}

// most is the largest amount of any day of the week, least the smallest of any
// ordinary day.
func (c printed) most(of func(yard.Serving) bool) float64 {
	kg := 0.0
	for d := range 7 {
		kg = max(kg, total(c.on(d), of))
	}
	return kg
}

func (c printed) least(of func(yard.Serving) bool) float64 {
	kg := math.Inf(1)
	for d := range 7 {
		kg = min(kg, total(c.servings(d, yard.WorkDay), of))
	}
	return kg
}

// holding is grams of a nutrient in some servings, by what the plan says its
// feeds contain.
func (c printed) holding(all []yard.Serving, of func(yard.Composition) yard.Num) float64 {
	g := 0.0
	for _, s := range all {
		x := c.feeds[s.Feed].Composition
		g += float64(s.Kg) * x.DM.Or(0) * of(x).Or(0)
	}
	return g
}

func starchOf(x yard.Composition) yard.Num { return x.Starch }
func energyOf(x yard.Composition) yard.Num { return x.DE }
func one(yard.Composition) yard.Num        { return yard.Known(1) }

func bucket(all []yard.Serving) []yard.Serving {
	return slices.DeleteFunc(slices.Clone(all), func(s yard.Serving) bool { return s.Class == yard.Forage })
}

func forage(all []yard.Serving) []yard.Serving {
	return slices.DeleteFunc(slices.Clone(all), func(s yard.Serving) bool { return s.Class != yard.Forage })
}

// atMeals is the largest value over the meals of the week.
func (c printed) atMeals(value func([]yard.Serving) float64) float64 {
	worst := 0.0
	for d := range 7 {
		meals := map[string][]yard.Serving{}
		for _, s := range c.on(d) {
			meals[s.Meal] = append(meals[s.Meal], s)
		}
		for _, m := range meals {
			worst = max(worst, value(m))
		}
	}
	return worst
}

// monday is the first day of every proof: a week in November, grass poor, no frost.
var monday = time.Date(2026, 11, 2, 0, 0, 0, 0, time.UTC)

func ago(days int) time.Time { return monday.AddDate(0, 0, -days) }

func kilos(kg float64) yard.Amount { return yard.Amount{Given: true, Kg: yard.Known(kg)} }

var (
	blank = yard.Amount{}
	adLib = yard.Amount{Given: true, AdLib: true}
)

// feedRoom is a feed room in which all is analysed and weighed, so that only what
// a proof plants in it is doubtful. The figures are of the order of what is sold and
// grown (generic rows of feeds.csv); ours.
func feedRoom() []yard.Feed {
	n := yard.Known
	hard := func(name string, de, cp, starch, sugar, scoop float64) yard.Feed {
		return yard.Feed{Name: name, Class: yard.HardFeed, AnalysisFrom: "workbook: dry matter", MeasureKg: n(scoop), MeasureWeighed: ago(5), Analysis: yard.Composition{
			DM: n(0.88), DE: n(de), CP: n(cp), Fat: n(40), NDF: n(300), Starch: n(starch), Sugar: n(sugar), Ca: n(11), P: n(5.5), Na: n(3.5), Lysine: n(5.5),
			Mg: n(3.5), K: n(10), Cl: n(6), S: n(2), Cu: n(30), Zn: n(100), Mn: n(80), Fe: n(150), Se: n(0.3), I: n(0.6), Co: n(0.5), VitA: n(9000), VitD: n(1000), VitE: n(150), Thiamin: n(8), Riboflavin: n(6)}}
	}
	forage := func(name string, dm, de, cp, sugar float64) yard.Feed {
		return yard.Feed{Name: name, Class: yard.Forage, AnalysisFrom: "workbook: dry matter", Analysis: yard.Composition{
			DM: n(dm), DE: n(de), CP: n(cp), Fat: n(22), NDF: n(610), ADF: n(370), Starch: n(10), Sugar: n(sugar), Ca: n(4.8), P: n(2.5), Na: n(1.2), Lysine: n(3.6),
			Mg: n(1.8), K: n(15), Cl: n(6), S: n(1.7), Cu: n(7), Zn: n(30), Mn: n(80), Fe: n(150), Se: n(0.07), I: n(0.25), Co: n(0.15), VitA: n(9000), VitD: n(600), VitE: n(40), Thiamin: n(3), Riboflavin: n(7)}}
	}
	balancer := hard("Balancer", 2.9, 280, 80, 50, 0.7)
	balancer.Notes = "Feed 100 g per 100 kg body weight a day. Do not exceed."
	b := &balancer.Analysis
	b.Ca, b.P, b.Na, b.Cu, b.Zn, b.Mn, b.Se, b.I, b.VitA, b.VitD, b.VitE, b.Lysine = n(32), n(18), n(6), n(240), n(700), n(400), n(2.4), n(4), n(75000), n(9000), n(1500), n(16)
	return []yard.Feed{
		forage("Hay", 0.88, 2.05, 98, 75), forage("Haylage", 0.65, 2.25, 115, 90), {Name: "Straw", Generic: "oat straw", Class: yard.Forage},
		hard("Cubes", 2.9, 120, 200, 60, 1.4), hard("Fibre cubes", 2.5, 130, 60, 40, 1.2), hard("Veteran mash", 3.1, 150, 90, 50, 1.0), balancer,
		{Name: "Oats", MeasureKg: n(0.8), MeasureWeighed: ago(5)}, {Name: "Barley", MeasureKg: n(1.1), MeasureWeighed: ago(5)}, {Name: "Maize", MeasureKg: n(1.2), MeasureWeighed: ago(5)},
		{Name: "Bran", Generic: "wheat bran", MeasureKg: n(0.4), MeasureWeighed: ago(5)}, {Name: "Beet", Generic: "beet pulp, unmolassed", MeasureKg: n(0.6), MeasureWeighed: ago(5)},
		{Name: "Chaff", Generic: "oat chaff", MeasureKg: n(0.3), MeasureWeighed: ago(5)}, {Name: "Alfalfa", Generic: "lucerne chaff", MeasureKg: n(0.35), MeasureWeighed: ago(5)},
		{Name: "Oil", Generic: "vegetable oil"}, {Name: "Salt", Generic: "salt"},
	}
}

// week is seven days with the same work but for one off, the last.
func week(minutes ...float64) (days [7]yard.Day) {
	for d := range 6 {
		s := yard.Session{}
		copy(s.Minutes[:], minutes)
		days[d] = yard.Day{Text: "work", Sessions: []yard.Session{s}, StartMin: -1}
	}
	days[6] = yard.Day{Text: "rest", StartMin: -1}
	return days
}

// stable is a yard of one horse, of which one thing at a time is made wrong.
type stable struct {
	yard.Week
	*yard.Horse
}

// ordinary is a sound horse of ten years in light work that holds its weight on
// 8 kg of hay and a scoop of cubes.
func ordinary() stable {
	n := yard.Known
	s := stable{yard.Week{Yard: "Proof", Beginning: monday, Measures: []yard.Measure{{Name: "scoop", Litres: n(2)}}, Temperature: n(9), HumidityPct: n(70), Feeds: feedRoom(),
		Meals: []yard.Meal{{Name: "Breakfast", Minute: 7 * 60}, {Name: "Lunch", Minute: 12*60 + 30}, {Name: "Tea", Minute: 17*60 + 30}, {Name: "Late", Minute: 21*60 + 30}}}, nil}
	s.Horses = []yard.Horse{{Name: "Rowan", WeightKg: n(500), WeightBasis: yard.ByScale, Weighed: ago(3), HeightCm: n(160), AgeYears: n(10), Type: yard.TypeHorse, Score: n(5), TargetScore: n(5),
		Fitness: yard.Hard, Keeper: yard.NormalDoer, RiderTackKg: n(75), InWorkSince: ago(120), Work: week(35, 15, 3), WorkGiven: true, Before: week(35, 15, 3), BeforeGiven: true, Kept: yard.Stabled}}
	s.Horse = &s.Horses[0]
	s.fed("Hay", kilos(8), blank)
	s.fed("Cubes", kilos(1.4), blank)
	s.fed("Salt", kilos(0.03), blank)
	return s
}

// fed sets what is fed now and planned of a feed.
func (s *stable) fed(feed string, now, planned yard.Amount) {
	l := yard.Line{Horse: s.Horse.Name, Feed: feed, Now: now, Planned: planned}
	if i := slices.IndexFunc(s.Lines, func(o yard.Line) bool { return o.Feed == feed }); i >= 0 {
		s.Lines[i] = l
		return
	}
	s.Lines = append(s.Lines, l)
}

// from sets a change planned in kilograms, keep one that is planned to stay.
func (s *stable) from(feed string, now, planned float64) { s.fed(feed, kilos(now), kilos(planned)) }
func (s *stable) keep(feed string, kg float64)           { s.from(feed, kg, kg) }
func (s *stable) now(feed string, kg float64)            { s.fed(feed, kilos(kg), blank) }

// without takes a feed's row out.
func (s *stable) without(feeds ...string) {
	s.Lines = slices.DeleteFunc(s.Lines, func(l yard.Line) bool { return slices.Contains(feeds, l.Feed) })
}

// room adds a feed to the room.
func (s *stable) room(f yard.Feed) { s.Feeds = append(s.Feeds, f) }

// named is a diagnosis with the words on the sheet.
func (s *stable) named(kind yard.Diagnosis, text string) {
	s.Diagnoses = append(s.Diagnoses, yard.NamedDiagnosis{Kind: kind, Text: text})
}

// noted is an illness written in the notes, as the reader hands it on: the words,
// and the condition they name.
func (s *stable) noted(kind yard.Diagnosis, text string) {
	s.Notes = text
	s.named(kind, text)
}

// weighings are by the scale, the last three days ago, a number of days apart.
func (s *stable) weighings(apart int, kg ...float64) {
	s.Weighings = nil
	for i, w := range kg {
		s.Weighings = append(s.Weighings, yard.Weighing{Date: ago(3 + apart*(len(kg)-1-i)), Kg: yard.Known(w), Basis: yard.ByScale})
	}
	s.WeightKg = yard.Known(kg[len(kg)-1])
}

// plan is the horse's card and what is seen of it.
func (s stable) plan() (printed, []sight) {
	p := ration.Plan(s.Week, ration.DefaultRules())
	c := readCard(p, s.Horse.Name)
	return c, sights(p, c.HorsePlan)
}

// nextWeek is the week after: what is fed now is what the card ended on, work and
// plan stay as they are until somebody changes them.
func nextWeek(w yard.Week, p yard.Plan) yard.Week {
	w.Beginning = w.Beginning.AddDate(0, 0, 7)
	w.Horses, w.Lines = slices.Clone(w.Horses), slices.Clone(w.Lines)
	for i := range w.Horses {
		h := &w.Horses[i]
		h.Before, h.BeforeGiven, h.GrassBefore = h.Work, h.WorkGiven, h.GrassHours
		c := readCard(p, h.Name)
		if c.Status == yard.NoCard {
			continue
		}
		h.Past = append(slices.Clone(h.Past), recordOf(p.Week.Beginning, c.HorsePlan))
		end := map[string]yard.Amount{}
		for _, s := range c.servings(6, yard.WorkDay) {
			if s.Grazed.IsKnown() {
				continue
			}
			a := end[s.Feed]
			end[s.Feed] = yard.Amount{Given: true, AdLib: s.AdLib, Kg: yard.Known(a.Kg.Or(0) + float64(s.Kg))}
			if s.AdLib {
				end[s.Feed] = adLib
			}
		}
		have := map[string]bool{}
		for k := range w.Lines {
			if l := &w.Lines[k]; l.Horse == h.Name {
				have[l.Feed] = true
				if a, ok := end[l.Feed]; ok {
					l.Now = a
				} else {
					l.Now = kilos(0)
				}
			}
		}
		for _, f := range w.Feeds { // in the room's order, so that each run is the same
			if a, ok := end[f.Name]; ok && !have[f.Name] {
				w.Lines = append(w.Lines, yard.Line{Horse: h.Name, Feed: f.Name, Now: a})
			}
		}
	}
	return w
}

// recordOf is what the record of a week has of a horse, as the next week reads it.
func recordOf(beginning time.Time, c yard.HorsePlan) yard.PastWeek {
	e := c.Energy
	r := yard.PastWeek{Beginning: beginning, HardKg: c.HardFeed.Card, FromKg: c.HardFeed.Now, WeekEnergy: c.ToLearnFrom}
	for _, w := range c.Horse.Weighings {
		r.Weighed = w
	}
	all, ok1 := e.Supply.Get()
	forage, ok2 := e.SupplyForage.Get()
	if r.Full = ok1 && ok2 && !c.WorkAtLeast; r.Full {
		r.ForageMcal, r.OtherMcal, r.DoubtMcal = e.SupplyForage, yard.Known(all-forage), e.SupplyDoubt
		r.WorkMcal, r.ColdMcal = yard.Known(e.Work.Or(0)+e.Cold.Or(0)), yard.Known(e.Cold.Or(0))
	}
	return r
}

// chance is a source of chance of its own for each number, the same on every run.
func chance(n int) *rand.Rand { return rand.New(rand.NewPCG(20, uint64(n))) }

func between(r *rand.Rand, low, high float64) float64 { return low + (high-low)*r.Float64() }

func oneOf[T any](r *rand.Rand, all ...T) T { return all[r.IntN(len(all))] }

// tally prints counts, the largest first.
func tally(counts map[string]int) string {
	var names []string
	for k := range counts {
		names = append(names, k)
	}
	slices.SortFunc(names, func(a, b string) int {
		if counts[a] != counts[b] {
			return counts[b] - counts[a]
		}
		return strings.Compare(a, b)
	})
	for i, k := range names {
		names[i] = fmt.Sprintf("%s %d", k, counts[k])
	}
	return strings.Join(names, ", ")
}
