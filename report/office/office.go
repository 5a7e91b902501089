// Package office is the sheet for the manager, the vet and whoever asks why: what to
// decide, a page a horse, the order list, the sources.
package office

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

const (
	officeMargin = 12.0
	body         = 2.2 // cap height of running text, mm: 9 point
	pad          = 0.8
)

// office is office.pdf on its way.
type office struct {
	*words.Sheet
	d *draw.Doc
}

// Document is office.pdf, in English.
func Document() *flow.Document {
	return &flow.Document{Title: func(*words.Sheet) string { return "Office sheet" }, English: true, Draw: drawOffice}
}

// drawOffice draws office.pdf: what needs a decision first, then a block a horse,
// then the order list, then where the figures come from.
func drawOffice(sheet *words.Sheet, d *draw.Doc) error {
	s := &office{sheet, d}
	f := &flow.Flow{D: d, X: officeMargin, W: d.PageW - 2*officeMargin, Top: officeMargin, Foot: d.PageH - officeMargin - 6}
	s.decisions(f)
	for _, h := range s.Plan.Horses {
		s.d.Drawing = h.Horse.Name
		s.horseBlock(f, h)
	}
	s.d.Drawing = ""
	s.orderList(f)
	s.sources(f)
	f.End()
	flow.PageFeet(s.Sheet, s.d, officeMargin, f.W, words.Join(", ", "Office sheet", s.Plan.Week.Yard, words.WeekSpan(s.Plan.Week), s.EditionWord(), words.Join(" ", "hardfeed", s.Meta.Version)))
	return nil
}

func (s *office) title(f *flow.Flow, capMM float64, text string) {
	f.Gap(3)
	f.Keep(capMM*draw.Leading + 14)
	f.Put(s.d.Fit(draw.Bold, capMM, 2.2, f.W, draw.Black, text), draw.Space(f.W, 0.6))
}

func (s *office) say(f *flow.Flow, face draw.Face, text string) {
	f.Put(s.d.Lines(face, body, f.W, draw.Black, text)...)
}

func (s *office) decisions(f *flow.Flow) {
	d, w := s.d, s.Plan.Week
	f.Put(d.Line(draw.Bold, 6, draw.Black, "Office sheet"),
		d.Fit(draw.Bold, 4, 2.4, f.W, draw.Black, words.Join(", ", w.Yard, words.WeekSpan(w), s.EditionWord())),
		draw.Space(f.W, 1))
	read := fmt.Sprintf("Read: %s, %s, %s. Planned: %s.", words.CountOf(w.Read.Sheets, "sheet"), words.CountOf(w.Read.Rows, "row"),
		words.CountOf(w.Read.Horses, "horse"), words.CountOf(len(s.Plan.Horses), "horse"))
	s.say(f, draw.Bold, read)
	if w.Read.Horses != len(s.Plan.Horses) {
		s.say(f, draw.Bold, "The two counts of horses differ: look for the missing or doubled name before you hang the cards.")
	}
	s.edition(f)

	s.title(f, 3.6, "Decide first")
	widths := flow.Columns(f.W, 1.1, 0.7, 4)
	rows := append(s.whyRows(f, widths, yard.Held, "HELD"), s.whyRows(f, widths, yard.NoCard, "NO CARD")...)
	if len(rows) == 0 {
		s.say(f, draw.Regular, "No card is held, and every horse has one.")
	}
	f.Table(flow.Heading(s.d, widths, pad, body, "Horse", "Card", "Why"), rows)

	s.title(f, 3.6, "Findings, the gravest first")
	if len(s.Plan.Findings) == 0 {
		s.say(f, draw.Regular, "None.")
	}
	s.findings(f, s.Plan.Findings, true)
}

// whyRows says of each horse of one status why.
func (s *office) whyRows(f *flow.Flow, widths []float64, status yard.Status, word string) []*draw.Group {
	d := s.d
	var rows []*draw.Group
	for _, h := range s.Plan.Horses {
		if h.Status != status {
			continue
		}
		var lines flow.Cell
		for _, t := range words.Why(h) {
			lines = append(lines, d.Lines(draw.Regular, body, widths[2]-2*pad, draw.Black, words.Capital(t))...)
		}
		rows = append(rows, flow.Row(widths, pad, f.Room()-20,
			d.Lines(draw.Bold, body, widths[0]-2*pad, draw.Black, h.Horse.Name),
			flow.Cell{draw.On(draw.Black, 0.5, d.Number(draw.Bold, body, widths[1]-2*pad-1, draw.White, word))}, lines)...)
	}
	return rows
}

// severityMark tells the three apart by shape: black, framed, plain.
func (s *office) severityMark(v yard.Severity) *draw.Group {
	switch v {
	case yard.Stop:
		return draw.On(draw.Black, 0.4, s.d.Line(draw.Bold, body, draw.White, "STOP"))
	case yard.Warn:
		return draw.Framed(0.35, 0.4, s.d.Line(draw.Bold, body, draw.Black, "warn"))
	}
	return s.d.Line(draw.Regular, body, draw.Black, v.String())
}

func (s *office) findings(f *flow.Flow, fs []yard.Finding, horses bool) {
	d := s.d
	widths, texts := flow.Columns(f.W, 0.55, 0.95, 2.9, 1.05, 1.8), []string{"", "Horse", "What", "Where", "Source"}
	if !horses {
		widths, texts = flow.Columns(f.W, 0.55, 3.9, 0.95, 2), []string{"", "Finding", "Where", "Source"}
	}
	var rows []*draw.Group
	for _, n := range fs {
		text := func(i int, face draw.Face, t string) flow.Cell {
			return d.Lines(face, 2.0, widths[i]-2*pad, draw.Black, t)
		}
		at := words.Where(n.Cell)
		if n.Cell.Text != "" && (horses || n.Cell.Text != n.Horse) { // its own page says which horse
			at = words.Join(" ", at, "“"+n.Cell.Text+"”")
		}
		cells := []flow.Cell{{s.severityMark(n.Severity)}}
		if horses {
			cells = append(cells, text(1, draw.Bold, n.Horse))
		}
		i := len(cells)
		cells = append(cells, text(i, draw.Regular, withNext(n)), text(i+1, draw.Regular, at), text(i+2, draw.Regular, words.Whose(n)))
		rows = append(rows, flow.Row(widths, 0.6*pad, f.Room()-20, cells...)...)
	}
	f.Table(flow.Heading(s.d, widths, 0.6*pad, 2.0, texts...), rows)
}

// withNext is a finding's message with why it matters and what to do next.
func withNext(n yard.Finding) string {
	t := words.Capital(words.Message(n))
	if !n.Why.Empty() {
		t += " (" + words.Said(n.Why) + ")"
	}
	if !n.Next.Empty() {
		t += ". Next: " + words.Said(n.Next)
	}
	return t
}

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
	f.Put(head)
	s.say(f, draw.Regular, s.facts(h))
	for _, t := range words.Why(h) {
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
	wt := "body weight " + words.Known(h.WeightKg, 0, "kg")
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

// weighings is the body weight and the score over time, where there are two or
// more.
func (s *office) weighings(f *flow.Flow, h yard.HorsePlan) {
	var weights, scores []draw.Point
	last := time.Time{}
	for _, w := range h.Horse.Weighings {
		last = w.Date
	}
	for _, w := range h.Horse.Weighings {
		days := last.Sub(w.Date).Hours() / 24
		if kg, ok := w.Kg.Get(); ok {
			weights = append(weights, draw.Point{Days: days, Value: kg, Label: words.Figure(kg, 0) + words.NoBreak + "kg " + w.Date.Format("2 Jan")})
		}
		if v, ok := w.Score.Get(); ok {
			scores = append(scores, draw.Point{Days: days, Value: v, Label: words.Figure(v, 1) + " on " + w.Date.Format("2 Jan")})
		}
	}
	plot := func(title string, points []draw.Point) {
		if len(points) < 2 {
			return
		}
		g := s.d.Trend(f.W, 9, 1.9, points)
		f.Gap(1.5)
		f.Keep(g.H + 6)
		s.say(f, draw.Bold, title)
		f.Put(g)
	}
	plot("Body weight over time", weights)
	plot("Condition score over time", scores)
}

func (s *office) needAndSupply(f *flow.Flow, h yard.HorsePlan) {
	d, e := s.d, h.Energy
	f.Gap(2)
	widths := flow.Columns(f.W, 1, 1, 1, 1, 1, 1, 1)
	texts := []string{"Maintenance", "Work", "Condition change", "Cold", "Need", "Supply", "By class alone"}
	supply := words.Known(e.Supply, 1, "")
	if !e.Supply.IsKnown() {
		supply = "at least " + words.Figure(e.SupplyAtLeast, 1)
	}
	need := words.Known(e.Need, 1, "")
	if h.WorkAtLeast && e.Need.IsKnown() {
		need = "at least " + need
	}
	vals := []string{words.Known(e.Maintenance, 1, ""), words.Known(e.Work, 1, ""), words.Known(e.Change, 1, ""), words.Known(e.Cold, 1, ""), need, supply, words.Known(e.ClassNeed, 1, "")}
	cells := make([]flow.Cell, len(vals))
	for i, v := range vals {
		face := draw.Regular
		if i == 4 || i == 5 {
			face = draw.Bold
		}
		cells[i] = flow.Cell{d.Number(face, body+0.2, widths[i]-2*pad, draw.Black, v)}
	}
	f.Keep(24)
	s.say(f, draw.Bold, "Energy, Mcal of digestible energy a day, mean of the week")
	f.Table(flow.Heading(s.d, widths, 0.5*pad, 1.9, texts...), flow.Row(widths, 0.5*pad, 1e9, cells...))

	s.besideEnergy(f, h)

	lines := append([]yard.Nutrient{{Name: "energy (DE)", Unit: "Mcal", Need: e.Need, Supply: e.Supply, AtLeast: e.SupplyAtLeast, Between: e.SupplyRange}}, h.Nutrients...)
	s.nutrients(f, lines)
}

// besideEnergy is what else bears on energy: water and sweat, and what other
// standards give, in their own units.
func (s *office) besideEnergy(f *flow.Flow, h yard.HorsePlan) {
	d := s.d
	sweatFrom := map[yard.SweatFrom]string{yard.SweatByClass: "by work class", yard.SweatScored: "by the yard's sweat score", yard.SweatMeasured: "measured by the yard"}[h.SweatFrom]
	if h.WaterLitres.Low.IsKnown() {
		s.say(f, draw.Regular, words.Join("; ",
			"Water "+span(h.WaterLitres, 0)+words.NoBreak+"l a day, always there",
			"sweat "+words.Known(h.SweatKg, 1, "kg")+" a day, mean of the week, "+sweatFrom)+".")
	}
	if r := h.Energy.SupplyRange; r.Low.IsKnown() {
		s.say(f, draw.Regular, "With hay and grass at the ends of what they may hold, supply lies between "+span(r, 1)+words.NoBreak+"Mcal.")
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
		} else if !n.Supply.IsKnown() && n.AtLeast > 0 {
			supply = "at least " + brief(yard.Known(n.AtLeast))
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

func (s *office) hardFeed(f *flow.Flow, h yard.HorsePlan) {
	d, st, hf := s.d, h.Step, h.HardFeed
	f.Gap(2.5)
	f.Keep(32)
	verdict := map[yard.Verdict]string{
		yard.StepWithin: "within the marks", yard.StepWarn: "over the warn mark", yard.StepStop: "over the stop mark",
		yard.StepUnknown: "step unknown: what was fed last week is not known", yard.StepOverridden: "over the stop mark, overridden",
	}[st.Verdict]
	s.say(f, draw.Bold, words.Join(": ", "Hard feed, kg as fed a work day", verdict))
	if o := h.Horse.Override; o.Asked {
		s.say(f, draw.Regular, fmt.Sprintf("Override asked for by %s: %s (%s).", s.Main.OrNotSaid(o.Who), s.Main.OrNotSaid(o.Reason), words.Where(o.Cell)))
	}
	var marks []draw.Mark
	hi := 0.0
	mark := func(n yard.Num, word string, above bool, k draw.MarkKind) {
		if v, ok := n.Get(); ok && !math.IsInf(v, 0) && !math.IsNaN(v) {
			hi = max(hi, v)
			for i, m := range marks { // one label where two amounts are the same
				if was, at, found := strings.Cut(m.Label, words.NoBreak); found && at == words.Figure(v, 2) && m.Above == above {
					marks[i].Label = was + ", " + word + words.NoBreak + at
					if k == draw.Dot {
						marks[i].Kind = k
					}
					return
				}
			}
			marks = append(marks, draw.Mark{At: v, Label: word + words.NoBreak + words.Figure(v, 2), Above: above, Kind: k})
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
		weeks = s.weeks(h, f.W)
	} else {
		path = s.path(h, 0.36*f.W)
	}
	if len(marks) > 0 && weeks == nil { // the weeks have them all, but for what is planned
		w := f.W - 10
		if path != nil {
			w -= path.W + 4
		}
		g := draw.Pad(d.NumberLine(w, 0, hi*1.08, 2, marks), 5, 0.5, 5, 0.5)
		if path != nil {
			g = draw.Beside(4, g, path)
		}
		f.Put(g)
	}
	if weeks != nil {
		f.Put(weeks)
		s.say(f, draw.Regular, "Outlined: the cards of past weeks, by their first day; no bar: no record. Black: now. Grey: to come. Marks: for this week's rise.")
	} else if len(st.PathKg) == 1 { // more are drawn
		var parts []string
		for i, v := range st.PathKg {
			parts = append(parts, fmt.Sprintf("week%s%d:%s%s", words.NoBreak, i+1, words.NoBreak, words.Weight(v)))
		}
		s.say(f, draw.Regular, "Path: "+strings.Join(parts, ", ")+".")
	}
	rise := "Rise against now "
	if weeks != nil {
		amounts := "Card " + words.Known(hf.Card, 2, "kg") + ", target " + words.Known(hf.Target, 2, "kg")
		if hf.Planned.IsKnown() {
			amounts += ", planned " + words.Known(hf.Planned, 2, "kg")
		}
		rise = amounts + "; rise against now "
	}
	s.say(f, draw.Regular, words.Join("; ",
		rise+words.Known(st.RiseKg, 2, "kg"),
		"warn and stop marks for a week "+words.Known(st.WarnKg, 2, "kg")+" and "+words.Known(st.StopKg, 2, "kg"),
		"for a day "+words.Known(st.DayWarnKg, 2, "kg")+" and "+words.Known(st.DayStopKg, 2, "kg"))+".")
	s.weeksAhead(f, h)
}

// How many weeks past and to come are drawn; the last to come always is.
const maxPast, maxAhead = 12, 8

// weeks draws hard feed over the weeks: what past cards had, what is fed now, and
// the path to the target, against this week's marks. Weeks without a record keep
// their place, empty.
func (s *office) weeks(h yard.HorsePlan, w float64) *draw.Group {
	var all []draw.StepWeek
	add := func(v yard.Num, fill draw.Ink, label ...string) {
		week := draw.StepWeek{Value: math.NaN(), Figure: "unknown", Fill: fill}
		if kg, ok := v.Get(); ok {
			week.Value, week.Figure = kg, words.Figure(kg, 2)
		}
		copy(week.Label[:], label)
		all = append(all, week)
	}
	past := map[int]float64{} // by how many weeks ago
	first := 0
	for _, p := range h.Horse.Past {
		days := int(math.Round(s.Plan.Week.Beginning.Sub(p.Beginning).Hours() / 24))
		if ago := days / 7; days%7 == 0 && ago > 0 && ago <= maxPast {
			past[ago], first = p.HardKg, max(first, ago)
		}
	}
	for ago := first; ago > 0; ago-- {
		day := s.Plan.Week.Beginning.AddDate(0, 0, -7*ago)
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
			marks = append(marks, draw.StepMark{At: now + v, Label: "warn above" + words.NoBreak + words.Figure(now+v, 2), From: len(all), Below: true})
		}
		if v, ok := h.Step.StopKg.Get(); ok {
			marks = append(marks, draw.StepMark{At: now + v, Label: "stop above" + words.NoBreak + words.Figure(now+v, 2), From: len(all)})
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
				label[1] = "week" + words.NoBreak + label[1]
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
func (s *office) path(h yard.HorsePlan, w float64) *draw.Group {
	if len(h.Step.PathKg) < 2 {
		return nil
	}
	var values []float64
	var figures, labels []string
	add := func(v float64, known bool, label string) {
		t := words.Figure(v, 2)
		if !known {
			v, t = math.NaN(), "unknown"
		}
		values, figures, labels = append(values, v), append(figures, t), append(labels, label)
	}
	now, ok := h.HardFeed.Now.Get()
	add(now, ok, "now")
	for i, v := range h.Step.PathKg { // more could not be read; all stand in the record
		if i < maxPath-1 || i == len(h.Step.PathKg)-1 {
			add(v, true, fmt.Sprintf("week%s%d", words.NoBreak, i+1))
		}
	}
	return s.d.Columns(w, 7, 1.9, values, figures, labels)
}

// week: what is done each day, its energy, and the hard feed of that day.
func (s *office) week(f *flow.Flow, h yard.HorsePlan) {
	d := s.d
	f.Gap(2)
	need, supply, figs, labels := make([]float64, 7), make([]float64, 7), make([]string, 7), make([]string, 7)
	or := func(n yard.Num) float64 { return n.Or(math.NaN()) }
	widths := flow.Columns(f.W, 1, 1, 1, 1, 1, 1, 1)
	work, feed := make([]flow.Cell, 7), make([]flow.Cell, 7)
	kindWord := map[yard.DayKind]string{yard.WorkDay: "", yard.RestDay: "rest", yard.EventDay: "event"}
	for i, day := range h.Days {
		labels[i] = words.Join(" ", words.Weekday(s.Plan.Week, i), kindWord[day.Kind])
		need[i], supply[i] = or(day.EnergyNeed), or(day.Supply)
		figs[i] = words.Known(day.EnergyNeed, 1, "") + " / " + words.Known(day.Supply, 1, "")
		t := day.Work
		if t == "" {
			t = "–"
		}
		work[i] = d.Lines(draw.Regular, 1.9, widths[i]-2*pad, draw.Black, t)
		feed[i] = flow.Cell{d.Number(draw.Bold, body, widths[i]-2*pad, draw.Black, words.Known(day.HardFeedKg, 2, "kg"))}
	}
	plot := d.Pairs(f.W, 9, 1.9, need, supply, figs, labels)
	f.Keep(plot.H + 16)
	s.say(f, draw.Bold, "Energy of each day, Mcal DE: need (outline) / supply (grey); below it the work as written and that day's hard feed")
	f.Put(plot)
	f.Put(flow.Row(widths, 0.5*pad, f.Room()-20, work...)...)
	f.Put(flow.Row(widths, 0.5*pad, 1e9, feed...)...)
}

// eventDays is the clock of each event day: the meals with what is fed at them,
// the hours without hard feed, the start.
func (s *office) eventDays(f *flow.Flow, h yard.HorsePlan) {
	for _, e := range h.Events {
		if e.Day < 0 || e.Day > 6 {
			continue
		}
		marks := []draw.Mark{{At: float64(e.Start), Label: "start" + words.NoBreak + words.Clock(e.Start), Above: true, Kind: draw.Tick},
			{At: float64(e.NextHardFeed), Label: "hard feed again from" + words.NoBreak + words.Clock(e.NextHardFeed), Above: true, Kind: draw.Ring}}
		if e.LastHardFeed >= 0 {
			marks = append(marks, draw.Mark{At: float64(e.LastHardFeed), Label: "last hard feed by" + words.NoBreak + words.Clock(e.LastHardFeed), Above: true, Kind: draw.Ring})
		}
		first, last := min(e.LastHardFeed, e.Start), max(e.NextHardFeed, e.Start)
		var untimed []string
		for _, m := range words.MealsOf(s.Plan.Week, h) {
			what := s.fedAt(m, yard.EventDay, int(e.Day))
			if m.Minute < 0 {
				if what != "" {
					untimed = append(untimed, m.Name+": "+what)
				}
				continue
			}
			first, last = min(first, m.Minute), max(last, m.Minute)
			if what == "" {
				what = "nothing"
			}
			marks = append(marks, draw.Mark{At: float64(m.Minute), Label: m.Name + words.NoBreak + words.Clock(m.Minute) + ": " + what, Kind: draw.Dot})
		}
		lo, hi := max(0, first-30), min(24*60, last+30)
		line := s.d.NumberLine(f.W-10, float64(lo), float64(hi), 1.9, marks, draw.Band{From: float64(max(lo, e.LastHardFeed)), To: float64(min(hi, e.NextHardFeed))})
		g := draw.Pad(line, 5, 0.3, 5, 0.3)
		f.Gap(1.5)
		f.Keep(g.H + 14)
		s.say(f, draw.Bold, "Event on "+words.Date(s.Plan.Week, int(e.Day))+": the day by the clock")
		f.Put(g)
		after := "hatched: no hard feed; nothing heavy for an hour after the end"
		if e.End == e.Start {
			after = "hatched: no hard feed; how long it lasts is not written, so the hour after it counts from the start: wait longer"
		}
		s.say(f, draw.Regular, words.Join("; ", words.Capital(after), "small hay is kept up to the start, water always", strings.Join(untimed, "; "), "hours from "+e.Source)+".")
	}
}

// fedAt is what a meal gives on a day, in words; empty where it gives nothing.
func (s *office) fedAt(m words.Meal, kind yard.DayKind, day int) string {
	var parts []string
	for _, fd := range m.Feeds {
		for _, v := range words.ValidOn(fd.On(kind), day) {
			if a := s.AmountOf(*v); !a.None {
				parts = append(parts, fd.Feed+words.NoBreak+a.String())
			}
		}
	}
	return strings.Join(parts, ", ")
}

func (s *office) servingTable(f *flow.Flow, h yard.HorsePlan) {
	d, w := s.d, s.Plan.Week
	cols := words.Columns(h)
	shares, texts := []float64{0.8, 1.4}, []string{"Meal", "Feed"}
	for _, c := range cols {
		shares, texts = append(shares, 1.7), append(texts, words.Join(": ", strings.ToLower(s.Word(c.Head)), s.Main.Says(w, c)))
	}
	widths := flow.Columns(f.W, shares...)
	var rows []*draw.Group
	for _, m := range words.MealsOf(w, h) {
		for i, mf := range m.Feeds {
			name := ""
			if i == 0 {
				name = m.Name
			}
			cells := []flow.Cell{
				d.Lines(draw.Bold, 2, widths[0]-2*pad, draw.Black, name),
				d.Lines(draw.Regular, 2, widths[1]-2*pad, draw.Black, mf.Feed),
			}
			for j, col := range cols {
				var c flow.Cell
				stages := s.Stages(col, mf.On(col.Kind))
				if len(stages) == 0 {
					c = d.Lines(draw.Regular, 2, widths[j+2]-2*pad, draw.Black, s.Word(col.Nothing()))
				}
				for _, st := range stages {
					t := st.Amount.String()
					if st.Amount.Weigh {
						t = s.Word("amount.weigh") + " " + t
					}
					if st.Amount.Aside != "" {
						t += ", " + st.Amount.Aside
					}
					if st.Serving.AdLib {
						t += " (about " + words.Weight(float64(st.Serving.Kg)) + " a day, an estimate)"
					}
					if st.Amount.Unweighed {
						t += ", UNWEIGHED"
					}
					c = append(c, d.Lines(draw.Regular, 2, widths[j+2]-2*pad, draw.Black, words.Join(": ", s.Main.Days(w, st), t))...)
				}
				cells = append(cells, c)
			}
			rows = append(rows, flow.Row(widths, pad*0.4, f.Room()-20, cells...)...)
		}
	}
	f.Gap(2)
	f.Table(flow.Heading(s.d, widths, pad*0.4, 2, texts...), rows)
}

func (s *office) orderList(f *flow.Flow) {
	d := s.d
	f.End()
	s.title(f, 4.5, "Order list")
	if len(s.Plan.Feeds) == 0 {
		s.say(f, draw.Regular, "No feed is listed.")
		return
	}
	widths := flow.Columns(f.W, 2.2, 1.2, 1.3, 1, 1.2)
	var rows []*draw.Group
	estimated := false
	for _, n := range s.Plan.Feeds {
		if n.Grazed {
			continue
		}
		kg := words.Figure(n.KgWeek, 1) + words.NoBreak + "kg"
		if n.Estimated {
			kg, estimated = "about "+kg+" *", true
		}
		unit := n.Feed.PackName
		if unit == "" {
			unit = "pack"
		}
		packs := "unknown"
		if v, ok := n.Packs.Get(); ok {
			packs = words.Figure(v, 1) + words.NoBreak + words.English().Plural(v, unit)
		}
		stock := words.Known(n.StockDays, 0, "days")
		text := func(i int, t string) flow.Cell {
			return flow.Cell{d.Number(draw.Regular, body, widths[i]-2*pad, draw.Black, t)}
		}
		rows = append(rows, flow.Row(widths, pad, f.Room()-20,
			d.Lines(draw.Bold, body, widths[0]-2*pad, draw.Black, n.Feed.Name),
			text(1, kg), text(2, packs), text(3, words.Known(n.Cost, 2, "")), text(4, stock))...)
	}
	f.Table(flow.Heading(s.d, widths, pad, body, "Feed", "Week", "Packs", "Cost", "Stock lasts"), rows)
	if estimated {
		s.say(f, draw.Regular, "* some of it is fed ad lib: eaten, not served, so its weight is an estimate.")
	}
}

func (s *office) sources(f *flow.Flow) {
	s.title(f, 4.5, "Sources and assumptions")
	s.say(f, draw.Regular, "Needs: "+s.Main.OrNotSaid(s.Plan.Standard)+". Work: "+s.Main.OrNotSaid(s.Plan.WorkModel)+".")
	var rows []*draw.Group
	widths := flow.Columns(f.W, 1.4, 4.2, 2)
	for _, n := range s.Plan.Feeds {
		scoop := ""
		switch {
		case n.Unweighed:
			scoop = words.Join(": ", "UNWEIGHED", n.DensityFrom)
		case n.MeasureKg.IsKnown() && n.Feed.MeasureWeighed.IsZero():
			scoop = words.Known(n.MeasureKg, 3, "kg") + " from the feeds sheet, no date of weighing"
		case n.MeasureKg.IsKnown():
			scoop = words.Known(n.MeasureKg, 3, "kg") + " weighed on " + n.Feed.MeasureWeighed.Format("2 Jan 2006")
		}
		var cells []flow.Cell
		for i, t := range []string{n.Feed.Name, s.Main.OrNotSaid(n.CompFrom), scoop} {
			cells = append(cells, s.d.Lines(draw.Regular, 2, widths[i]-2*pad, draw.Black, t))
		}
		rows = append(rows, flow.Row(widths, pad, f.Room()-20, cells...)...)
	}
	f.Gap(1)
	f.Table(flow.Heading(s.d, widths, pad, 2, "Feed", "Composition from", "One level measure"), rows)
	var from []string
	for _, h := range s.Plan.Horses {
		for _, n := range h.Nutrients {
			for _, t := range []string{n.Source, n.LimitSource} {
				if t != "" && !slices.Contains(from, t) {
					from = append(from, t)
				}
			}
		}
	}
	f.Gap(2)
	if len(from) > 0 {
		s.say(f, draw.Regular, "Nutrient needs and limits: "+strings.Join(from, "; ")+".")
	}
	f.Gap(2)
	for _, t := range reportFoot {
		s.say(f, draw.Bold, t)
	}
}

// edition is the office sheet's part: what a new edition changed.
func (s *office) edition(f *flow.Flow) {
	if s.Meta.Edition < 2 {
		return
	}
	s.title(f, 3.6, fmt.Sprintf("Edition %d, in place of edition %d", s.Meta.Edition, s.Meta.Edition-1))
	s.say(f, draw.Bold, "Take down the cards of the edition before.")
	if len(s.Meta.Changes) == 0 {
		s.say(f, draw.Regular, "No amount, body weight or work differs from the edition before.")
	}
	for _, c := range s.Meta.Changes {
		t := words.Capital(c.What)
		if c.Horse != "" {
			t = c.Horse + ": " + c.What
		}
		s.say(f, draw.Regular, t+".")
	}
}

var reportFoot = []string{
	"Limits come from published guidance, their row ids are given; they do not replace a vet or a qualified nutritionist.",
	"Competition rules and feed law differ by place: check yours.",
	"A total with an unknown part is printed as \"at least\"; no shortfall is claimed from it.",
}

func per(v yard.Num, of yard.Num) string {
	a, ok1 := v.Get()
	b, ok2 := of.Get()
	if !ok1 || !ok2 || b <= 0 {
		return ""
	}
	return fmt.Sprintf("%.0f%%", 100*a/b)
}
