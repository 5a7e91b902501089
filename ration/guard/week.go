package guard

import (
	"math"
	"slices"
	"time"

	"hardfeed/ration/yard"
)

// HorseWeek is what the rules on a horse's week look at.
type HorseWeek struct {
	Horse       yard.Horse
	Beginning   time.Time // zero: unknown, and with it every age and date
	BodyKg      float64
	WeightBasis yard.WeightBasis
	StaleDays   float64 // a body weight older than this is old
	Class       yard.WorkClass
	PaceMPerMin [yard.Gaits]float64
	Temperature yard.Num // °C
	HumidityPct yard.Num

	RiseKg, DayRiseKg yard.Num // rise in hard feed over the week, and the largest of one day
	Marks             Marks
	HardNow, HardCard yard.Num // kg a day as fed
	HardRestDayKg     float64  // on a day off, as it will be fed; 0 without one

	FedMcal  yard.Num   // DE a day of all that is fed now; unknown where some of it is ad lib, grazed or of unknown energy
	NeedMcal yard.Range // DE a day, the lowest and highest need: for this week's work, last week's, by the class; no lowest where last week's work is not known

	NewHard  []NewFeed     // hard feeds brought in
	NewHay   []NewFeed     // forages or batches of them brought in
	OilNewMl float64       // rise in oil a day
	OilDays  float64       // days it is reached in
	Changes  []yard.Saying // what has changed or changes inside the days that count together, in words

	Evidence *yard.Evidence // what its weighings and its feed show; nil: its weighings alone are asked
	trend    trend          // by all weighings, filled in by [CheckWeek]

	Forage  []ForageMeal // weighed forage by meal in the order of the day; nil: always some there, or not known
	Events  []EventMeals
	DryHay  []string // hay and straw fed dry, by name
	DryFeed []string // cubes and beet, by name
}

// NewFeed is a feed on its way in and the days until its full amount, counted
// from the first.
type NewFeed struct {
	Name string
	Days yard.Num
}

// ForageMeal is forage put down at a time of day.
type ForageMeal struct {
	Minute int
	Kg     float64
}

// EventMeals are the minutes between a meal's hard feed and the start of work.
type EventMeals struct {
	Day    yard.DayOfWeek
	Meal   string
	Before float64 // minutes; the last hard feed before the start
	Fast   bool    // fast work or competition
}

func weekRise(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	return w.rise(w.Marks.WeekWarnKg, noStop)
}

func weekStop(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	return w.rise(w.Marks.WeekStopKg, w.Marks.WeekStopKg)
}

// rise compares the week's rise in hard feed; one that is not known is said where
// the step is spread.
func (w HorseWeek) rise(warn, stop float64) (yard.Severity, yard.Saying) {
	rise := known(w.RiseKg)
	return upperMark(rise, warn, stop, func(word yard.Arg, mark float64) yard.Saying {
		return yard.Say("finding.rise", yard.Kg("rise", rise), word, weightArg(w.BodyKg), yard.Kg("mark", mark))
	})
}

func dayRise(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	f, _ := w.Marks.DayFinding(w.Horse.Name, known(w.DayRiseKg)) // not known: the step says so itself
	return f.Severity, f.Saying
}

// restReturn says nothing: it is the exemption that the rise is measured from
// the highest amount of the last week, not from a rest day's half.
func restReturn(HorseWeek, yard.Limits) (yard.Severity, yard.Saying) { return 0, yard.Saying{} }

// worstSaid is the first of the worst of several comparisons.
type worstSaid struct {
	sev  yard.Severity
	says yard.Saying
}

func (w *worstSaid) add(sev yard.Severity, says yard.Saying) {
	if sev > w.sev {
		w.sev, w.says = sev, says
	}
}

func blended(fs []NewFeed, warn, stop float64) (yard.Severity, yard.Saying) {
	var w worstSaid
	for _, f := range fs {
		days, ok := f.Days.Get()
		if !ok {
			w.add(yard.Note, yard.Say("finding.blend.unknown", yard.FeedArg("feed", f.Name), yard.Fixed("warn", warn, yard.Days, 0), yard.Fixed("stop", stop, yard.Days, 0)))
			continue
		}
		w.add(lowerMark(days, warn, stop, func(word yard.Arg, mark float64) yard.Saying {
			return yard.Say("finding.blend", yard.FeedArg("feed", f.Name), yard.Fixed("day", days, yard.Days, 0), word, yard.Fixed("mark", mark, yard.Days, 0))
		}))
	}
	return w.sev, w.says
}

func newHardFeed(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	return blended(w.NewHard, l.NewFeedDaysWarn, l.NewFeedDaysStop)
}

func newHay(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	return blended(w.NewHay, l.NewHayDaysWarn, l.NewHayDaysStop)
}

func moreGrass(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	now, ok1 := w.Horse.GrassHours.Get()
	before, ok2 := w.Horse.GrassBefore.Get()
	if over(now, 0) && !ok2 && SugarMarks(w.Horse.Diagnoses) {
		return yard.Warn, yard.Say("finding.D-06.unknown", yard.Figures("hours", now, yard.Hours, 3))
	}
	if !ok1 || !ok2 || !over(now, before) {
		return 0, yard.Saying{}
	}
	minutes := (now - before) * 60
	if SugarMarks(w.Horse.Diagnoses) {
		return yard.Stop, yard.Say("finding.D-06.vet", yard.Fixed("minutes", minutes, yard.Minutes, 0))
	}
	perDay := minutes / 7
	return upperMark(perDay, l.GrassRiseWarnMin, noStop, func(word yard.Arg, mark float64) yard.Saying {
		return yard.Say("finding.D-06", yard.Fixed("minutes", minutes, yard.Minutes, 0), yard.Fixed("each", perDay, yard.Minutes, 0), word, yard.Fixed("mark", mark, yard.Minutes, 0))
	})
}

// howMany are n days or weeks, to a tenth.
func howMany(name string, n float64, unit yard.Unit) yard.Arg {
	n = math.Round(n*10) / 10
	key := "part.count." + string(unit)
	if n == 1 {
		key += ".1"
	}
	const figures = 9 // more than there are: a whole number is then printed without a point
	return yard.Said(name, yard.Say(key, yard.Figures("n", n, unit, figures)))
}

func newOil(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	if !over(w.OilNewMl, 0) {
		return 0, yard.Saying{}
	}
	return lowerMark(w.OilDays, l.OilRiseDaysWarn, 0, func(word yard.Arg, mark float64) yard.Saying {
		return yard.Say("finding.D-07", yard.Fixed("oil", w.OilNewMl, yard.Millilitres, 0), howMany("days", w.OilDays, yard.Days), word, yard.Fixed("mark", mark, yard.Days, 0))
	})
}

func stacked(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	if len(w.Changes) < 2 {
		return 0, yard.Saying{}
	}
	args := []yard.Arg{yard.Count("n", len(w.Changes)), yard.Fixed("days", l.StackDays, yard.Days, 0), yard.SayingList("changes", yard.And, w.Changes)}
	if Has(w.Horse.Diagnoses, yard.PastColic) {
		return yard.Stop, yard.Say("finding.D-08.colic", append(args, namedBy(w.Horse.Diagnoses, "colic"))...)
	}
	return yard.Warn, yard.Say("finding.D-08", args...)
}

// MinutesPerKgHay is how long a horse takes over a kilogram of hay (from memory;
// ponies and nets with small holes take longer).
const MinutesPerKgHay = 40

const dayMinutes = 24 * 60

// Gap is the longest time without forage, minutes, and when it begins, for
// forage put down at times of the day; ok is false where that is not known.
func Gap(forage []ForageMeal) (minutes float64, from int, ok bool) {
	var meals []ForageMeal
	for _, m := range forage {
		if m.Minute < 0 {
			return 0, 0, false
		}
		if m.Kg != 0 {
			meals = append(meals, m)
		}
	}
	slices.SortFunc(meals, func(a, b ForageMeal) int { return a.Minute - b.Minute })
	for i, m := range meals {
		next := meals[0].Minute + dayMinutes
		if i+1 < len(meals) {
			next = meals[i+1].Minute
		}
		eaten := m.Kg * MinutesPerKgHay
		if g := float64(next-m.Minute) - eaten; g > minutes {
			minutes, from = g, (m.Minute+int(eaten))%dayMinutes
		}
	}
	return minutes, from, meals != nil
}

// outAllDay is from how many hours at grass a horse counts as never without
// forage (ours).
const outAllDay = 18

// OutAllDay says whether a horse has grass under its feet all day.
func OutAllDay(h yard.Horse) bool {
	return h.Kept == yard.InField || known(h.GrassHours) >= outAllDay
}

func forageGap(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	if OutAllDay(w.Horse) {
		return 0, yard.Saying{}
	}
	minutes, from, _ := Gap(w.Forage) // not known: no minutes
	return upperMark(minutes/60, l.GapWarnHours, l.GapStopHours, func(word yard.Arg, mark float64) yard.Saying {
		v, shown := distinct(0, minutes/60, mark, yard.Hours)
		return yard.Say("finding.D-18", v, yard.Arg{Name: "from", Value: yard.Clock(from)}, yard.Fixed("each", MinutesPerKgHay, yard.Minutes, 0), word, shown)
	})
}

// Hours between the last hard feed and work (limits D-19).
const (
	hoursBeforeFast = 4
	hoursBeforeWork = 2
	hoursStop       = 1
)

func beforeWork(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	var found worstSaid
	for _, e := range w.Events {
		h, warn := e.Before/60, float64(hoursBeforeWork)
		if e.Fast {
			warn = hoursBeforeFast
		}
		found.add(lowerMark(h, warn, hoursStop, func(_ yard.Arg, mark float64) yard.Saying {
			return yard.Say("finding.D-19", yard.Arg{Name: "day", Value: e.Day}, yard.Named("meal", yard.MealName, e.Meal), yard.Fixed("hours", h, yard.Hours, 1), yard.Fixed("mark", mark, yard.Hours, 0))
		}))
	}
	return found.sev, found.says
}

func restDay(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	card := known(w.HardCard)
	if !over(card, 0) || under(w.HardRestDayKg, card) {
		return 0, yard.Saying{}
	}
	if Has(w.Horse.Diagnoses, yard.TyingUp) {
		return yard.Stop, yard.Say("finding.D-20.tying-up", yard.Kg("kg", w.HardRestDayKg), namedBy(w.Horse.Diagnoses, "tying-up"), yard.Kg("half", card/2))
	}
	if under(w.HardRestDayKg, RestCutKg(w.BodyKg, l)) {
		return 0, yard.Saying{}
	}
	pct := w.HardRestDayKg / w.BodyKg * 100
	return yard.Warn, yard.Say("finding.D-20", yard.Fixed("value", pct, yard.Percent, 2), yard.Fixed("mark", l.RestDayCutFromPct, yard.Percent, 2), yard.Kg("half", card/2))
}

func noRation(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	why := NoRation(w.Horse)
	if why == nil {
		return 0, yard.Saying{}
	}
	return yard.Stop, yard.Say("finding.D-29", yard.SayingList("why", yard.Sentences, why))
}

// NoRation says why no ration is worked out for a horse; nil where one is.
func NoRation(h yard.Horse) (why []yard.Saying) {
	if s, ok := h.Score.Get(); ok && s < 3 {
		why = append(why, yard.Say("reason.score", yard.Figures("score", s, yard.NoUnit, 3)))
	}
	if h.Type == yard.TypeDonkey {
		why = append(why, yard.Say("reason.donkey"))
	}
	if h.OffFeed && (h.Type == yard.TypeDonkey || small(h)) {
		why = append(why, yard.Say("reason.off feed"))
	}
	switch h.Breeding {
	case yard.InFoal:
		why = append(why, yard.Say("reason.in foal"))
	case yard.BreedingUnclear:
		why = append(why, yard.Say("reason.foal unclear"))
	case yard.Lactating:
		why = append(why, yard.Say("reason.foal"))
	}
	if a, ok := h.AgeYears.Get(); ok && a < 3 {
		why = append(why, yard.Say("reason.young", yard.Figures("years", a, yard.Years, 3)))
	}
	return why
}

// small says whether a horse is of the size that falls ill for want of feed: a
// pony, a miniature, or by height under 148 cm.
func small(h yard.Horse) bool {
	cm, ok := h.HeightCm.Get()
	return h.Type == yard.TypePony || ok && cm < 148
}

// age is a date's age when the week begins; ok is false where either is unknown.
func age(t, beginning time.Time) (days float64, ok bool) {
	return daysBetween(t, beginning), !t.IsZero() && !beginning.IsZero()
}

func daysBetween(a, b time.Time) float64 { return b.Sub(a).Hours() / 24 }

// older says whether a date is known to lie more than some days before the week
// begins.
func older(t, beginning time.Time, than float64) bool {
	days, ok := age(t, beginning)
	return ok && days > than
}

func staleWeight(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if !older(w.Horse.Weighed, w.Beginning, w.StaleDays) {
		return 0, yard.Saying{}
	}
	days, _ := age(w.Horse.Weighed, w.Beginning)
	return yard.Warn, yard.Say("finding.D-30", dateArg("date", w.Horse.Weighed), yard.Fixed("days", days, yard.Days, 0), yard.Fixed("mark", w.StaleDays, yard.Days, 0))
}

// fedApartPct is how far the energy a horse is fed may lie from what is worked out
// for it before its own weight is asked: twice what easy and hard keepers differ
// from the middle (30.3, 33.3, 36.3 kcal a kg; NRC 2007, requirements §1). The
// factor of two is ours.
const fedApartPct = 20

// fatScore is the highest score called acceptable (requirements §9).
const fatScore = 6

// fedOver asks whether a horse that is to lose more hard feed than the weekly stop
// limit (ours) shows that the figures miss it: fed far over its need, and neither
// fat nor gaining.
func fedOver(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	h := w.Horse
	score, scored := h.Score.Get()
	need, ok := w.NeedMcal.High.Get()
	if !ok || scored && (over(score, fatScore) || under(h.TargetScore.Or(score), score)) || over(w.trend.pctPerWeek(), stillPct) ||
		!over(known(w.HardNow)-w.HardCard.Or(known(w.HardNow)), w.Marks.WeekStopKg) {
		return 0, yard.Saying{}
	}
	return upperMark(known(w.FedMcal), need*(1+fedApartPct/100.), noStop, func(yard.Arg, float64) yard.Saying { return w.fedNow("finding.fed-now.over", need) })
}

// fedUnder asks the same of a horse that is to have more hard feed: fed far under
// its need, and weighings show that it is not losing.
func fedUnder(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	h, c := w.Horse, w.trend
	score := known(h.Score)
	need, ok := w.NeedMcal.Low.Get()
	now, ok2 := w.HardNow.Get()
	if !ok || !ok2 || !c.known() || over(h.TargetScore.Or(score), score) || under(c.pctPerWeek(), -stillPct) || !over(known(w.HardCard), now) {
		return 0, yard.Saying{}
	}
	return lowerMark(w.FedMcal.Or(need), need*(1-fedApartPct/100.), 0, func(yard.Arg, float64) yard.Saying { return w.fedNow("finding.fed-now.under", need) })
}

// fedNow is what is fed, the need it is compared with, and how the horse does on it.
func (w HorseWeek) fedNow(key string, needMcal float64) yard.Saying {
	c, fed := w.trend, known(w.FedMcal)
	shown := yard.Say("part.shown.nothing")
	switch score, scored := w.Horse.Score.Get(); {
	case c.known():
		key := "part.shown.up"
		if math.Signbit(c.pctPerWeek()) {
			key = "part.shown.down"
		}
		shown = yard.Say(key, yard.Fixed("value", math.Abs(c.pctPerWeek()), yard.Percent, 1), c.over())
	case scored:
		shown = yard.Say("part.shown.score", yard.Figures("score", score, yard.NoUnit, 3))
	}
	if !w.NeedMcal.Low.IsKnown() {
		shown = yard.Say("part.shown.no last week", yard.Said("shown", shown))
	}
	return yard.Say(key, yard.Fixed("fed", fed, yard.Mcal, 1), yard.Fixed("off", math.Abs(fed/needMcal-1)*100, yard.Percent, 0), yard.Fixed("need", needMcal, yard.Mcal, 1),
		yard.Said("shown", shown), yard.Kg("now", known(w.HardNow)), yard.Kg("card", known(w.HardCard)))
}

// scoreFrom days are the fewest between two scores that are compared, and scoreStep
// the least change that hands feel; scores over a season apart are not compared (all
// ours).
const (
	scoreFrom = 14
	scoreTo   = 84
	scoreStep = 0.5
)

// scoreAgainstAim compares the last score taken with the latest before it that lies
// far enough back: away from the target is the wrong way.
func scoreAgainstAim(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	target, ok := w.Horse.TargetScore.Get()
	if !ok {
		return 0, yard.Saying{}
	}
	var last yard.Weighing
	for _, at := range slices.Backward(w.Horse.Weighings) {
		if !at.Score.IsKnown() {
			continue
		}
		if last.Date.IsZero() {
			last = at
		}
		if days := daysBetween(at.Date, last.Date); days >= scoreFrom {
			was, is := known(at.Score), known(last.Score)
			if days > scoreTo || under(math.Abs(is-target), math.Abs(was-target)+scoreStep) {
				return 0, yard.Saying{}
			}
			return yard.Warn, yard.Say("finding.slimming.score", yard.Figures("was", was, yard.NoUnit, 3), yard.Figures("is", is, yard.NoUnit, 3), yard.Fixed("days", days, yard.Days, 0), yard.Figures("target", target, yard.NoUnit, 3))
		}
	}
	return 0, yard.Saying{}
}

func dryFeed(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if !Has(w.Horse.Diagnoses, yard.Choke) && !Has(w.Horse.Diagnoses, yard.PoorTeeth) || w.DryFeed == nil {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.choke", yard.Names("feeds", yard.Comma, yard.FeedName, w.DryFeed), asSet(w.Horse.Diagnoses))
}

func dust(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if !Has(w.Horse.Diagnoses, yard.Heaves) || w.DryHay == nil {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.heaves", yard.Names("feeds", yard.Comma, yard.FeedName, w.DryHay), asSet(w.Horse.Diagnoses))
}

func offFeed(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if !w.Horse.OffFeed {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.off-feed")
}

// riderWarnPct is the weight of rider and tack, % of body weight, over which a
// practitioner calls it a welfare concern (exercise §4).
const riderWarnPct = 20

// fatAndMore says that hard feed goes up in a horse that is to lose weight.
func fatAndMore(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	now, ok1 := w.HardNow.Get()
	card, ok2 := w.HardCard.Get()
	if !toSlim(w.Horse) && !w.Horse.Has(yard.Overweight) || !ok1 || !ok2 || !over(card, now+smallRiseKg) {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.overweight", yard.Kg("now", now), yard.Kg("card", card))
}

// smallRiseKg is a rise that is no change of feed (ours).
const smallRiseKg = 0.1
