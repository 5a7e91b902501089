package guard

import (
	"math"
	"slices"
	"time"

	"hardfeed/ration/evidence"
	"hardfeed/ration/yard"
)

// Two weights at most oddWithin days apart that differ by over oddPct of the heavier
// are asked about; two weighings are compared over trendFrom days at least, and over
// half a year at most (all ours).
const (
	trendFrom, trendTo = 5, 182 // days
	oddWithin          = 60     // days
	oddPct             = 10     // % of the heavier
)

// twoWeighings is how many standard errors a difference of two weighings must have to
// count: 1 in 100 on a steady horse, each way.
const twoWeighings = 2.3263

// thinScore is the highest score at which a horse has nothing to lose (requirements
// §9: 5 is moderate).
const thinScore = 4

// weights are a horse's weighings that give a weight, the latest first.
func weights(h yard.Horse) (latestFirst []yard.Weighing) {
	for _, w := range h.Weighings {
		if w.Kg.IsKnown() {
			latestFirst = append(latestFirst, w)
		}
	}
	slices.SortStableFunc(latestFirst, func(a, b yard.Weighing) int { return b.Date.Compare(a.Date) })
	return latestFirst
}

// trend is what all of a horse's weighings show together.
type trend struct {
	is        yard.WeightTrend
	kgPerWeek float64
	days      float64 // from the first weighing it rests on to the last
	pctOf     float64 // body weight that changes are shares of, kg
	fall      *yard.OddWeighing
}

func (t trend) pctPerWeek() float64 { return t.kgPerWeek / max(t.pctOf, 1) * 100 }
func (t trend) kg() float64         { return t.kgPerWeek * t.days / 7 }
func (t trend) over() yard.Arg      { return yard.Fixed("days", t.days, yard.Days, 0) }
func (t trend) known() bool         { return t.is != "" && t.is != yard.TrendUnknown }

// losing and gaining are the rates where the weighings show them beyond their error; 0
// otherwise.
func (t trend) losing() float64  { return t.rate(yard.TrendLosing, -1.0) }
func (t trend) gaining() float64 { return t.rate(yard.TrendGaining, 1) }

func (t trend) rate(is yard.WeightTrend, sign float64) float64 {
	if t.is != is {
		return 0
	}
	return sign * t.pctPerWeek()
}

// WeightTrend is what a horse's weighings show. A last weighing far below the others
// counts as a loss until the horse is weighed again.
func WeightTrend(w HorseWeek) yard.WeightTrend {
	t := trendOf(w)
	switch {
	case t.fall != nil:
		return yard.TrendLosing
	case t.is == "":
		return yard.TrendUnknown
	}
	return t.is
}

// Weighed is what a horse's weighings show by themselves, whatever it was fed; false
// where there are not two, or no body weight to compare them with.
func Weighed(w HorseWeek) (yard.Evidence, bool) {
	ws := weights(w.Horse)
	if len(ws) < 2 || w.BodyKg <= 0 {
		return yard.Evidence{}, false
	}
	today := w.Beginning
	if today.IsZero() {
		today = ws[0].Date.AddDate(0, 0, 1)
	}
	return evidence.Learn(evidence.Yard{Today: today, Horses: []evidence.Horse{{
		Name: w.Horse.Name, BodyKg: w.BodyKg, Basis: w.WeightBasis, Score: w.Horse.Score,
		Prior: evidence.PriorOf(w.Horse.Keeper, false), Weighings: w.Horse.Weighings, HardDays: EventsBefore(w.Horse, w.Beginning),
	}}}).Horses[0].Evidence, true
}

// trendOf asks all weighings; where there are too few for a line, the last two.
func trendOf(w HorseWeek) trend {
	ws := weights(w.Horse)
	if len(ws) < 2 || w.BodyKg <= 0 {
		return trend{}
	}
	e := w.Evidence
	if e == nil {
		alone, _ := Weighed(w)
		e = &alone
	}
	t := trend{is: e.Trend, pctOf: w.BodyKg}
	if e.UnconfirmedFall {
		for i := range e.Odd {
			if o := e.Odd[i]; o.OffKg < 0 && o.Latest {
				t.fall = &o
			}
		}
	}
	line := e.Long
	// Where the last six weeks are faster than twelve, theirs is the rate.
	if sign := map[yard.WeightTrend]float64{yard.TrendLosing: -1.0, yard.TrendGaining: 1}[t.is]; e.Recent.Weighings > 0 &&
		(line.Weighings == 0 || line.KgPerWeek.Mean*sign < 0 || e.Recent.KgPerWeek.Mean*sign > line.KgPerWeek.Mean*sign+e.Recent.SE) {
		line = e.Recent
	}
	if line.Weighings == 0 || t.is == yard.TrendUnknown {
		return lastTwo(ws, t)
	}
	t.kgPerWeek, t.days = line.KgPerWeek.Mean, daysBetween(line.From, line.To)
	return t
}

// lastTwo compares the last weighing with the latest before it that lies far enough
// back; nothing where a tape and a scale would be compared, or where they lie so far
// apart that one may be a slip.
func lastTwo(ws []yard.Weighing, t trend) trend {
	last := ws[0]
	for _, before := range ws[1:] {
		days := daysBetween(before.Date, last.Date)
		if days < trendFrom {
			continue
		}
		a, b := known(before.Kg), known(last.Kg)
		if days > trendTo || before.Basis != last.Basis || days <= oddWithin && odd(a, b) {
			break
		}
		as := evidence.Published()
		way := as.Ways[last.Basis]
		se := math.Sqrt2 * math.Hypot(way.Scatter, as.Gut) * a
		t.kgPerWeek, t.days, t.pctOf, t.is = (b-a)/(days/7), days, a, yard.TrendUnclear
		switch {
		case !way.Tells:
			return trend{}
		case b-a < -twoWeighings*se:
			t.is = yard.TrendLosing
		case b-a > twoWeighings*se:
			t.is = yard.TrendGaining
		}
		return t
	}
	t.is = yard.TrendUnknown
	return t
}

// EventsBefore are the days of events in the seven days before a week.
func EventsBefore(h yard.Horse, beginning time.Time) (days []time.Time) {
	if beginning.IsZero() || !h.BeforeGiven {
		return nil
	}
	for i, d := range h.Before {
		if d.Event {
			days = append(days, beginning.AddDate(0, 0, i-7))
		}
	}
	return days
}

func odd(a, b float64) bool { return over(math.Abs(b-a)/max(a, b)*100, oddPct) }

// toSlim says whether a horse is to lose weight: by its target, or, without one, at a
// score over the acceptable.
func toSlim(h yard.Horse) bool {
	score, ok := h.Score.Get()
	target, aimed := h.TargetScore.Get()
	return ok && (aimed && under(target, score) || !aimed && over(score, fatScore))
}

// losing says a loss of weight that the weighings show beyond their error: over the
// mark whatever is wanted, and any loss of a horse that is not to lose. A stop is said
// on the card as well.
func losing(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	t := w.trend
	if f := t.fall; f != nil {
		return yard.Stop, yard.Say("finding.D-28.fall", yard.Fixed("kg", known(f.Weighing.Kg), yard.Kilograms, 0), yard.Arg{Name: "date", Value: yard.Date{Date: f.Weighing.Date}},
			yard.Fixed("expected", f.ExpectedKg, yard.Kilograms, 0))
	}
	pct := t.losing()
	if over(pct, l.LossStopPct) {
		return yard.Stop, yard.Say("finding.D-28", yard.Fixed("value", pct, yard.Percent, 1), t.over(), yard.Fixed("mark", l.LossStopPct, yard.Percent, 1))
	}
	if !over(pct, 0) || toSlim(w.Horse) {
		return 0, yard.Saying{}
	}
	sev := yard.Warn
	if score, ok := w.Horse.Score.Get(); ok && !over(score, thinScore) {
		sev = yard.Stop
	}
	return sev, yard.Say("finding.D-28.slow", yard.Fixed("value", pct, yard.Percent, 1), yard.Fixed("kg", -t.kg(), yard.Kilograms, 0), t.over())
}

// donkeyLossKg is the most a donkey may lose in a month of thirty days (CO-05).
const donkeyLossKg = 5

func donkeyLosing(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if w.Horse.Type != yard.TypeDonkey || w.trend.is != yard.TrendLosing {
		return 0, yard.Saying{}
	}
	kg := -w.trend.kgPerWeek / 7 * 30
	return upperMark(kg, donkeyLossKg, donkeyLossKg, func(word yard.Arg, mark float64) yard.Saying {
		return yard.Say("finding.D-28.donkey", yard.Fixed("value", kg, yard.Kilograms, 1), w.trend.over(), word, yard.Fixed("mark", mark, yard.Kilograms, 0))
	})
}

func gaining(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	pct := w.trend.gaining()
	return upperMark(pct, l.GainWarnPct, noStop, func(word yard.Arg, mark float64) yard.Saying {
		return yard.Say("finding.D-28.gain", yard.Fixed("value", pct, yard.Percent, 2), w.trend.over(), word, yard.Fixed("mark", mark, yard.Percent, 2))
	})
}

// OddWeighing is the earlier of the last two weighings where they disagree so
// far that one counts as a slip; ok is false where they agree.
func OddWeighing(h yard.Horse) (before, last yard.Weighing, ok bool) {
	ws := weights(h)
	if len(ws) < 2 {
		return before, last, false
	}
	before, last = ws[1], ws[0]
	return before, last, daysBetween(before.Date, last.Date) <= oddWithin && odd(known(before.Kg), known(last.Kg))
}

func oddWeighing(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	before, last, ok := OddWeighing(w.Horse)
	if !ok {
		return 0, yard.Saying{}
	}
	key := "finding.weighing"
	if known(last.Kg) < known(before.Kg) {
		key = "finding.weighing.loss"
	}
	return yard.Warn, yard.Say(key, yard.Fixed("before", known(before.Kg), yard.Kilograms, 0), yard.Arg{Name: "before date", Value: yard.Date{Date: before.Date}},
		yard.Fixed("last", known(last.Kg), yard.Kilograms, 0), yard.Arg{Name: "last date", Value: yard.Date{Date: last.Date}}, yard.Fixed("mark", oddPct, yard.Percent, 0))
}

// stillPct is the change of weight, % a week, within what scales and droppings
// differ (ours).
const stillPct = 0.1

// againstAim compares what the weighings show with what the target score asks for.
func againstAim(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	score, ok1 := w.Horse.Score.Get()
	target, ok2 := w.Horse.TargetScore.Get()
	if !ok1 || !ok2 {
		return 0, yard.Saying{}
	}
	var went string // the key
	var by float64
	switch {
	case under(target, score):
		went, by = "finding.slimming.gained", w.trend.gaining()
	case over(target, score):
		went, by = "finding.slimming.lost", w.trend.losing()
	}
	return upperMark(by, stillPct, noStop, func(yard.Arg, float64) yard.Saying {
		return yard.Say(went, yard.Figures("score", score, yard.NoUnit, 3), yard.Figures("target", target, yard.NoUnit, 3), yard.Fixed("value", by, yard.Percent, 2), w.trend.over())
	})
}

// holdGainPct is how much of its weight a horse that is to be held may gain over
// the weeks looked at: half a condition score at 20 kg a score for 500 kg, and
// more than droppings, water and a full gut make of one weighing (common practice,
// no source; the figure is ours).
const holdGainPct = 2

// gainingHeld looks at the whole line, since a horse that is to be held creeps up by
// less than a week shows.
func gainingHeld(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	score := w.Horse.Score
	if !score.IsKnown() || score != w.Horse.TargetScore || w.trend.is != yard.TrendGaining {
		return 0, yard.Saying{}
	}
	t := w.trend
	pct := t.kg() / t.pctOf * 100
	return upperMark(pct, holdGainPct, noStop, func(word yard.Arg, mark float64) yard.Saying {
		return yard.Say("finding.holding", yard.Figures("score", known(score), yard.NoUnit, 3), yard.Fixed("kg", t.kg(), yard.Kilograms, 0), yard.Fixed("value", pct, yard.Percent, 1), t.over(), word, yard.Fixed("mark", mark, yard.Percent, 0))
	})
}
