package ration

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"hardfeed/ration/guard"
	"hardfeed/ration/need"
	"hardfeed/ration/yard"
)

// Plan computes every horse's ration for the week. It never fails: what cannot
// be computed is a horse without a card and a finding that says why.
func Plan(week yard.Week, rules yard.Rules) yard.Plan {
	p := yard.Plan{Week: week, Standard: need.NRC{}.Name(), WorkModel: string(rules.WorkModel)}
	room := newRoom(week, rules)
	rows := map[string][]yard.Line{}
	for _, l := range week.Lines {
		k := fold(l.Horse)
		rows[k] = append(rows[k], l)
	}
	found := map[string][]yard.Finding{} // by the reader, on a horse
	for _, f := range week.Findings {
		if f.Horse != "" {
			found[fold(f.Horse)] = append(found[fold(f.Horse)], f)
		}
	}
	// From here on the room is only read, and no horse's plan knows of another's:
	// they are worked out side by side.
	horses := withRecordedWeighings(week)
	learnt, forage := learn(horses, rows, room, week, rules)
	p.Forage = forage
	p.Horses = make([]yard.HorsePlan, len(week.Horses))
	used := make([]map[string]weekTotal, len(week.Horses))
	eachIndex(len(week.Horses), func(i int) {
		h := horses[i]
		hp, u, _ := planHorse(h, rows[fold(h.Name)], room, week, rules, learnt[i])
		hp.Findings = append(hp.Findings, found[fold(h.Name)]...)
		finish(h, hp.Findings)
		onlyWhereTheCardDiffers(&hp)
		hp.Findings = oneCauseOnce(hp.Findings)
		saidByTheCard(&hp)
		p.Horses[i], used[i] = hp, u
	})
	lines := yardLines(p.Horses)
	for i := range p.Horses {
		yard.SortFindings(p.Horses[i].Findings)
		p.Horses[i].Findings = slices.CompactFunc(p.Horses[i].Findings, yard.Finding.Equal)
	}
	totals := map[string]weekTotal{}
	for _, u := range used { // in the workbook's order: sums depend on it in the last bit
		for k, t := range u {
			sum := totals[k]
			totals[k] = weekTotal{sum.kg + t.kg, sum.estimated || t.estimated}
		}
	}
	if _, grazed := totals[fold(genericGrass)]; grazed && !room.has(genericGrass) {
		room.add(yard.Feed{Name: genericGrass, Generic: genericPasture}, week)
	}
	for _, k := range room.order {
		p.Feeds = append(p.Feeds, orderLine(room.feeds[k].FeedNeed, totals[k]))
	}
	named := map[string]bool{}
	for _, h := range week.Horses {
		named[fold(h.Name)] = true
	}
	for _, f := range week.Findings {
		if f.Horse == "" || !named[fold(f.Horse)] { // the others stand with their horses
			p.Findings = append(p.Findings, f)
		}
	}
	p.Findings = append(p.Findings, room.findings...)
	for _, n := range p.Feeds {
		if days, ok := n.StockDays.Get(); ok && below(days, 7) {
			p.Findings = append(p.Findings, yard.Finding{Rule: "stock", Severity: yard.Warn, Cell: n.Feed.Cell,
				Saying: yard.Say("finding.stock", yard.FeedArg("feed", n.Feed.Name), yard.Fixed("days", days, yard.Days, 1), yard.Fixed("kg", n.KgWeek, yard.Kilograms, 0))})
		}
	}
	p.Findings = append(p.Findings, ofHorses(p.Horses, lines)...)
	p.Findings = append(p.Findings, lines...)
	p.Findings = append(p.Findings, room.check(week, rules)...)
	if f, ok := analyseFirst(p.Horses, used, room, rules.Limits); ok {
		p.Findings = append(p.Findings, f)
	}
	if f, ok := forageDiffers(p.Forage, p.Feeds); ok {
		p.Findings = append(p.Findings, f)
	}
	if f, ok := labelFirst(p.Horses, used, room); ok {
		p.Findings = append(p.Findings, f)
	}
	if f, ok := sayCheapest(p.Horses, used, room, func(i int) *served {
		quiet := rules
		quiet.Workings = false
		_, _, s := planHorse(horses[i], rows[fold(horses[i].Name)], room, week, quiet, learnt[i])
		return s
	}); ok {
		p.Findings = append(p.Findings, f)
	}
	if l := rules.Loosened; len(l.Marks) > 0 {
		p.Findings = append(p.Findings, yard.Finding{Rule: "loosened", Severity: yard.Warn,
			Saying: yard.Say("finding.loosened", yard.Named("who", yard.PersonName, l.By), yard.Words("reason", l.Reason), yard.Names("marks", yard.Semicolon, yard.Term, l.Marks))})
	}
	yard.SortFindings(p.Findings)
	p.Findings = slices.CompactFunc(p.Findings, yard.Finding.Equal)
	tellSince(p.Findings, week.Told)
	return p
}

// eachIndex calls do for 0 to n-1, as many at a time as there are processors. A panic in
// one becomes the caller's, who can still name the workbook.
func eachIndex(n int, do func(i int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	var fault atomic.Value
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					fault.Store(fmt.Sprintf("%v\n%s", p, debug.Stack()))
				}
			}()
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
	if p := fault.Load(); p != nil {
		panic(p)
	}
}

// finish gives each finding of a rule its why and its next step, and a place in
// the workbook: the horse's row where no cell of its own is known.
func finish(h yard.Horse, found []yard.Finding) {
	for i := range found {
		f := &found[i]
		if r, ok := guard.Lookup(f.Rule); ok && f.Why.Empty() {
			f.Why, f.Next = r.Why(), r.Next(nil)
		}
		if f.Cell == (yard.Cell{}) {
			f.Cell = h.Cell
		}
	}
}

func orderLine(n yard.FeedNeed, t weekTotal) yard.FeedNeed {
	n.KgWeek, n.Estimated = t.kg, t.estimated
	if n.Grazed {
		return n
	}
	pack, ok := n.Feed.PackKg.Get()
	if !ok || pack <= 0 {
		return n
	}
	n.Packs = yard.Known(t.kg / pack)
	if price, ok := n.Feed.PackPrice.Get(); ok {
		n.Cost = yard.Known(t.kg / pack * price)
	}
	if stock, ok := n.Feed.StockPacks.Get(); ok && t.kg > 0 {
		n.StockDays = yard.Known(stock * pack / (t.kg / 7))
	}
	return n
}

// fold makes names comparable: case, outer and repeated spaces do not count.
func fold(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
