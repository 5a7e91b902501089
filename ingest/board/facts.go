package board

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"hardfeed/ingest/phrase"
	"hardfeed/ingest/quantity"
	"hardfeed/ration/yard"
)

var basisOfWeight = map[quantity.Basis]yard.WeightBasis{quantity.Scale: yard.ByScale, quantity.Tape: yard.ByTape, quantity.Formula: yard.ByGirthLength, quantity.Stated: yard.Stated, quantity.NotSaid: yard.Stated}

// facts puts the week together, horse by horse.
type facts struct {
	asks      *questions
	room      *feedRoom
	lang      *language
	week      plannedWeek
	firstDay  int // of the week; Monday 0
	feeding   *feeding
	scales    *weigher
	work      *workWeeks
	notes     *noteReader
	mealsUsed map[string]bool
	hayCells  int
}

// horseWeek puts a horse's facts together.
func (fs *facts) horseWeek(h *horse, w *yard.Week) yard.Horse {
	out := yard.Horse{Name: h.name, Cell: place(h.sheet, h.cell), WeightBasis: yard.NoWeight, Cells: map[string]yard.Cell{},
		Type: yard.TypeHorse, Keeper: yard.NormalDoer, Fitness: yard.FitnessUnknown}
	notes, ills, off, losing := fs.notes.notesOf(h)
	out.Notes, out.Diagnoses, out.OffFeed, out.Losing = joinNotes(notes), ills, off, losing
	best, all := fs.scales.weightOf(h)
	if best.known {
		out.WeightKg, out.WeightBasis, out.Weighed = yard.Known(best.kg), basisOfWeight[best.basis], best.date
		out.Cells["weight"] = place(best.at.sheet, best.at.cell)
		for _, x := range all {
			if !x.date.IsZero() && x.known {
				out.Weighings = append(out.Weighings, yard.Weighing{Date: x.date, Kg: yard.Known(x.kg), Basis: basisOfWeight[x.basis], Cell: place(x.at.sheet, x.at.cell)})
			}
		}
		slices.SortStableFunc(out.Weighings, func(x, y yard.Weighing) int { return x.Date.Compare(y.Date) })
		out.Weighings = slices.CompactFunc(out.Weighings, func(x, y yard.Weighing) bool { return x.Date.Equal(y.Date) && x.Kg == y.Kg })
	}
	for _, o := range h.obs {
		if o.role != girthRole && o.role != lengthRole {
			continue
		}
		o.use("its girth or length")
		if v, ok := centimetres(o); ok {
			if o.role == girthRole {
				out.GirthCm = yard.Known(v)
			} else {
				out.LengthCm = yard.Known(v)
			}
		}
	}
	days, given := fs.work.workOf(h, 0)
	out.WorkGiven = given
	first := fs.firstDay
	for d := range 7 {
		out.Work[(d-first+7)%7] = days[d].day()
	}
	before, beforeGiven := fs.work.workOf(h, 1)
	if beforeGiven && slices.ContainsFunc(before[:], func(d dayWork) bool { return d.said }) {
		out.BeforeGiven = true
		for d := range 7 {
			out.Before[(d-first+7)%7] = before[d].day()
		}
	}
	out.Past = fs.feeding.pastWeeks(h)
	now, plan := h.now, h.plan
	out.PlanUnread = h.planUnread
	linesBefore := len(w.Lines)
	fs.lines(h, w, now, plan)
	if h.fate != "" || h.struck {
		out.NoCard = append(out.NoCard, fs.whyGone(h))
	} else if (now.unknown || plan.unknown) && !slices.ContainsFunc(w.Lines[linesBefore:], func(l yard.Line) bool { return l.Feed != hayName }) {
		out.NoCard = append(out.NoCard, yard.Say("why.board.unread"))
	}
	return out
}

// whyGone says why a horse gets no card: it is sold, or crossed out.
func (fs *facts) whyGone(h *horse) yard.Saying {
	if h.fate != "" {
		a := ask{rule: "horse-gone", why: h.fate, word: h.fateAt.cell.Text, at: h.fateAt, cell: h.fateAt.cell, sheet: h.fateAt.sheet, note: true}
		fs.asks.add("gone\x00"+h.name, a)
		return yard.Say("why.board.gone", wrote(h.fateAt.cell.Text), yard.Named("cell", yard.Place, place(h.fateAt.sheet, h.fateAt.cell).String()))
	}
	fs.asks.add("gone\x00"+h.name, ask{rule: "horse-gone", why: "struck", word: h.name, cell: h.cell, sheet: h.sheet, horses: []int{h.index}, note: true})
	return yard.Say("why.board.struck")
}

func centimetres(o *obs) (float64, bool) {
	v := o.cell.Num
	if o.cell.Kind != Number {
		if _, err := fmt.Sscanf(strings.Replace(o.cell.Text, ",", ".", 1), "%g", &v); err != nil {
			return 0, false
		}
	}
	if v > 0.7 && v < 2.8 {
		v *= 100
	}
	return v, v >= 70 && v <= 280
}

func (d dayWork) day() yard.Day {
	out := yard.Day{Sessions: d.session, Unknown: d.unknown, Event: d.event, StartMin: -1, Text: strings.Join(d.texts, " + ")}
	if d.event {
		out.SetStarts(d.starts)
	}
	if d.unknown {
		out.Sessions = nil
	}
	if d.at != nil {
		out.Cell = place(d.at.sheet, d.at.cell)
	}
	return out
}

// unnamedHorses gives rows with something in them and no name a horse's place
// without a card: whoever it is must not be forgotten.
func unnamedHorses(unnamed []nameless, asks *questions, w *yard.Week) {
	for _, x := range unnamed {
		name := fmt.Sprintf("Row %d on %s", x.cell.Row, x.sheet.Name)
		at := place(x.sheet, x.cell)
		w.Horses = append(w.Horses, yard.Horse{Name: name, Cell: at, WeightBasis: yard.NoWeight, Cells: map[string]yard.Cell{}, Type: yard.TypeHorse, Keeper: yard.NormalDoer, Fitness: yard.FitnessUnknown,
			NoCard: []yard.Saying{yard.Say("why.board.nameless")}})
		asks.say(yard.Finding{Rule: "name-missing", Severity: yard.Stop, Horse: name, Cell: at,
			Saying: yard.Say("finding.board.name-missing", yard.Count("row", x.cell.Row), yard.Named("sheet", yard.Place, x.sheet.Name))})
	}
}

// lines turns a horse's rations into lines of the week.
func (fs *facts) lines(h *horse, w *yard.Week, now, plan ration) {
	type key struct{ feed, meal string }
	at := map[key]int{}
	line := func(feed, meal string, o *obs) *yard.Line {
		k := key{feed, meal}
		i, ok := at[k]
		if !ok {
			i = len(w.Lines)
			at[k] = i
			if meal != "" {
				fs.mealsUsed[meal] = true
			}
			w.Lines = append(w.Lines, yard.Line{Horse: h.name, Feed: fs.room.feeds[feed].name, Meal: mealName(meal), Cell: place(o.sheet, o.cell)})
		}
		return &w.Lines[i]
	}
	put := func(r ration, which func(*yard.Line) *yard.Amount) {
		for _, p := range r.portions {
			if p.vague {
				continue
			}
			a := which(line(p.feed, p.meal, p.cell))
			cell := place(p.cell.sheet, p.cell.cell)
			if a.Given {
				if p.known && a.Kg.IsKnown() {
					a.Kg = yard.Known(a.Kg.Or(0) + p.kg)
					if a.Measures.IsKnown() {
						a.Measures = yard.Known(a.Measures.Or(0) + p.count)
					}
				} else {
					a.Kg = yard.Num{}
				}
				continue
			}
			*a = yard.Amount{Given: true, AdLib: p.adLib, Cell: cell}
			if p.known {
				a.Kg = yard.Known(p.kg)
				if _, mass := quantity.KgPer(p.measure); !mass {
					a.Measures = yard.Known(p.count)
				}
			}
		}
	}
	nowOf := func(l *yard.Line) *yard.Amount { return &l.Now }
	planOf := func(l *yard.Line) *yard.Amount { return &l.Planned }
	if !now.unknown {
		put(now, nowOf)
	}
	if !plan.unknown {
		put(plan, planOf)
	}
	served := func(r ration) bool {
		return slices.ContainsFunc(r.portions, func(p portion) bool { return !p.vague && fs.room.isHard(p.feed) })
	}
	nothing := func(r ration) bool { return r.said && !r.unknown && !served(r) }
	// A feed that is fed now and is not in the plan is planned as nothing, and the
	// other way round; a horse that gets nothing gets nothing of the yard's first feed.
	zero := func(a *yard.Amount, o yard.Cell) {
		if !a.Given {
			*a = yard.Amount{Given: true, Kg: yard.Known(0), Cell: o}
		}
	}
	if nothing(now) || nothing(plan) {
		if f := fs.room.mainFeed(); f != "" {
			if i := slices.IndexFunc(h.obs, func(x *obs) bool { return x.role == feedRole && fs.week.age(x) == 0 }); i >= 0 {
				o := h.obs[i]
				l := line(f, "", o)
				if nothing(now) {
					zero(&l.Now, l.Cell)
				}
				if nothing(plan) {
					zero(&l.Planned, l.Cell)
				}
			}
		}
	}
	for _, i := range at {
		l := &w.Lines[i]
		if plan.said && !plan.unknown {
			zero(&l.Planned, l.Cell)
		}
		if now.said && !now.unknown {
			zero(&l.Now, l.Cell)
		}
	}
	fs.hay(h, w)
}

// hayName is what hay is called on the cards of a yard that only says hay.
const hayName = "Hay"

// hay takes the hay where it is written as a weight, or as much as it eats.
func (fs *facts) hay(h *horse, w *yard.Week) {
	for _, o := range h.obs {
		if o.role != hayRole || fs.week.age(o) > 0 {
			continue
		}
		o.use("its hay")
		fs.hayCells++
		a := fs.lang.w.Amounts(o.cell.Text, phrase.AmountContext{Unit: o.unit, Feed: hayName})
		line := yard.Line{Horse: h.name, Feed: hayName, Cell: place(o.sheet, o.cell)}
		at := yard.Amount{Given: true, Cell: line.Cell}
		kg, known := 0.0, len(a.Parts) > 0 && len(a.Unread) == 0
		adLib := a.AdLib
		for _, p := range a.Parts {
			adLib = adLib || p.AdLib
			per, ok := quantity.KgPer(cmp.Or(p.Unit, o.unit))
			if !ok || !p.Known || p.High != 0 || p.Other != 0 {
				known = false
				continue
			}
			kg += p.Value * per * float64(max(p.Times, 1))
		}
		switch {
		case adLib:
			at.AdLib = true
		case known && kg > 0 && kg < 40:
			at.Kg = yard.Known(kg)
		default:
			continue
		}
		line.Planned = at
		if h.now.said && !h.now.unknown { // hay alone would say that nothing else is fed
			line.Now = at
		}
		w.Lines = append(w.Lines, line)
		return
	}
}

var classOf = map[string]yard.FeedClass{"hard": yard.HardFeed, "balancer": yard.HardFeed, "beet": yard.HardFeed, "chaff": yard.Chaff, "hay": yard.Forage, "oil": yard.Oil, "salt": yard.Salt, "succulent": yard.Succulent, "medicine": yard.Supplement}

// listFeeds lists the feeds, measures and meals the workbook speaks of.
func (fs *facts) listFeeds(w *yard.Week) {
	used := map[string]bool{}
	for _, l := range w.Lines {
		used[l.Feed] = true
	}
	for _, f := range fs.room.order {
		info := fs.room.feeds[f]
		if !used[info.name] {
			continue
		}
		feed := yard.Feed{Name: info.name, Class: classOf[info.key]}
		if feed.Class == yard.Forage {
			feed.Generic = "hay"
		}
		if feed.Class == yard.Unclassed {
			feed.Class = yard.HardFeed
		}
		if info.at != nil {
			feed.Cell = place(info.at.sheet, info.at.cell)
		}
		for _, m := range sortedKeys(info.perKg) {
			if slices.Contains(fs.room.measures, m) {
				feed.MeasureName, feed.MeasureKg = m, yard.Known(info.perKg[m])
				break
			}
		}
		w.Feeds = append(w.Feeds, feed)
	}
	if fs.hayCells > 0 {
		w.Feeds = append(w.Feeds, yard.Feed{Name: hayName, Class: yard.Forage, Generic: "hay"})
	}
	for _, m := range fs.room.measures {
		w.Measures = append(w.Measures, yard.Measure{Name: m})
	}
	if len(fs.mealsUsed) == 0 {
		fs.mealsUsed["am"], fs.mealsUsed["pm"] = true, true
	}
	for _, m := range fs.mealOrder() {
		w.Meals = append(w.Meals, yard.Meal{Name: mealName(m), Minute: mealMinute(m)})
	}
}
