package evidence

import (
	"math"
	"testing"

	"hardfeed/ration/yard"
)

func half(e yard.Estimate) float64 { return (e.High - e.Low) / 2 }

// A horse that has held 500 kg for 13 weeks on 18 Mcal, in light work.
func held(basis yard.WeightBasis) Horse {
	var ws []onDay
	for i := range 14 {
		ws = append(ws, onDay{7 * i, 500 + []float64{0, 2, -2, 1, -1}[i%5]})
	}
	return fedAlike(13, tableFeed(), by(basis, ws...))
}

func TestTheWeightInFourWeeks(t *testing.T) {
	as := Published()
	e := learnOne(held(yard.ByScale), 13)
	foretell := func(e Learnt, f Feeding, days int) yard.WeightForecast {
		out, ok := e.Forecast(f, days)
		if !ok {
			t.Fatalf("nothing is foretold of %+v", e.Evidence)
		}
		return out
	}
	same := foretell(e, tableFeed(), 28)
	if same.On != simStart.AddDate(0, 0, 13*7+28) || same.Basis != yard.ByScale || math.Abs(same.ChangeKg.Mean) > 1 || math.Abs(same.WeightKg.Mean-500) > 2 {
		t.Errorf("on the feed it holds its weight on: %+v", same)
	}

	// Over n days a balance b at today's weight changes the weight by b/cost a day, and
	// each kilogram takes its maintenance back.
	more := tableFeed()
	more.OtherMcal = yard.Known(4 + 6)
	rich := foretell(e, more, 28)
	balance := 14 + 10 - e.Need.Mean
	pull := e.history.pull()
	if want := balance / as.McalPerKg * (1 - math.Pow(1-pull, 28)) / pull; math.Abs(rich.ChangeKg.Mean-want) > 1e-9 {
		t.Errorf("on 6 Mcal more it gains %.4f kg, want %.4f", rich.ChangeKg.Mean, want)
	}
	// One score is 20 kg at 500 kg; how much it is varies by a third.
	score, _ := rich.Score.Mean.Get()
	if want := 5 + rich.ChangeKg.Mean/20; math.Abs(score-want) > 1e-9 {
		t.Errorf("score %.3f, want %.3f", score, want)
	}
	low, _ := rich.Score.Low.Get()
	spread := math.Hypot(half(rich.ChangeKg)/20, z90*kgPerScoreCV*rich.ChangeKg.Mean/20)
	if math.Abs(score-low-spread) > 1e-9 {
		t.Errorf("the score's range reaches %.3f down, want %.3f", score-low, spread)
	}
	// How many kilograms a Mcal makes matters where there is a balance.
	if half(rich.ChangeKg) < 1.3*half(same.ChangeKg) {
		t.Errorf("6 Mcal more: ± %.2f kg, on its own feed ± %.2f", half(rich.ChangeKg), half(same.ChangeKg))
	}
	if d := math.Exp(as.McalPerKgCV*z90) - 1; half(rich.ChangeKg) > rich.ChangeKg.Mean*d+half(same.ChangeKg) {
		t.Errorf("6 Mcal more: ± %.2f kg of %.2f is more than the cost of a kilogram explains", half(rich.ChangeKg), rich.ChangeKg.Mean)
	}
	if far := foretell(e, tableFeed(), 84); half(far.ChangeKg) <= 2*half(same.ChangeKg) {
		t.Errorf("twelve weeks on ± %.2f kg, four weeks on ± %.2f", half(far.ChangeKg), half(same.ChangeKg))
	}

	// Hay for hard feed: the same energy, and less in the gut (WG-14).
	swap := tableFeed()
	swap.ForageMcal, swap.OtherMcal = yard.Known(14-8), yard.Known(4+8)
	lean := foretell(e, swap, 28)
	if d := same.WeightKg.Mean - lean.WeightKg.Mean - (same.ChangeKg.Mean - lean.ChangeKg.Mean); math.Abs(d-8*as.GutKgPerMcal) > 1.5 {
		t.Errorf("8 Mcal less hay shows as %.1f kg beside what is lost, want about %.1f", d, 8*as.GutKgPerMcal)
	}
	if half(lean.WeightKg) <= half(same.WeightKg) {
		t.Error("how much less is in the gut is taken for certain")
	}

	if _, ok := e.Forecast(Feeding{ForageMcal: yard.Known(14), WorkMcal: yard.Known(1)}, 28); ok {
		t.Error("a forecast on feed that is not known")
	}
	h := held(yard.ByScale)
	h.Score = yard.Num{}
	if f := foretell(learnOne(h, 13), tableFeed(), 28); f.Score.Mean.IsKnown() || f.Score.Low.IsKnown() || f.Score.High.IsKnown() {
		t.Errorf("not scored, and yet %+v", f.Score)
	}
}

// In a week of more work the need is more by that work, and its range wider by the
// work's own error.
func TestTheNeedInAnotherWeek(t *testing.T) {
	h := held(yard.ByScale)
	e := learnOne(h, 13)
	if n, ok := e.NeedOn(h.Now); !ok || n != e.Need {
		t.Errorf("this week %+v, %v, want %+v", n, ok, e.Need)
	}
	hard := h.Now
	hard.WorkMcal = yard.Known(1.35 + 8)
	n, ok := e.NeedOn(hard)
	if !ok || math.Abs(n.Mean-e.Need.Mean-8) > 0.5 || half(n) < math.Hypot(half(e.Need), z90*0.28*8)*0.9 {
		t.Errorf("8 Mcal more work: %+v, %v, this week %+v", n, ok, e.Need)
	}
	// Nothing learnt: the tables and the work.
	h.Weighings = nil
	if n, ok := learnOne(h, 13).NeedOn(hard); !ok || n.Mean != 0.0333*500+1.35+8 {
		t.Errorf("by the tables: %+v, %v", n, ok)
	}
	hard.WorkMcal = yard.Num{}
	if _, ok := e.NeedOn(hard); ok {
		t.Error("a need for work that is not known")
	}
	h.BodyKg = 0
	if _, ok := learnOne(h, 13).NeedOn(h.Now); ok {
		t.Error("a need without a body weight")
	}
}

// With all else certain the range is that of the cost of a kilogram: its spread times
// how fast the change grows with kilograms a Mcal, found by trying.
func TestTheCostOfAKilogramInAForecast(t *testing.T) {
	as := Published()
	as.Forage, as.Work, as.Balance = 0, 0, 0
	h := held(yard.ByScale)
	h.Basis, h.Prior.CV = "", 0
	own := h.Prior.McalPerKg * h.BodyKg
	steady := Feeding{yard.Known(own), yard.Known(0), yard.Known(0)} // no balance: nothing is learnt of the cost
	h.Now = steady
	for i := range h.Weeks {
		h.Weeks[i].Feeding = steady
	}
	const more, days = 6.0, 84
	change := func(logCost float64) float64 {
		cost := as.McalPerKg * math.Exp(logCost)
		pull := h.Prior.McalPerKg / cost
		return more / cost * (1 - math.Pow(1-pull, days)) / pull
	}
	want := z90 * as.McalPerKgCV * (change(-1e-5) - change(1e-5)) / 2e-5
	e := learnWith([]Horse{h}, 13, as).Horses[0]
	f, ok := e.Forecast(Feeding{yard.Known(own), yard.Known(more), yard.Known(0)}, days)
	if !ok || math.Abs(half(f.ChangeKg)-want) > 1e-4*want || math.Abs(f.ChangeKg.Mean-change(0)) > 1e-6 {
		t.Errorf("changes by %+v, want %.4f ± %.4f", f.ChangeKg, change(0), want)
	}
}

// The week's own errors, an estimate of grass for one, are in the ranges.
func TestWhatIsOnlyEstimatedWidensTheRange(t *testing.T) {
	sure := held(yard.ByScale)
	doubtful := held(yard.ByScale)
	for i := range doubtful.Weeks {
		doubtful.Weeks[i].DoubtMcal = 4
	}
	a, b := learnOne(sure, 13), learnOne(doubtful, 13)
	if half(b.Need) < 1.1*half(a.Need) {
		t.Errorf("± %.2f Mcal with 4 Mcal of doubt a week, ± %.2f without", half(b.Need), half(a.Need))
	}
	as := Published()
	as.Balance = 0
	exact := learnWith([]Horse{sure}, 13, as).Horses[0]
	f, _ := a.Forecast(tableFeed(), 28)
	g, _ := exact.Forecast(tableFeed(), 28)
	if half(g.ChangeKg) >= half(f.ChangeKg) {
		t.Errorf("a record without error foretells ± %.3f kg, one with errors ± %.3f", half(g.ChangeKg), half(f.ChangeKg))
	}
}

// Tape and scale differ on this horse by 20 kg: each way of weighing has its own
// forecast, and neither calls the difference a change.
func TestTapeAndScaleOfOneHorse(t *testing.T) {
	var scale, tape []yard.Weighing
	for i := range 14 {
		scale = append(scale, byScale(onDay{7 * i, 500 + []float64{0, 2, -2, 1, -1}[i%5]})...)
		tape = append(tape, by(yard.ByTape, onDay{7*i + 3, 520})...)
	}
	endsWithTape := append(append([]yard.Weighing(nil), scale[:12]...), tape[:13]...)
	e := learnOne(fedAlike(13, tableFeed(), endsWithTape), 13)
	f, ok := e.Forecast(tableFeed(), 28)
	if !ok || f.Basis != yard.ByTape || math.Abs(f.WeightKg.Mean-520) > 4 || half(f.WeightKg) > 10 {
		t.Errorf("as the tape will show it: %+v", f)
	}
	if math.Abs(e.WeightKg.Mean-500) > 3 || half(e.WeightKg) > 6 {
		t.Errorf("true weight %+v, the scale showed 500 kg", e.WeightKg)
	}
	if e.Trend == yard.TrendGaining || math.Abs(e.Recent.KgPerWeek.Mean) > 1 {
		t.Errorf("from scale to tape is called %s, %+v", e.Trend, e.Recent)
	}
	// By tape alone nobody knows the true weight so well.
	if only := learnOne(fedAlike(13, tableFeed(), tape[:13]), 13); half(only.WeightKg) < 30 {
		t.Errorf("by tape alone the true weight is %+v", only.WeightKg)
	}
	// And yet what the tape will show is known as well as its scatter lets it.
	if f, _ := learnOne(fedAlike(13, tableFeed(), tape[:13]), 13).Forecast(tableFeed(), 28); half(f.WeightKg) > 15 {
		t.Errorf("by tape alone the tape will show %+v", f.WeightKg)
	}
	// Going over from scale to tape in the middle is not a gain either.
	goes := learnOne(fedAlike(13, tableFeed(), append(append([]yard.Weighing(nil), scale[:6]...), tape[7:13]...)), 13)
	if goes.Trend == yard.TrendGaining {
		t.Errorf("from scale to tape in week 7 is called %s, %+v", goes.Trend, goes.Long)
	}
	// What the formula shows is 1.4 % low on the mean (WG-01): with its spread that says
	// little of one horse, and the bias is taken off.
	g := learnOne(fedAlike(13, tableFeed(), by(yard.ByGirthLength, weekly(493, 493, 493, 493, 493, 493, 493, 493, 493, 493, 493, 493, 493, 493)...)), 13)
	if math.Abs(g.WeightKg.Mean-500) > 1 {
		t.Errorf("493 kg by the formula is %.1f kg, want 500", g.WeightKg.Mean)
	}
	if f, _ := g.Forecast(tableFeed(), 28); math.Abs(f.WeightKg.Mean-f.ChangeKg.Mean-493) > 0.5 {
		t.Errorf("the formula will show %.1f kg", f.WeightKg.Mean)
	}
}

// However many horses tell, the tables' need of all of them may be off (EN-13), and
// the forage is not known better than that. One horse shows nothing.
func TestHowWellTheForageIsKnown(t *testing.T) {
	var many []Horse
	for range 80 {
		many = append(many, held(yard.ByScale))
	}
	all := learnWith(many, 13, Published()).Forage
	if all.Horses != 80 || half(all.EnergyPct) < 4 || half(all.EnergyPct) > 7 || all.Shown {
		t.Errorf("80 horses that hold their weight on the tables: %+v", all)
	}
	for i := range many {
		f := tableFeed()
		f.ForageMcal = yard.Known(14 * 1.25)
		many[i].Now = f
		many[i].Weeks = append([]Week(nil), many[i].Weeks...)
		for k := range many[i].Weeks {
			many[i].Weeks[k].Feeding = f
		}
	}
	poor := learnWith(many, 13, Published())
	if !poor.Forage.Shown || poor.Forage.EnergyPct.High >= 0 {
		t.Errorf("80 horses that hold their weight on a quarter more hay: %+v", poor.Forage)
	}
	if one := learnWith(many[:1], 13, Published()); one.Forage.Shown {
		t.Errorf("one horse tells the hay: %+v", one.Forage)
	}
	if none := learnWith(nil, 13, Published()).Forage; none.Shown || none.Horses != 0 || none.EnergyPct.Mean != 0 {
		t.Errorf("no horse: %+v", none)
	}
}

// The forage of a week that is not known is that of the last week that is.
func TestForageOfThisWeekNotKnown(t *testing.T) {
	h := held(yard.ByScale)
	want := learnOne(h, 13)
	h.Now.ForageMcal = yard.Num{}
	if e := learnOne(h, 13); e.Need != want.Need {
		t.Errorf("%+v, with the same forage as last week %+v", e.Need, want.Need)
	}
}
