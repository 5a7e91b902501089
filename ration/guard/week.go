package guard

import (
	"fmt"
	"math"
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
	HardRestDayKg     float64  // on a day off, as it will be fed
	RestDays          int

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
// from the first; negative days: not known.
type NewFeed struct {
	Name string
	Days float64
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
	rise, ok := w.RiseKg.Get()
	if !ok || rise <= w.Marks.WeekWarnKg+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("hard feed goes up by %.2f kg a day in the week; the warn mark for %.0f kg is %.2f kg", rise, w.BodyKg, w.Marks.WeekWarnKg)
}

func weekStop(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	rise, ok := w.RiseKg.Get()
	if !ok || w.Marks.Verdict(rise) != yard.StepStop {
		return 0, ""
	}
	return yard.Stop, fmt.Sprintf("hard feed goes up by %.2f kg a day in the week; the stop mark for %.0f kg is %.2f kg", rise, w.BodyKg, w.Marks.WeekStopKg)
}

func dayRise(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	rise, ok := w.DayRiseKg.Get()
	if !ok {
		return 0, ""
	}
	f, over := w.Marks.DayFinding(w.Horse.Name, rise)
	if !over {
		return 0, ""
	}
	return f.Severity, f.Message
}

// restReturn says nothing: it is the exemption that the rise is measured from
// the highest amount of the last week, not from a rest day's half.
func restReturn(HorseWeek, yard.Limits) (yard.Severity, string) { return 0, "" }

func blended(fs []NewFeed, warn, stop float64) (yard.Severity, string) {
	worst, sev := NewFeed{}, yard.Severity(0)
	for _, f := range fs {
		s := yard.Severity(0)
		switch {
		case f.Days < 0:
			s = yard.Note
		case f.Days < stop-tiny:
			s = yard.Stop
		case f.Days < warn-tiny:
			s = yard.Warn
		}
		if s > sev {
			worst, sev = f, s
		}
	}
	switch sev {
	case 0:
		return 0, ""
	case yard.Note:
		return sev, fmt.Sprintf("%s is new; over how many days it is blended in is not known, the warn mark is under %.0f days, the stop mark under %.0f", worst.Name, warn, stop)
	}
	mark, word := warn, "warn"
	if sev == yard.Stop {
		mark, word = stop, "stop"
	}
	return sev, fmt.Sprintf("%s is new and reaches its full amount on day %.0f; the %s mark is under %.0f days", worst.Name, worst.Days, word, mark)
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
	if !ok1 || !ok2 || now <= before+tiny {
		return 0, ""
	}
	minutes := (now - before) * 60
	if Has(w.Horse.Diagnoses, yard.Laminitis) || SugarMarks(w.Horse.Diagnoses) {
		return yard.Stop, fmt.Sprintf("%.0f minutes a day more at grass than last week; with the vet's diagnosis any rise is a stop", minutes)
	}
	if perDay := minutes / 7; perDay > l.GrassRiseWarnMin+tiny {
		return yard.Warn, fmt.Sprintf("%.0f minutes a day more at grass than last week, %.0f for each of seven days; the warn mark is %.0f minutes more a day than the day before", minutes, perDay, l.GrassRiseWarnMin)
	}
	return 0, ""
}

func newOil(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	if w.OilNewMl <= tiny || w.OilDays >= l.OilRiseDaysWarn-tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("oil goes up by %.0f ml a day in %.0f days; the warn mark is under %.0f days", w.OilNewMl, w.OilDays, l.OilRiseDaysWarn)
}

func stacked(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	if len(w.Changes) < 2 {
		return 0, ""
	}
	sev := yard.Warn
	whose := ""
	if Has(w.Horse.Diagnoses, yard.PastColic) {
		sev, whose = yard.Stop, "; with colic named by the vet two are a stop"
	}
	return sev, fmt.Sprintf("%d changes inside %.0f days: %s; one is the mark%s", len(w.Changes), l.StackDays, list(w.Changes), whose)
}

// minutesPerKgHay is how long a horse takes over a kilogram of hay (from memory;
// ponies and nets with small holes take longer).
const minutesPerKgHay = 40

// Gap is the longest time without forage, minutes, and when it begins, for
// forage put down at times of the day; ok is false where that is not known.
func Gap(forage []ForageMeal) (minutes float64, from int, ok bool) {
	var meals []ForageMeal
	for _, m := range forage {
		if m.Minute < 0 {
			return 0, 0, false
		}
		if m.Kg > 0 {
			meals = append(meals, m)
		}
	}
	for i, m := range meals {
		next := meals[(i+1)%len(meals)].Minute - m.Minute
		if next <= 0 {
			next += 24 * 60
		}
		eaten := m.Kg * minutesPerKgHay
		if g := float64(next) - eaten; !ok || g > minutes {
			minutes, from, ok = g, (m.Minute+int(eaten))%(24*60), true
		}
	}
	return max(0, minutes), from, ok
}

func forageGap(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	if w.Horse.Kept == yard.InField || w.Horse.GrassHours.Or(0) >= 18 {
		return 0, ""
	}
	minutes, from, ok := Gap(w.Forage)
	if !ok {
		return 0, ""
	}
	sev, mark, word := verdict(minutes/60, l.GapWarnHours, l.GapStopHours)
	if sev == 0 {
		return 0, ""
	}
	return sev, fmt.Sprintf("about %.0f h without forage from about %02d:%02d, at %d minutes a kg of hay; the %s mark is %.0f h", minutes/60, from/60, from%60, minutesPerKgHay, word, mark)
}

// Hours between the last hard feed and work (limits D-19).
const (
	hoursBeforeFast = 4
	hoursBeforeWork = 2
	hoursStop       = 1
)

func beforeWork(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	sev, msg := yard.Severity(0), ""
	for _, e := range w.Events {
		h, mark := e.Before/60, float64(hoursBeforeWork)
		if e.Fast {
			mark = hoursBeforeFast
		}
		s := yard.Severity(0)
		switch {
		case h < hoursStop-tiny:
			s, mark = yard.Stop, hoursStop
		case h < mark-tiny:
			s = yard.Warn
		}
		if s > sev {
			sev, msg = s, fmt.Sprintf("%s: hard feed at %s is %.1f h before work; the mark is %.0f h", e.Day, e.Meal, h, mark)
		}
	}
	return sev, msg
}

func restDay(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	card, ok := w.HardCard.Get()
	if !ok || w.RestDays == 0 || card <= 0 {
		return 0, ""
	}
	pct := w.HardRestDayKg / w.BodyKg * 100
	cut := w.HardRestDayKg < card-tiny
	if Has(w.Horse.Diagnoses, yard.TyingUp) && !cut {
		return yard.Stop, fmt.Sprintf("%.2f kg of hard feed on a day off, as on a day of work; with tying-up named by the vet that is a stop, half would be %.2f kg", w.HardRestDayKg, card/2)
	}
	if !cut && pct >= l.RestDayCutFromPct-tiny {
		return yard.Warn, fmt.Sprintf("hard feed of %.2f %% of body weight on days off, as on days of work; the mark is %.2f %%, half would be %.2f kg. The amounts are printed as they stand: ask whether it needs them", pct, l.RestDayCutFromPct, card/2)
	}
	return 0, ""
}

func noRation(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if why := NoRation(w.Horse); len(why) > 0 {
		return yard.Stop, strings.Join(why, "; ")
	}
	return 0, ""
}

// NoRation says why no ration is worked out for a horse; nil where one is.
func NoRation(h yard.Horse) (why []string) {
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
	case yard.Lactating:
		why = append(why, "she has a foal at foot; the figures used are for mares without: ask a vet or a nutritionist")
	}
	if a, ok := h.AgeYears.Get(); ok && a < 3 {
		why = append(why, fmt.Sprintf("it is %.3g years old; growing horses have needs of their own: ask a nutritionist", a))
	}
	return why
}

// small says whether a horse is of the size that falls ill for want of feed: a
// pony, a miniature, or by height under 148 cm.
func small(h yard.Horse) bool {
	cm, ok := h.HeightCm.Get()
	return h.Type == yard.TypePony || ok && cm < 148
}

// ageDays is a date's age at the beginning of the week.
func (w HorseWeek) ageDays(t time.Time) (days float64, ok bool) {
	if t.IsZero() || w.Beginning.IsZero() {
		return 0, false
	}
	return w.Beginning.Sub(t).Hours() / 24, true
}

func staleWeight(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	days, ok := w.ageDays(w.Horse.Weighed)
	if !ok || days <= w.StaleDays {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("the body weight is from %s, %.0f days before this week; %.0f is the mark", w.Horse.Weighed.Format("2 January 2006"), days, w.StaleDays)
}

// trend is the change of weight a week, % of body weight, over the last two
// weighings at least five days and at most twelve weeks apart.
func trend(h yard.Horse) (pctPerWeek, days float64, ok bool) {
	var ws []yard.Weighing
	for _, w := range h.Weighings {
		if w.Kg.IsKnown() {
			ws = append(ws, w)
		}
	}
	if len(ws) < 2 {
		return 0, 0, false
	}
	last := ws[len(ws)-1]
	for i := len(ws) - 2; i >= 0; i-- {
		before := ws[i]
		days = last.Date.Sub(before.Date).Hours() / 24
		if days < 5 {
			continue
		}
		if days > 84 || before.Basis != last.Basis { // a tape and a scale differ by more than a week's change
			return 0, 0, false
		}
		a, b := before.Kg.Or(0), last.Kg.Or(0)
		if odd(a, b) {
			return 0, 0, false
		}
		return (b - a) / a * 100 / (days / 7), days, a > 0
	}
	return 0, 0, false
}

// oddPct is how far two weighings of one horse may lie apart before one of them
// is taken for a slip of the pen (ours).
const oddPct = 10

func odd(a, b float64) bool { return a > 0 && b > 0 && math.Abs(b-a)/max(a, b)*100 > oddPct }

func losing(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	pct, days, ok := trend(w.Horse)
	if !ok || -pct <= l.LossStopPct+tiny {
		return 0, ""
	}
	return yard.Stop, fmt.Sprintf("it has lost %.1f %% of its weight a week over %.0f days; the stop mark is %.1f %% a week after the first", -pct, days, l.LossStopPct)
}

func gaining(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	pct, days, ok := trend(w.Horse)
	if !ok || pct <= l.GainWarnPct+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("it has gained %.2f %% of its weight a week over %.0f days; the warn mark is %.2f %%", pct, days, l.GainWarnPct)
}

// OddWeighing is the earlier of the last two weighings where they disagree so
// far that one is taken for a slip; ok is false where they agree.
func OddWeighing(h yard.Horse) (before, last yard.Weighing, ok bool) {
	var ws []yard.Weighing
	for _, w := range h.Weighings {
		if w.Kg.IsKnown() {
			ws = append(ws, w)
		}
	}
	if len(ws) < 2 {
		return
	}
	before, last = ws[len(ws)-2], ws[len(ws)-1]
	return before, last, last.Date.Sub(before.Date).Hours() <= 60*24 && odd(before.Kg.Or(0), last.Kg.Or(0))
}

func oddWeighing(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	before, last, ok := OddWeighing(w.Horse)
	if !ok {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%.0f kg on %s and %.0f kg on %s are over %d %% apart: one may be a slip of the pen", before.Kg.Or(0), before.Date.Format("2 January"), last.Kg.Or(0), last.Date.Format("2 January"), oddPct)
}

// againstAim compares the weighings with what the target score asks for.
func againstAim(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	score, ok1 := w.Horse.Score.Get()
	target, ok2 := w.Horse.TargetScore.Get()
	pct, days, ok := trend(w.Horse)
	const still = 0.1 // % a week: within what scales and droppings differ (ours)
	switch {
	case !ok || !ok1 || !ok2:
	case target < score && pct > still:
		return yard.Warn, fmt.Sprintf("it is to go from score %.3g to %.3g and has gained %.2f %% a week over %.0f days", score, target, pct, days)
	case target > score && pct < -still:
		return yard.Warn, fmt.Sprintf("it is to go from score %.3g to %.3g and has lost %.2f %% a week over %.0f days", score, target, -pct, days)
	}
	return 0, ""
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

// minutes adds a week's minutes by gait.
func minutes(days [7]yard.Day) (m [yard.Gaits]float64, hills float64) {
	for _, d := range days {
		for _, s := range d.Sessions {
			for g, v := range work.Minutes(s) {
				m[g] += v
			}
			if s.Hills {
				hills += s.Total()
			}
		}
	}
	return m, hills
}

func paceBeforeWeek(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if w.Horse.Fitness != yard.Soft {
		return 0, ""
	}
	days, known := w.ageDays(w.Horse.InWorkSince)
	m, _ := minutes(w.Horse.Work)
	total := weeksToCanter(w.Horse.Kept)
	kept := string(w.Horse.Kept)
	if kept == "" {
		kept = "housing not said: as stabled"
	}
	if !known {
		if m[yard.Canter]+m[yard.Gallop]+m[yard.Jump] > 0 {
			return yard.Note, fmt.Sprintf("it is soft, and canter or jumping is planned; since when it is in work is not given, so its week could not be compared (%s: %.0f weeks to short canters and small fences)", kept, total)
		}
		return 0, ""
	}
	done := max(0, days) / 7
	for _, p := range []struct {
		what  string
		min   float64
		share float64 // of the weeks to canter after which it comes; the thirds are ours
	}{
		{"galloping", m[yard.Gallop], 1.5}, {"jumping", m[yard.Jump], 1}, {"cantering", m[yard.Canter], 2.0 / 3}, {"trotting", m[yard.Trot], 1.0 / 3},
	} {
		if p.min > 0 && done < total*p.share-tiny {
			return yard.Warn, fmt.Sprintf("%.0f minutes of %s are planned after %.1f weeks in work; soft and kept in a %s it comes after %.1f weeks", p.min, p.what, done, kept, total*p.share)
		}
	}
	return 0, ""
}

func raisedTogether(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !w.Horse.BeforeGiven || w.Horse.Fitness != yard.Soft && w.Horse.Fitness != yard.PartFit {
		return 0, ""
	}
	for d := range w.Horse.Work {
		if w.Horse.Work[d].Unknown || w.Horse.Before[d].Unknown {
			return 0, ""
		}
	}
	now, hills := minutes(w.Horse.Work)
	was, hillsWas := minutes(w.Horse.Before)
	sum := func(m [yard.Gaits]float64) (t float64) {
		for _, v := range m {
			t += v
		}
		return t
	}
	var up []string
	// A tenth is a habit of human sport, no horse trial (CO-09): here it only
	// keeps a minute or two from counting.
	more := func(what string, a, b float64) {
		if b > a*1.1+tiny && b-a >= 5 {
			up = append(up, fmt.Sprintf("%s from %.0f to %.0f minutes", what, a, b))
		}
	}
	more("time", sum(was), sum(now))
	// pace: more fast minutes than longer riding alone explains
	fast := func(m [yard.Gaits]float64) float64 { return m[yard.Canter] + m[yard.Gallop] }
	more("canter and gallop", fast(was), fast(now))
	more("hills", hillsWas, hills)
	if now[yard.Jump] > was[yard.Jump]*1.1+tiny && now[yard.Jump]-was[yard.Jump] >= 1 {
		up = append(up, fmt.Sprintf("jumping from %.0f to %.0f minutes", was[yard.Jump], now[yard.Jump]))
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
	a, _ := minutes(w.Horse.Work)
	b, _ := minutes(w.Horse.Before)
	// two weeks at this rate, carried on over thirty days
	km := func(g yard.Gait) float64 { return (a[g] + b[g]) * w.PaceMPerMin[g] / 1000 * 30 / 14 }
	canter, gallop := km(yard.Canter), km(yard.Gallop)
	if canter <= RaceCanterKm30Days+tiny || gallop <= RaceGallopKm30Days+tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("last week and this at this rate come to %.0f km of canter and %.1f km of gallop in thirty days; the marks are %.0f and %.0f km together", canter, gallop, RaceCanterKm30Days, RaceGallopKm30Days)
}

// longGapDays off in a row make the next day one for easy work (ours).
const longGapDays = 3

func fastAfterGap(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !w.Horse.WorkGiven {
		return 0, ""
	}
	off := 0
	if w.Horse.BeforeGiven {
		for _, d := range w.Horse.Before {
			if d.Rest() {
				off++
			} else {
				off = 0
			}
		}
	}
	for i, d := range w.Horse.Work {
		fast := 0.0
		for _, s := range d.Sessions {
			m := work.Minutes(s)
			fast += m[yard.Gallop] + m[yard.Jump]
		}
		if fast > 0 && off >= longGapDays {
			return yard.Warn, fmt.Sprintf("%.0f minutes of galloping or jumping on day %d of the week, after %d days off; %d days off are the mark", fast, i+1, off, longGapDays)
		}
		if d.Rest() {
			off++
		} else {
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
		ridden := false
		for _, s := range d.Sessions {
			ridden = ridden || !s.Led
		}
		if !ridden { // led out or turned out is a day off from work
			return 0, ""
		}
	}
	return yard.Warn, "it is ridden on all seven days; one day off in seven is the mark"
}

func notReady(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if w.Horse.Fitness != yard.Soft {
		return 0, ""
	}
	if days, known := w.ageDays(w.Horse.InWorkSince); known && days > 14 {
		return 0, ""
	}
	done := map[yard.Check]bool{}
	for _, c := range w.Horse.Checks {
		done[c] = true
	}
	words := map[yard.Check]string{yard.CheckVet: "seen by the vet", yard.CheckFeet: "feet done by the farrier", yard.CheckSaddle: "saddle fit looked at again", yard.CheckTeeth: "teeth looked at", yard.CheckWorms: "worming by count"}
	var missing []string
	for _, c := range yard.Checks() {
		if !done[c] {
			missing = append(missing, words[c])
		}
	}
	if !w.Horse.WeightKg.IsKnown() && !w.Horse.GirthCm.IsKnown() || !w.Horse.Score.IsKnown() {
		missing = append(missing, "weight and score taken")
	}
	if len(missing) == 0 {
		return 0, ""
	}
	return yard.Note, "not ticked yet: " + list(missing)
}

func letDown(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	card, ok1 := w.HardCard.Get()
	now, ok2 := w.HardNow.Get()
	if !w.Horse.BeforeGiven || !w.Horse.WorkGiven || !ok1 || !ok2 || now <= 0 {
		return 0, ""
	}
	var a, b float64
	for d := range w.Horse.Work {
		if w.Horse.Work[d].Unknown || w.Horse.Before[d].Unknown {
			return 0, ""
		}
		for _, s := range w.Horse.Work[d].Sessions {
			a += s.Total()
		}
		for _, s := range w.Horse.Before[d].Sessions {
			b += s.Total()
		}
	}
	if b <= 0 || a > b/2+tiny || card < now-tiny {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("work goes from %.0f to %.0f minutes a week, and hard feed stays at %.2f kg", b, a, card)
}

func dryFeed(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !Has(w.Horse.Diagnoses, yard.Choke) || len(w.DryFeed) == 0 {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%s to be soaked, as your vet set it", list(w.DryFeed))
}

func dust(w HorseWeek, _ yard.Limits) (yard.Severity, string) {
	if !Has(w.Horse.Diagnoses, yard.Heaves) || len(w.DryHay) == 0 {
		return 0, ""
	}
	return yard.Warn, fmt.Sprintf("%s fed dry; as your vet set it, no dust", list(w.DryHay))
}

func heat(w HorseWeek, l yard.Limits) (yard.Severity, string) {
	t, ok1 := w.Temperature.Get()
	rh, ok2 := w.HumidityPct.Get()
	if !ok1 || !ok2 || w.Class == yard.ClassRest {
		return 0, ""
	}
	index := HeatIndex(t, rh)
	say := func(sev yard.Severity, mark float64, what string) (yard.Severity, string) {
		return sev, fmt.Sprintf("%.0f °C and %.0f %% humidity are a heat index of %.0f (°F + %%); over %.0f %s", t, rh, index, mark, what)
	}
	switch {
	case index > l.HeatStop+tiny:
		return say(yard.Stop, l.HeatStop, "horses are not worked")
	case index > l.HeatHelp+tiny:
		return say(yard.Warn, l.HeatHelp, "cooling by sweat is impaired")
	case index > l.HeatWatch+tiny:
		return say(yard.Note, l.HeatWatch, "horses need help to cool")
	}
	const humid = 75 // %, below the bands too (exercise §4)
	if rh > humid {
		return yard.Note, fmt.Sprintf("%.0f %% humidity; over %d %% sweat dries slowly even where the heat index is low (%.0f)", rh, humid, index)
	}
	return 0, ""
}
