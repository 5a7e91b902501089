package office

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

func (s *office) horseBlock(f *flow.Flow, h yard.HorsePlan) {
	d := s.d
	if h.Status == yard.NoCard {
		f.Gap(8)
		f.Keep(60)
	} else {
		f.End() // a horse's pages can be handed to its vet or owner by themselves
	}
	head := draw.Space(f.W, 0)
	head.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y, x+f.W, y, 0.9, draw.Black) })
	status := s.StatusWord(&h)
	nameW := f.W
	if status != "" {
		tag := draw.On(draw.Black, 0.8, d.Set.Line(draw.Bold, 3, draw.White, status))
		head.Add(f.W-tag.W, 1.4, tag)
		nameW -= tag.W + 4
	}
	head.Add(0, 1, d.Set.Fit(draw.Bold, 5, 3, nameW, draw.Black, h.Horse.Name))
	f.Put(s.marked(h.Horse.Name, true, head))
	s.say(f, draw.Regular, s.facts(h))
	if all := s.asWritten(h.Horse.Facts); all != "" {
		s.say(f, draw.Regular, all)
	}
	for _, t := range s.Main.Why(h) {
		s.say(f, draw.Bold, t)
	}
	s.weighings(f, h)
	if h.Status != yard.NoCard {
		s.needAndSupply(f, h)
		s.hardFeed(f, h)
		s.week(f, h)
		s.eventDays(f, h)
		s.servingTable(f, h)
	}
	if notes := strings.Join(strings.Fields(h.Horse.Notes), " "); notes != "" {
		f.Gap(1.5)
		s.say(f, draw.Regular, s.Word("notes")+": "+notes)
	}
	if len(h.Findings) > 0 {
		f.Gap(2)
		s.findings(f, h.Findings, false)
	}
}

// asWritten are the facts that are only printed.
func (s *office) asWritten(facts []yard.Fact) string {
	var all []string
	for _, f := range facts {
		all = append(all, words.Sentence(s.Word("office.column."+f.Column)+": "+s.Main.Term(strings.Join(strings.Fields(f.Text), " "))))
	}
	return strings.Join(all, " ")
}

func (s *office) facts(h yard.HorsePlan) string {
	weight := s.Word("weight.unknown")
	if kg, ok := h.WeightKg.Get(); ok {
		weight = words.Join(" ", s.Word("weight.is", "weight", s.Main.BodyWeight(kg)), s.BasisWord(h.WeightBasis))
		if !h.Horse.Weighed.IsZero() {
			weight += ", " + s.Main.Day(h.Horse.Weighed, true)
		}
	}
	if h.Status == yard.NoCard {
		return words.Sentence(weight) + " " + s.Word("office.fact.nothing")
	}
	keeper := h.Horse.Keeper
	if keeper == yard.NormalDoer {
		keeper = "normal doer"
	}
	var named []string
	for _, n := range yard.DiagnosesSaid(h.Horse.Diagnoses) {
		named = append(named, s.Main.Term(n))
	}
	fact := func(key string, n yard.Num, digits int) string {
		if !n.IsKnown() {
			return ""
		}
		return s.Word(key, "n", s.Main.Known(n, digits, ""))
	}
	parts := []string{weight, s.Word("office.fact.score", "n", s.Main.Known(h.Horse.Score, 1, "")), s.Main.Term(string(keeper)),
		s.Word("office.fact.fitness", "fitness", s.Main.Term(string(h.Horse.Fitness)))}
	if h.WorkClass != "" {
		parts = append(parts, s.Word("office.fact.class", "class", s.Main.Term(string(h.WorkClass))))
	}
	minutes := "office.fact.minutes"
	if h.WorkAtLeast {
		minutes = "office.fact.minutes.at least"
	}
	parts = append(parts, s.Word(minutes, "n", s.Main.Figure(h.WorkMinutes, 0)))
	if h.TablesDMPct > 0 && h.DMPct.IsKnown() {
		parts = append(parts, s.Word("office.fact.all.tables", "n", s.Main.Known(h.DMPct, 2, ""), "tables", s.Main.Figure(h.TablesDMPct, 2)))
	} else {
		parts = append(parts, fact("office.fact.all", h.DMPct, 2))
	}
	parts = append(parts, fact("office.fact.forage", h.ForageDMPct, 2), fact("office.fact.starch", h.StarchMax, 2))
	if len(named) > 0 {
		parts = append(parts, s.Word("office.fact.vet", "what", strings.Join(named, ", ")))
	}
	for i := range parts {
		parts[i] = words.Sentence(parts[i])
	}
	return words.Join(" ", parts...)
}

func (s *office) needAndSupply(f *flow.Flow, h yard.HorsePlan) {
	d, e := s.d, h.Energy
	f.Gap(2)
	texts := []string{s.Word("office.energy.maintenance"), s.Word("office.energy.work"), s.Word("office.energy.change"), s.Word("office.energy.cold"), s.Word("office.need"), s.Word("office.supply"), s.Word("office.energy.class")}
	own := -1 // no column of its own
	if e.Own.IsKnown() {
		own = 4
		texts = slices.Insert(texts, own, s.Word("office.energy.own"))
	}
	supply := s.Main.Known(e.Supply, 1, "")
	if !e.Supply.IsKnown() {
		supply = s.atLeast(s.Main.Figure(e.SupplyAtLeast, 1))
	}
	need := s.Main.Known(e.Need, 1, "")
	if h.WorkAtLeast && e.Need.IsKnown() {
		need = s.atLeast(need)
	}
	vals := []string{s.Main.Known(e.Maintenance, 1, ""), s.Main.Known(e.Work, 1, ""), s.Main.Known(e.Change, 1, ""), s.Main.Known(e.Cold, 1, ""), need, supply, s.Main.Known(e.ClassNeed, 1, "")}
	if own >= 0 {
		vals = slices.Insert(vals, own, s.signed(e.Own.Or(0), 1))
	}
	widths := flow.Columns(f.W, slices.Repeat([]float64{1}, len(vals))...)
	cells := make([]flow.Cell, len(vals))
	for i, v := range vals {
		face := draw.Regular
		if texts[i] == s.Word("office.need") || texts[i] == s.Word("office.supply") {
			face = draw.Bold
		}
		cells[i] = flow.Cell{d.Set.Number(face, body+0.2, widths[i]-2*pad, draw.Black, v)}
	}
	f.Keep(24)
	s.say(f, draw.Bold, s.Word("office.energy"))
	f.Table(flow.Heading(s.d, widths, 0.5*pad, 1.9, texts...), flow.Row(widths, 0.5*pad, 1e9, cells...))

	var about []string
	if r := e.NeedRange; r.Low.IsKnown() && r.High.IsKnown() {
		whose := "office.energy.need.kind"
		if e.Own.IsKnown() {
			whose = "office.energy.need.own"
		}
		about = append(about, s.Word(whose, "mcal", s.span(r, 1)))
	}
	s.besideEnergy(f, h, about)

	lines := append([]yard.Nutrient{{Name: "energy", Unit: "Mcal", Need: e.Need, Supply: e.Supply, AtLeast: e.SupplyAtLeast, Between: e.SupplyRange}}, h.Nutrients...)
	s.nutrients(f, lines)
}

// ratioLine is what is supplied of one nutrient for each part of another; "" where
// nothing is known of it.
func (s *office) ratioLine(r yard.Ratio) string {
	value, known := r.Value.Get()
	wide := r.Between.High.IsKnown() && r.Between.Low.IsKnown() && r.Between.Low != r.Between.High
	key := "office.ratio"
	switch {
	case known && wide:
		key = "office.ratio.between"
	case wide:
		key = "office.ratio.range"
	case !known:
		return ""
	}
	return s.Word(key, "of", words.Capital(s.Main.Term(r.Of)), "to", s.Main.Term(r.To), "value", s.Main.Figure(value, 1), "between", s.span(r.Between, 1), "asked", s.Main.Known(r.Asked, 1, ""))
}

// besideEnergy is what else bears on energy, after what is said about it already: water and
// sweat, and what other standards give, in their own units.
func (s *office) besideEnergy(f *flow.Flow, h yard.HorsePlan, about []string) {
	d := s.d
	if h.WaterLitres.Low.IsKnown() {
		sweat := map[yard.SweatFrom]string{yard.SweatByClass: "office.sweat.class", yard.SweatScored: "office.sweat.scored", yard.SweatMeasured: "office.sweat.measured"}
		about = append(about, s.Word("office.water", "litres", s.Main.LitresBetween(h.WaterLitres)))
		if key := sweat[h.SweatFrom]; key != "" && h.SweatKg.IsKnown() {
			about = append(about, s.Word(key, "kg", s.Main.Weight(h.SweatKg.Or(0))))
		}
	}
	if r := h.Energy.SupplyRange; r.Low.IsKnown() {
		about = append(about, s.Word("office.energy.range", "mcal", s.span(r, 1)))
	}
	for _, r := range h.Ratios {
		if line := s.ratioLine(r); line != "" {
			about = append(about, line)
		}
	}
	if len(about) > 0 { // one paragraph: in some languages a horse would take two pages otherwise
		s.say(f, draw.Regular, strings.Join(about, " "))
	}
	if len(h.Beside) == 0 {
		return
	}
	widths := flow.Columns(f.W, 1, 1.1, 1.1, 1.1, 0.7, 3.6)
	var rows []*draw.Group
	for _, o := range h.Beside {
		num := func(i int, r yard.Range) flow.Cell {
			return flow.Cell{d.Set.Number(draw.Regular, 2, widths[i]-2*pad, draw.Black, s.span(r, 1))}
		}
		rows = append(rows, flow.Row(widths, pad*0.3, 1e9, flow.Whole(d, draw.Regular, 2, widths[0]-2*pad, o.Standard),
			num(1, o.Maintenance), num(2, o.Work), num(3, o.Total),
			flow.Whole(d, draw.Regular, 2, widths[4]-2*pad, o.Unit), flow.Whole(d, draw.Regular, 2, widths[5]-2*pad, s.Main.SaidAll(o.Assumed)))...)
	}
	f.Gap(1)
	f.Table(flow.Heading(s.d, widths, pad*0.3, 1.9, s.Word("office.other standards"), s.Word("office.energy.maintenance"), s.Word("office.energy.work"), s.Word("office.total"), s.Word("office.unit"), s.Word("office.assumed")), rows)
}

// span is a range as it is printed: one figure where both ends are the same, "at
// least" where only the low end is known, nothing where neither is.
func (s *office) span(r yard.Range, digits int) string {
	low, ok1 := r.Low.Get()
	high, ok2 := r.High.Get()
	switch {
	case ok1 && ok2 && s.Main.Figure(low, digits) == s.Main.Figure(high, digits):
		return s.Main.Figure(low, digits)
	case ok1 && ok2:
		return s.Main.Figure(low, digits) + "–" + s.Main.Figure(high, digits)
	case ok1:
		return s.atLeast(s.Main.Figure(low, digits))
	}
	return "–"
}

// atLeast is a figure of which a part is not known.
func (s *office) atLeast(figure string) string { return s.Word("part.at least", "value", figure) }

// traces are the units in which trace minerals and vitamins are counted.
var traces = []string{"mg", "IU", "µg"}

// nutrients is supply against need in two columns: energy, protein and
// minerals on the left, trace minerals and vitamins on the right.
func (s *office) nutrients(f *flow.Flow, lines []yard.Nutrient) {
	d := s.d
	const gap = 6.0
	w := (f.W - gap) / 2
	nw := flow.Columns(w, 1.9, 1.05, 0.97, 1.75, 0.75, 0.88)
	var sides [2][]*draw.Group
	for _, n := range lines {
		supply := s.brief(n.Supply)
		got, most := n.Supply.Or(n.AtLeast), n.Supply.Or(math.Inf(1))
		if low, high, ok := n.Ends(); ok && s.brief(yard.Known(low)) != s.brief(yard.Known(high)) {
			supply = s.brief(yard.Known(low)) + "–" + s.brief(yard.Known(high))
			got, most = low, high
		} else if !n.Supply.IsKnown() {
			got = n.Between.Low.Or(n.AtLeast)
			if least := s.brief(yard.Known(got)); least != "0" {
				supply = s.atLeast(least)
			}
		}
		limit := ""
		if n.Limit.IsKnown() {
			limit = s.brief(n.Limit)
		}
		num := func(i int, t string) flow.Cell {
			return flow.Cell{d.Set.Number(draw.Regular, 2, nw[i]-2*pad, draw.Black, t)}
		}
		end := got
		if !math.IsInf(most, 1) {
			end = most
		}
		mark := n.Limit.Or(-1)
		if mark > 2.5*max(end, n.Need.Or(0)) { // far off: on the bar it would leave no room for the need
			mark = -1
		}
		face := draw.Regular
		if most < n.Need.Or(0) || got > n.Limit.Or(math.Inf(1)) { // whatever the feeds hold
			face = draw.Bold
		}
		full := 1.1 * max(end, n.Need.Or(0), mark)
		side := 0
		if slices.Contains(traces, n.Unit) {
			side = 1
		}
		sides[side] = append(sides[side], flow.Row(nw, pad*0.3, 1e9,
			flow.Whole(d, face, 2, nw[0]-2*pad, s.Main.Term(n.Name)+", "+n.Unit),
			flow.Cell{draw.Bar(nw[1]-2*pad, 2.8, full, got, most, n.Need.Or(-1), mark)},
			num(2, s.brief(n.Need)), num(3, supply), num(4, per(n.Supply, n.Need)), num(5, limit))...)
	}
	half := flow.Heading(s.d, nw, pad*0.3, 1.9, "", "", s.Word("office.need"), s.Word("office.supply"), "%", s.Word("office.limit"))
	head := draw.Space(0, 0).Add(0, 0, half)
	if len(sides[1]) > 0 {
		head.Add(w+gap, 0, half)
	}
	var rows []*draw.Group
	for i := range max(len(sides[0]), len(sides[1])) {
		r := draw.Space(0, 0)
		for k, side := range sides {
			if i < len(side) {
				r.Add(float64(k)*(w+gap), 0, side[i])
			}
		}
		rows = append(rows, r)
	}
	f.Gap(1.5)
	legend := d.Set.Lines(draw.Regular, 1.9, f.W, draw.Black, s.Word("office.bars"))
	f.Keep(legend[0].H + head.H + 12)
	f.Put(legend...)
	f.Table(head, rows)
}

// brief is a figure with a tenth where a tenth can be told.
func (s *office) brief(n yard.Num) string {
	if n.Or(0) >= 100 {
		return s.Main.Known(n, 0, "")
	}
	return s.Main.Known(n, 1, "")
}

// per is v in percent of another amount; nothing where either is not known.
func per(v yard.Num, of yard.Num) string {
	a, ok1 := v.Get()
	b, ok2 := of.Get()
	if !ok1 || !ok2 || b <= 0 {
		return ""
	}
	return fmt.Sprintf("%.0f%%", 100*a/b)
}
