package guard

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"hardfeed/ration/work"
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

	NewHard  []NewFeed // hard feeds brought in
	NewHay   []NewFeed // forages or batches of them brought in
	OilNewMl float64   // rise in oil a day
	OilDays  float64   // days it is reached in
	Changes  []string  // what has changed or changes inside the days that count together, in words

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
	Day    string
	Meal   string
	Before float64 // minutes; the last hard feed before the start
	Fast   bool    // fast work or competition
}

func weekRise(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	return w.rise(w.Marks.WeekWarnKg, noStop)
}

func weekStop(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	return w.rise(w.Marks.WeekStopKg, w.Marks.WeekStopKg)
}

// rise compares the week's rise in hard feed; one that is not known is said where
// the step is dealt out.
func (w HorseWeek) rise(warn, stop float64) (yard.Severity, string) {
	rise := known(w.RiseKg)
	return upperMark(rise, warn, stop, func(word string, mark float64) string {
		return fmt.Sprintf("hard feed goes up by %.2f kg a day in the week; the %s mark for %.0f kg is %.2f kg", rise, word, w.BodyKg, mark)
	})
}

func dayRise(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	f, _ := w.Marks.DayFinding(w.Horse.Name, known(w.DayRiseKg)) // not known: the step says so itself
	return f.Severity, f.Message
}

// restReturn says nothing: it is the exemption that the rise is measured from
// the highest amount of the last week, not from a rest day's half.
func restReturn(HorseWeek, yard.Limits) (yard.Severity, string) { return 0, "" }

// worstSaid is the first of the worst of several comparisons.
type worstSaid struct {
	sev yard.Severity
	msg string
}

func (w *worstSaid) add(sev yard.Severity, msg string) {
	if sev > w.sev {
		w.sev, w.msg = sev, msg
	}
}

func blended(fs []NewFeed, warn, stop float64) (yard.Severity, string) {
	var w worstSaid
	for _, f := range fs {
		days, ok := f.Days.Get()
		if !ok {
			w.add(yard.Note, fmt.Sprintf("%s is new; over how many days it is blended in is not known, the warn mark is under %.0f days, the stop mark under %.0f", f.Name, warn, stop))
			continue
		}
		w.add(lowerMark(days, warn, stop, func(word string, mark float64) string {
			return fmt.Sprintf("%s is new and reaches its full amount on day %.0f; the %s mark is under %.0f days", f.Name, days, word, mark)
		}))
	}
	return w.sev, w.msg
}

func newHardFeed(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	return blended(w.NewHard, l.NewFeedDaysWarn, l.NewFeedDaysStop)
}

func newHay(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	return blended(w.NewHay, l.NewHayDaysWarn, l.NewHayDaysStop)
}

func moreGrass(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	now, ok1 := w.Horse.GrassHours.Get()
	before, ok2 := w.Horse.GrassBefore.Get()
	if over(now, 0) && !ok2 && SugarMarks(w.Horse.Diagnoses) {
		return yard.Warn, fmt.Sprintf("%.3g h a day at grass, and last week's hours are not given, so they could not be compared; with the vet's diagnosis any rise is a stop", now)
	}
	if !ok1 || !ok2 || !over(now, before) {
		return 0, ""
	}
	minutes := (now - before) * 60
	if SugarMarks(w.Horse.Diagnoses) {
		return yard.Stop, fmt.Sprintf("%.0f minutes a day more at grass than last week; with the vet's diagnosis any rise is a stop", minutes)
	}
	perDay := minutes / 7
	return upperMark(perDay, l.GrassRiseWarnMin, noStop, func(word string, mark float64) string {
		return fmt.Sprintf("%.0f minutes a day more at grass than last week, %.0f for each of seven days; the %s mark is %.0f minutes more a day than the day before", minutes, perDay, word, mark)
	})
}

// howMany are n of something in words, to a tenth.
func howMany(n float64, of string) string {
	s := strings.TrimSuffix(fmt.Sprintf("%.1f", n), ".0")
	if s != "1" {
		of += "s"
	}
	return s + " " + of
}

func newOil(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	if !over(w.OilNewMl, 0) {
		return 0, ""
	}
	return lowerMark(w.OilDays, l.OilRiseDaysWarn, 0, func(word string, mark float64) string {
		return fmt.Sprintf("oil goes up by %.0f ml a day in %s; the %s mark is under %.0f days", w.OilNewMl, howMany(w.OilDays, "day"), word, mark)
	})
}

func stacked(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	if len(w.Changes) < 2 {
		return 0, ""
	}
	msg := fmt.Sprintf("%d changes inside %.0f days: %s; one is the mark", len(w.Changes), l.StackDays, list(w.Changes))
	if Has(w.Horse.Diagnoses, yard.PastColic) {
		return yard.Stop, msg + "; with colic named by the vet two are a stop"
	}
	return yard.Warn, msg
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

func forageGap(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	if OutAllDay(w.Horse) {
		return 0, ""
	}
	minutes, from, _ := Gap(w.Forage) // not known: no minutes
	return upperMark(minutes/60, l.GapWarnHours, l.GapStopHours, func(word string, mark float64) string {
		v, shown := formatDistinctFrom(0, minutes/60, mark)
		return fmt.Sprintf("about %s h without forage from about %02d:%02d, at %d minutes a kg of hay; the %s mark is %s h", v, from/60, from%60, MinutesPerKgHay, word, shown)
	})
}

// Hours between the last hard feed and work (limits D-19).
const (
	hoursBeforeFast = 4
	hoursBeforeWork = 2
	hoursStop       = 1
)

func beforeWork(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	var found worstSaid
	for _, e := range w.Events {
		h, warn := e.Before/60, float64(hoursBeforeWork)
		if e.Fast {
			warn = hoursBeforeFast
		}
		found.add(lowerMark(h, warn, hoursStop, func(_ string, mark float64) string {
			return fmt.Sprintf("%s: hard feed at %s is %.1f h before work; the mark is %.0f h", e.Day, e.Meal, h, mark)
		}))
	}
	return found.sev, found.msg
}

func restDay(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	card := known(w.HardCard)
	if !over(card, 0) || under(w.HardRestDayKg, card) {
		return 0, ""
	}
	if Has(w.Horse.Diagnoses, yard.TyingUp) {
		return yard.Stop, fmt.Sprintf("%.2f kg of hard feed on a day off, as on a day of work; with tying-up named by the vet that is a stop, half would be %.2f kg", w.HardRestDayKg, card/2)
	}
	if under(w.HardRestDayKg, RestCutKg(w.BodyKg, l)) {
		return 0, ""
	}
	pct := w.HardRestDayKg / w.BodyKg * 100
	return yard.Warn, fmt.Sprintf("hard feed of %.2f %% of body weight on days off, as on days of work; the mark is %.2f %%, half would be %.2f kg. The amounts are printed as they stand: ask whether it needs them", pct, l.RestDayCutFromPct, card/2)
}

func noRation(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	why := noRationWords(w.Horse)
	if why == nil {
		return 0, ""
	}
	return yard.Stop, strings.Join(why, "; ")
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

// noRationWords are the same as sentences.
func noRationWords(h yard.Horse) (why []string) {
	if s, ok := h.Score.Get(); ok && s < 3 {
		why = append(why, fmt.Sprintf("its condition score is %.3g of 9; under 3 no ration is computed: a vet sets it", s))
	}
	if h.Type == yard.TypeDonkey {
		why = append(why, "the figures used are for horses and ponies, not for donkeys: ask a vet or a donkey charity")
	}
	if h.OffFeed && (h.Type == yard.TypeDonkey || small(h)) {
		why = append(why, "it is off its feed: a donkey, pony or miniature off its feed needs a vet the same day and must not be starved")
	}
	switch h.Breeding {
	case yard.InFoal:
		why = append(why, "she is in foal; the figures used are for horses that are not: ask a vet or a nutritionist")
	case yard.BreedingUnclear:
		why = append(why, "it is not clear whether she is in foal or has a foal at foot; the figures used are for horses without: correct the horses sheet, or ask a vet")
	case yard.Lactating:
		why = append(why, "she has a foal at foot; the figures used are for mares without: ask a vet or a nutritionist")
	}
	if a, ok := h.AgeYears.Get(); ok && a < 3 {
		why = append(why, fmt.Sprintf("it is %.3g, under three years old; growing horses have needs of their own: ask a nutritionist", a))
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

func staleWeight(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !older(w.Horse.Weighed, w.Beginning, w.StaleDays) {
		return 0, ""
	}
	days, _ := age(w.Horse.Weighed, w.Beginning)
	return yard.Warn, fmt.Sprintf("the body weight is from %s, %.0f days before this week; %.0f is the mark", w.Horse.Weighed.Format(day), days, w.StaleDays)
}

// Weighings are compared over no fewer days than a week's change shows in, and
// over no more than a season; a slip of the pen is looked for among the last two
// months'; two weights of one horse further apart than oddPct are taken for one
// (all ours).
const (
	trendFrom, trendTo = 5, 84 // days
	oddWithin          = 60    // days
	oddPct             = 10    // % of the heavier
)

// weights are a horse's weighings that give a weight, the latest first.
func weights(h yard.Horse) (latestFirst []yard.Weighing) {
	for _, w := range h.Weighings {
		if w.Kg.IsKnown() {
			latestFirst = append(latestFirst, w)
		}
	}
	slices.Reverse(latestFirst)
	return latestFirst
}

// change is how a horse's weight has gone between two weighings.
type change struct{ kg, pct, days, pctPerWeek float64 }

// between compares two weighings; no change where they lie too close together or
// too far apart, where a tape and a scale would be compared, or where one of the
// two may be a slip.
func between(before, last yard.Weighing) change {
	a, b := known(before.Kg), known(last.Kg)
	days := daysBetween(before.Date, last.Date)
	if days < trendFrom || days > trendTo || before.Basis != last.Basis || odd(a, b) {
		return change{}
	}
	return change{kg: b - a, pct: (b - a) / a * 100, days: days, pctPerWeek: (b - a) / a * 100 / (days / 7)}
}

// trend compares the last weighing with the latest before it that lies far enough
// back.
func trend(h yard.Horse) change {
	ws := weights(h)
	for _, before := range ws {
		if daysBetween(before.Date, ws[0].Date) >= trendFrom {
			return between(before, ws[0])
		}
	}
	return change{}
}

func odd(a, b float64) bool { return over(math.Abs(b-a)/max(a, b)*100, oddPct) }

func losing(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	c := trend(w.Horse)
	return upperMark(-c.pctPerWeek, l.LossStopPct, l.LossStopPct, func(word string, mark float64) string {
		return fmt.Sprintf("it has lost %.1f %% of its weight a week over %.0f days; the %s mark is %.1f %% a week after the first", -c.pctPerWeek, c.days, word, mark)
	})
}

// donkeyLossKg is the most a donkey may lose in a month of thirty days (CO-05).
const donkeyLossKg = 5

func donkeyLosing(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if w.Horse.Type != yard.TypeDonkey {
		return 0, ""
	}
	c := trend(w.Horse)
	kg := -c.kg / c.days * 30 // no change: nothing over nothing passes no mark
	return upperMark(kg, donkeyLossKg, donkeyLossKg, func(word string, mark float64) string {
		return fmt.Sprintf("the donkey has lost weight at %.1f kg a month over %.0f days; the %s mark is %.0f kg a month", kg, c.days, word, mark)
	})
}

func gaining(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	c := trend(w.Horse)
	return upperMark(c.pctPerWeek, l.GainWarnPct, noStop, func(word string, mark float64) string {
		return fmt.Sprintf("it has gained %.2f %% of its weight a week over %.0f days; the %s mark is %.2f %%", c.pctPerWeek, c.days, word, mark)
	})
}

// fedApartPct is how far the energy a horse is fed may lie from what is worked out
// for it before its own weight is asked: twice what easy and hard keepers differ
// from the middle (30.3, 33.3, 36.3 kcal a kg; NRC 2007, requirements §1). The
// factor of two is ours.
const fedApartPct = 20

// fatScore is the highest score called acceptable (requirements §9).
const fatScore = 6

// fedOver asks whether a horse that is to lose more hard feed than the weekly stop
// mark (ours) shows that the figures miss it: fed far over its need, and neither
// fat nor gaining.
func fedOver(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	h := w.Horse
	score, scored := h.Score.Get()
	need, ok := w.NeedMcal.High.Get()
	if !ok || scored && (over(score, fatScore) || under(h.TargetScore.Or(score), score)) || over(trend(h).pctPerWeek, stillPct) ||
		!over(known(w.HardNow)-w.HardCard.Or(known(w.HardNow)), w.Marks.WeekStopKg) {
		return 0, ""
	}
	return upperMark(known(w.FedMcal), need*(1+fedApartPct/100.), noStop, func(string, float64) string {
		return w.fedNow("over the most", need)
	})
}

// fedUnder asks the same of a horse that is to have more hard feed: fed far under
// its need, and weighings show that it is not losing.
func fedUnder(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	h, c := w.Horse, trend(w.Horse)
	score := known(h.Score)
	need, ok := w.NeedMcal.Low.Get()
	now, ok2 := w.HardNow.Get()
	if !ok || !ok2 || c == (change{}) || over(h.TargetScore.Or(score), score) || under(c.pctPerWeek, -stillPct) || !over(known(w.HardCard), now) {
		return 0, ""
	}
	return lowerMark(w.FedMcal.Or(need), need*(1-fedApartPct/100.), 0, func(string, float64) string {
		return w.fedNow("under the least", need)
	})
}

// fedNow is what is fed, the need it is compared with, and how the horse does on it.
func (w HorseWeek) fedNow(way string, needMcal float64) string {
	c, fed := trend(w.Horse), known(w.FedMcal)
	shown := "there is no score and no second weighing to tell how it does on it"
	switch score, scored := w.Horse.Score.Get(); {
	case c != (change{}):
		shown = fmt.Sprintf("its weight has changed by %+.1f %% a week over %.0f days", c.pctPerWeek, c.days)
	case scored:
		shown = fmt.Sprintf("its score is %.3g", score)
	}
	if !w.NeedMcal.Low.IsKnown() {
		shown += "; last week's work is not known"
	}
	return fmt.Sprintf("what it is fed now gives %.1f Mcal DE a day, %.0f %% %s worked out for it (%.1f), and %s; hard feed goes from %.2f to %.2f kg",
		fed, math.Abs(fed/needMcal-1)*100, way, needMcal, shown, known(w.HardNow), known(w.HardCard))
}

// OddWeighing is the earlier of the last two weighings where they disagree so
// far that one is taken for a slip; ok is false where they agree.
func OddWeighing(h yard.Horse) (before, last yard.Weighing, ok bool) {
	ws := weights(h)
	if len(ws) < 2 {
		return before, last, false
	}
	before, last = ws[1], ws[0]
	return before, last, daysBetween(before.Date, last.Date) <= oddWithin && odd(known(before.Kg), known(last.Kg))
}

func oddWeighing(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	before, last, ok := OddWeighing(w.Horse)
	if !ok {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%.0f kg on %s and %.0f kg on %s are over %d %% apart: one may be a slip of the pen", known(before.Kg), before.Date.Format("2 January"), known(last.Kg), last.Date.Format("2 January"), oddPct)
}

// stillPct is the change of weight, % a week, within what scales and droppings
// differ (ours).
const stillPct = 0.1

// againstAim compares the weighings with what the target score asks for.
func againstAim(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	score, ok1 := w.Horse.Score.Get()
	target, ok2 := w.Horse.TargetScore.Get()
	if !ok1 || !ok2 {
		return 0, ""
	}
	c := trend(w.Horse)
	var went string
	var by float64
	switch {
	case under(target, score):
		went, by = "gained", c.pctPerWeek
	case over(target, score):
		went, by = "lost", -c.pctPerWeek
	}
	return upperMark(by, stillPct, noStop, func(string, float64) string {
		return fmt.Sprintf("it is to go from score %.3g to %.3g and has %s %.2f %% a week over %.0f days", score, target, went, by, c.days)
	})
}

// scoreFrom days are the fewest between two scores that are compared, and scoreStep
// the least change that hands feel (both ours).
const (
	scoreFrom = 14
	scoreStep = 0.5
)

// scoreAgainstAim compares the last score taken with the latest before it that lies
// far enough back: away from the target is the wrong way.
func scoreAgainstAim(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	target, ok := w.Horse.TargetScore.Get()
	if !ok {
		return 0, ""
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
			if days > trendTo || under(math.Abs(is-target), math.Abs(was-target)+scoreStep) {
				return 0, ""
			}
			return yard.Warn, fmt.Sprintf("its score has gone from %.3g to %.3g in %.0f days, away from the %.3g it is to have", was, is, days, target)
		}
	}
	return 0, ""
}

// holdGainPct is how much of its weight a horse that is to be held may gain over
// the weeks looked at: half a condition score at 20 kg a score for 500 kg, and
// more than droppings, water and a full gut make of one weighing (common practice,
// no source; the figure is ours).
const holdGainPct = 2

// gainingHeld looks back as far as weighings are compared, since a horse that is to
// be held creeps up by less than a week shows.
func gainingHeld(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	score := w.Horse.Score
	if !score.IsKnown() || score != w.Horse.TargetScore {
		return 0, ""
	}
	var c change
	ws := weights(w.Horse)
	for _, before := range ws {
		if further := between(before, ws[0]); further != (change{}) {
			c = further
		}
	}
	return upperMark(c.pct, holdGainPct, noStop, func(word string, mark float64) string {
		return fmt.Sprintf("it is to be held at score %.3g and has gained %.0f kg, %.1f %% of its weight, in %.0f days; the %s mark is %.0f %%, half a score", known(score), c.kg, c.pct, c.days, word, mark)
	})
}

// Weeks from soft to cantering and small fences by how the horse is kept (common
// practice, no source): two weeks from a field in light work, six from a stable
// and a long rest. A paddock lies between (ours).
func weeksToCanter(k yard.Kept) float64 {
	switch k {
	case yard.InField:
		return 2
	case yard.InPaddock:
		return 4
	}
	return 6
}

// weekMinutes are a week's minutes of work.
type weekMinutes struct {
	by         [yard.Gaits]float64
	all, hills float64
	unknown    bool // of some day it is not known what was done
}

// minutes adds them up.
func minutes(days [7]yard.Day) (m weekMinutes) {
	for _, d := range days {
		m.unknown = m.unknown || d.Unknown
		for _, s := range d.Sessions {
			for g, v := range work.Minutes(s) {
				m.by[g] += v
				m.all += v
				if s.Hills {
					m.hills += v
				}
			}
		}
	}
	return m
}

func paceBeforeWeek(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if w.Horse.Fitness != yard.Soft {
		return 0, ""
	}
	m := minutes(w.Horse.Work).by
	total := weeksToCanter(w.Horse.Kept)
	kept := " kept in a " + string(w.Horse.Kept)
	if w.Horse.Kept == yard.KeptUnknown {
		kept = ", housing not said and taken as stabled,"
	}
	days, known := age(w.Horse.InWorkSince, w.Beginning)
	for _, p := range []struct {
		what  string
		min   float64
		weeks float64 // after which it comes; the thirds are ours
	}{
		{"galloping", m[yard.Gallop], total * 1.5}, {"jumping", m[yard.Jump], total}, {"cantering", m[yard.Canter], total * 2 / 3}, {"trotting", m[yard.Trot], total / 3},
	} {
		done := max(0, days/7)
		switch {
		case p.min == 0:
		case !known:
			return yard.Note, fmt.Sprintf("it is soft, and %.0f minutes of %s are planned; since when it is in work is not given, so its week could not be compared: for a soft horse%s it comes after %s", p.min, p.what, kept, howMany(p.weeks, "week"))
		case under(done, p.weeks):
			return yard.Warn, fmt.Sprintf("%.0f minutes of %s are planned after %s in work; for a soft horse%s it comes after %s", p.min, p.what, howMany(done, "week"), kept, howMany(p.weeks, "week"))
		}
	}
	return 0, ""
}

func raisedTogether(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	was, now := minutes(w.Horse.Before), minutes(w.Horse.Work)
	if !w.Horse.BeforeGiven || was.unknown || now.unknown || w.Horse.Fitness != yard.Soft && w.Horse.Fitness != yard.PartFit {
		return 0, ""
	}
	fast := func(m weekMinutes) float64 { return m.by[yard.Canter] + m.by[yard.Gallop] }
	var up []string
	for _, x := range []struct {
		what           string
		was, now, from float64 // from how many minutes more a rise counts (ours)
	}{
		{"time", was.all, now.all, 5},
		{"canter and gallop", fast(was), fast(now), 5},
		{"hills", was.hills, now.hills, 5},
		{"jumping", was.by[yard.Jump], now.by[yard.Jump], 1},
	} {
		// A tenth is a habit of human sport, no horse trial (CO-09): here it only
		// keeps a minute or two from counting.
		if over(x.now, x.was*1.1) && !under(x.now, x.was+x.from) {
			up = append(up, fmt.Sprintf("%s from %.0f to %.0f minutes", x.what, x.was, x.now))
		}
	}
	if len(up) < 2 {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("raised together against last week: %s; one is the mark", list(up))
}

func raceDistance(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !w.Horse.BeforeGiven {
		return 0, ""
	}
	a, b := minutes(w.Horse.Work).by, minutes(w.Horse.Before).by
	// two weeks at this rate, carried on over thirty days
	km := func(g yard.Gait) float64 { return (a[g] + b[g]) * w.PaceMPerMin[g] / 1000 * 30 / 14 }
	canter, gallop := km(yard.Canter), km(yard.Gallop)
	if !over(canter, RaceCanterKm30Days) || !over(gallop, RaceGallopKm30Days) {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("last week and this at this rate come to %.0f km of canter and %.1f km of gallop in thirty days; the marks are %.0f and %.0f km together", canter, gallop, RaceCanterKm30Days, RaceGallopKm30Days)
}

// longGapDays off in a row make the next day one for easy work (ours).
const longGapDays = 3

func fastAfterGap(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	var both []yard.Day
	if w.Horse.BeforeGiven {
		both = w.Horse.Before[:]
	}
	last := len(both) // days of last week
	if w.Horse.WorkGiven {
		both = append(both, w.Horse.Work[:]...)
	}
	off := 0
	for i, d := range both {
		fast := 0.0
		for _, s := range d.Sessions {
			m := work.Minutes(s)
			fast += m[yard.Gallop] + m[yard.Jump]
		}
		if fast != 0 && i >= last && off >= longGapDays {
			return yard.Warn, fmt.Sprintf("%.0f minutes of galloping or jumping on day %d of the week, after %d days off; %d days off are the mark", fast, i-last+1, off, longGapDays)
		}
		off++
		if !d.Rest() {
			off = 0
		}
	}
	return 0, ""
}

func noDayOff(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !w.Horse.WorkGiven {
		return 0, ""
	}
	for _, d := range w.Horse.Work {
		// led out or turned out is a day off from work
		if !slices.ContainsFunc(d.Sessions, func(s yard.Session) bool { return !s.Led }) {
			return 0, ""
		}
	}
	return yard.Warn, "it is ridden on all seven days; one day off in seven is the mark"
}

// firstDays are the days after the start of work in which what was to be seen to
// before it is still asked for (ours).
const firstDays = 14

func notReady(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if w.Horse.Fitness != yard.Soft {
		return 0, ""
	}
	if older(w.Horse.InWorkSince, w.Beginning, firstDays) {
		return 0, ""
	}
	words := map[yard.Check]string{yard.CheckVet: "seen by the vet", yard.CheckFeet: "feet done by the farrier", yard.CheckSaddle: "saddle fit looked at again", yard.CheckTeeth: "teeth looked at", yard.CheckWorms: "worming by count"}
	var missing []string
	for _, c := range yard.Checks() {
		if !slices.Contains(w.Horse.Checks, c) {
			missing = append(missing, words[c])
		}
	}
	if !w.Horse.WeightKg.IsKnown() && !w.Horse.GirthCm.IsKnown() || !w.Horse.Score.IsKnown() {
		missing = append(missing, "weight and score taken")
	}
	if missing == nil {
		return 0, ""
	}
	return yard.Note, "not ticked yet: " + list(missing)
}

func letDown(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	was, is := minutes(w.Horse.Before), minutes(w.Horse.Work)
	if !w.Horse.WorkGiven || was.unknown || is.unknown || was.all == 0 || over(is.all, was.all/2) {
		return 0, ""
	}
	now, card := known(w.HardNow), known(w.HardCard)
	if now == 0 || under(card, now) {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("work goes from %.0f to %.0f minutes a week, and hard feed stays at %.2f kg", was.all, is.all, card)
}

func dryFeed(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !Has(w.Horse.Diagnoses, yard.Choke) || w.DryFeed == nil {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%s to be soaked, as your vet set it", strings.Join(w.DryFeed, ", "))
}

func dust(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !Has(w.Horse.Diagnoses, yard.Heaves) || w.DryHay == nil {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%s fed dry; as your vet set it, no dust", strings.Join(w.DryHay, ", "))
}

func heat(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	t, ok1 := w.Temperature.Get()
	rh, ok2 := w.HumidityPct.Get()
	if !ok1 || !ok2 || w.Class == yard.ClassRest {
		return 0, ""
	}
	index := HeatIndex(t, rh)
	for _, band := range []struct {
		sev  yard.Severity
		mark float64
		what string
	}{
		{yard.Stop, l.HeatStop, "horses are not worked"},
		{yard.Warn, l.HeatHelp, "cooling by sweat is impaired"},
		{yard.Note, l.HeatWatch, "horses need help to cool"},
	} {
		if over(index, band.mark) {
			return band.sev, fmt.Sprintf("%.0f °C and %.0f %% humidity are a heat index of %.0f (°F + %%); over %.0f %s", t, rh, index, band.mark, band.what)
		}
	}
	if over(rh, humidPct) {
		return yard.Note, fmt.Sprintf("%.0f %% humidity; over %d %% sweat dries slowly even where the heat index is low (%.0f)", rh, humidPct, index)
	}
	return 0, ""
}

// humidPct is the humidity over which sweat dries slowly, below the bands too
// (exercise §4).
const humidPct = 75
