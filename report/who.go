package report

import (
	"fmt"
	"slices"
	"strings"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// whoGetsWhat is the whole yard, meal by meal, in the workbook's order of
// horses: the first pages of cards.pdf.
func (s *sheet) whoGetsWhat() {
	d, w := s.d, s.p.Week
	const margin = 10.0
	f := &flow{d: d, x: margin, w: d.PageW - 2*margin, top: margin, foot: d.PageH - margin - 6}

	title := d.Fit(draw.Bold, 8, 5, f.w, draw.Black, "Who gets what")
	f.put(title,
		d.Fit(draw.Regular, 4, 2.5, f.w, draw.Black, w.Yard),
		draw.Space(f.w, 1.5),
		d.Number(draw.Bold, 6.5, f.w, draw.Black, weekSpan(w)),
		draw.Space(f.w, 0.8),
		draw.Framed(0.6, 1.2, d.Number(draw.Bold, 4.2, f.w-2.4, draw.Black, notAfter(w))),
		draw.Space(f.w, 1.5))
	held, none := 0, 0
	for _, h := range s.p.Horses {
		switch h.Status {
		case yard.Held:
			held++
		case yard.NoCard:
			none++
		}
	}
	f.put(d.Lines(draw.Regular, 2.8, f.w, draw.Black, fmt.Sprintf(
		"%s on this list: %d held (less than was planned), %d without a computed card. Every horse has its own card with its cautions.",
		countOf(len(s.p.Horses), "horse"), held, none))...)

	widths := columns(f.w, 0.62, 1, 1)
	for _, m := range s.yardMeals() {
		var rows []*draw.Group
		var idle []string // named under the table, so that nobody looks for them in vain
		for _, h := range s.p.Horses {
			s.horse = h.Horse.Name
			if h.Status != yard.NoCard && !slices.ContainsFunc(mealsOf(w, h), func(hm meal) bool { return sameMeal(hm, m) }) {
				idle = append(idle, h.Horse.Name)
				continue
			}
			rows = append(rows, s.whoRow(h, m, widths, f.foot-f.top-30)...)
		}
		s.horse = ""
		name := m.name
		if m.clock != "" {
			name += "  " + m.clock
		}
		head := draw.Stack(0, d.Fit(draw.Bold, 5.5, 3, f.w, draw.Black, name), s.heading(widths, 0.8, 2.8, "Horse", kindNames[yard.WorkDay], kindNames[yard.RestDay]))
		f.gap(5)
		if len(idle) > 0 {
			last := row([]float64{f.w}, 0.8, f.foot-f.top-30,
				d.Lines(draw.Regular, 2.6, f.w-1.6, draw.Black, "Nothing at this meal: "+strings.Join(idle, "; ")+"."))
			if n := len(rows) - 1; n >= 0 && len(last) == 1 && rows[n].H+last[0].H < f.foot-f.top-30 {
				rows[n] = draw.Stack(0, rows[n], last[0]) // not alone on a page
			} else {
				rows = append(rows, last...)
			}
		}
		f.table(head, rows)
	}
	s.pageFeet(margin, f.w, join(", ", "Who gets what", w.Yard))
}

func countOf(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}

// yardMeals is every meal any horse is fed at, plus those of the yard sheet.
func (s *sheet) yardMeals() []meal {
	all := yard.HorsePlan{}
	for _, h := range s.p.Horses {
		all.Servings = append(all.Servings, h.Servings...)
	}
	out := mealsOf(s.p.Week, all)
	if len(out) == 0 {
		out = []meal{{name: allDay}}
	}
	return out
}

// whoRow is one horse at one meal: its work day beside its rest day, and under
// them, where it has one, its event day.
func (s *sheet) whoRow(h yard.HorsePlan, m meal, widths []float64, maxH float64) []*draw.Group {
	d, w := s.d, s.p.Week
	const pad = 0.9
	inner := func(i int) float64 { return widths[i] - 2*pad }
	name := cell{d.Fit(draw.Bold, 3.4, 2.8, inner(0)-1.5, draw.Black, h.Horse.Name)}
	if name[0].H > 40 { // a row can be parted only between lines
		name = d.Lines(draw.Bold, 2.8, inner(0)-1.5, draw.Black, h.Horse.Name)
	}
	if days := daysOf(w, h, yard.RestDay); days != "" {
		name = append(name, d.Lines(draw.Regular, 2.3, inner(0), draw.Black, "rest "+days)...)
	}
	if word := statusWords[h.Status]; word != "" {
		name = append(name, draw.On(draw.Black, 0.5, d.Number(draw.Bold, 2.6, inner(0)-1, draw.White, word)))
	}
	wide := []float64{widths[0], widths[1] + widths[2]}
	if h.Status == yard.NoCard && len(h.Servings) == 0 {
		rest := cell(d.Lines(draw.Bold, 2.8, wide[1]-2*pad, draw.Black, "Ask before feeding: "+ask(w)))
		rest = append(rest, d.Lines(draw.Regular, 2.8, wide[1]-2*pad, draw.Black, "Keep hay and water in front of it, no change of hard feed.")...)
		return row(wide, pad, maxH, name, rest)
	}
	var feeds []mealFeed
	for _, hm := range mealsOf(w, h) {
		if sameMeal(hm, m) {
			feeds = hm.feeds
		}
	}
	kinds := kindsOf(h)
	entries := func(k yard.DayKind, width float64) cell {
		var c cell
		for _, f := range feeds {
			for _, st := range stagesOf(w, f.stages[k]) {
				c = append(c, draw.Pad(s.whoEntry(f.feed, st, width), 0, 0.25, 0, 0.25))
			}
		}
		if len(c) == 0 {
			t := "nothing at this meal"
			if !slices.Contains(kinds, k) {
				t = "no " + strings.ToLower(kindNames[k])
			}
			c = cell{d.Number(draw.Regular, 2.5, width, draw.Black, t)}
		}
		return c
	}
	work, rest := entries(yard.WorkDay, inner(1)), entries(yard.RestDay, inner(2))
	if len(feeds) > 0 && slices.Contains(kinds, yard.RestDay) && !slices.ContainsFunc(feeds, func(f mealFeed) bool {
		return !sameStages(w, f.stages[yard.WorkDay], f.stages[yard.RestDay])
	}) {
		rest = cell{d.Line(draw.Regular, 2.8, draw.Black, "as on a work day")}
	}
	out := row(widths, pad, maxH, name, work, rest)
	if slices.Contains(kinds, yard.EventDay) {
		label := cell(d.Lines(draw.Regular, 2.3, inner(0), draw.Black, h.Horse.Name))
		// The columns' headings do not hold for this row: it says so itself.
		says := draw.Framed(0.4, 0.5, d.Line(draw.Bold, 2.4, draw.Black, join(" ", kindNames[yard.EventDay], daysOf(w, h, yard.EventDay))))
		out = append(out, row(wide, pad, maxH, label, append(cell{says}, entries(yard.EventDay, wide[1]-2*pad)...))...)
	}
	return out
}

func sameMeal(a, b meal) bool { return strings.EqualFold(a.name, b.name) }

func sameStages(w yard.Week, a, b []yard.Serving) bool {
	return slices.EqualFunc(stagesOf(w, a), stagesOf(w, b), func(x, y stage) bool {
		return x.days == y.days && x.amount == y.amount
	})
}

// whoEntry is one feed of one meal: drawing, amount, feed; on two lines where
// one is too narrow.
func (s *sheet) whoEntry(feed string, st stage, w float64) *draw.Group {
	d := s.d
	const cap = 3.3
	mark := markOf(st.serving, st.amount, 4)
	line := s.amountLine(st.amount, cap)
	if st.days != "" {
		line = draw.Beside(1.2, d.Line(draw.Bold, 2.3, draw.Black, st.days), line)
	}
	if mark.W > 0 && mark.W < w/2 {
		line = draw.Beside(1.2, mark, line)
	}
	for c := cap; line.W > w; {
		c *= 0.95 * w / line.W
		line = s.amountLine(st.amount, c)
		if st.days != "" {
			line = draw.Stack(0, d.Number(draw.Bold, 2.3, w, draw.Black, st.days), line)
		}
	}
	for _, c := range []float64{2.6, 2.3, 2} {
		if name := d.Line(draw.Regular, c, draw.Black, feed); line.W+1.8+name.W <= w {
			return onBaseline(line, cap, line.H, name, c, 1.8)
		}
	}
	return draw.Stack(0, line, d.Para(draw.Regular, 2.6, w, draw.Black, feed))
}
