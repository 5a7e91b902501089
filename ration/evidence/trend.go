package evidence

import (
	"math"

	"hardfeed/ration/yard"
)

// flatSlope is the SD of a trend before any weighing, fraction of body weight a
// week: many times any real one, so that the weighings alone decide. The level's is
// all of the body weight.
const flatSlope = 0.05

// line is the straight line through the weighings from a day on, by the weighings
// alone: what the horse was fed says nothing here, or a sick horse on full feed would
// be drawn towards holding its weight. Of the feed only the gut fill counts.
func (p *history) line(from int) yard.TrendLine {
	var ws []weighed
	for _, w := range p.used {
		if w.day >= from {
			ws = append(ws, w)
		}
	}
	if len(ws) < leastWeighings || ws[len(ws)-1].day-ws[0].day < leastDays {
		return yard.TrendLine{}
	}
	// Unknowns: level and slope, the gut's fill by forage, both offsets, and behind
	// them the gut fill of weeks with several weighings.
	const (
		level = iota
		slope
		gut
		tape
		formula
		own
	)
	offsets := map[int]int{uTape: tape, uFormula: formula}
	weeks := map[int]int{}
	for _, w := range ws {
		if c, ok := p.gut[(p.today-w.day)/7]; ok && weeks[c] == 0 {
			weeks[c] = own + len(weeks)
		}
	}
	n := own + len(weeks)
	rs := make([]reading, 0, len(ws))
	for _, w := range ws {
		r := reading{value: w.kg - p.BodyKg - w.bias, at: make([]float64, n), sd: w.sd * p.scatter}
		r.at[level] = p.BodyKg
		r.at[slope] = flatSlope * p.BodyKg * float64(w.day-p.today) / 7
		more := p.moreForage(w.day)
		r.value -= p.as.GutKgPerMcal * more
		r.at[gut] = p.as.GutKgPerMcalSD * more
		if w.offset >= 0 {
			r.at[offsets[w.offset]] = w.offKg
		}
		fill := p.as.Gut * p.BodyKg * p.scatter
		if c, ok := p.gut[(p.today-w.day)/7]; ok {
			r.at[weeks[c]] = fill
		} else {
			r.sd = math.Hypot(r.sd, fill)
		}
		rs = append(rs, r)
	}
	g := posterior(n, own, rs)
	mean, sd := g.mean[slope]*flatSlope*p.BodyKg, math.Sqrt(g.cov.At(slope, slope))*flatSlope*p.BodyKg
	return yard.TrendLine{KgPerWeek: estimate(mean, sd*sd), SE: sd, From: dateOf(ws[0].day), To: dateOf(ws[len(ws)-1].day), Weighings: len(ws)}
}

// holds says whether the weighings of twelve weeks, or of all the history, show that a
// horse holds its weight, and nothing shows since that it does not. A recent line has
// few weighings: by chance alone it lies outside the mark now and then.
func (p *history) holds(long yard.TrendLine, is yard.WeightTrend) bool {
	if is == yard.TrendHolding {
		return true
	}
	return is == yard.TrendUnclear && !p.fall && (p.inside(long) || p.inside(p.line(p.first)))
}

// inside says whether the 90 % range of a line lies inside the mark either way.
func (p *history) inside(l yard.TrendLine) bool {
	most := holdsPerWeek * p.BodyKg
	return l.Weighings > 0 && l.KgPerWeek.Low >= -most && l.KgPerWeek.High <= most
}

// trends are the recent and the long line, and what they show.
func (p *history) trends() (recent, long yard.TrendLine, is yard.WeightTrend) {
	if len(p.used) == 0 {
		return recent, long, yard.TrendUnknown
	}
	recent = p.line(p.today - recentDays)
	long = p.line(p.today - longDays)
	if p.to < p.today-recentDays || long.Weighings == 0 {
		return recent, long, yard.TrendUnknown
	}
	type judged struct {
		yard.TrendLine
		z float64
	}
	lines := []judged{{long, zOneLine}}
	if recent.Weighings > 0 && recent.From != long.From {
		lines = []judged{{recent, zRecent}}
		// The long line shows what is too slow for the recent one; a change that is over
		// stands in it for weeks.
		if recent.KgPerWeek.Mean*long.KgPerWeek.Mean > 0 && math.Abs(recent.KgPerWeek.Mean) > math.Abs(long.KgPerWeek.Mean)/2 {
			lines = append(lines, judged{long, zLong})
		}
	}
	kg := p.BodyKg
	near := func(l yard.TrendLine) bool { return math.Abs(l.KgPerWeek.Mean) <= holdsPerWeek*kg }
	losing, gaining := false, false
	for _, l := range lines {
		perWeek := l.KgPerWeek.Mean
		if math.Abs(perWeek) > l.z*l.SE {
			losing = losing || perWeek < 0
			gaining = gaining || perWeek > 0
		}
	}
	switch {
	case losing: // also where another line rises: what is lost now counts
		return recent, long, yard.TrendLosing
	case p.fall:
		return recent, long, yard.TrendUnclear
	case gaining:
		return recent, long, yard.TrendGaining
	case p.inside(long) && near(recent), near(recent) && near(long) && p.inside(p.line(p.first)): // a tape takes all of the history
		return recent, long, yard.TrendHolding
	}
	return recent, long, yard.TrendUnclear
}
