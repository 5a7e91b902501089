package evidence

import (
	"math"
	"slices"
	"time"

	"hardfeed/ration/yard"
)

// Feeding is a day's energy, the mean of a week, Mcal DE as the tables count it.
type Feeding struct {
	ForageMcal yard.Num // hay, haylage, grass, straw: what shares the yard's common error
	OtherMcal  yard.Num // everything else
	WorkMcal   yard.Num // need less maintenance: work, cold
}

// amounts returns the three, and whether all are known and can be.
func (f Feeding) amounts() (forage, other, work float64, ok bool) {
	ok = true
	for _, x := range []struct {
		from yard.Num
		to   *float64
	}{{f.ForageMcal, &forage}, {f.OtherMcal, &other}, {f.WorkMcal, &work}} {
		v, known := x.from.Get()
		*x.to = v
		ok = ok && known && plausible(v)
	}
	return forage, other, work, ok
}

// plausible says whether v can be a day's energy, Mcal.
func plausible(v float64) bool { return v >= 0 && v <= mostMcal }

// mostMcal is far over anything a horse eats or needs in a day (a 900 kg horse in
// very heavy work needs 62 Mcal).
const mostMcal = 300

// Weights outside these are no horse's; the reader has asked about them.
const leastKg, mostKg = 20, 3000

// Week is what a horse was fed and did in the seven days from Beginning. A week
// of which anything is unknown teaches nothing.
type Week struct {
	Beginning time.Time
	Feeding
	DoubtMcal float64 // SD of the intake that is only estimated (grass, ad lib), Mcal a day; 0: as recorded
}

// Horse is what is known of one horse.
type Horse struct {
	Name      string
	BodyKg    float64          // the body weight the plan uses now, kg
	Basis     yard.WeightBasis // of BodyKg: a tape's error is in the tables' need too
	Score     yard.Num         // condition score now, 1-9
	Prior     Prior            // its maintenance by the tables
	Weighings []yard.Weighing  // in any order
	HardDays  []time.Time      // events and other days after which it is short of water
	Weeks     []Week           // past weeks, in any order; two on one day: unknown
	Now       Feeding          // this week
}

// The unknowns common to all histories, each counted in its own prior SD. Behind
// them stand the weeks' own errors and the gut fill of weeks with several weighings.
const (
	uWeight  = iota // body weight today
	uOwn            // maintenance about the tables'
	uWork           // energy of work about the model's
	uForage         // energy of the yard's forage about the tables'
	uCost           // kilograms a Mcal about 1/20
	uGut            // gut fill a Mcal of forage about the mean
	uTape           // this horse's reading by tape against the scale
	uFormula        // the same by girth and length
	nState
)

// weighed is a weighing as the model takes it.
type weighed struct {
	yard.Weighing
	day    int
	kg     float64
	sd     float64 // scatter of the reading, kg, gut fill aside
	bias   float64 // kg
	offset int     // uTape, uFormula, or -1
	offKg  float64 // SD of that unknown, kg
}

// dayFed is one day of the history.
type dayFed struct {
	known               bool
	forage, other, work float64
	doubt               float64
	column              int // of the week's own error, behind nState
}

// history is one horse made ready: days from first to today.
type history struct {
	Horse
	as           *Assumptions
	today, first int      // first: of the first weighing used
	maintenance  float64  // by the tables, Mcal a day
	own          float64  // SD of the horse's own about it, Mcal a day
	begins       []int    // first days of Weeks
	days         []dayFed // of day first+i
	columns      int      // weeks' own errors
	used         []weighed
	odd          []yard.OddWeighing
	fall         bool    // the latest weighing is odd and low
	scatter      float64 // of this horse's readings against Ways, 1 or more
	forageNow    float64
	workNow      float64
	gut          map[int]int // of weeks with several weighings, counted back from today: their unknown
	knownDays    int         // between the first and the last weighing used
	to           int         // day of the last weighing used
	why          yard.NotLearnt
}

func dayOf(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

func dateOf(day int) time.Time { return time.Unix(int64(day)*86400, 0).UTC() }

// read makes a horse ready; why says where nothing can be learnt of it.
func read(h Horse, today int, as *Assumptions) *history {
	p := &history{Horse: h, as: as, today: today, first: today, scatter: 1, maintenance: h.Prior.McalPerKg * h.BodyKg}
	switch {
	case !(h.BodyKg >= leastKg && h.BodyKg <= mostKg):
		p.why = yard.NoBodyWeight
		return p
	case !(p.maintenance > 0 && p.maintenance <= mostMcal) || !(h.Prior.CV >= 0 && h.Prior.CV <= 1):
		p.why = yard.NoTablesNeed
		return p
	}
	basis := as.Ways[h.Basis]
	p.own = p.maintenance * math.Sqrt(h.Prior.CV*h.Prior.CV+basis.Offset*basis.Offset+basis.Scatter*basis.Scatter)
	w, workKnown := h.Now.WorkMcal.Get()
	workKnown = workKnown && plausible(w)
	if workKnown {
		p.workNow = w
	}
	for _, w := range h.Weeks {
		p.begins = append(p.begins, dayOf(w.Beginning))
	}
	p.used = p.weighings()
	p.setAsideOdd()
	if n := len(p.used); n > 0 {
		p.first, p.to = p.used[0].day, p.used[n-1].day
	}
	p.layDays()
	p.groupGut()
	switch {
	case len(p.used) < leastWeighings:
		p.why = yard.FewWeighings
	case p.to-p.first < leastDays:
		p.why = yard.ShortHistory
	case p.knownDays < 7*leastWeeks || !workKnown:
		p.why = yard.FeedNotKnown
	}
	return p
}

// weighings are those of the last half-year that tell anything, oldest first.
func (p *history) weighings() []weighed {
	hard := map[int]bool{}
	for _, t := range p.HardDays {
		for i := range hardDayDays + 1 {
			hard[dayOf(t)+i] = true
		}
	}
	var all []weighed
	for _, w := range p.Weighings {
		kg, ok := w.Kg.Get()
		day := dayOf(w.Date)
		if !ok || !(kg > 0 && kg <= mostKg) || w.Date.IsZero() || day > p.today || day < p.today-historyDays {
			continue
		}
		way, ok := p.as.Ways[w.Basis]
		if !ok || !way.Tells {
			continue
		}
		x := weighed{Weighing: w, day: day, kg: kg, sd: way.Scatter * p.BodyKg, bias: way.Bias * p.BodyKg, offset: -1, offKg: way.Offset * p.BodyKg}
		switch w.Basis {
		case yard.ByTape:
			x.offset = uTape
		case yard.ByGirthLength:
			x.offset = uFormula
		}
		if hard[day] {
			x.sd = math.Hypot(x.sd, p.as.HardDay*p.BodyKg)
		}
		all = append(all, x)
	}
	slices.SortStableFunc(all, compareWeighed)
	// One weighing written down in two places is one.
	return slices.CompactFunc(all, func(a, b weighed) bool { return compareWeighed(a, b) == 0 })
}

// compareWeighed orders by day, and on one day so that the order written down
// does not matter.
func compareWeighed(a, b weighed) int {
	switch {
	case a.day != b.day:
		return a.day - b.day
	case a.Basis != b.Basis && a.Basis < b.Basis, a.Basis == b.Basis && a.kg < b.kg:
		return -1
	case a.Basis == b.Basis && a.kg == b.kg:
		return 0
	}
	return 1
}

// layDays fills the days from the first weighing to today from the weeks.
func (p *history) layDays() {
	n := p.today - p.first
	p.days = make([]dayFed, n)
	columns := map[[2]int]int{} // by week, or by seven days counted back from today
	latest := -1
	for i := range p.days {
		d := &p.days[i]
		key := [2]int{1, (n - 1 - i) / 7}
		if k := p.weekOf(p.first + i); k >= 0 {
			w := p.Weeks[k]
			d.forage, d.other, d.work, d.known = w.amounts()
			if d.known && w.DoubtMcal > 0 && plausible(w.DoubtMcal) {
				d.doubt = w.DoubtMcal
			}
			if d.known {
				key = [2]int{0, p.begins[k]}
				latest = i
				if day := p.first + i; day < p.to {
					p.knownDays++
				}
			}
		}
		c, ok := columns[key]
		if !ok {
			c = len(columns)
			columns[key] = c
		}
		d.column = nState + c
	}
	p.columns = len(columns)
	if f, ok := p.Now.ForageMcal.Get(); ok && plausible(f) {
		p.forageNow = f
	} else if latest >= 0 {
		p.forageNow = p.days[latest].forage
	}
}

// groupGut gives each week with several weighings one unknown for its gut fill:
// weighings of one week are not as good as weighings of several.
func (p *history) groupGut() {
	count := map[int]int{}
	for _, w := range p.used {
		count[(p.today-w.day)/7]++
	}
	p.gut = map[int]int{}
	for _, w := range p.used {
		week := (p.today - w.day) / 7
		if _, ok := p.gut[week]; !ok && count[week] > 1 {
			p.gut[week] = nState + p.columns + len(p.gut)
		}
	}
}

// moreForage is how much more forage, Mcal a day, the horse had before a weighing
// than it has now; none where that is unknown.
func (p *history) moreForage(day int) float64 {
	if f, ok := p.forageBefore(day); ok {
		return f - p.forageNow
	}
	return 0
}

// forageBefore is the forage of the day before a weighing, or where no week has
// that day, of the day itself, Mcal.
func (p *history) forageBefore(day int) (float64, bool) {
	for _, d := range []int{day - 1, day} {
		if k := p.weekOf(d); k >= 0 {
			f, _, _, ok := p.Weeks[k].amounts()
			return f, ok
		}
	}
	return 0, false
}

// weekOf is the one week a day lies in, -1 where there is none or several.
func (p *history) weekOf(day int) int {
	found := -1
	for k, begin := range p.begins {
		if day >= begin && day < begin+7 {
			if found >= 0 {
				return -1
			}
			found = k
		}
	}
	return found
}
