package ingest

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// A yard's workbook in testdata/yards is written as a page: "== tab" begins a
// sheet, its cells stand between bars, and "-- read" begins what a person reads
// from it. Of a cell: "@2026-12-07" is a date, "50%" with a leading "%" a percentage
// of Excel's, "'12" a number kept as text, "x >>3" is joined over three columns, "~x"
// is struck through, "=3*2 => 6" a formula with the value Excel kept.
type page struct {
	name   string
	sheets []pageSheet
	week   string
	horses []reading
}

type pageSheet struct {
	name  string
	lines []string
}

// reading is what a person reads of a horse. Several readings that are all fair
// stand with a stroke between them, "?" is what she would have to ask, "." what
// does not matter, "=2" the one amount of a list that says neither now nor planned.
type reading struct {
	name, weight string
	days         []string
	now, plan    string
	ill          []string
	gone         bool
}

func readPage(t *testing.T, path string) page {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	p := page{name: strings.TrimSuffix(filepath.Base(path), ".txt")}
	answers := false
	for _, line := range strings.Split(strings.TrimRight(string(data), "\n"), "\n") {
		name, isSheet := strings.CutPrefix(line, "== ")
		switch {
		case isSheet:
			p.sheets = append(p.sheets, pageSheet{name: name})
		case line == "-- read":
			answers = true
		case answers:
			p.answer(t, line)
		case len(p.sheets) > 0:
			s := &p.sheets[len(p.sheets)-1]
			s.lines = append(s.lines, line)
		}
	}
	return p
}

func (p *page) answer(t *testing.T, line string) {
	t.Helper()
	if week, ok := strings.CutPrefix(line, "week "); ok {
		p.week = week
		return
	}
	parts := strings.Split(line, ";")
	for i := range parts {
		parts[i] = strings.TrimSpace(parts[i])
	}
	r := reading{name: parts[0]}
	if len(parts) == 2 && parts[1] == "gone" {
		r.gone = true
		p.horses = append(p.horses, r)
		return
	}
	if len(parts) < 4 {
		t.Fatalf("%s: the reading %q is short", p.name, line)
	}
	r.weight, r.days = parts[1], strings.Fields(parts[2])
	r.now, r.plan, _ = strings.Cut(parts[3], " ->")
	r.plan = strings.TrimSpace(r.plan)
	if len(parts) > 4 {
		r.ill = strings.Split(parts[4], ",")
	}
	if len(r.days) != 7 {
		t.Fatalf("%s: %q has %d days", p.name, line, len(r.days))
	}
	p.horses = append(p.horses, r)
}

var joinedOver = regexp.MustCompile(`^(.*) >>(\d+)$`)

func (p page) workbook(t *testing.T) []byte {
	t.Helper()
	f := excelize.NewFile()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	style := func(s excelize.Style) int {
		id, err := f.NewStyle(&s)
		must(err)
		return id
	}
	must(f.SetDocProps(&excelize.DocProperties{Created: "2027-01-08T09:00:00Z", Modified: "2027-01-09T17:30:00Z"}))
	dates, percents, struck := style(excelize.Style{NumFmt: 14}), style(excelize.Style{NumFmt: 9}), style(excelize.Style{Font: &excelize.Font{Strike: true}})
	for i, s := range p.sheets {
		if i == 0 {
			must(f.SetSheetName("Sheet1", s.name))
		} else {
			_, err := f.NewSheet(s.name)
			must(err)
		}
		for r, line := range s.lines {
			for c, text := range strings.Split(line, "|") {
				text = strings.ReplaceAll(strings.TrimSpace(text), `\n`, "\n")
				ref, err := excelize.CoordinatesToCellName(c+1, r+1)
				must(err)
				if m := joinedOver.FindStringSubmatch(text); m != nil {
					n, _ := strconv.Atoi(m[2])
					end, err := excelize.CoordinatesToCellName(c+n, r+1)
					must(err)
					must(f.MergeCell(s.name, ref, end))
					text = m[1]
				}
				if day, ok := strings.CutPrefix(text, "@"); ok {
					at, err := time.Parse("2006-01-02", day)
					must(err)
					must(f.SetCellValue(s.name, ref, at))
					must(f.SetCellStyle(s.name, ref, ref, dates))
					continue
				}
				if formula, value, ok := strings.Cut(text, " => "); ok && strings.HasPrefix(formula, "=") {
					v, err := strconv.ParseFloat(value, 64)
					must(err)
					must(f.SetCellFormula(s.name, ref, formula[1:]))
					must(f.SetCellValue(s.name, ref, v))
					must(f.SetCellFormula(s.name, ref, formula[1:]))
					continue
				}
				if v, ok := strings.CutPrefix(text, "%"); ok {
					x, err := strconv.ParseFloat(v, 64)
					must(err)
					must(f.SetCellValue(s.name, ref, x/100))
					must(f.SetCellStyle(s.name, ref, ref, percents))
					continue
				}
				if v, ok := strings.CutPrefix(text, "~"); ok && v != "" && v[0] > '9' {
					must(f.SetCellValue(s.name, ref, v))
					must(f.SetCellStyle(s.name, ref, ref, struck))
					continue
				}
				if text == "TRUE" || text == "FALSE" {
					must(f.SetCellValue(s.name, ref, text == "TRUE"))
				} else if v, ok := strings.CutPrefix(text, "'"); ok {
					must(f.SetCellStr(s.name, ref, v))
				} else if v, err := strconv.ParseFloat(text, 64); err == nil {
					must(f.SetCellValue(s.name, ref, v))
				} else if text != "" {
					must(f.SetCellStr(s.name, ref, text))
				}
			}
		}
	}
	buf, err := f.WriteToBuffer()
	must(err)
	return buf.Bytes()
}

// verdicts of a book: how many facts were read right, asked about, or wrong
// without a question.
type verdicts struct {
	right, asked  int
	wrong, unread []string
	refused       error
	questions     int
}

func judge(p page, w yard.Week, err error) verdicts {
	v := verdicts{refused: err}
	if err != nil {
		return v
	}
	asks := map[string]bool{}
	for _, f := range w.Findings {
		if f.Severity != yard.Note {
			asks[words.Message(f)] = true
		}
	}
	v.questions = len(asks)
	asked := func(horse string, rules ...string) bool {
		return slices.ContainsFunc(w.Findings, func(f yard.Finding) bool {
			return (f.Horse == horse || f.Horse == "") && slices.ContainsFunc(append(rules, "column-unused", "sheet-unused", "cell-unused"), func(r string) bool { return strings.HasPrefix(string(f.Rule), r) })
		})
	}
	fact := func(what, want, got string, isAsked bool) {
		for _, x := range strings.Split(want, "/") {
			a, errA := strconv.ParseFloat(x, 64)
			b, errB := strconv.ParseFloat(got, 64)
			if x == "." || x == "?" && (got == "?" || got == "-") || x == got || errA == nil && errB == nil && math.Abs(a-b) <= 0.02+a/500 {
				v.right++
				return
			}
		}
		if isAsked {
			v.asked++
			v.unread = append(v.unread, fmt.Sprintf("%s: read %s, meant %s", what, got, want))
			return
		}
		v.wrong = append(v.wrong, fmt.Sprintf("%s: read %s, meant %s", what, got, want))
	}
	if p.week != "" {
		got := "?"
		if !w.Beginning.IsZero() {
			got = w.Beginning.Format(time.DateOnly)
		}
		fact("week", p.week, got, asked("", "week"))
	}
	seen := map[string]bool{}
	for _, r := range p.horses {
		i := slices.IndexFunc(w.Horses, func(h yard.Horse) bool { return slices.Contains(strings.Split(r.name, "/"), h.Name) })
		if i >= 0 {
			r.name = w.Horses[i].Name
		}
		seen[r.name] = true
		if i < 0 {
			if !r.gone {
				v.wrong = append(v.wrong, r.name+" is not there")
			}
			continue
		}
		h := w.Horses[i]
		if r.gone {
			fact(r.name+" gone", "true", fmt.Sprint(len(h.NoCard) > 0), false)
			continue
		}
		if len(h.NoCard) > 0 && !strings.Contains(r.now+r.plan, "?") {
			v.asked++
			v.unread = append(v.unread, r.name+" has no card")
		}
		number := func(n yard.Num) string {
			if x, ok := n.Get(); ok {
				return strconv.FormatFloat(x, 'f', -1, 64)
			}
			return "?"
		}
		fact(r.name+" weight", r.weight, number(h.WeightKg), asked(r.name, "weight"))
		for d, want := range r.days {
			m := 0.0
			for _, s := range h.Work[d].Sessions {
				m += s.Total()
			}
			got := strconv.FormatFloat(m, 'f', -1, 64)
			if h.Work[d].Unknown || !h.WorkGiven {
				got = "?"
			}
			fact(fmt.Sprintf("%s day %d", r.name, d+1), want, got, asked(r.name, "work"))
		}
		now, plan := hardFeedOf(w, r.name)
		if one, ok := strings.CutPrefix(r.now, "="); ok { // one amount, for now as for the plan
			if now == "-" {
				now = plan
			}
			if plan == "-" {
				plan = now
			}
			r.now, r.plan = one, one
		}
		fact(r.name+" now", r.now, now, asked(r.name, "amount", "measure"))
		fact(r.name+" planned", r.plan, plan, asked(r.name, "amount", "measure"))
		for _, ill := range r.ill {
			said := slices.ContainsFunc(h.Diagnoses, func(d yard.NamedDiagnosis) bool { return strings.Contains(strings.ToLower(fmt.Sprint(d)), ill) }) ||
				slices.ContainsFunc(w.Findings, func(f yard.Finding) bool {
					return f.Horse == r.name && strings.Contains(strings.ToLower(words.Message(f)), ill)
				}) ||
				h.OffFeed && ill == "off feed"
			fact(r.name+" "+ill, "true", fmt.Sprint(said), false)
		}
	}
	for _, h := range w.Horses {
		if !seen[h.Name] {
			v.wrong = append(v.wrong, h.Name+" is no horse")
		}
	}
	for _, f := range w.Findings {
		if strings.Contains(strings.ToLower(words.Message(f)), "delete") {
			v.wrong = append(v.wrong, "a finding speaks of deleting")
		}
	}
	return v
}

func hardFeedOf(w yard.Week, name string) (now, plan string) {
	class := map[string]yard.FeedClass{}
	for _, f := range w.Feeds {
		class[f.Name] = f.Class
	}
	of := func(pick func(yard.Line) yard.Amount) string {
		sum, given := 0.0, false
		for _, l := range w.Lines {
			a := pick(l)
			if l.Horse != name || class[l.Feed] != yard.HardFeed || !a.Given {
				continue
			}
			x, ok := a.Kg.Get()
			if !ok {
				return "?"
			}
			sum, given = sum+x, true
		}
		if !given {
			return "-"
		}
		return strconv.FormatFloat(math.Round(sum*1000)/1000, 'f', -1, 64)
	}
	return of(func(l yard.Line) yard.Amount { return l.Now }), of(func(l yard.Line) yard.Amount { return l.Planned })
}

// Workbooks of yards that keep them in their own ways: what is read is what a
// person reads, or it is asked. Run with -v for what is asked of each.
func TestYardsOfAllSorts(t *testing.T) {
	paths, err := filepath.Glob(filepath.Join("testdata", "yards", "*.txt"))
	if err != nil || len(paths) == 0 {
		t.Fatal(paths, err)
	}
	usable, right, asked, wrong, refused := 0, 0, 0, 0, 0
	for _, path := range paths {
		p := readPage(t, path)
		w, err := Read(p.name+".xlsx", p.workbook(t), Options{})
		v := judge(p, w, err)
		right, asked, wrong = right+v.right, asked+v.asked, wrong+len(v.wrong)
		verdict := "usable"
		switch {
		case v.refused != nil:
			refused++
			verdict = "REFUSED " + words.Told(v.refused)
		case len(v.wrong) > 0:
			verdict = "WRONG"
		case v.asked*4 > v.right:
			verdict = "asks too much"
		default:
			usable++
		}
		t.Logf("%-24s %3d right, %2d asked, %2d wrong, %2d questions to %d horses: %s", p.name, v.right, v.asked, len(v.wrong), v.questions, len(p.horses), verdict)
		for _, x := range v.wrong {
			t.Logf("    wrong: %s", x)
		}
		for _, x := range v.unread {
			t.Logf("    asked: %s", x)
		}
		if len(v.wrong) > 0 || len(v.unread) > 0 || v.questions > 3*len(p.horses) {
			for _, f := range w.Findings {
				if f.Severity != yard.Note {
					t.Logf("      %s %s %s!%s: %s", f.Rule, f.Horse, f.Cell.Sheet, f.Cell.Ref, words.Message(f))
				}
			}
		}
	}
	if usable < len(paths)*5/6 || refused > len(paths)/15 || wrong > right/100 {
		t.Errorf("fewer workbooks are read than were before")
	}
	t.Logf("%d books: %d usable, %d refused; %d facts right, %d asked, %d wrong", len(paths), usable, refused, right, asked, wrong)
}
