package guard

import (
	"slices"

	"hardfeed/ration/work"
	"hardfeed/ration/yard"
)

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

func paceBeforeWeek(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if w.Horse.Fitness != yard.Soft {
		return 0, yard.Saying{}
	}
	m := minutes(w.Horse.Work).by
	total := weeksToCanter(w.Horse.Kept)
	soft := yard.Said("horse", yard.Say("part.soft", yard.Named("kept", yard.Term, string(w.Horse.Kept))))
	if w.Horse.Kept == yard.KeptUnknown {
		soft = yard.Said("horse", yard.Say("part.soft.unknown"))
	}
	days, known := age(w.Horse.InWorkSince, w.Beginning)
	for _, p := range []struct {
		gait  yard.Gait
		weeks float64 // after which it comes; the thirds are ours
	}{
		{yard.Gallop, total * 1.5}, {yard.Jump, total}, {yard.Canter, total * 2 / 3}, {yard.Trot, total / 3},
	} {
		done := max(0, days/7)
		planned, gait := yard.Fixed("minutes", m[p.gait], yard.Minutes, 0), yard.Said("gait", yard.Say("part.at."+p.gait.String()))
		switch {
		case m[p.gait] == 0:
		case !known:
			return yard.Note, yard.Say("finding.work-pace.unknown", planned, gait, soft, howMany("after", p.weeks, yard.Weeks))
		case under(done, p.weeks):
			return yard.Warn, yard.Say("finding.work-pace", planned, gait, howMany("done", done, yard.Weeks), soft, howMany("after", p.weeks, yard.Weeks))
		}
	}
	return 0, yard.Saying{}
}

// fitRaise is by how many times more than one thing must go up at once for a horse that is
// fit to be told of: an easy week lies between two ordinary ones. Ours.
const fitRaise = 2

func raisedTogether(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	was, now := minutes(w.Horse.Before), minutes(w.Horse.Work)
	share, told := map[yard.Fitness]float64{yard.Soft: 1.1, yard.PartFit: 1.1, yard.Hard: fitRaise}[w.Horse.Fitness]
	if !w.Horse.BeforeGiven || was.unknown || now.unknown || !told {
		return 0, yard.Saying{}
	}
	fast := func(m weekMinutes) float64 { return m.by[yard.Canter] + m.by[yard.Gallop] }
	var up []yard.Saying
	for _, x := range []struct {
		key            string
		was, now, from float64 // from how many minutes more a rise counts (ours)
	}{
		{"part.raised.time", was.all, now.all, 5},
		{"part.raised.fast", fast(was), fast(now), 5},
		{"part.raised.hills", was.hills, now.hills, 5},
		{"part.raised.jumping", was.by[yard.Jump], now.by[yard.Jump], 1},
	} {
		// A tenth is a habit of human sport, no horse trial (CO-09): here it only
		// keeps a minute or two from counting.
		if over(x.now, x.was*share) && !under(x.now, x.was+x.from) {
			up = append(up, yard.Say(x.key, yard.Fixed("was", x.was, yard.Minutes, 0), yard.Fixed("now", x.now, yard.Minutes, 0)))
		}
	}
	if len(up) < 2 {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.work-step", yard.SayingList("what", yard.And, up))
}

func raceDistance(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if !w.Horse.BeforeGiven {
		return 0, yard.Saying{}
	}
	a, b := minutes(w.Horse.Work).by, minutes(w.Horse.Before).by
	// two weeks at this rate, carried on over thirty days
	km := func(g yard.Gait) float64 { return (a[g] + b[g]) * w.PaceMPerMin[g] / 1000 * 30 / 14 }
	canter, gallop := km(yard.Canter), km(yard.Gallop)
	if !over(canter, RaceCanterKm30Days) || !over(gallop, RaceGallopKm30Days) {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.work-distance", km30("canter", canter, 0), km30("gallop", gallop, 1), km30("canter mark", RaceCanterKm30Days, 0), km30("gallop mark", RaceGallopKm30Days, 0))
}

func km30(name string, km float64, decimals int) yard.Arg {
	return yard.Fixed(name, km, yard.Kilometres, decimals)
}

// longGapDays off in a row make the next day one for easy work (ours).
const longGapDays = 3

func fastAfterGap(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
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
			return yard.Warn, yard.Say("finding.work-gap", yard.Fixed("minutes", fast, yard.Minutes, 0), yard.Count("day", i-last+1), yard.Count("off", off), yard.Count("mark", longGapDays))
		}
		off++
		if !d.Rest() {
			off = 0
		}
	}
	return 0, yard.Saying{}
}

func noDayOff(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if !w.Horse.WorkGiven {
		return 0, yard.Saying{}
	}
	for _, d := range w.Horse.Work {
		// led out or turned out is a day off from work
		if !slices.ContainsFunc(d.Sessions, func(s yard.Session) bool { return !s.Led }) {
			return 0, yard.Saying{}
		}
	}
	return yard.Warn, yard.Say("finding.work-rest")
}

// firstDays are the days after the start of work in which what was to be done
// before it is still asked for (ours).
const firstDays = 14

func notReady(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	if w.Horse.Fitness != yard.Soft {
		return 0, yard.Saying{}
	}
	if older(w.Horse.InWorkSince, w.Beginning, firstDays) {
		return 0, yard.Saying{}
	}
	var missing []yard.Saying
	for _, c := range yard.Checks() {
		if !slices.Contains(w.Horse.Checks, c) {
			missing = append(missing, yard.Say("part.check."+string(c)))
		}
	}
	if !w.Horse.WeightKg.IsKnown() && !w.Horse.GirthCm.IsKnown() || !w.Horse.Score.IsKnown() {
		missing = append(missing, yard.Say("part.check.weight"))
	}
	if missing == nil {
		return 0, yard.Saying{}
	}
	return yard.Note, yard.Say("finding.ready", yard.SayingList("what", yard.And, missing))
}

func letDown(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	was, is := minutes(w.Horse.Before), minutes(w.Horse.Work)
	if !w.Horse.WorkGiven || was.unknown || is.unknown || was.all == 0 || over(is.all, was.all/2) {
		return 0, yard.Saying{}
	}
	now, card := known(w.HardNow), known(w.HardCard)
	if now == 0 || under(card, now) {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.let-down", yard.Fixed("was", was.all, yard.Minutes, 0), yard.Fixed("is", is.all, yard.Minutes, 0), yard.Kg("kg", card))
}

func heat(w HorseWeek, l yard.Limits) (yard.Severity, yard.Saying) {
	t, ok1 := w.Temperature.Get()
	rh, ok2 := w.HumidityPct.Get()
	if !ok1 || !ok2 || w.Class == yard.ClassRest {
		return 0, yard.Saying{}
	}
	index := HeatIndex(t, rh)
	for _, band := range []struct {
		sev  yard.Severity
		mark float64
		key  string
	}{
		{yard.Stop, l.HeatStop, "finding.heat.stop"},
		{yard.Warn, l.HeatHelp, "finding.heat.help"},
		{yard.Note, l.HeatWatch, "finding.heat.watch"},
	} {
		if over(index, band.mark) {
			return band.sev, yard.Say(band.key, yard.Fixed("temperature", t, yard.Celsius, 0), yard.Fixed("humidity", rh, yard.Percent, 0), yard.Fixed("index", index, yard.NoUnit, 0), yard.Fixed("mark", band.mark, yard.NoUnit, 0))
		}
	}
	if over(rh, humidPct) {
		return yard.Note, yard.Say("finding.heat.humid", yard.Fixed("humidity", rh, yard.Percent, 0), yard.Fixed("mark", humidPct, yard.Percent, 0), yard.Fixed("index", index, yard.NoUnit, 0))
	}
	return 0, yard.Saying{}
}

// humidPct is the humidity over which sweat dries slowly, below the bands too
// (exercise §4).
const humidPct = 75

func heavyRider(w HorseWeek, _ yard.Limits) (yard.Severity, yard.Saying) {
	ridden := slices.ContainsFunc(w.Horse.Work[:], func(d yard.Day) bool {
		return slices.ContainsFunc(d.Sessions, func(s yard.Session) bool { return !s.Led })
	})
	pct := known(w.Horse.RiderTackKg) / max(w.BodyKg, 1) * 100
	if !ridden || !over(pct, riderWarnPct) {
		return 0, yard.Saying{}
	}
	return yard.Warn, yard.Say("finding.rider", yard.Fixed("kg", known(w.Horse.RiderTackKg), yard.Kilograms, 0), yard.Fixed("value", pct, yard.Percent, 0), yard.Fixed("mark", riderWarnPct, yard.Percent, 0))
}
