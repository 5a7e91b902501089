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
	status := s.StatusWord(h.Status)
	nameW := f.W
	if status != "" {
		tag := draw.On(draw.Black, 0.8, d.Line(draw.Bold, 3, draw.White, status))
		head.Add(f.W-tag.W, 1.4, tag)
		nameW -= tag.W + 4
	}
	head.Add(0, 1, d.Fit(draw.Bold, 5, 3, nameW, draw.Black, h.Horse.Name))
	f.Put(s.marked(h.Horse.Name, true, head))
	s.say(f, draw.Regular, s.facts(h))
	for _, t := range s.Main.Why(h) {
		s.say(f, draw.Bold, words.Capital(t))
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
		s.say(f, draw.Regular, "Notes: "+notes)
	}
	if len(h.Findings) > 0 {
		f.Gap(2)
		s.findings(f, h.Findings, false)
	}
}

func (s *office) facts(h yard.HorsePlan) string {
	wt := "body weight unknown"
	if kg, ok := h.WeightKg.Get(); ok {
		wt = "body weight " + s.Main.BodyWeight(kg)
	}
	if h.WeightKg.IsKnown() {
		wt = words.Join(" ", wt, s.BasisWord(h.WeightBasis))
		if !h.Horse.Weighed.IsZero() {
			wt += " on " + h.Horse.Weighed.Format("2 Jan 2006")
		}
	}
	if h.Status == yard.NoCard {
		return words.Capital(wt) + ". Nothing was computed for this horse."
	}
	keeper := string(h.Horse.Keeper)
	if h.Horse.Keeper == yard.NormalDoer {
		keeper = "normal doer"
	}
	minutes := "work " + words.Figure(h.WorkMinutes, 0) + words.NoBreak + "minutes in the week"
	if h.WorkAtLeast {
		minutes = "work at least " + words.Figure(h.WorkMinutes, 0) + words.NoBreak + "minutes in the week (a day is not understood), so its energy need is a lower bound"
	}
	var named []string
	for _, n := range h.Horse.Diagnoses {
		t := string(n.Kind)
		if n.Text != "" {
			t = n.Text
		}
		named = append(named, t)
	}
	vet := ""
	if len(named) > 0 {
		vet = "named by a vet: " + strings.Join(named, ", ")
	}
	parts := []string{wt, "score " + words.Known(h.Horse.Score, 1, ""), keeper, "fitness " + string(h.Horse.Fitness)}
	if h.WorkClass != "" {
		parts = append(parts, "work class "+string(h.WorkClass))
	}
	tables := ""
	if h.TablesDMPct > 0 {
		tables = " (the tables take " + words.Figure(h.TablesDMPct, 2) + ")"
	}
	parts = append(parts, minutes,
		"dry matter in all "+words.Known(h.DMPct, 2, "% of body weight a day")+tables,
		"forage dry matter "+words.Known(h.ForageDMPct, 2, "% of body weight a day"),
		"starchiest meal "+words.Known(h.StarchMax, 2, "g starch per kg body weight"), vet)
	t := words.Join("; ", parts...) + "."
	return words.Capital(t)
}

func (s *office) needAndSupply(f *flow.Flow, h yard.HorsePlan) {
	d, e := s.d, h.Energy
	f.Gap(2)
	texts := []string{"Maintenance", "Work", "Condition change", "Cold", "Need", "Supply", "By class alone"}
	own := -1 // no column of its own
	if e.Own.IsKnown() {
		own = 4
		texts = slices.Insert(texts, own, "This horse's own")
	}
	supply := words.Known(e.Supply, 1, "")
	if !e.Supply.IsKnown() {
		supply = "at least " + words.Figure(e.SupplyAtLeast, 1)
	}
	need := words.Known(e.Need, 1, "")
	if h.WorkAtLeast && e.Need.IsKnown() {
		need = "at least " + need
	}
	vals := []string{words.Known(e.Maintenance, 1, ""), words.Known(e.Work, 1, ""), words.Known(e.Change, 1, ""), words.Known(e.Cold, 1, ""), need, supply, words.Known(e.ClassNeed, 1, "")}
	if own >= 0 {
		vals = slices.Insert(vals, own, signed(e.Own.Or(0), 1))
	}
	widths := flow.Columns(f.W, slices.Repeat([]float64{1}, len(vals))...)
	cells := make([]flow.Cell, len(vals))
	for i, v := range vals {
		face := draw.Regular
		if texts[i] == "Need" || texts[i] == "Supply" {
			face = draw.Bold
		}
		cells[i] = flow.Cell{d.Number(face, body+0.2, widths[i]-2*pad, draw.Black, v)}
	}
	f.Keep(24)
	s.say(f, draw.Bold, "Energy, Mcal of digestible energy a day, mean of the week")
	f.Table(flow.Heading(s.d, widths, 0.5*pad, 1.9, texts...), flow.Row(widths, 0.5*pad, 1e9, cells...))

	if r := e.NeedRange; r.Low.IsKnown() && r.High.IsKnown() {
		whose := "Horses of its kind and work need "
		if e.Own.IsKnown() {
			whose = "Its own need lies between "
		}
		s.say(f, draw.Regular, whose+span(r, 1)+words.NoBreak+"Mcal a day.")
	}
	s.besideEnergy(f, h)

	lines := append([]yard.Nutrient{{Name: "energy (DE)", Unit: "Mcal", Need: e.Need, Supply: e.Supply, AtLeast: e.SupplyAtLeast, Between: e.SupplyRange}}, h.Nutrients...)
	s.nutrients(f, lines)
}

// ratioLine is what is supplied of one nutrient for each part of another; "" where
// nothing is known of it.
func ratioLine(r yard.Ratio) string {
	name := strings.ToUpper(r.Of[:1]) + r.Of[1:] + " to " + r.To
	value, known := r.Value.Get()
	wide := r.Between.High.IsKnown() && r.Between.Low.IsKnown() && r.Between.Low != r.Between.High
	switch {
	case known && wide:
		name += " " + words.Figure(value, 1) + " to 1, " + span(r.Between, 1) + " with all feeds at their ends"
	case known:
		name += " " + words.Figure(value, 1) + " to 1"
	case wide:
		name += " " + span(r.Between, 1) + " to 1 with all feeds at their ends"
	default:
		return ""
	}
	return name + "; the needs are " + words.Known(r.Asked, 1, "") + " to 1."
}

// sweat is a horse's sweat a day, in the yard's units.
func (s *office) sweat(h yard.HorsePlan) string {
	if kg, ok := h.SweatKg.Get(); ok {
		return s.Main.Weight(kg)
	}
	return "unknown"
}

// besideEnergy is what else bears on energy: water and sweat, and what other
// standards give, in their own units.
func (s *office) besideEnergy(f *flow.Flow, h yard.HorsePlan) {
	d := s.d
	sweatFrom := map[yard.SweatFrom]string{yard.SweatByClass: "by work class", yard.SweatScored: "by the yard's sweat score", yard.SweatMeasured: "measured by the yard"}[h.SweatFrom]
	if h.WaterLitres.Low.IsKnown() {
		s.say(f, draw.Regular, words.Join("; ",
			"Water "+s.Main.LitresBetween(h.WaterLitres.Low.Or(0), h.WaterLitres.High.Or(0))+" a day, always there",
			"sweat "+s.sweat(h)+" a day, mean of the week, "+sweatFrom)+".")
	}
	if r := h.Energy.SupplyRange; r.Low.IsKnown() {
		s.say(f, draw.Regular, "With hay and grass at the ends of what they may hold, supply lies between "+span(r, 1)+words.NoBreak+"Mcal.")
	}
	for _, r := range h.Ratios {
		if line := ratioLine(r); line != "" {
			s.say(f, draw.Regular, line)
		}
	}
	if len(h.Beside) == 0 {
		return
	}
	widths := flow.Columns(f.W, 1, 1.1, 1.1, 1.1, 0.7, 3.6)
	var rows []*draw.Group
	for _, o := range h.Beside {
		num := func(i int, r yard.Range) flow.Cell {
			return flow.Cell{d.Number(draw.Regular, 2, widths[i]-2*pad, draw.Black, span(r, 1))}
		}
		rows = append(rows, flow.Row(widths, pad*0.3, 1e9, d.Lines(draw.Regular, 2, widths[0]-2*pad, draw.Black, o.Standard),
			num(1, o.Maintenance), num(2, o.Work), num(3, o.Total),
			d.Lines(draw.Regular, 2, widths[4]-2*pad, draw.Black, o.Unit), d.Lines(draw.Regular, 2, widths[5]-2*pad, draw.Black, o.Assumed))...)
	}
	f.Gap(1)
	f.Table(flow.Heading(s.d, widths, pad*0.3, 1.9, "Beside it", "Maintenance", "Work", "Together", "Unit", "Taken or missing; nothing on the card rests on this"), rows)
}

// span is a range as it is printed: one figure where both ends are the same, "at
// least" where only the low end is known, nothing where neither is.
func span(r yard.Range, digits int) string {
	low, ok1 := r.Low.Get()
	high, ok2 := r.High.Get()
	switch {
	case ok1 && ok2 && words.Figure(low, digits) == words.Figure(high, digits):
		return words.Figure(low, digits)
	case ok1 && ok2:
		return words.Figure(low, digits) + "–" + words.Figure(high, digits)
	case ok1:
		return "at least" + words.NoBreak + words.Figure(low, digits)
	}
	return "–"
}

// traces are the units in which trace minerals and vitamins are counted.
var traces = []string{"mg", "IU", "µg"}

// nutrients is supply against need in two columns: energy, protein and
// minerals on the left, trace minerals and vitamins on the right.
func (s *office) nutrients(f *flow.Flow, lines []yard.Nutrient) {
	d := s.d
	const gap = 6.0
	w := (f.W - gap) / 2
	nw := flow.Columns(w, 2.05, 1.4, 0.9, 1.45, 0.7, 0.8)
	var sides [2][]*draw.Group
	for _, n := range lines {
		supply := brief(n.Supply)
		got, most := n.Supply.Or(n.AtLeast), n.Supply.Or(math.Inf(1))
		if low, high, ok := n.Ends(); ok && brief(yard.Known(low)) != brief(yard.Known(high)) {
			supply = brief(yard.Known(low)) + "–" + brief(yard.Known(high))
			got, most = low, high
		} else if !n.Supply.IsKnown() {
			got = n.Between.Low.Or(n.AtLeast)
			if least := brief(yard.Known(got)); least != "0" {
				supply = "at least " + least
			}
		}
		limit := ""
		if n.Limit.IsKnown() {
			limit = brief(n.Limit)
		}
		num := func(i int, t string) flow.Cell {
			return flow.Cell{d.Number(draw.Regular, 2, nw[i]-2*pad, draw.Black, t)}
		}
		end := got
		if !math.IsInf(most, 1) {
			end = most
		}
		mark := n.Limit.Or(-1)
		if mark > 2.5*max(end, n.Need.Or(0)) { // far off: on the bar it would leave no room for the need
			mark = -1
		}
		full := 1.1 * max(end, n.Need.Or(0), mark)
		side := 0
		if slices.Contains(traces, n.Unit) {
			side = 1
		}
		sides[side] = append(sides[side], flow.Row(nw, pad*0.3, 1e9,
			d.Lines(draw.Regular, 2, nw[0]-2*pad, draw.Black, n.Name+", "+n.Unit),
			flow.Cell{draw.Bar(nw[1]-2*pad, 2.8, full, got, most, n.Need.Or(-1), mark)},
			num(2, brief(n.Need)), num(3, supply), num(4, per(n.Supply, n.Need)), num(5, limit))...)
	}
	half := flow.Heading(s.d, nw, pad*0.3, 1.9, "", "", "Need", "Supply", "%", "Limit")
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
	legend := d.Lines(draw.Regular, 1.9, f.W, draw.Black, "Grey bar: supply; hatched: it may be as much as that; upright: need; dashed: limit, where it is near; %: of the need, by the means.")
	f.Keep(legend[0].H + head.H + 12)
	f.Put(legend...)
	f.Table(head, rows)
}

// brief is a figure with a tenth where a tenth can be told.
func brief(n yard.Num) string {
	if n.Or(0) >= 1000 {
		return words.Known(n, 0, "")
	}
	return words.Known(n, 1, "")
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
