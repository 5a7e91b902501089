package office

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

// decision is something a person should act on this week.
type decision struct {
	rank     yard.Rank
	severity yard.Severity
	horse    string
	word     string // what the card says, white on black; "" of a warning
	what     []string
	do       string
	where    string
}

// decisionsOf are the cards that are not what was planned, and all stops and warnings, by
// what they could do to the horse.
func (s *office) decisionsOf() []decision {
	var out []decision
	told := map[string]bool{} // whose stops its own line says
	for _, h := range s.Plan.Horses {
		d := decision{rank: yard.Deadly, severity: yard.Stop, horse: h.Horse.Name, where: words.Where(h.Horse.Cell)}
		d.what = append(d.what, s.Main.Why(h)...)
		switch {
		case h.Status == yard.NoCard:
			d.word, d.do = s.Word("status.no_card"), s.Word("office.do.no card")
		case h.Status == yard.Held:
			d.word, d.do = s.StatusWord(&h), s.Word("office.do.held")
			if words.AskFirst(&h) {
				d.do = s.Word("office.do.ask")
			}
			if p, ok := h.HardFeed.Planned.Get(); ok && words.StatusKey(&h) == "status.held" && !slices.ContainsFunc(h.HeldWhy, func(why yard.Saying) bool { return why.Arg("plan") != nil }) {
				d.what = append([]string{s.Word("office.planned", "planned", s.Main.Weight(p), "card", s.mass(h.HardFeed.Card, 2))}, d.what...)
			}
		default:
			continue
		}
		told[h.Horse.Name] = true
		out = append(out, d)
	}
	for _, f := range s.Plan.Findings {
		if f.Severity == yard.Note || f.Severity == yard.Stop && f.Horse != "" && told[f.Horse] {
			continue
		}
		d := decision{rank: yard.RankOf(f.Rule), severity: f.Severity, horse: f.Horse, what: []string{s.Main.Message(f)}, where: words.Where(f.Cell)}
		switch still := s.Main.Still(f); {
		case still != "": // one line of what was told last week
			d.what[0] = words.Join(" ", d.what[0], still)
		case !f.Next.Empty():
			d.do = s.Main.Said(f.Next)
		}
		out = append(out, d)
	}
	slices.SortStableFunc(out, func(a, b decision) int {
		return cmp.Or(cmp.Compare(a.rank, b.rank), cmp.Compare(b.severity, a.severity))
	})
	return out
}

// decide is the first page: what to decide, the worst first, each with what to do.
func (s *office) decide(f *flow.Flow) {
	d, w := s.d, s.Plan.Week
	f.Put(s.marked(s.Word("office.decide"), false, d.Set.Line(draw.Bold, 6, draw.Black, s.Word("office.decide.head"))),
		d.Set.Fit(draw.Bold, 4, 2.4, f.W, draw.Black, words.Join(", ", w.Yard, s.Main.WeekSpan(w), s.EditionWord())),
		draw.Space(f.W, 1))
	s.say(f, draw.Bold, s.Word("office.read", "sheets", strconv.Itoa(w.Read.Sheets), "rows", strconv.Itoa(w.Read.Rows),
		"horses", strconv.Itoa(w.Read.Horses), "planned", strconv.Itoa(len(s.Plan.Horses))))
	if w.Read.Horses != len(s.Plan.Horses) {
		s.say(f, draw.Bold, s.Word("office.read.differ"))
	}
	s.edition(f)
	f.Gap(2)
	all := s.decisionsOf()
	if len(all) == 0 {
		s.say(f, draw.Regular, s.Word("office.none"))
	}
	widths := flow.Columns(f.W, 0.3, 1.1, 3.6, 2.6, 0.9)
	var rows []*draw.Group
	for i, n := range all {
		lines := func(col int, face draw.Face, texts ...string) flow.Cell {
			var out flow.Cell
			for _, t := range texts {
				out = append(out, flow.Whole(d, face, body, widths[col]-2*pad, t)...)
			}
			return out
		}
		who := lines(1, draw.Bold, cmp.Or(n.horse, s.Word("office.yard")))
		switch {
		case n.word != "":
			who = append(who, draw.On(draw.Black, 0.5, d.Set.Close(draw.Bold, d.Set.Unbroken(draw.Bold, body, 1.5, widths[1]-2*pad-1, n.word), widths[1]-2*pad-1, draw.White, n.word)))
		case n.severity == yard.Stop:
			who = append(who, draw.On(draw.Black, 0.4, d.Set.Line(draw.Bold, body, draw.White, s.Word("office.severity.stop"))))
		}
		rows = append(rows, flow.Row(widths, pad, f.Room()-20,
			lines(0, draw.Bold, strconv.Itoa(i+1)), who, lines(2, draw.Regular, n.what...), lines(3, draw.Regular, n.do), lines(4, draw.Regular, n.where))...)
	}
	f.Table(flow.Heading(d, widths, pad, body, "", s.Word("office.head.horse"), s.Word("office.head.what"), s.Word("office.head.do"), s.Word("office.head.where")), rows)
	notes := 0
	for _, n := range s.Plan.Findings {
		if n.Severity == yard.Note {
			notes++
		}
	}
	f.Gap(2)
	if notes > 0 {
		s.say(f, draw.Regular, s.Word("office.more", "n", strconv.Itoa(notes)))
	}
}

// asRead is the second page: how the workbook was understood, a line a horse.
func (s *office) asRead(f *flow.Flow) {
	d := s.d
	f.End()
	f.Put(s.marked(s.Word("office.as read"), false, d.Set.Line(draw.Bold, 6, draw.Black, s.Word("office.as read"))), draw.Space(f.W, 0.6))
	s.say(f, draw.Regular, s.Word("office.as read.how"))
	f.Gap(2)
	shares := []float64{1.5, 1.5}
	heads := []string{s.Word("office.head.horse"), s.Word("office.head.weight")}
	for day := range 7 {
		shares, heads = append(shares, 0.95), append(heads, s.Main.Weekday(s.Plan.Week, day))
	}
	shares, heads = append(shares, 1.2, 1.05, 1.5, 1.4), append(heads, s.Word("office.head.now"), s.Word("office.head.planned"), s.Word("office.head.diagnoses"), s.Word("office.head.not understood"))
	widths := flow.Columns(f.W, shares...)
	head := flow.Heading(d, widths, 0.6*pad, 1.9, heads...)
	for at, h := range s.Plan.Horses {
		texts := []string{h.Horse.Name, s.weightRead(h)}
		for day := range 7 {
			texts = append(texts, s.workRead(h.Horse, day))
		}
		var named []string
		for _, n := range yard.DiagnosesSaid(h.Horse.Diagnoses) {
			named = append(named, s.Main.Term(n))
		}
		texts = append(texts, s.mass(h.HardFeed.Now, 2), plannedRead(s, h), strings.Join(named, ", "), strings.Join(s.notRead(h), ", "))
		cells := make([]flow.Cell, len(texts))
		for i, t := range texts {
			face := draw.Regular
			if i == 0 {
				face = draw.Bold
			}
			cells[i] = flow.Whole(d, face, 1.9, widths[i]-1.2*pad, t)
		}
		rows := flow.Row(widths, 0.6*pad, f.Room()-20, cells...)
		if at == 0 {
			f.Table(head, rows)
		} else {
			f.More(head, rows...)
		}
	}
}

// weightRead is a body weight with where it comes from.
func (s *office) weightRead(h yard.HorsePlan) string {
	kg, ok := h.WeightKg.Get()
	if !ok {
		return s.Word("unknown")
	}
	t := words.Join(" ", s.Main.BodyWeight(kg), s.BasisWord(h.WeightBasis))
	if !h.Horse.Weighed.IsZero() {
		t += ", " + s.Main.Day(h.Horse.Weighed, false)
	}
	return t
}

// workRead is a day's work as it was understood.
func (s *office) workRead(h yard.Horse, day int) string {
	w := h.Work[day]
	switch {
	case !h.WorkGiven:
		return s.Word("office.work.none")
	case w.Unknown:
		return "? " + w.Text
	}
	var minutes [yard.Gaits]float64
	for _, session := range w.Sessions {
		for g, m := range session.Minutes {
			minutes[g] += m
		}
	}
	var parts []string
	for g, letter := range [yard.Gaits]string{yard.Walk: "W", yard.Trot: "T", yard.Canter: "C", yard.Gallop: "G", yard.Jump: "J"} {
		if minutes[g] > 0 {
			parts = append(parts, letter+s.Main.Figure(minutes[g], 0))
		}
	}
	t := strings.Join(parts, " ")
	if t == "" {
		t = s.Word("office.work.off")
		if len(w.Sessions) > 0 {
			t = w.Text
		}
	}
	if w.Event {
		at := "?"
		if starts := w.Starts(); starts != nil {
			var clocks []string
			for _, e := range starts {
				clocks = append(clocks, words.Clock(e.Min))
			}
			at = strings.Join(clocks, " + ")
		}
		t = s.Word("office.work.event", "at", at) + " " + t
	}
	return t
}

// plannedRead is the planned hard feed, or that none was planned.
func plannedRead(s *office, h yard.HorsePlan) string {
	switch {
	case !h.Horse.PlanUnread.Empty():
		return s.Word("unknown")
	case !h.HardFeed.Planned.IsKnown():
		return s.Word("office.not planned")
	}
	return s.mass(h.HardFeed.Planned, 2)
}

// notRead are the cells of a horse that could not be understood.
func (s *office) notRead(h yard.HorsePlan) []string {
	var out []string
	for _, n := range h.Findings {
		if at := words.Where(n.Cell); at != "" && yard.RankOf(n.Rule) == yard.Blind && n.Severity > yard.Note && !slices.Contains(out, at) {
			out = append(out, at)
		}
	}
	return out
}

// yardFindings is what no horse's page says.
func (s *office) yardFindings(f *flow.Flow) {
	var rest []yard.Finding
	horses := map[string][]int{} // by name
	for i := range s.Plan.Horses {
		name := s.Plan.Horses[i].Horse.Name
		horses[name] = append(horses[name], i)
	}
	for _, n := range s.Plan.Findings {
		own := slices.ContainsFunc(horses[n.Horse], func(i int) bool { return slices.ContainsFunc(s.Plan.Horses[i].Findings, n.Equal) })
		if !own {
			rest = append(rest, n)
		}
	}
	if len(rest) == 0 {
		return
	}
	f.Gap(4)
	f.Keep(30)
	f.Put(s.marked(s.Word("office.yard"), false, s.d.Set.Line(draw.Bold, 4.5, draw.Black, s.Word("office.yard"))))
	s.findings(f, rest, slices.ContainsFunc(rest, func(n yard.Finding) bool { return n.Horse != "" }))
}

// marked is g, named in the list of pages.
func (s *office) marked(name string, under bool, g *draw.Group) *draw.Group {
	return draw.Space(0, 0).Add(0, 0, g).Draw(func(d *draw.Doc, _, _ float64) { d.Mark(name, under) })
}

// mass is a weight of feed in the yard's units, with so many decimals.
func (s *office) mass(n yard.Num, dec int) string {
	if v, ok := n.Get(); ok {
		n = yard.Known(v * s.perKg())
	}
	return s.Main.Known(n, dec, s.massUnit())
}

// perKg is how many of the yard's units of weight are a kilo.
func (s *office) perKg() float64 {
	if s.Plan.Week.Imperial {
		return words.LbPerKg
	}
	return 1
}

func (s *office) massUnit() string {
	if s.Plan.Week.Imperial {
		return "lb"
	}
	return "kg"
}
