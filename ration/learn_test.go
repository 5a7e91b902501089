package ration_test

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
)

// fedOn is a horse fed hay and cubes that hold so many times the energy the tables ask
// for, and recorded so for a number of weeks, in which a scale shows kg after each. It
// is planned for by the program.
func fedOn(t *testing.T, share float64, weeks int, kg func(week int) float64) stable {
	t.Helper()
	s := ordinary()
	for i := range s.Feeds {
		if s.Feeds[i].Name == "Hay" {
			s.Feeds[i].Analysis.DE = yard.Known(1.75)
		}
	}
	wants := ration.Plan(s.Week, ration.DefaultRules()).Horses[0].Energy.Need.Or(math.NaN()) * share
	hay := math.Floor(4*min(wants/(0.88*1.75), 11.25)) / 4
	s.keep("Hay", hay)
	s.keep("Cubes", max(0, wants-hay*0.88*1.75)/(0.88*2.9))
	s.remember(t, weeks, kg)
	return s
}

// remember gives the horse records of weeks on what it is fed, and leaves it without a
// plan.
func (s *stable) remember(t *testing.T, weeks int, kg func(week int) float64) {
	t.Helper()
	s.Past, s.Weighings = nil, nil
	c := ration.Plan(s.Week, ration.DefaultRules()).Horses[0]
	if c.Status != yard.Carded || !c.Energy.Supply.IsKnown() {
		t.Fatalf("what it is fed is not its card: %s, supply %v", c.Status, c.Energy.Supply)
	}
	for back := weeks; back >= 1; back-- {
		s.Past = append(s.Past, recordOf(ago(7*back), c))
		s.Weighings = append(s.Weighings, yard.Weighing{Date: ago(7*back - 6), Kg: yard.Known(kg(weeks - back)), Basis: yard.ByScale, Cell: yard.Cell{Sheet: "weights", Ref: "B2"}})
	}
	last := s.Weighings[len(s.Weighings)-1]
	s.WeightKg, s.Weighed = last.Kg, last.Date
	for i := range s.Lines {
		s.Lines[i].Planned = blank
	}
}

// steady is a weight that only the scale's scatter moves: 0.5 kg either way.
func steady(week int) float64 { return 500 + float64(week%2) - 0.5 }

func (s stable) only() yard.HorsePlan { return ration.Plan(s.Week, ration.DefaultRules()).Horses[0] }

func said(c yard.HorsePlan, key string) bool {
	return c.Evidence != nil && slices.ContainsFunc(c.Evidence.Says, func(s yard.Saying) bool { return s.Key == key })
}

func found(fs []yard.Finding, key string) *yard.Finding {
	for i := range fs {
		if fs[i].Saying.Key == key {
			return &fs[i]
		}
	}
	return nil
}

func TestTheNeedIsWhatTheHorseHoldsItsWeightOn(t *testing.T) {
	for _, share := range []float64{0.85, 0.93, 1, 1.1, 1.25} {
		s := fedOn(t, share, 26, steady)
		c := s.only()
		e := c.Energy
		truth := s.Past[0].ForageMcal.Or(0) + s.Past[0].OtherMcal.Or(0)
		need, low, high := e.Need.Or(math.NaN()), e.NeedRange.Low.Or(math.NaN()), e.NeedRange.High.Or(math.NaN())
		tables := need - e.Own.Or(math.NaN())
		t.Logf("fed %.2f of the tables' %.1f: need %.1f (%.1f to %.1f), true %.1f", share, tables, need, low, high, truth)
		if math.Abs(need-truth) > 0.35*math.Abs(tables-truth)+0.02*truth {
			t.Errorf("fed %.2f of the tables: the need is %.2f Mcal, the tables say %.2f, it holds its weight on %.2f", share, need, tables, truth)
		}
		if !(low < truth && truth < high && high-low < 0.28*tables) {
			t.Errorf("fed %.2f of the tables: the range is %.2f to %.2f Mcal, it holds its weight on %.2f", share, low, high, truth)
		}
		if !said(c, "part.evidence.need") || !said(c, "part.evidence.trend.holding") || !said(c, "part.evidence.ahead") {
			t.Errorf("what is learnt is not said: %+v", c.Evidence)
		}
		if math.Abs(e.Supply.Or(0)-truth) > 0.01*truth {
			t.Errorf("it holds its weight on %.2f Mcal and is given %.2f", truth, e.Supply.Or(0))
		}
		last := c.Evidence.Ahead[len(c.Evidence.Ahead)-1]
		if len(c.Evidence.Ahead) != 5 || !last.On.Equal(monday.AddDate(0, 0, 28)) || last.WeightKg.Low > 500 || last.WeightKg.High < 500 {
			t.Errorf("in four weeks, on what it held its weight on, it is to weigh %+v on %s", last.WeightKg, last.On)
		}
	}
}

// As soon as it works otherwise, or the feed is not that of before, the need counts, not
// what it held its weight on.
func TestWhoHoldsItsWeightIsMovedWithItsWork(t *testing.T) {
	s := fedOn(t, 1, 26, steady)
	s.Work = week(50, 40, 10)
	if c := s.only(); found(c.Findings, "finding.fed-now.holds") != nil || found(c.Findings, "finding.fed-now.inside") != nil || c.Energy.Supply.Or(0) < 1.03*s.Past[0].ForageMcal.Or(0)+s.Past[0].OtherMcal.Or(0) {
		t.Errorf("with twice the work it is given %.1f Mcal", c.Energy.Supply.Or(0))
	}
	s = fedOn(t, 1, 26, steady)
	s.now("Hay", 8) // three kilos less than in the weeks it was weighed in
	if c := s.only(); found(c.Findings, "finding.fed-now.holds") != nil || found(c.Findings, "finding.fed-now.inside") != nil {
		t.Error("on less hay than it held its weight on it is said to hold its weight on it")
	}
}

func TestWithoutEvidenceNothingChanges(t *testing.T) {
	plain := func(s stable) yard.HorsePlan {
		s.Horses = slices.Clone(s.Horses)
		h := &s.Horses[0]
		h.Past = slices.Clone(h.Past)
		for i := range h.Past { // the card's hard feed was known before any of this
			h.Past[i] = yard.PastWeek{Beginning: h.Past[i].Beginning, HardKg: h.Past[i].HardKg}
		}
		return ration.Plan(s.Week, ration.DefaultRules()).Horses[0]
	}
	for name, change := range map[string]func(*stable){
		"two weighings":           func(s *stable) { s.Weighings = s.Weighings[24:] },
		"weighings of ten days":   func(s *stable) { s.weighings(5, 500, 500, 501) },
		"one week known":          func(s *stable) { s.Past = s.Past[25:] },
		"no week known":           func(s *stable) { forget(s, func(p *yard.PastWeek) { p.Full = false }) },
		"stated weights only":     func(s *stable) { restate(s, yard.Stated) },
		"work of this week asked": func(s *stable) { s.Work[2].Unknown = true },
		"records half a year old": func(s *stable) {
			forget(s, func(p *yard.PastWeek) { p.Beginning = p.Beginning.AddDate(0, 0, -26*7) })
		},
	} {
		s := fedOn(t, 1.25, 26, steady)
		change(&s)
		with, without := s.only(), plain(s)
		if with.Energy.Own.IsKnown() || said(with, "part.evidence.need") {
			t.Errorf("%s: a need is learnt, %v", name, with.Energy.Own)
		}
		with.Horse.Past, without.Horse.Past = nil, nil
		if !reflect.DeepEqual(with, without) {
			t.Errorf("%s: the plan is another than without records:\n%+v\n%+v", name, with, without)
		}
	}
	if s := fedOn(t, 1.25, 26, steady); !s.only().Energy.Own.IsKnown() {
		t.Error("of the same horse with all of them nothing is learnt: the proof proves nothing")
	}
}

func forget(s *stable, change func(*yard.PastWeek)) {
	for i := range s.Past {
		change(&s.Past[i])
	}
}

func restate(s *stable, by yard.WeightBasis) {
	for i := range s.Weighings {
		s.Weighings[i].Basis = by
	}
}

// Each weighing more leaves the range as it is or narrows it.
func TestMoreWeighingsNarrowTheNeedOnTheSheet(t *testing.T) {
	s := fedOn(t, 1.1, 26, func(int) float64 { return 500 })
	all := s.Weighings
	last := math.Inf(1)
	for n := 4; n <= len(all); n++ {
		s.Weighings = all[len(all)-n:]
		r := s.only().Energy.NeedRange
		if wide := r.High.Or(math.NaN()) - r.Low.Or(math.NaN()); !(wide <= last+1e-9) {
			t.Errorf("%d weighings: the range is %.4f Mcal wide, with one less it was %.4f", n, wide, last)
		} else {
			last = wide
		}
	}
}

// A thin horse, one without a score, and one that loses weight are not fed less by what is
// learnt; a fat one and one of score 5 are.
func TestWhatIsLearntTakesNoFeedFromAThinHorse(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*stable)
		lower  bool
	}{
		"score 5":  {func(s *stable) { s.Score, s.TargetScore = yard.Known(5), yard.Known(5) }, true},
		"score 6":  {func(s *stable) { s.Score, s.TargetScore = yard.Known(6), yard.Known(6) }, true},
		"score 4":  {func(s *stable) { s.Score, s.TargetScore = yard.Known(4), yard.Known(4) }, false},
		"no score": {func(s *stable) { s.Score, s.TargetScore = yard.Num{}, yard.Num{} }, false},
		"losing of late": {func(s *stable) {
			for i := range s.Weighings[20:] {
				s.Weighings[20+i].Kg = yard.Known(500 - 3*float64(i))
			}
		}, false},
	} {
		s := fedOn(t, 0.85, 26, steady)
		c.change(&s)
		p := s.only()
		if lower := p.Energy.Own.Or(0) < 0; lower != c.lower {
			t.Errorf("%s: the horse's own evidence makes %.2f Mcal of its need, lowered: %v", name, p.Energy.Own.Or(0), lower)
		}
		if !c.lower {
			if p.Energy.Own.IsKnown() {
				t.Errorf("%s: %.2f Mcal of its own", name, p.Energy.Own.Or(0))
			}
			if name != "losing of late" && !said(p, "part.evidence.need.not lowered") {
				t.Errorf("%s: nobody is told why its need stays that of the tables", name)
			}
		}
	}
	// More than the tables is learnt of a thin horse too.
	s := fedOn(t, 1.2, 26, steady)
	s.Score, s.TargetScore = yard.Known(4), yard.Known(4)
	if own := s.only().Energy.Own.Or(0); own <= 0 {
		t.Errorf("a thin horse that needs a fifth more is given %.2f Mcal of its own", own)
	}
}

func TestFarFromTheTablesIsAQuestion(t *testing.T) {
	for share, key := range map[float64]string{0.7: "finding.need-own.less", 0.9: "", 1: "", 1.12: "", 1.4: "finding.need-own.more"} {
		s := fedOn(t, 1, 26, steady)
		for i := range s.Past { // as recorded; the ration of this week is no matter here
			p := &s.Past[i]
			p.ForageMcal, p.OtherMcal = yard.Known(p.ForageMcal.Or(0)*share), yard.Known(p.OtherMcal.Or(0)*share)
			p.CardEnd, p.Now = yard.FedEnergy{}, yard.FedEnergy{}
		}
		c := s.only()
		for _, k := range []string{"finding.need-own.less", "finding.need-own.more"} {
			if f := found(c.Findings, k); (f != nil) != (k == key) {
				t.Errorf("holding its weight on %.2f of the tables: %s is said: %v", share, k, f != nil)
			} else if f != nil && f.Severity != yard.Warn {
				t.Errorf("%s is a %s", k, f.Severity)
			}
		}
	}
}

// What all horses of a yard show together is said of the hay, once, and of no horse.
func TestTheHayIsPoorerThanTheTables(t *testing.T) {
	yardOf := func(n int, share float64) yard.Plan {
		s := fedOn(t, 1, 20, steady)
		for i := range s.Past {
			p := &s.Past[i]
			p.ForageMcal = yard.Known(p.ForageMcal.Or(0) * share)
			p.CardEnd, p.Now = yard.FedEnergy{}, yard.FedEnergy{}
		}
		w := s.Week
		horse, lines := w.Horses[0], w.Lines
		w.Horses, w.Lines = nil, nil
		for i := range n {
			h := horse
			h.Name = string(rune('A' + i))
			w.Horses = append(w.Horses, h)
			for _, l := range lines {
				l.Horse = h.Name
				w.Lines = append(w.Lines, l)
			}
		}
		return ration.Plan(w, ration.DefaultRules())
	}
	for _, c := range []struct {
		horses int
		share  float64
		key    string
	}{{8, 1.2, "finding.forage-energy.poorer"}, {8, 0.85, "finding.forage-energy.richer"}, {8, 1, ""}, {2, 1.2, ""}} {
		p := yardOf(c.horses, c.share)
		f := p.Forage
		t.Logf("%d horses, hay recorded at %.2f of what they hold their weight on: %.1f %% (%.1f to %.1f)", c.horses, c.share, f.EnergyPct.Mean, f.EnergyPct.Low, f.EnergyPct.High)
		for _, k := range []string{"finding.forage-energy.poorer", "finding.forage-energy.richer"} {
			if got := found(p.Findings, k); (got != nil) != (k == c.key) {
				t.Errorf("%d horses at %.2f: %s is said: %v", c.horses, c.share, k, got != nil)
			} else if got != nil && (got.Horse != "" || got.Severity != yard.Warn) {
				t.Errorf("%s is a %s of %q", k, got.Severity, got.Horse)
			}
		}
		for _, h := range p.Horses {
			if found(h.Findings, "finding.need-own.more") != nil || found(h.Findings, "finding.need-own.less") != nil {
				t.Errorf("%d horses at %.2f: what is common to all is said of %s", c.horses, c.share, h.Horse.Name)
			}
		}
	}
}

// A slip among the weighings is named with its cell and not counted; a last weighing far
// below is a fall until the next, never a slip.
func TestASlipAndAFall(t *testing.T) {
	s := fedOn(t, 1, 26, steady)
	clean := s.only().Energy.Need.Or(0)
	s.Weighings[23].Kg = yard.Known(550)
	c := s.only()
	f := found(c.Findings, "finding.weighing.odd")
	if f == nil || f.Cell.Sheet != "weights" || math.Abs(c.Energy.Need.Or(0)-clean) > 0.03*clean {
		t.Errorf("a slip of 50 kg: finding %v, need %.2f, without it %.2f", f, c.Energy.Need.Or(0), clean)
	}
	s = fedOn(t, 1, 26, steady)
	s.Weighings[25].Kg = yard.Known(470)
	s.WeightKg = yard.Known(470)
	c = s.only()
	if found(c.Findings, "finding.D-28.fall") == nil || found(c.Findings, "finding.weighing.odd.last") != nil || found(c.Findings, "finding.fed-now.holds") != nil {
		t.Errorf("a last weighing 30 kg down is not told as a fall")
	}
	if low, was := c.Energy.Supply.Or(0), s.Past[0].ForageMcal.Or(0)+s.Past[0].OtherMcal.Or(0); low < was-0.01 {
		t.Errorf("after a fall it is given %.2f Mcal, %.2f before", low, was)
	}
	s = fedOn(t, 1, 26, steady)
	s.Weighings[25].Kg = yard.Known(531)
	if c = s.only(); found(c.Findings, "finding.weighing.odd.last") == nil {
		t.Error("a last weighing 31 kg up is not asked about")
	}
}

// Where the weight is written over each week the records have what it was.
func TestTheRecordsHaveTheWeighings(t *testing.T) {
	s := fedOn(t, 1.2, 26, steady)
	want := s.only().Energy.Need
	all := s.Weighings
	for i := range s.Past { // each record has the last weighing of its time
		s.Past[i].Weighed = yard.Weighing{}
		if i > 0 {
			s.Past[i].Weighed = all[i-1]
		}
	}
	s.Weighings = all[25:]
	if got := s.only().Energy.Need; got != want {
		t.Errorf("by the records' weighings the need is %v, by the sheet's %v", got, want)
	}
	s.Weighings = all[23:] // a history is kept on the sheet: that counts
	if got := s.only(); len(got.Horse.Weighings) != 3 {
		t.Errorf("beside her three weighings stand %d", len(got.Horse.Weighings))
	}
}
