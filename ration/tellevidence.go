package ration

import (
	"math"
	"time"

	"hardfeed/ration/evidence"
	"hardfeed/ration/yard"
)

const (
	weeksAhead    = 4    // the weight is foretold for
	settledPart   = 0.05 // a need known to within it either way is settled (ours)
	leastForAll   = 3    // horses that tell of the forage before it is said of the yard (ours)
	forageToldPct = 3.0  // % by which the forage has to differ before it is said (ours: an analysis is no finer)
	oddToldDays   = 42   // an odd weighing older than that is not told any more
	leastToPrint  = 3    // weighings of a line worth printing
)

// tellEvidence fills in what the horse's weighings and its feed tell, and says what a
// person should look into.
func tellEvidence(c *facts, p *yard.HorsePlan, say *log) {
	if c.shown == nil || c.shown.Weighings < leastToPrint {
		return
	}
	e := &yard.HorseEvidence{Evidence: *c.shown}
	if c.learnt != nil {
		on := evidence.Feeding{ForageMcal: p.Energy.SupplyForage, WorkMcal: yard.Known(c.Energy.Work.Or(0) + c.Energy.Cold.Or(0))}
		if all, ok := p.Energy.Supply.Get(); ok {
			on.OtherMcal = yard.Known(max(0, all-p.Energy.SupplyForage.Or(0)))
		}
		for week := range weeksAhead + 1 {
			if f, ok := c.learnt.Forecast(on, 7*week); ok {
				e.Ahead = append(e.Ahead, f)
			}
		}
		if n, ok := c.learnt.MoreWeighings(settledPart); ok {
			e.MoreWeighings = yard.Known(float64(n))
		}
		farFromTables(c, say)
	}
	oddWeighings(c, say)
	e.Says = evidenceSays(c, e)
	p.Evidence = e
}

func mcal(name string, v float64) yard.Arg { return yard.Fixed(name, v, yard.Mcal, 1) }

// farFromTables asks about a need over a fifth from the tables: a question, since the
// horse may be ill, have bad teeth or worms, be fed by somebody else, or be made so.
func farFromTables(c *facts, say *log) {
	l := c.learnt
	own := l.Need.Mean
	if l.forageTold { // then it is not said of each horse
		own = l.Maintenance.Mean*c.bodyKg + c.Energy.Work.Or(0) + c.Energy.Cold.Or(0)
	}
	if !l.FarFromTables || math.Abs(own-l.TablesMcal) <= evidence.FarFromTables*l.TablesMcal {
		return
	}
	key := "finding.need-own.more"
	if l.Need.Mean < l.TablesMcal {
		key = "finding.need-own.less"
	}
	say.find("need-own", yard.Warn, c.Horse.Cell, "evidence EN-01: horses of one kind differ by 6.8 % (SD); a fifth is ours",
		yard.Say(key, mcal("mean", l.Need.Mean), mcal("tables", l.TablesMcal), yard.Fixed("pct", math.Abs(l.Need.Mean/l.TablesMcal-1)*100, yard.Percent, 0)))
}

// oddWeighings names the weighings of the last weeks that do not fit the others and are
// left out; one that may be a fall is told as that, by another rule.
func oddWeighings(c *facts, say *log) {
	for _, o := range c.shown.Odd {
		if o.Latest && o.OffKg < 0 || c.week.Beginning.Sub(o.Weighing.Date) > oddToldDays*24*time.Hour {
			continue
		}
		key := "finding.weighing.odd"
		if o.Latest {
			key = "finding.weighing.odd.last"
		}
		cell := o.Weighing.Cell
		if cell == (yard.Cell{}) {
			cell = c.Horse.Cell
		}
		say.find("weighing", yard.Note, cell, "ours: over 3.5 standard errors from the weighings around it",
			yard.Say(key, kg0("kg", o.Weighing.Kg.Or(0)), yard.Arg{Name: "date", Value: yard.Date{Date: o.Weighing.Date}}, kg0("expected", o.ExpectedKg)))
	}
}

// evidenceSays is what the evidence tells, in sentences.
func evidenceSays(c *facts, e *yard.HorseEvidence) (says []yard.Saying) {
	add := func(key string, args ...yard.Arg) { says = append(says, yard.Say(key, args...)) }
	date := func(name string, t time.Time) yard.Arg { return yard.Arg{Name: name, Value: yard.Date{Date: t}} }
	if c.learnt != nil {
		add("part.evidence.need", mcal("mean", e.Need.Mean), mcal("low", e.Need.Low), mcal("high", e.Need.High), yard.Count("n", e.Weighings),
			yard.Fixed("weeks", math.Round(e.To.Sub(e.From).Hours()/24/7), yard.Weeks, 0), mcal("tables", e.TablesMcal))
		switch {
		case e.AtBound:
			add("part.evidence.need.bound")
		case e.Need.Mean < e.TablesMcal && !e.MayLower:
			add("part.evidence.need.not lowered")
		}
	}
	if l := lineShown(e.Evidence); l.Weighings > 0 {
		one := func(name string, v float64) yard.Arg { // + 0: no minus before a zero
			return yard.Fixed(name, math.Round(v*10)/10+0, yard.Kilograms, 1)
		}
		mean, low, high := l.KgPerWeek.Mean, l.KgPerWeek.Low, l.KgPerWeek.High
		key := "part.evidence.trend." + string(e.Trend)
		if e.Trend == yard.TrendLosing { // said as a loss, without signs
			mean, low, high = -mean, -high, -low
		}
		if e.Trend != yard.TrendUnknown {
			add(key, one("mean", mean), one("low", low), one("high", high), yard.Count("n", l.Weighings), date("from", l.From))
		}
	}
	if n := len(e.Ahead); n > 0 {
		f := e.Ahead[n-1]
		add("part.evidence.ahead", kg0("mean", f.WeightKg.Mean), kg0("low", f.WeightKg.Low), kg0("high", f.WeightKg.High), date("date", f.On))
		if f.Score.Mean.IsKnown() {
			score := func(name string, v yard.Num) yard.Arg { return yard.Fixed(name, v.Or(0), yard.NoUnit, 1) }
			add("part.evidence.ahead.score", score("mean", f.Score.Mean), score("low", f.Score.Low), score("high", f.Score.High))
		}
	}
	switch n, ok := e.MoreWeighings.Get(); {
	case c.learnt == nil:
	case !ok:
		if n := len(e.Ahead); n == 0 || e.Ahead[n-1].Basis != yard.ByScale {
			add("part.evidence.more.never")
		}
	case n == 1:
		add("part.evidence.more.one")
	case n > 1:
		add("part.evidence.more", yard.Count("n", int(n)))
	}
	return says
}

// lineShown is the line a trend is said of: that of twelve weeks, or of six where it
// alone shows the loss or gain.
func lineShown(e yard.Evidence) yard.TrendLine {
	sign := map[yard.WeightTrend]float64{yard.TrendLosing: -1, yard.TrendGaining: 1}[e.Trend]
	if e.Recent.Weighings > 0 && (e.Long.Weighings == 0 || e.Long.KgPerWeek.Mean*sign < 0 || e.Recent.KgPerWeek.Mean*sign > e.Long.KgPerWeek.Mean*sign+e.Recent.SE) && sign != 0 {
		return e.Recent
	}
	return e.Long
}

// forageTold says whether the forage differs by as much as is worth telling.
func forageTold(f yard.CommonForage) bool {
	return f.Shown && f.Horses >= leastForAll && math.Abs(f.EnergyPct.Mean) >= forageToldPct
}

// forageDiffers says of the yard what the weighings of its horses tell together of its
// forage.
func forageDiffers(f yard.CommonForage, fed []yard.FeedNeed) (yard.Finding, bool) {
	if !forageTold(f) {
		return yard.Finding{}, false
	}
	pct := f.EnergyPct.Mean
	key := "finding.forage-energy.richer"
	if pct < 0 {
		key = "finding.forage-energy.poorer"
	}
	analysed, cell := true, yard.Cell{}
	for _, n := range fed {
		if n.Feed.Class != yard.Forage || n.Grazed || n.KgWeek <= 0 {
			continue
		}
		analysed = analysed && n.Feed.AnalysisFrom != ""
		if cell == (yard.Cell{}) {
			cell = n.Feed.Cell
		}
	}
	if analysed && cell != (yard.Cell{}) {
		key += ".analysed"
	}
	return yard.Finding{Rule: "forage-energy", Severity: yard.Warn, Cell: cell, Source: "evidence HY-29: the energy of hays varies by 7 % (SD)",
		Saying: yard.Say(key, yard.Count("n", f.Horses), yard.Fixed("pct", math.Abs(pct), yard.Percent, 0))}, true
}
