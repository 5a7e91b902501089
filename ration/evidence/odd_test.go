package evidence

import (
	"math"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// A weighing as a yard writes it: so many days after the start, kg.
type onDay struct {
	day int
	kg  float64
}

func byScale(ws ...onDay) []yard.Weighing { return by(yard.ByScale, ws...) }

func by(basis yard.WeightBasis, ws ...onDay) (out []yard.Weighing) {
	for _, w := range ws {
		out = append(out, yard.Weighing{Date: simStart.AddDate(0, 0, w.day), Kg: yard.Known(w.kg), Basis: basis})
	}
	return out
}

// fedAlike is a horse of 500 kg fed the same every week to the day it is asked about.
func fedAlike(weeks int, f Feeding, ws []yard.Weighing) Horse {
	h := Horse{Name: "Bramble", BodyKg: 500, Basis: yard.ByScale, Score: yard.Known(5), Prior: PriorOf(yard.NormalDoer, false), Weighings: ws, Now: f}
	for i := range weeks {
		h.Weeks = append(h.Weeks, Week{Beginning: simStart.AddDate(0, 0, 7*i), Feeding: f})
	}
	return h
}

func tableFeed() Feeding { return Feeding{yard.Known(14), yard.Known(4), yard.Known(1.35)} }

func learnOne(h Horse, weeks int) Learnt {
	return Learn(Yard{Today: simStart.AddDate(0, 0, 7*weeks), Horses: []Horse{h}, Assume: Published()}).Horses[0]
}

// weekly is one weighing a week from the start.
func weekly(kg ...float64) (out []onDay) {
	for i, k := range kg {
		out = append(out, onDay{7 * i, k})
	}
	return out
}

func TestAWeighingThatDoesNotFit(t *testing.T) {
	at := func(ws []onDay, i int, kg float64) []onDay {
		ws = append([]onDay(nil), ws...)
		ws[i].kg = kg
		return ws
	}
	steady := weekly(502, 498, 501, 499, 500, 503, 499, 500)
	for _, c := range []struct {
		name   string
		ws     []yard.Weighing
		odd    []float64 // kg of those set aside
		latest bool      // the last of them is the latest weighing
		fall   bool      // an unconfirmed one
		trend  yard.WeightTrend
	}{
		{"all fit", byScale(steady...), nil, false, false, yard.TrendHolding},
		{"450 written for 500, in the middle", byScale(at(steady, 3, 450)...), []float64{450}, false, false, yard.TrendHolding},
		{"a nought too many", byScale(at(steady, 3, 2990)...), []float64{2990}, false, false, yard.TrendHolding},
		{"another horse's weight, 560", byScale(at(steady, 4, 560)...), []float64{560}, false, false, yard.TrendHolding},
		{"a tape's 540 written down as the scale's", byScale(at(steady, 5, 540)...), []float64{540}, false, false, yard.TrendHolding},
		{"two slips apart", byScale(at(at(steady, 2, 455), 5, 548)...), []float64{455, 548}, false, false, yard.TrendHolding},
		{"the latest is 450: a slip or a fall", byScale(at(steady, 7, 450)...), []float64{450}, true, true, yard.TrendUnclear},
		{"the latest is 560: no fall", byScale(at(steady, 7, 560)...), []float64{560}, true, false, yard.TrendHolding},
		{"the first of late is far above all after", byScale(onDay{28, 550}, onDay{35, 501}, onDay{42, 499}, onDay{49, 500}), []float64{550}, false, true, yard.TrendUnclear},
		{"a fall that lasts", byScale(weekly(502, 498, 501, 499, 500, 455, 452, 450)...), nil, false, false, yard.TrendLosing},
		{"a fall the next weighing confirms", byScale(weekly(502, 498, 501, 499, 500, 503, 455, 453)...), nil, false, false, yard.TrendLosing},
		{"a fall that lasts, and rises a little", byScale(weekly(502, 498, 501, 499, 500, 452, 455, 453)...), nil, false, false, yard.TrendLosing},
		{"a fall in two great steps", byScale(weekly(501, 499, 500, 502, 500, 470, 440, 441)...), nil, false, false, yard.TrendLosing},
		{"a dip, half made good", byScale(weekly(500, 501, 499, 500, 475, 487, 486, 488)...), nil, false, false, yard.TrendUnclear},
		{"1 % a week while nobody weighed it", byScale(onDay{0, 500}, onDay{7, 501}, onDay{14, 499}, onDay{21, 500}, onDay{63, 470}), nil, false, false, yard.TrendLosing},
		{"a slip in the middle and the latest a slip or a fall", byScale(at(at(steady, 3, 455), 7, 440)...), []float64{455, 440}, true, true, yard.TrendUnclear},
		{"a slip up, then a slip or a fall", byScale(at(at(steady, 6, 560), 7, 440)...), []float64{560, 440}, true, true, yard.TrendUnclear},
		{"a slip at the second weighing", byScale(at(at(steady, 1, 450), 2, 497)...), []float64{450}, false, false, yard.TrendHolding},
		{"a slip at the last but one", byScale(at(at(steady, 6, 450), 7, 504)...), []float64{450}, false, false, yard.TrendUnclear},
		{"a rise at the last but one", byScale(at(at(steady, 6, 550), 7, 497)...), []float64{550}, false, false, yard.TrendHolding},
		{"11 % in 30 days", byScale(onDay{0, 501}, onDay{12, 499}, onDay{19, 500}, onDay{49, 445}), []float64{445}, true, true, yard.TrendUnclear},
		{"11 % in 30 days, weighed again", byScale(onDay{0, 501}, onDay{12, 499}, onDay{19, 500}, onDay{49, 445}, onDay{50, 447}), nil, false, false, yard.TrendLosing},
		{"two weighings, 12 % apart", byScale(onDay{35, 500}, onDay{49, 440}), []float64{440}, true, true, yard.TrendUnknown},
		{"0.8 % a week for ten weeks", byScale(weekly(500, 497, 491, 488, 485, 479, 477, 472, 470, 465)...), nil, false, false, yard.TrendLosing},
		{"9 % in 95 days by four weighings", byScale(onDay{0, 500}, onDay{32, 486}, onDay{64, 470}, onDay{95, 455}), nil, false, false, yard.TrendLosing},
	} {
		t.Run(c.name, func(t *testing.T) {
			last := c.ws[len(c.ws)-1].Date
			weeks := int(math.Ceil(last.Sub(simStart).Hours()/24/7 + 0.01))
			e := learnOne(fedAlike(weeks, tableFeed(), c.ws), weeks)
			var odd []float64
			for _, o := range e.Odd {
				odd = append(odd, o.Weighing.Kg.Or(0))
				if math.Abs(o.Weighing.Kg.Or(0)-o.ExpectedKg-o.OffKg) > 1e-9 {
					t.Errorf("%+v does not add up", o)
				}
			}
			if len(odd) != len(c.odd) {
				t.Fatalf("set aside %v, want %v", odd, c.odd)
			}
			for i := range odd {
				if odd[i] != c.odd[i] {
					t.Errorf("set aside %v, want %v", odd, c.odd)
				}
			}
			if n := len(e.Odd); n > 0 && e.Odd[n-1].Latest != c.latest {
				t.Errorf("the latest: %v, want %v", e.Odd[n-1].Latest, c.latest)
			}
			if e.UnconfirmedFall != c.fall {
				t.Errorf("unconfirmed fall: %v, want %v", e.UnconfirmedFall, c.fall)
			}
			if e.Trend != c.trend {
				t.Errorf("%s, want %s (recent %+v, long %+v)", e.Trend, c.trend, e.Recent, e.Long)
			}
			if (c.fall || c.trend == yard.TrendLosing || strings.HasPrefix(c.name, "a dip")) && e.MayLower {
				t.Error("feed may be lowered for a horse that is or may be falling")
			}
		})
	}
}

// A slip leaves the need as it is without it.
func TestASlipTeachesNothing(t *testing.T) {
	ws := weekly(502, 498, 501, 499, 500, 503, 499, 500)
	without := learnOne(fedAlike(7, tableFeed(), byScale(append(append([]onDay(nil), ws[:3]...), ws[4:]...)...)), 7)
	ws[3].kg = 450
	with := learnOne(fedAlike(7, tableFeed(), byScale(ws...)), 7)
	if with.Need != without.Need {
		t.Errorf("with a slip %+v, without it %+v", with.Need, without.Need)
	}
}

// A weighing on the horses sheet and again on the weights sheet is one weighing.
func TestAWeighingWrittenDownTwiceIsOne(t *testing.T) {
	ws := weekly(502, 498, 501, 499, 500, 503, 499, 500)
	once := learnOne(fedAlike(7, tableFeed(), byScale(ws...)), 7)
	twice := learnOne(fedAlike(7, tableFeed(), byScale(append(ws, ws...)...)), 7)
	if once.Need != twice.Need || once.Weighings != twice.Weighings {
		t.Errorf("written down twice: %d weighings, %+v; once: %d, %+v", twice.Weighings, twice.Need, once.Weighings, once.Need)
	}
	// Another one on the same day is another.
	more := append(append([]onDay(nil), ws...), onDay{21, 500})
	if e := learnOne(fedAlike(7, tableFeed(), byScale(more...)), 7); e.Weighings != 9 {
		t.Errorf("two weighings of one day: %d in all, want 9", e.Weighings)
	}
}

// Half a year ago it lost 5 % in eight weeks, and has held its weight since.
func TestAFallThatIsOver(t *testing.T) {
	for shift := range 5 {
		fallThatIsOver(t, shift)
	}
}

func fallThatIsOver(t *testing.T, shift int) {
	var ws []onDay
	for i := range 27 {
		kg := 500.0 + []float64{0, 2, -2, 1, -1}[(i+shift)%5]
		if i < 8 {
			kg += 3.2 * float64(8-i)
		}
		ws = append(ws, onDay{7 * i, kg})
	}
	for weeks := 15; weeks <= 20; weeks++ {
		if e := learnOne(fedAlike(weeks, tableFeed(), byScale(ws[:weeks+1]...)), weeks); e.Trend == yard.TrendLosing {
			t.Errorf("week %d: losing, recent %+v, long %+v", weeks, e.Recent, e.Long)
		}
	}
	for weeks := 21; weeks <= 26; weeks++ {
		if e := learnOne(fedAlike(weeks, tableFeed(), byScale(ws[:weeks+1]...)), weeks); e.Trend != yard.TrendHolding {
			t.Errorf("week %d: %s, recent %+v, long %+v", weeks, e.Trend, e.Recent, e.Long)
		}
	}
	if e := learnOne(fedAlike(8, tableFeed(), byScale(ws[:9]...)), 8); e.Trend != yard.TrendLosing {
		t.Errorf("while it fell it is called %s", e.Trend)
	}
}

// WG-14: 5 to 6 kg of hay less a day are about 11 kg on the scale in three days; no
// horse has lost them.
func TestLessHayIsNoFall(t *testing.T) {
	ws := byScale(weekly(502, 499, 501, 500, 500, 489, 488, 489, 488)...)
	h := fedAlike(8, tableFeed(), ws)
	cut := tableFeed()
	cut.ForageMcal, cut.OtherMcal = yard.Known(14-9.35), yard.Known(4+9.35) // 5.5 kg at 1.7 Mcal, replaced
	for i := 4; i < 8; i++ {
		h.Weeks[i].Feeding = cut
	}
	h.Now = cut
	if e := learnOne(h, 8); e.Trend == yard.TrendLosing {
		t.Errorf("called losing: recent %+v, long %+v", e.Recent, e.Long)
	}
	if e := learnOne(h, 8); math.Abs(e.Recent.KgPerWeek.Mean) > 0.6 {
		t.Errorf("the hay explains the fall, and yet %+v", e.Recent)
	}
	// The same weights on the same hay are a fall.
	if e := learnOne(fedAlike(8, tableFeed(), ws), 8); e.Trend != yard.TrendLosing {
		t.Errorf("not called losing but %s: recent %+v", e.Trend, e.Recent)
	}
}

// All hay taken away at once empties the gut: that is not a slip, and no fall yet.
func TestAnEmptyGutIsNoSlip(t *testing.T) {
	h := fedAlike(5, tableFeed(), byScale(weekly(502, 499, 501, 500, 500, 476)...))
	none := tableFeed()
	none.ForageMcal, none.OtherMcal = yard.Known(0), yard.Known(18)
	h.Weeks[4].Feeding, h.Now = none, none
	if e := learnOne(h, 5); len(e.Odd) > 0 {
		t.Errorf("24 kg less a week after the hay was taken away: %+v", e.Odd)
	}
	if e := learnOne(fedAlike(5, tableFeed(), h.Weighings), 5); len(e.Odd) != 1 || !e.UnconfirmedFall {
		t.Errorf("24 kg less on the same hay: %+v", e.Odd)
	}
}

// A horse whose weighings scatter more than most: none of them is odd, and its need
// and its trend are known less well.
func TestARoughScale(t *testing.T) {
	smooth, rough := weekly(500, 501, 499, 500, 502, 498, 500, 501, 499, 500), []onDay(nil)
	for i, off := range []float64{0, 14, -12, 9, -15, 13, -8, 15, -14, 1} {
		rough = append(rough, onDay{7 * i, 500 + off})
	}
	a, b := learnOne(fedAlike(9, tableFeed(), byScale(smooth...)), 9), learnOne(fedAlike(9, tableFeed(), byScale(rough...)), 9)
	if len(b.Odd) > 0 {
		t.Errorf("set aside: %+v", b.Odd)
	}
	if half(b.Need) < 1.2*half(a.Need) || b.Recent.SE < 1.5*a.Recent.SE {
		t.Errorf("need %+v and trend %+v, with a smooth scale %+v and %+v", b.Need, b.Recent, a.Need, a.Recent)
	}
	// Two in one week are taken as rough, too.
	b = learnOne(fedAlike(9, tableFeed(), append(byScale(rough...), byScale(onDay{10, 495}, onDay{20, 508})...)), 9)
	a = learnOne(fedAlike(9, tableFeed(), append(byScale(smooth...), byScale(onDay{10, 500}, onDay{20, 500})...)), 9)
	if half(b.Need) < 1.2*half(a.Need) {
		t.Errorf("need %+v, with a smooth scale %+v", b.Need, a.Need)
	}
}

// What was found long ago says nothing of now.
func TestOldWeighingsSayNothingOfNow(t *testing.T) {
	falling := weekly(520, 515, 509, 505, 501, 496, 490)
	if e := learnOne(fedAlike(6, tableFeed(), byScale(falling...)), 6); e.Trend != yard.TrendLosing {
		t.Errorf("while it fell: %s", e.Trend)
	}
	if e := learnOne(fedAlike(14, tableFeed(), byScale(falling...)), 14); e.Trend != yard.TrendUnknown {
		t.Errorf("not weighed for eight weeks, and called %s", e.Trend)
	}
	// An odd last weighing by scale, then tapes for three months.
	ws := byScale(weekly(501, 499, 500, 502, 450)...)
	for i := 5; i < 17; i++ {
		ws = append(ws, by(yard.ByTape, onDay{7 * i, 500})...)
	}
	if e := learnOne(fedAlike(17, tableFeed(), ws), 17); e.UnconfirmedFall || len(e.Odd) != 1 {
		t.Errorf("a slip three months ago: fall %v, odd %+v", e.UnconfirmedFall, e.Odd)
	}
}

// A stated weight is not a weighing, whatever it says each week.
func TestStatedWeightsShowNoTrend(t *testing.T) {
	ws := byScale(weekly(501, 499, 500, 502, 499, 500, 501)...)
	more := append(append([]yard.Weighing(nil), ws...), by(yard.Stated, weekly(520, 510, 500, 490, 480, 470, 460)...)...)
	a, b := learnOne(fedAlike(6, tableFeed(), ws), 6), learnOne(fedAlike(6, tableFeed(), more), 6)
	if a.Recent != b.Recent || a.Weighings != b.Weighings || a.Trend != b.Trend {
		t.Errorf("%s %+v with stated weights, %s %+v without", b.Trend, b.Recent, a.Trend, a.Recent)
	}
}

// A tape shows that a horse holds its weight too, only later.
func TestHoldingByTape(t *testing.T) {
	var ws []onDay
	for i := range 27 {
		ws = append(ws, onDay{7 * i, 500 + []float64{0, 5, -5, 10, -10}[i%5]})
	}
	for weeks, want := range map[int]yard.WeightTrend{6: yard.TrendUnclear, 26: yard.TrendHolding} {
		if e := learnOne(fedAlike(weeks, tableFeed(), by(yard.ByTape, ws[:weeks+1]...)), weeks); e.Trend != want {
			t.Errorf("%d weeks by tape: %s, want %s; recent %+v, long %+v", weeks, e.Trend, want, e.Recent, e.Long)
		}
	}
}

// WG-12, WG-13: a horse is 4 % lighter on the morning after a long ride.
func TestTheMorningAfterAnEvent(t *testing.T) {
	ws := byScale(weekly(502, 499, 501, 500, 501, 499, 500, 480)...)
	h := fedAlike(8, tableFeed(), ws)
	h.HardDays = []time.Time{simStart.AddDate(0, 0, 48)}
	if e := learnOne(h, 8); e.UnconfirmedFall || e.Trend == yard.TrendLosing {
		t.Errorf("20 kg less on the day after an event: fall %v, %s", e.UnconfirmedFall, e.Trend)
	}
	h.HardDays = nil
	if e := learnOne(h, 8); !e.UnconfirmedFall && e.Trend != yard.TrendLosing {
		t.Errorf("20 kg less with no event: fall %v, %s", e.UnconfirmedFall, e.Trend)
	}
}

func TestWhatIsSaidOfTheNeed(t *testing.T) {
	hold := func(kg float64, f Feeding, weeks int) Horse {
		var ws []onDay
		for i := range weeks + 1 {
			ws = append(ws, onDay{7 * i, kg + []float64{0, 2, -2, 1, -1}[i%5]})
		}
		h := fedAlike(weeks, f, byScale(ws...))
		h.BodyKg = kg
		return h
	}
	more := func(by float64) Feeding {
		f := tableFeed()
		f.ForageMcal, f.OtherMcal = yard.Known(14*by), yard.Known(4*by)
		return f
	}
	far := learnOne(hold(500, more(1.35), 20), 20)
	if !far.FarFromTables || far.Need.Mean < 1.2*far.TablesMcal {
		t.Errorf("held for 20 weeks on a third more than the tables: %+v, tables %.1f, far %v", far.Need, far.TablesMcal, far.FarFromTables)
	}
	near := learnOne(hold(500, tableFeed(), 20), 20)
	if near.FarFromTables || math.Abs(near.Need.Mean-near.TablesMcal) > 0.02*near.TablesMcal {
		t.Errorf("held on what the tables say: %+v, tables %.2f", near.Need, near.TablesMcal)
	}
	bound := learnOne(hold(500, more(1.9), 26), 26)
	if !bound.AtBound || bound.Need.Mean != MostOfTables*bound.TablesMcal || bound.Need.High > MostOfTables*bound.TablesMcal {
		t.Errorf("held on nearly twice the tables: %+v of %.1f, at the bound %v", bound.Need, bound.TablesMcal, bound.AtBound)
	}
	less := learnOne(hold(500, more(0.4), 26), 26)
	if !less.AtBound || less.Need.Mean != LeastOfTables*less.TablesMcal {
		t.Errorf("held on under half the tables: %+v of %.1f, at the bound %v", less.Need, less.TablesMcal, less.AtBound)
	}

	for _, c := range []struct {
		name  string
		score yard.Num
		may   bool
	}{{"score 5", yard.Known(5), true}, {"score 7", yard.Known(7), true}, {"score 4.5", yard.Known(4.5), false}, {"not scored", yard.Num{}, false}} {
		h := hold(500, more(0.85), 20)
		h.Score = c.score
		e := learnOne(h, 20)
		if e.Need.Mean >= e.TablesMcal {
			t.Errorf("the case is to need less than the tables: %+v", e.Need)
		}
		if e.MayLower != c.may {
			t.Errorf("%s: feed may be lowered: %v", c.name, e.MayLower)
		}
	}
}

func TestWhyNothingIsLearnt(t *testing.T) {
	ok := func() Horse {
		return fedAlike(8, tableFeed(), byScale(weekly(500, 501, 499, 500, 502, 498, 500, 501)...))
	}
	for _, c := range []struct {
		name   string
		change func(*Horse)
		want   yard.NotLearnt
	}{
		{"all there", func(h *Horse) {}, yard.LearntSomething},
		{"no body weight", func(h *Horse) { h.BodyKg = 0 }, yard.NoBodyWeight},
		{"a body weight of no horse", func(h *Horse) { h.BodyKg = math.NaN() }, yard.NoBodyWeight},
		{"no tables", func(h *Horse) { h.Prior.McalPerKg = 0 }, yard.NoTablesNeed},
		{"never weighed", func(h *Horse) { h.Weighings = nil }, yard.FewWeighings},
		{"weighed twice", func(h *Horse) { h.Weighings = h.Weighings[:2] }, yard.FewWeighings},
		{"stated week after week", func(h *Horse) {
			for i := range h.Weighings {
				h.Weighings[i].Basis = yard.Stated
			}
		}, yard.FewWeighings},
		{"all in one week", func(h *Horse) {
			for i := range h.Weighings {
				h.Weighings[i].Date = simStart.AddDate(0, 0, i)
			}
		}, yard.ShortHistory},
		{"feed never written down", func(h *Horse) { h.Weeks = nil }, yard.FeedNotKnown},
		{"fed less than nothing", func(h *Horse) {
			for i := range h.Weeks {
				h.Weeks[i].ForageMcal = yard.Known(-14)
			}
		}, yard.FeedNotKnown},
		{"work never understood", func(h *Horse) {
			for i := range h.Weeks {
				h.Weeks[i].WorkMcal = yard.Num{}
			}
		}, yard.FeedNotKnown},
		{"this week's work not understood", func(h *Horse) { h.Now.WorkMcal = yard.Num{} }, yard.FeedNotKnown},
		{"each week written down twice", func(h *Horse) { h.Weeks = append(h.Weeks, h.Weeks...) }, yard.FeedNotKnown},
		{"weighed a year ago", func(h *Horse) {
			for i := range h.Weighings {
				h.Weighings[i].Date = h.Weighings[i].Date.AddDate(-1, 0, 0)
			}
		}, yard.FewWeighings},
		{"weighed in a year to come", func(h *Horse) {
			for i := range h.Weighings {
				h.Weighings[i].Date = h.Weighings[i].Date.AddDate(1, 0, 0)
			}
		}, yard.FewWeighings},
	} {
		h := ok()
		c.change(&h)
		e := learnOne(h, 8)
		if e.NotLearnt != c.want {
			t.Errorf("%s: %q, want %q", c.name, e.NotLearnt, c.want)
		}
		if e.NotLearnt == yard.LearntSomething {
			continue
		}
		if e.Need.Mean != e.TablesMcal || e.MayLower || e.FarFromTables || e.AtBound {
			t.Errorf("%s: something changed: %+v", c.name, e.Evidence)
		}
		if _, ok := e.Forecast(tableFeed(), 28); ok {
			t.Errorf("%s: and yet a forecast", c.name)
		}
		if _, ok := e.MoreWeighings(0.05); ok {
			t.Errorf("%s: and yet a number of weighings", c.name)
		}
	}
}
