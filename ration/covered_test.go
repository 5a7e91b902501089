package ration

import (
	"math"
	"strings"
	"testing"

	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

func TestHorsesTheFiguresDoNotCoverGetNoCard(t *testing.T) {
	t.Parallel()
	for name, change := range map[string]func(*yard.Horse){
		"no weight":        func(h *yard.Horse) { h.WeightKg = yard.Num{} },
		"score under 3":    func(h *yard.Horse) { h.Score = yard.Known(2.5) },
		"donkey":           func(h *yard.Horse) { h.Type = yard.TypeDonkey },
		"two-year-old":     func(h *yard.Horse) { h.AgeYears = yard.Known(2) },
		"twice on the row": func(h *yard.Horse) { h.NoCard = []yard.Saying{yard.Verbatim("stands twice")} },
	} {
		h := horse("Jackdaw", 400)
		change(&h)
		hp := planOne(t, h, line("Jackdaw", "Hay", kilos(8), nothing))
		if hp.Status != yard.NoCard || len(hp.NoCardWhy) == 0 || len(hp.Servings) != 0 {
			t.Errorf("%s: %s, why %v, %d servings", name, hp.Status, hp.NoCardWhy, len(hp.Servings))
		}
	}
}

func TestAFeedNobodyListedStopsThatHorseOnly(t *testing.T) {
	t.Parallel()
	w := smallYard(horse("Linnet", 500), horse("Siskin", 500))
	w.Lines = []yard.Line{line("Linnet", "Hay", kilos(10), nothing), line("Linnet", "Cubess", kilos(1), kilos(1)), line("siskin", "hay", kilos(10), nothing)}
	p := Plan(w, DefaultRules())
	if p.Horses[0].Status != yard.NoCard || p.Horses[1].Status != yard.Carded {
		t.Fatalf("%s and %s", p.Horses[0].Status, p.Horses[1].Status)
	}
	if f, ok := has(p.Horses[0], "feed-unlisted"); !ok || !strings.Contains(message(f), `Do you mean "Cubes"?`) {
		t.Errorf("finding %+v", f)
	}
}

func TestGirthAndLengthBeatAStatedWeightAndTheScaleBeatsBoth(t *testing.T) {
	t.Parallel()
	h := horse("Curlew", 430)
	h.GirthCm, h.LengthCm, h.WeightBasis = yard.Known(180), yard.Known(160), yard.Stated
	hay := line("Curlew", "Hay", kilos(10), nothing)
	if hp := planOne(t, h, hay); hp.WeightBasis != yard.ByGirthLength || math.Abs(hp.WeightKg.Or(0)-need.GirthLengthKg(180, 160, yard.TypeHorse)) > 1e-9 {
		t.Errorf("%s %v", hp.WeightBasis, hp.WeightKg)
	}
	h.WeightBasis = yard.ByScale
	if hp := planOne(t, h, hay); hp.WeightBasis != yard.ByScale || !near(hp.WeightKg, 430) {
		t.Errorf("%s %v", hp.WeightBasis, hp.WeightKg)
	}
}

// Common practice, no source: what horses of these heights weigh. The same number
// in pounds, or inches for centimetres, makes another animal of it, and the feed
// and every mark would go by that.
func TestAWeightThatIsNotBelievedGetsNoCard(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		what        string
		kind        yard.HorseType
		cm, kg      float64
		notBelieved bool
	}{
		{"a riding horse", yard.TypeHorse, 163, 520, false},
		{"the same in pounds", yard.TypeHorse, 163, 1145, true},
		{"a lean racehorse", yard.TypeHorse, 168, 440, false},
		{"a fat cob", yard.TypeHorse, 147, 620, false},
		{"a Shire", yard.TypeDraught, 183, 950, false},
		{"an Ardennes", yard.TypeDraught, 158, 1000, false},
		{"a fat Shetland", yard.TypePony, 97, 230, false},
		{"a pony", yard.TypePony, 124, 285, false},
		{"a pony in pounds", yard.TypePony, 124, 628, true},
		{"stones for kilograms", yard.TypeHorse, 163, 82, true},
		{"no height, in pounds", yard.TypeHorse, 0, 1145, true},
		{"no height, in kilograms", yard.TypeHorse, 0, 700, false},
		{"a pony without height, in pounds", yard.TypePony, 0, 640, true},
		{"a draught horse without height", yard.TypeDraught, 0, 1145, false},
	} {
		h := horse("Gannet", c.kg)
		h.Type = c.kind
		if c.cm > 0 {
			h.HeightCm = yard.Known(c.cm)
		}
		hp := planOne(t, h, line("Gannet", "Hay", kilos(9), nothing), line("Gannet", "Cubes", kilos(0.75), nothing))
		if got := hp.Status == yard.NoCard; got != c.notBelieved {
			t.Errorf("%s, %g kg at %g cm: %s %v", c.what, c.kg, c.cm, hp.Status, hp.NoCardWhy)
		}
		if f, found := has(hp, "weight-height"); found != c.notBelieved || found && f.Severity != yard.Stop {
			t.Errorf("%s: %v", c.what, f)
		}
	}
}

// Source: feeds §2, the table of densities. A scoop of 2 l that is said to weigh 13
// kg is a slip of the point, and a card that goes by it asks for ten scoops on the
// scale where one was meant.
func TestAScoopNoFeedCanFillIsNotBelieved(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		kg       float64
		believed bool
	}{{1.3, true}, {13, false}, {0.13, false}, {2.9, true}, {0.25, true}} {
		w := smallYard(horse("Gannet", 520))
		w.Feeds[1].MeasureKg = yard.Known(c.kg)
		scoops := func(n float64) yard.Amount { // as the reader hands them on
			return yard.Amount{Given: true, Measures: yard.Known(n), Kg: yard.Known(n * c.kg)}
		}
		w.Lines = []yard.Line{line("Gannet", "Hay", kilos(9), kilos(9)), line("Gannet", "Cubes", scoops(1), scoops(1))}
		p := Plan(w, DefaultRules())
		hp := p.Horses[0]
		if got := hp.Status != yard.NoCard; got != c.believed {
			t.Errorf("a scoop of %g kg: %s, %v kg on the card", c.kg, hp.Status, hp.HardFeed.Card)
		}
		said := false
		for _, f := range p.Findings {
			said = said || f.Rule == "measure-density" && f.Severity == yard.Stop
		}
		if said == c.believed {
			t.Errorf("a scoop of %g kg: said that it is not believed: %v", c.kg, said)
		}
		if !c.believed && !strings.Contains(saidAll(hp.NoCardWhy), "can't be right") {
			t.Errorf("a scoop of %g kg: %v", c.kg, hp.NoCardWhy)
		}
	}
}

// A row copied twice doubles a feed: it is added, since two rows may be two meals,
// and said with both cells.
func TestAFeedThatStandsTwiceForAHorseIsSaid(t *testing.T) {
	t.Parallel()
	at := func(l yard.Line, ref, meal string) yard.Line {
		l.Cell, l.Meal = yard.Cell{Sheet: "rations", Ref: ref}, meal
		return l
	}
	cubes := line("Gannet", "Cubes", kilos(0.75), kilos(0.75))
	for _, c := range []struct {
		what  string
		lines []yard.Line
		said  bool
	}{
		{"copied", []yard.Line{at(cubes, "B3", ""), at(cubes, "B8", "")}, true},
		{"copied at one meal", []yard.Line{at(cubes, "B3", "Tea"), at(cubes, "B8", "tea")}, true},
		{"at two meals", []yard.Line{at(cubes, "B3", "Breakfast"), at(cubes, "B8", "Tea")}, false},
		{"now in one row, planned in the other", []yard.Line{at(line("Gannet", "Cubes", kilos(0.75), nothing), "B3", ""), at(line("Gannet", "Cubes", nothing, kilos(0.75)), "B8", "")}, false},
	} {
		hp := planOne(t, horse("Gannet", 520), append(c.lines, line("Gannet", "Hay", kilos(10), kilos(10)))...)
		f, said := has(hp, "line-twice")
		if said != c.said || said && (f.Cell.Ref != "B8" || !strings.Contains(message(f), "B3")) {
			t.Errorf("%s: %v %+v", c.what, said, f)
		}
	}
}

// What the reader found of a horse without a cell of its own is said once, at the
// horse's row; what it found of nobody on the horses sheet is not lost.
func TestFindingsOfTheReaderAreSaidOnce(t *testing.T) {
	t.Parallel()
	h := horse("Fern", 500)
	h.Cell = yard.Cell{Sheet: "horses", Ref: "A2"}
	w := smallYard(h)
	w.Findings = []yard.Finding{
		{Rule: "work-blank", Severity: yard.Note, Horse: "Fern", Message: "left blank"},
		{Rule: "horse-unknown", Severity: yard.Warn, Horse: "Nobody", Message: "not on the horses sheet"},
	}
	said := map[yard.RuleID]int{}
	for _, f := range Plan(w, DefaultRules()).Findings {
		said[f.Rule]++
	}
	if said["work-blank"] != 1 || said["horse-unknown"] != 1 {
		t.Errorf("said %d and %d times, want once each", said["work-blank"], said["horse-unknown"])
	}
}
