package office

import (
	"strconv"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
	"hardfeed/report/flow"
	"hardfeed/report/words"
)

// severityMark tells the three apart by shape: black, framed, plain.
func (s *office) severityMark(v yard.Severity) *draw.Group {
	switch v {
	case yard.Stop:
		return draw.On(draw.Black, 0.4, s.d.Set.Line(draw.Bold, 1.8, draw.White, s.Word("office.severity.stop")))
	case yard.Warn:
		return draw.Framed(0.35, 0.4, s.d.Set.Line(draw.Bold, 1.8, draw.Black, s.Word("office.severity.warn")))
	}
	return s.d.Set.Line(draw.Regular, 1.8, draw.Black, s.Word("office.severity.note"))
}

func (s *office) findings(f *flow.Flow, fs []yard.Finding, horses bool) {
	d := s.d
	widths, texts := flow.Columns(f.W, 0.9, 0.95, 2.8, 1.05, 1.7), []string{"", s.Word("office.head.horse"), s.Word("office.head.what"), s.Word("office.head.where"), s.Word("office.head.source")}
	if !horses {
		widths, texts = flow.Columns(f.W, 0.8, 4.1, 0.75, 1.8), []string{"", s.Word("office.head.what"), s.Word("office.head.where"), s.Word("office.head.source")}
	}
	var rows []*draw.Group
	for _, n := range fs {
		text := func(i int, face draw.Face, t string) flow.Cell {
			return flow.Whole(d, face, 2.0, widths[i]-2*pad, t)
		}
		source := func(i int) flow.Cell { return flow.Whole(d, draw.Regular, 1.75, widths[i]-2*pad, s.Main.Whose(n)) }
		at := words.Where(n.Cell)
		if n.Cell.Text != "" && (horses || n.Cell.Text != n.Horse) { // its own page says which horse
			at = words.Join(" ", at, "“"+n.Cell.Text+"”")
		}
		cells := []flow.Cell{{s.severityMark(n.Severity)}}
		if horses {
			cells = append(cells, text(1, draw.Bold, n.Horse))
		}
		i := len(cells)
		cells = append(cells, text(i, draw.Regular, s.withNext(n)), text(i+1, draw.Regular, at), source(i+2))
		rows = append(rows, flow.Row(widths, 0.5*pad, f.Room()-20, cells...)...)
	}
	f.Table(flow.Heading(s.d, widths, 0.6*pad, 2.0, texts...), rows)
}

// withNext is a finding's message with what to do and why it matters.
func (s *office) withNext(n yard.Finding) string {
	return words.Together(s.Main.Message(n), s.Main.Said(n.Next), s.Main.Said(n.Why))
}

// edition is the office sheet's part: what a new edition changed.
func (s *office) edition(f *flow.Flow) {
	if s.Meta.Edition < 2 {
		return
	}
	s.title(f, 3.6, s.Word("office.edition", "n", strconv.Itoa(s.Meta.Edition), "before", strconv.Itoa(s.Meta.Edition-1)), false)
	s.say(f, draw.Bold, s.Word("office.edition.do"))
	if len(s.Meta.Changes) == 0 {
		s.say(f, draw.Regular, s.Word("office.edition.same"))
	}
	told := map[string]bool{}
	for _, c := range s.Meta.Changes {
		t := words.Capital(c.In(s.Main))
		if c.Horse != "" {
			t = c.Horse + ": " + c.In(s.Main)
		}
		if t = words.Sentence(t); told[t] {
			continue
		}
		told[t] = true
		s.say(f, draw.Regular, t)
	}
}
