package record

import (
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// recordEvidence is what a horse's weighings and its feed tell of it: see
// [yard.HorseEvidence]. A range holds nine in ten.
type recordEvidence struct {
	Weighings     int              `json:"weighings"`
	From          *string          `json:"from"`
	To            *string          `json:"to"`
	Weeks         int              `json:"weeks"`            // of known feed and work between them
	NotLearnt     string           `json:"not_learnt"`       // why the need stays that of the tables; "": it does not
	NeedMcal      *recordEstimate  `json:"need_mcal"`        // it holds its weight on; null where not learnt
	TablesMcal    yard.Num         `json:"tables_need_mcal"` // the same by the tables
	MaintPerKg    *recordEstimate  `json:"maintenance_mcal_per_kg"`
	FarFromTables bool             `json:"far_from_tables"` // over a fifth
	AtBound       bool             `json:"at_bound"`
	MayLower      bool             `json:"may_lower"`
	Trend         string           `json:"trend"`
	Holds         bool             `json:"holds"`
	SixWeeks      *recordTrend     `json:"six_weeks"`
	TwelveWeeks   *recordTrend     `json:"twelve_weeks"`
	Odd           []recordOdd      `json:"odd_weighings"`
	Ahead         []recordForecast `json:"ahead"` // on this card: today, and in one to four weeks
	MoreWeighings yard.Num         `json:"more_weighings"`
	Says          []string         `json:"says"`
}

type recordEstimate struct {
	Low  yard.Num `json:"low"`
	Mean yard.Num `json:"mean"`
	High yard.Num `json:"high"`
}

type recordTrend struct {
	From      string         `json:"from"`
	To        string         `json:"to"`
	Weighings int            `json:"weighings"`
	KgPerWeek recordEstimate `json:"kg_per_week"`
	SE        yard.Num       `json:"standard_error"`
}

type recordOdd struct {
	recordWeighing
	ExpectedKg yard.Num `json:"expected_kg"`
	Latest     bool     `json:"latest"` // nothing after it to compare with: weigh again
}

type recordForecast struct {
	Date     string          `json:"date"`
	Basis    string          `json:"basis"`
	WeightKg recordEstimate  `json:"weight_kg"`
	Score    *recordEstimate `json:"score"`
}

func estimateOf(e yard.Estimate) recordEstimate {
	return recordEstimate{words.Num(e.Low), words.Num(e.Mean), words.Num(e.High)}
}

func trendOf(l yard.TrendLine) *recordTrend {
	if l.Weighings == 0 {
		return nil
	}
	return &recordTrend{l.From.Format(time.DateOnly), l.To.Format(time.DateOnly), l.Weighings, estimateOf(l.KgPerWeek), words.Num(l.SE)}
}

// evidenceOf is null where too little is known of a horse to tell anything.
func evidenceOf(e *yard.HorseEvidence) *recordEvidence {
	if e == nil {
		return nil
	}
	r := &recordEvidence{Weighings: e.Weighings, Weeks: e.Weeks, NotLearnt: string(e.NotLearnt), FarFromTables: e.FarFromTables, AtBound: e.AtBound,
		MayLower: e.MayLower, Trend: string(e.Trend), Holds: e.Holds, SixWeeks: trendOf(e.Recent), TwelveWeeks: trendOf(e.Long),
		Odd: []recordOdd{}, Ahead: []recordForecast{}, MoreWeighings: words.Clean(e.MoreWeighings), Says: []string{}}
	if !e.From.IsZero() {
		from, to := e.From.Format(time.DateOnly), e.To.Format(time.DateOnly)
		r.From, r.To = &from, &to
	}
	if e.NotLearnt == yard.LearntSomething {
		need, perKg := estimateOf(e.Need), estimateOf(e.Maintenance)
		r.NeedMcal, r.MaintPerKg, r.TablesMcal = &need, &perKg, words.Num(e.TablesMcal)
	}
	for _, o := range e.Odd {
		r.Odd = append(r.Odd, recordOdd{weighingOf(o.Weighing), words.Num(o.ExpectedKg), o.Latest})
	}
	for _, f := range e.Ahead {
		at := recordForecast{Date: f.On.Format(time.DateOnly), Basis: string(f.Basis), WeightKg: estimateOf(f.WeightKg)}
		if f.Score.Mean.IsKnown() {
			at.Score = &recordEstimate{words.Clean(f.Score.Low), words.Clean(f.Score.Mean), words.Clean(f.Score.High)}
		}
		r.Ahead = append(r.Ahead, at)
	}
	for _, s := range e.Says {
		r.Says = append(r.Says, words.Said(s))
	}
	return r
}

type recordWeighing struct {
	Date  string   `json:"date"`
	Kg    yard.Num `json:"kg"`
	Basis string   `json:"basis"`
}

func weighingOf(w yard.Weighing) recordWeighing {
	return recordWeighing{w.Date.Format(time.DateOnly), words.Clean(w.Kg), string(w.Basis)}
}

// lastWeighing is the last weighing there is of a horse, its dated weight too.
func lastWeighing(h yard.Horse) *recordWeighing {
	last := h.DatedWeight()
	for _, w := range h.Weighings {
		if w.Kg.IsKnown() && !w.Date.Before(last.Date) {
			last = w
		}
	}
	if !last.Kg.IsKnown() {
		return nil
	}
	r := weighingOf(last)
	return &r
}

// recordForage is what the weighings of all horses tell together of the yard's forage:
// how much richer (above 0) or poorer in energy than the tables it seems.
type recordForage struct {
	EnergyPct recordEstimate `json:"energy_pct"`
	Horses    int            `json:"horses"`
	Shown     bool           `json:"shown"` // the range lies wholly on one side of nothing
}

func forageOf(f yard.CommonForage) *recordForage {
	if f.Horses == 0 {
		return nil
	}
	return &recordForage{estimateOf(f.EnergyPct), f.Horses, f.Shown}
}
