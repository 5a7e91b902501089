package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

const (
	officeMargin = 12.0
	body         = 2.2 // cap height of running text, mm: 9 point
	pad          = 0.8
)

// office draws office.pdf: what needs a decision first, then a block a horse,
// then the order list, then where the figures come from.
func office(s *sheet) error {
	s.inEnglish()
	if err := s.start("Office sheet", false); err != nil {
		return err
	}
	d := s.d
	f := &flow{d: d, x: officeMargin, w: d.PageW - 2*officeMargin, top: officeMargin, foot: d.PageH - officeMargin - 6}
	s.decisions(f)
	for _, h := range s.p.Horses {
		s.horse = h.Horse.Name
		s.horseBlock(f, h)
	}
	s.horse = ""
	s.orderList(f)
	s.sources(f)
	f.end()
	s.pageFeet(officeMargin, f.w, join(", ", "Office sheet", s.p.Week.Yard, weekSpan(s.p.Week), s.editionWord(), join(" ", "hardfeed", s.m.Version)))
	return nil
}

func (s *sheet) title(f *flow, capMM float64, text string) {
	f.gap(3)
	f.keep(capMM*draw.Leading + 14)
	f.put(s.d.Fit(draw.Bold, capMM, 2.2, f.w, draw.Black, text), draw.Space(f.w, 0.6))
}

func (s *sheet) say(f *flow, face draw.Face, text string) {
	f.put(s.d.Lines(face, body, f.w, draw.Black, text)...)
}

func (s *sheet) decisions(f *flow) {
	d, w := s.d, s.p.Week
	f.put(d.Line(draw.Bold, 6, draw.Black, "Office sheet"),
		d.Fit(draw.Bold, 4, 2.4, f.w, draw.Black, join(", ", w.Yard, weekSpan(w), s.editionWord())),
		draw.Space(f.w, 1))
	read := fmt.Sprintf("Read: %s, %s, %s. Planned: %s.", countOf(w.Read.Sheets, "sheet"), countOf(w.Read.Rows, "row"),
		countOf(w.Read.Horses, "horse"), countOf(len(s.p.Horses), "horse"))
	s.say(f, draw.Bold, read)
	if w.Read.Horses != len(s.p.Horses) {
		s.say(f, draw.Bold, "The two counts of horses differ: look for the missing or doubled name before you hang the cards.")
	}
	s.edition(f)

	s.title(f, 3.6, "Decide first")
	widths := columns(f.w, 1.1, 0.7, 4)
	rows := append(s.whyRows(f, widths, yard.Held, "HELD"), s.whyRows(f, widths, yard.NoCard, "NO CARD")...)
	if len(rows) == 0 {
		s.say(f, draw.Regular, "No card is held, and every horse has one.")
	}
	f.table(s.heading(widths, pad, body, "Horse", "Card", "Why"), rows)

	s.title(f, 3.6, "Findings, the gravest first")
	if len(s.p.Findings) == 0 {
		s.say(f, draw.Regular, "None.")
	}
	s.findings(f, s.p.Findings, true)
}

// whyRows says of each horse of one status why.
func (s *sheet) whyRows(f *flow, widths []float64, status yard.Status, word string) []*draw.Group {
	d := s.d
	var rows []*draw.Group
	for _, h := range s.p.Horses {
		if h.Status != status {
			continue
		}
		var lines cell
		for _, t := range slices.Concat(h.HeldWhy, h.NoCardWhy) {
			lines = append(lines, d.Lines(draw.Regular, body, widths[2]-2*pad, draw.Black, capital(t))...)
		}
		rows = append(rows, row(widths, pad, f.room()-20,
			d.Lines(draw.Bold, body, widths[0]-2*pad, draw.Black, h.Horse.Name),
			cell{draw.On(draw.Black, 0.5, d.Number(draw.Bold, body, widths[1]-2*pad-1, draw.White, word))}, lines)...)
	}
	return rows
}

// severityMark tells the three apart by shape: black, framed, plain.
func (s *sheet) severityMark(v yard.Severity) *draw.Group {
	switch v {
	case yard.Stop:
		return draw.On(draw.Black, 0.4, s.d.Line(draw.Bold, body, draw.White, "STOP"))
	case yard.Warn:
		return draw.Framed(0.35, 0.4, s.d.Line(draw.Bold, body, draw.Black, "warn"))
	}
	return s.d.Line(draw.Regular, body, draw.Black, v.String())
}

func (s *sheet) findings(f *flow, fs []yard.Finding, horses bool) {
	d := s.d
	widths, words := columns(f.w, 0.55, 0.95, 2.9, 1.05, 1.8), []string{"", "Horse", "What", "Where", "Source"}
	if !horses {
		widths, words = columns(f.w, 0.55, 3.9, 0.95, 2), []string{"", "Finding", "Where", "Source"}
	}
	var rows []*draw.Group
	for _, n := range fs {
		text := func(i int, face draw.Face, t string) cell {
			return d.Lines(face, 2.0, widths[i]-2*pad, draw.Black, t)
		}
		at := where(n.Cell)
		if n.Cell.Text != "" && (horses || n.Cell.Text != n.Horse) { // its own page says which horse
			at = join(" ", at, "“"+n.Cell.Text+"”")
		}
		cells := []cell{{s.severityMark(n.Severity)}}
		if horses {
			cells = append(cells, text(1, draw.Bold, n.Horse))
		}
		i := len(cells)
		cells = append(cells, text(i, draw.Regular, withNext(n)), text(i+1, draw.Regular, at), text(i+2, draw.Regular, whose(n)))
		rows = append(rows, row(widths, 0.6*pad, f.room()-20, cells...)...)
	}
	f.table(s.heading(widths, 0.6*pad, 2.0, words...), rows)
}

// withNext is a finding's message with why it matters and what to do next.
func withNext(n yard.Finding) string {
	t := capital(Message(n))
	if n.Why != "" {
		t += " (" + n.Why + ")"
	}
	if n.Next != "" {
		t += ". Next: " + n.Next
	}
	return t
}

func (s *sheet) horseBlock(f *flow, h yard.HorsePlan) {
	d := s.d
	if h.Status == yard.NoCard {
		f.gap(8)
		f.keep(60)
	} else {
		f.end() // a horse's pages can be handed to its vet or owner by themselves
	}
	head := draw.Space(f.w, 0)
	head.Draw(func(d *draw.Doc, x, y float64) { d.LineTo(x, y, x+f.w, y, 0.9, draw.Black) })
	status := s.statusWord(h.Status)
	nameW := f.w
	if status != "" {
		tag := draw.On(draw.Black, 0.8, d.Line(draw.Bold, 3, draw.White, status))
		head.Add(f.w-tag.W, 1.4, tag)
		nameW -= tag.W + 4
	}
	head.Add(0, 1, d.Fit(draw.Bold, 5, 3, nameW, draw.Black, h.Horse.Name))
	f.put(head)
	s.say(f, draw.Regular, s.facts(h))
	for _, t := range slices.Concat(h.HeldWhy, h.NoCardWhy) {
		s.say(f, draw.Bold, capital(t))
	}
	s.weighings(f, h)
	if h.Status != yard.NoCard {
		s.needAndSupply(f, h)
		s.hardFeed(f, h)
		s.week(f, h)
		s.eventDays(f, h)
		s.servingTable(f, h)
	}
	if len(h.Cautions) > maxCautions {
		f.gap(1.5)
		s.say(f, draw.Bold, "Cautions; the card has room for the first three")
		for _, t := range h.Cautions {
			s.say(f, draw.Regular, t)
		}
	}
	if len(h.Findings) > 0 {
		f.gap(2)
		s.findings(f, h.Findings, false)
	}
}

func (s *sheet) facts(h yard.HorsePlan) string {
	wt := "body weight " + known(h.WeightKg, 0, "kg")
	if h.WeightKg.IsKnown() {
		wt = join(" ", wt, s.basisWord(h.WeightBasis))
		if !h.Horse.Weighed.IsZero() {
			wt += " on " + h.Horse.Weighed.Format("2 Jan 2006")
		}
	}
	if h.Status == yard.NoCard {
		return capital(wt) + ". Nothing was computed for this horse."
	}
	keeper := string(h.Horse.Keeper)
	if h.Horse.Keeper == yard.NormalDoer {
		keeper = "normal doer"
	}
	minutes := "work " + figure(h.WorkMinutes, 0) + nb + "minutes in the week"
	if h.WorkAtLeast {
		minutes = "work at least " + figure(h.WorkMinutes, 0) + nb + "minutes in the week (a day is not understood), so its energy need is a lower bound"
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
	parts := []string{wt, "score " + known(h.Horse.Score, 1, ""), keeper, "fitness " + string(h.Horse.Fitness)}
	if h.WorkClass != "" {
		parts = append(parts, "work class "+string(h.WorkClass))
	}
	tables := ""
	if h.TablesDMPct > 0 {
		tables = " (the tables take " + figure(h.TablesDMPct, 2) + ")"
	}
	parts = append(parts, minutes,
		"dry matter in all "+known(h.DMPct, 2, "% of body weight a day")+tables,
		"forage dry matter "+known(h.ForageDMPct, 2, "% of body weight a day"),
		"starchiest meal "+known(h.StarchMax, 2, "g starch per kg body weight"), vet)
	t := join("; ", parts...) + "."
	return capital(t)
}

// weighings is the body weight and the score over time, where there are two or
// more.
func (s *sheet) weighings(f *flow, h yard.HorsePlan) {
	var weights, scores []draw.Point
	last := time.Time{}
	for _, w := range h.Horse.Weighings {
		last = w.Date
	}
	for _, w := range h.Horse.Weighings {
		days := last.Sub(w.Date).Hours() / 24
		if kg, ok := w.Kg.Get(); ok {
			weights = append(weights, draw.Point{Days: days, Value: kg, Label: figure(kg, 0) + nb + "kg " + w.Date.Format("2 Jan")})
		}
		if v, ok := w.Score.Get(); ok {
			scores = append(scores, draw.Point{Days: days, Value: v, Label: figure(v, 1) + " on " + w.Date.Format("2 Jan")})
		}
	}
	plot := func(title string, points []draw.Point) {
		if len(points) < 2 {
			return
		}
		g := s.d.Trend(f.w, 9, 1.9, points)
		f.gap(1.5)
		f.keep(g.H + 6)
		s.say(f, draw.Bold, title)
		f.put(g)
	}
	plot("Body weight over time", weights)
	plot("Condition score over time", scores)
}

func (s *sheet) needAndSupply(f *flow, h yard.HorsePlan) {
	d, e := s.d, h.Energy
	f.gap(2)
	widths := columns(f.w, 1, 1, 1, 1, 1, 1, 1)
	words := []string{"Maintenance", "Work", "Condition change", "Cold", "Need", "Supply", "By class alone"}
	supply := known(e.Supply, 1, "")
	if !e.Supply.IsKnown() {
		supply = "at least " + figure(e.SupplyAtLeast, 1)
	}
	need := known(e.Need, 1, "")
	if h.WorkAtLeast && e.Need.IsKnown() {
		need = "at least " + need
	}
	vals := []string{known(e.Maintenance, 1, ""), known(e.Work, 1, ""), known(e.Change, 1, ""), known(e.Cold, 1, ""), need, supply, known(e.ClassNeed, 1, "")}
	cells := make([]cell, len(vals))
	for i, v := range vals {
		face := draw.Regular
		if i == 4 || i == 5 {
			face = draw.Bold
		}
		cells[i] = cell{d.Number(face, body+0.2, widths[i]-2*pad, draw.Black, v)}
	}
	f.keep(24)
	s.say(f, draw.Bold, "Energy, Mcal of digestible energy a day, mean of the week")
	f.table(s.heading(widths, 0.5*pad, 1.9, words...), row(widths, 0.5*pad, 1e9, cells...))

	s.besideEnergy(f, h)

	lines := append([]yard.Nutrient{{Name: "energy (DE)", Unit: "Mcal", Need: e.Need, Supply: e.Supply, AtLeast: e.SupplyAtLeast}}, h.Nutrients...)
	s.nutrients(f, lines)
}

// besideEnergy is what else bears on energy: water and sweat, and what other
// standards give, in their own units.
func (s *sheet) besideEnergy(f *flow, h yard.HorsePlan) {
	d := s.d
	sweatFrom := map[yard.SweatFrom]string{yard.SweatByClass: "by work class", yard.SweatScored: "by the yard's sweat score", yard.SweatMeasured: "measured by the yard"}[h.SweatFrom]
	if h.WaterLitres.Low.IsKnown() {
		s.say(f, draw.Regular, join("; ",
			"Water "+span(h.WaterLitres, 0)+nb+"l a day, always there",
			"sweat "+known(h.SweatKg, 1, "kg")+" a day, mean of the week, "+sweatFrom)+".")
	}
	if r := h.Energy.SupplyRange; r.Low.IsKnown() {
		s.say(f, draw.Regular, "With the grass at the ends of what may be grazed, supply lies between "+span(r, 1)+nb+"Mcal.")
	}
	if len(h.Beside) == 0 {
		return
	}
	widths := columns(f.w, 1, 1.1, 1.1, 1.1, 0.7, 3.6)
	var rows []*draw.Group
	for _, o := range h.Beside {
		num := func(i int, r yard.Range) cell {
			return cell{d.Number(draw.Regular, 2, widths[i]-2*pad, draw.Black, span(r, 1))}
		}
		rows = append(rows, row(widths, pad*0.3, 1e9, d.Lines(draw.Regular, 2, widths[0]-2*pad, draw.Black, o.Standard),
			num(1, o.Maintenance), num(2, o.Work), num(3, o.Total),
			d.Lines(draw.Regular, 2, widths[4]-2*pad, draw.Black, o.Unit), d.Lines(draw.Regular, 2, widths[5]-2*pad, draw.Black, o.Assumed))...)
	}
	f.gap(1)
	f.table(s.heading(widths, pad*0.3, 1.9, "Beside it", "Maintenance", "Work", "Together", "Unit", "Taken or missing; nothing on the card rests on this"), rows)
}

// span is a range as it is printed: one figure where both ends are the same, "at
// least" where only the low end is known, nothing where neither is.
func span(r yard.Range, digits int) string {
	low, ok1 := r.Low.Get()
	high, ok2 := r.High.Get()
	switch {
	case ok1 && ok2 && figure(low, digits) == figure(high, digits):
		return figure(low, digits)
	case ok1 && ok2:
		return figure(low, digits) + "–" + figure(high, digits)
	case ok1:
		return "at least" + nb + figure(low, digits)
	}
	return "–"
}

// traces are the units in which trace minerals and vitamins are counted.
var traces = []string{"mg", "IU", "µg"}

// nutrients is supply against need in two columns: energy, protein and
// minerals on the left, trace minerals and vitamins on the right.
func (s *sheet) nutrients(f *flow, lines []yard.Nutrient) {
	d := s.d
	const gap = 6.0
	w := (f.w - gap) / 2
	nw := columns(w, 2.05, 1.4, 0.9, 1.45, 0.7, 0.8)
	var sides [2][]*draw.Group
	for _, n := range lines {
		supply := brief(n.Supply)
		if !n.Supply.IsKnown() && n.AtLeast > 0 {
			supply = "at least " + brief(yard.Known(n.AtLeast))
		}
		limit := ""
		if n.Limit.IsKnown() {
			limit = brief(n.Limit)
		}
		num := func(i int, t string) cell {
			return cell{d.Number(draw.Regular, 2, nw[i]-2*pad, draw.Black, t)}
		}
		got := n.Supply.Or(n.AtLeast)
		mark := n.Limit.Or(-1)
		if mark > 2.5*max(got, n.Need.Or(0)) { // far off: on the bar it would leave no room for the need
			mark = -1
		}
		full := 1.1 * max(got, n.Need.Or(0), mark)
		side := 0
		if slices.Contains(traces, n.Unit) {
			side = 1
		}
		sides[side] = append(sides[side], row(nw, pad*0.3, 1e9,
			d.Lines(draw.Regular, 2, nw[0]-2*pad, draw.Black, n.Name+", "+n.Unit),
			cell{draw.Bar(nw[1]-2*pad, 2.8, full, got, n.Need.Or(-1), mark, !n.Supply.IsKnown())},
			num(2, brief(n.Need)), num(3, supply), num(4, per(n.Supply, n.Need)), num(5, limit))...)
	}
	half := s.heading(nw, pad*0.3, 1.9, "", "", "Need", "Supply", "%", "Limit")
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
	f.gap(1.5)
	legend := d.Lines(draw.Regular, 1.9, f.w, draw.Black, "Grey bar: supply; upright: need; dashed: limit, where it is near; hatched: unknown beyond.")
	f.keep(legend[0].H + head.H + 12)
	f.put(legend...)
	f.table(head, rows)
}

// brief is a figure with a tenth where a tenth can be told.
func brief(n yard.Num) string {
	if n.Or(0) >= 1000 {
		return known(n, 0, "")
	}
	return known(n, 1, "")
}

func (s *sheet) hardFeed(f *flow, h yard.HorsePlan) {
	d, st, hf := s.d, h.Step, h.HardFeed
	f.gap(2.5)
	f.keep(32)
	verdict := map[yard.Verdict]string{
		yard.StepWithin: "within the marks", yard.StepWarn: "over the warn mark", yard.StepStop: "over the stop mark",
		yard.StepUnknown: "step unknown: what was fed last week is not known", yard.StepOverridden: "over the stop mark, overridden",
	}[st.Verdict]
	s.say(f, draw.Bold, join(": ", "Hard feed, kg as fed a work day", verdict))
	if o := h.Horse.Override; o.Asked {
		s.say(f, draw.Regular, fmt.Sprintf("Override asked for by %s: %s (%s).", s.main.said(o.Who), s.main.said(o.Reason), where(o.Cell)))
	}
	var marks []draw.Mark
	hi := 0.0
	mark := func(n yard.Num, word string, above bool, k draw.MarkKind) {
		if v, ok := n.Get(); ok && !math.IsInf(v, 0) && !math.IsNaN(v) {
			hi = max(hi, v)
			for i, m := range marks { // one label where two amounts are the same
				if was, at, found := strings.Cut(m.Label, nb); found && at == figure(v, 2) && m.Above == above {
					marks[i].Label = was + ", " + word + nb + at
					if k == draw.Dot {
						marks[i].Kind = k
					}
					return
				}
			}
			marks = append(marks, draw.Mark{At: v, Label: word + nb + figure(v, 2), Above: above, Kind: k})
		}
	}
	mark(hf.Now, "now", false, draw.Ring)
	mark(hf.Card, "card", false, draw.Dot)
	mark(hf.Target, "target", false, draw.Ring)
	mark(hf.Planned, "planned", false, draw.Ring)
	if now, ok := hf.Now.Get(); ok {
		if v, ok := st.WarnKg.Get(); ok {
			mark(yard.Known(now+v), "warn above", true, draw.Tick)
		}
		if v, ok := st.StopKg.Get(); ok {
			mark(yard.Known(now+v), "stop above", true, draw.Tick)
		}
	} else {
		s.say(f, draw.Regular, "What was fed last week is not known, so no step can be measured.")
	}
	var path, weeks *draw.Group
	if len(h.Horse.Past) > 0 {
		weeks = s.weeks(h, f.w)
	} else {
		path = s.path(h, 0.36*f.w)
	}
	if len(marks) > 0 && weeks == nil { // the weeks have them all, but for what is planned
		w := f.w - 10
		if path != nil {
			w -= path.W + 4
		}
		g := draw.Pad(d.NumberLine(w, 0, hi*1.08, 2, marks), 5, 0.5, 5, 0.5)
		if path != nil {
			g = draw.Beside(4, g, path)
		}
		f.put(g)
	}
	if weeks != nil {
		f.put(weeks)
		s.say(f, draw.Regular, "Outlined: the cards of past weeks, by their first day; no bar: no record. Black: now. Grey: to come. Marks: for this week's rise.")
	} else if len(st.PathKg) == 1 { // more are drawn
		var parts []string
		for i, v := range st.PathKg {
			parts = append(parts, fmt.Sprintf("week%s%d:%s%s", nb, i+1, nb, weight(v)))
		}
		s.say(f, draw.Regular, "Path: "+strings.Join(parts, ", ")+".")
	}
	rise := "Rise against now "
	if weeks != nil {
		amounts := "Card " + known(hf.Card, 2, "kg") + ", target " + known(hf.Target, 2, "kg")
		if hf.Planned.IsKnown() {
			amounts += ", planned " + known(hf.Planned, 2, "kg")
		}
		rise = amounts + "; rise against now "
	}
	s.say(f, draw.Regular, join("; ",
		rise+known(st.RiseKg, 2, "kg"),
		"warn and stop marks for a week "+known(st.WarnKg, 2, "kg")+" and "+known(st.StopKg, 2, "kg"),
		"for a day "+known(st.DayWarnKg, 2, "kg")+" and "+known(st.DayStopKg, 2, "kg"))+".")
	s.weeksAhead(f, h)
}

// How many weeks past and to come are drawn; the last to come always is.
const maxPast, maxAhead = 12, 8

// weeks draws hard feed over the weeks: what past cards had, what is fed now, and
// the path to the target, against this week's marks. Weeks without a record keep
// their place, empty.
func (s *sheet) weeks(h yard.HorsePlan, w float64) *draw.Group {
	var all []draw.StepWeek
	add := func(v yard.Num, fill draw.Ink, label ...string) {
		week := draw.StepWeek{Value: math.NaN(), Figure: "unknown", Fill: fill}
		if kg, ok := v.Get(); ok {
			week.Value, week.Figure = kg, figure(kg, 2)
		}
		copy(week.Label[:], label)
		all = append(all, week)
	}
	past := map[int]float64{} // by how many weeks ago
	first := 0
	for _, p := range h.Horse.Past {
		days := int(math.Round(s.p.Week.Beginning.Sub(p.Beginning).Hours() / 24))
		if ago := days / 7; days%7 == 0 && ago > 0 && ago <= maxPast {
			past[ago], first = p.HardKg, max(first, ago)
		}
	}
	for ago := first; ago > 0; ago-- {
		day := s.p.Week.Beginning.AddDate(0, 0, -7*ago)
		label := [2]string{strconv.Itoa(day.Day()), day.Format("Jan")}
		if kg, ok := past[ago]; ok {
			add(yard.Known(kg), draw.White, label[:]...)
			continue
		}
		all = append(all, draw.StepWeek{Gap: true, Label: label})
	}
	var marks []draw.StepMark
	if now, ok := h.HardFeed.Now.Get(); ok {
		if v, ok := h.Step.WarnKg.Get(); ok {
			marks = append(marks, draw.StepMark{At: now + v, Label: "warn above" + nb + figure(now+v, 2), From: len(all), Below: true})
		}
		if v, ok := h.Step.StopKg.Get(); ok {
			marks = append(marks, draw.StepMark{At: now + v, Label: "stop above" + nb + figure(now+v, 2), From: len(all)})
		}
	}
	add(h.HardFeed.Now, draw.Black, "now")
	ahead := h.Step.PathKg
	if len(ahead) == 0 {
		add(h.HardFeed.Card, draw.Mid, "this", "week")
	}
	for i, v := range ahead {
		if last := len(ahead) - 1; i < maxAhead-1 || i == last {
			label := []string{"week", strconv.Itoa(i + 1)}
			if i == last && h.Step.WeeksToTarget.IsKnown() {
				label[0] = "target,"
				label[1] = "week" + nb + label[1]
			}
			add(yard.Known(v), draw.Mid, label...)
		}
	}
	return s.d.Steps(w, 11, 1.9, all, marks)
}

// maxPath is how many weeks to come [sheet.path] draws; the last always is.
const maxPath = 6

// path draws the weeks to the target where there is more than one, now first;
// nil where there is not.
func (s *sheet) path(h yard.HorsePlan, w float64) *draw.Group {
	if len(h.Step.PathKg) < 2 {
		return nil
	}
	var values []float64
	var figures, labels []string
	add := func(v float64, known bool, label string) {
		t := figure(v, 2)
		if !known {
			v, t = math.NaN(), "unknown"
		}
		values, figures, labels = append(values, v), append(figures, t), append(labels, label)
	}
	now, ok := h.HardFeed.Now.Get()
	add(now, ok, "now")
	for i, v := range h.Step.PathKg { // more could not be read; all stand in the record
		if i < maxPath-1 || i == len(h.Step.PathKg)-1 {
			add(v, true, fmt.Sprintf("week%s%d", nb, i+1))
		}
	}
	return s.d.Columns(w, 7, 1.9, values, figures, labels)
}

// week: what is done each day, its energy, and the hard feed of that day.
func (s *sheet) week(f *flow, h yard.HorsePlan) {
	d := s.d
	f.gap(2)
	need, supply, figs, labels := make([]float64, 7), make([]float64, 7), make([]string, 7), make([]string, 7)
	or := func(n yard.Num) float64 { return n.Or(math.NaN()) }
	widths := columns(f.w, 1, 1, 1, 1, 1, 1, 1)
	work, feed := make([]cell, 7), make([]cell, 7)
	kindWord := map[yard.DayKind]string{yard.WorkDay: "", yard.RestDay: "rest", yard.EventDay: "event"}
	for i, day := range h.Days {
		labels[i] = join(" ", weekday(s.p.Week, i), kindWord[day.Kind])
		need[i], supply[i] = or(day.EnergyNeed), or(day.Supply)
		figs[i] = known(day.EnergyNeed, 1, "") + " / " + known(day.Supply, 1, "")
		t := day.Work
		if t == "" {
			t = "–"
		}
		work[i] = d.Lines(draw.Regular, 1.9, widths[i]-2*pad, draw.Black, t)
		feed[i] = cell{d.Number(draw.Bold, body, widths[i]-2*pad, draw.Black, known(day.HardFeedKg, 2, "kg"))}
	}
	plot := d.Pairs(f.w, 9, 1.9, need, supply, figs, labels)
	f.keep(plot.H + 16)
	s.say(f, draw.Bold, "Energy of each day, Mcal DE: need (outline) / supply (grey); below it the work as written and that day's hard feed")
	f.put(plot)
	f.put(row(widths, 0.5*pad, f.room()-20, work...)...)
	f.put(row(widths, 0.5*pad, 1e9, feed...)...)
}

// clock is minutes after midnight as a time of day; what lies beyond the day is
// said to.
func clock(min int) string {
	switch {
	case min < 0:
		return "the day before"
	case min >= 24*60:
		return "the day after"
	}
	return fmt.Sprintf("%02d:%02d", min/60, min%60)
}

// eventDays is the clock of each event day: the meals with what is fed at them,
// the hours without hard feed, the start.
func (s *sheet) eventDays(f *flow, h yard.HorsePlan) {
	for _, e := range h.Events {
		if e.Day < 0 || e.Day > 6 {
			continue
		}
		marks := []draw.Mark{{At: float64(e.Start), Label: "start" + nb + clock(e.Start), Above: true, Kind: draw.Tick},
			{At: float64(e.NextHardFeed), Label: "hard feed again from" + nb + clock(e.NextHardFeed), Above: true, Kind: draw.Ring}}
		if e.LastHardFeed >= 0 {
			marks = append(marks, draw.Mark{At: float64(e.LastHardFeed), Label: "last hard feed by" + nb + clock(e.LastHardFeed), Above: true, Kind: draw.Ring})
		}
		first, last := min(e.LastHardFeed, e.Start), max(e.NextHardFeed, e.Start)
		var untimed []string
		for _, m := range mealsOf(s.p.Week, h) {
			what := s.fedAt(m, yard.EventDay, int(e.Day))
			if m.minute < 0 {
				if what != "" {
					untimed = append(untimed, m.name+": "+what)
				}
				continue
			}
			first, last = min(first, m.minute), max(last, m.minute)
			if what == "" {
				what = "nothing"
			}
			marks = append(marks, draw.Mark{At: float64(m.minute), Label: m.name + nb + clock(m.minute) + ": " + what, Kind: draw.Dot})
		}
		lo, hi := max(0, first-30), min(24*60, last+30)
		line := s.d.NumberLine(f.w-10, float64(lo), float64(hi), 1.9, marks, draw.Band{From: float64(max(lo, e.LastHardFeed)), To: float64(min(hi, e.NextHardFeed))})
		g := draw.Pad(line, 5, 0.3, 5, 0.3)
		f.gap(1.5)
		f.keep(g.H + 14)
		s.say(f, draw.Bold, "Event on "+date(s.p.Week, int(e.Day))+": the day by the clock")
		f.put(g)
		after := "hatched: no hard feed; nothing heavy for an hour after the end"
		if e.End == e.Start {
			after = "hatched: no hard feed; how long it lasts is not written, so the hour after it counts from the start: wait longer"
		}
		s.say(f, draw.Regular, join("; ", capital(after), "small hay is kept up to the start, water always", strings.Join(untimed, "; "), "hours from "+e.Source)+".")
	}
}

// fedAt is what a meal gives on a day, in words; empty where it gives nothing.
func (s *sheet) fedAt(m meal, kind yard.DayKind, day int) string {
	var parts []string
	for _, fd := range m.feeds {
		for _, v := range validOn(fd.on(kind), day) {
			if a := s.amountOf(*v); !a.none {
				parts = append(parts, fd.feed+nb+a.String())
			}
		}
	}
	return strings.Join(parts, ", ")
}

func (s *sheet) servingTable(f *flow, h yard.HorsePlan) {
	d, w := s.d, s.p.Week
	cols := dayColumns(h)
	shares, words := []float64{0.8, 1.4}, []string{"Meal", "Feed"}
	for _, c := range cols {
		shares, words = append(shares, 1.7), append(words, join(": ", strings.ToLower(s.word(c.head)), s.main.says(w, c)))
	}
	widths := columns(f.w, shares...)
	var rows []*draw.Group
	for _, m := range mealsOf(w, h) {
		for i, mf := range m.feeds {
			name := ""
			if i == 0 {
				name = m.name
			}
			cells := []cell{
				d.Lines(draw.Bold, 2, widths[0]-2*pad, draw.Black, name),
				d.Lines(draw.Regular, 2, widths[1]-2*pad, draw.Black, mf.feed),
			}
			for j, col := range cols {
				var c cell
				stages := s.stages(col, mf.on(col.kind))
				if len(stages) == 0 {
					c = d.Lines(draw.Regular, 2, widths[j+2]-2*pad, draw.Black, s.word(col.nothing()))
				}
				for _, st := range stages {
					t := st.amount.String()
					if st.amount.weigh {
						t = s.word("amount.weigh") + " " + t
					}
					if st.amount.aside != "" {
						t += ", " + st.amount.aside
					}
					if st.serving.AdLib {
						t += " (about " + weight(float64(st.serving.Kg)) + " a day, an estimate)"
					}
					if st.amount.unweighed {
						t += ", UNWEIGHED"
					}
					c = append(c, d.Lines(draw.Regular, 2, widths[j+2]-2*pad, draw.Black, join(": ", s.main.days(w, st), t))...)
				}
				cells = append(cells, c)
			}
			rows = append(rows, row(widths, pad*0.4, f.room()-20, cells...)...)
		}
	}
	f.gap(2)
	f.table(s.heading(widths, pad*0.4, 2, words...), rows)
}

func (s *sheet) orderList(f *flow) {
	d := s.d
	f.end()
	s.title(f, 4.5, "Order list")
	if len(s.p.Feeds) == 0 {
		s.say(f, draw.Regular, "No feed is listed.")
		return
	}
	widths := columns(f.w, 2.2, 1.2, 1.3, 1, 1.2)
	var rows []*draw.Group
	estimated := false
	for _, n := range s.p.Feeds {
		if n.Grazed {
			continue
		}
		kg := figure(n.KgWeek, 1) + nb + "kg"
		if n.Estimated {
			kg, estimated = "about "+kg+" *", true
		}
		unit := n.Feed.PackName
		if unit == "" {
			unit = "pack"
		}
		packs := "unknown"
		if v, ok := n.Packs.Get(); ok {
			packs = figure(v, 1) + nb + english().plural(v, unit)
		}
		stock := known(n.StockDays, 0, "days")
		text := func(i int, t string) cell {
			return cell{d.Number(draw.Regular, body, widths[i]-2*pad, draw.Black, t)}
		}
		rows = append(rows, row(widths, pad, f.room()-20,
			d.Lines(draw.Bold, body, widths[0]-2*pad, draw.Black, n.Feed.Name),
			text(1, kg), text(2, packs), text(3, known(n.Cost, 2, "")), text(4, stock))...)
	}
	f.table(s.heading(widths, pad, body, "Feed", "Week", "Packs", "Cost", "Stock lasts"), rows)
	if estimated {
		s.say(f, draw.Regular, "* some of it is fed ad lib: eaten, not served, so its weight is an estimate.")
	}
}

func (s *sheet) sources(f *flow) {
	s.title(f, 4.5, "Sources and assumptions")
	s.say(f, draw.Regular, "Needs: "+s.main.said(s.p.Standard)+". Work: "+s.main.said(s.p.WorkModel)+".")
	var rows []*draw.Group
	widths := columns(f.w, 1.4, 4.2, 2)
	for _, n := range s.p.Feeds {
		scoop := ""
		switch {
		case n.Unweighed:
			scoop = join(": ", "UNWEIGHED", n.DensityFrom)
		case n.MeasureKg.IsKnown() && n.Feed.MeasureWeighed.IsZero():
			scoop = known(n.MeasureKg, 3, "kg") + " from the feeds sheet, no date of weighing"
		case n.MeasureKg.IsKnown():
			scoop = known(n.MeasureKg, 3, "kg") + " weighed on " + n.Feed.MeasureWeighed.Format("2 Jan 2006")
		}
		var cells []cell
		for i, t := range []string{n.Feed.Name, s.main.said(n.CompFrom), scoop} {
			cells = append(cells, s.d.Lines(draw.Regular, 2, widths[i]-2*pad, draw.Black, t))
		}
		rows = append(rows, row(widths, pad, f.room()-20, cells...)...)
	}
	f.gap(1)
	f.table(s.heading(widths, pad, 2, "Feed", "Composition from", "One level measure"), rows)
	var from []string
	for _, h := range s.p.Horses {
		for _, n := range h.Nutrients {
			for _, t := range []string{n.Source, n.LimitSource} {
				if t != "" && !slices.Contains(from, t) {
					from = append(from, t)
				}
			}
		}
	}
	f.gap(2)
	if len(from) > 0 {
		s.say(f, draw.Regular, "Nutrient needs and limits: "+strings.Join(from, "; ")+".")
	}
	f.gap(2)
	for _, t := range reportFoot {
		s.say(f, draw.Bold, t)
	}
}
