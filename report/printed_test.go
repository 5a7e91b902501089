package report

import (
	"cmp"
	"math"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/pdftest"
	"hardfeed/report/reporttest"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// What is on paper is read back from the finished file by where it stands, as a person
// does: a row is what lies between two rules, a day is the column under its name. What it
// must be is worked out here, from the servings.

// region is a card, or the page of a list: what is within one border.
type region struct {
	runs  []pdftest.Run // in mm, Y down
	rules []rule        // across
}

// regions cuts a page along the lines it is to be cut along.
func regions(s *reporttest.Drawing, page int, runs []pdftest.Run, rules []rule) (out []region) {
	type field struct{ x1, y1, x2, y2 float64 }
	fields := []field{{0, 0, s.D.PageW, s.D.PageH}}
	for _, c := range s.D.Cuts { // those that stand up come first
		if c.Page != page {
			continue
		}
		var cut []field
		for _, f := range fields {
			switch {
			case c.W == 0 && f.x1 < c.X && c.X < f.x2:
				cut = append(cut, field{f.x1, f.y1, c.X, f.y2}, field{c.X, f.y1, f.x2, f.y2})
			case c.H == 0 && c.X <= f.x1+1 && c.X+c.W >= f.x2-1:
				cut = append(cut, field{f.x1, f.y1, f.x2, c.Y}, field{f.x1, c.Y, f.x2, f.y2})
			default:
				cut = append(cut, f)
			}
		}
		fields = cut
	}
	for _, f := range fields {
		var r region
		for _, run := range runs {
			if f.x1 < run.X && run.X < f.x2 && f.y1 < run.Y && run.Y < f.y2 {
				r.runs = append(r.runs, run)
			}
		}
		for _, l := range rules {
			if l.y1 == l.y2 && f.x1 < l.x1 && l.x2 < f.x2 && f.y1 < l.y1 && l.y1 < f.y2 && l.x2-l.x1 > 0.45*(f.x2-f.x1) {
				r.rules = append(r.rules, l)
			}
		}
		out = append(out, r)
	}
	return out
}

// printedRow is a line of a table: what is before its columns, and what is in them. Where
// there is one column, all days are its.
type printedRow struct {
	label string
	cells [7]string
}

// printedRows reads the rows under each line that names the days, or under the one that
// says every day.
func (r region) printedRows(days [7]string, every []string) (out []printedRow) {
	left, wide := math.NaN(), 0.0
	if slices.ContainsFunc(r.runs, func(run pdftest.Run) bool { return isEvery(run, every) }) {
		days = [7]string{} // the letters of the days that are before boxes are no heads
	}
	ys := []float64{}
	for _, l := range r.rules {
		ys = append(ys, l.y1)
	}
	slices.Sort(ys)
	ys = append(ys, math.Inf(1))
	above := 0.0
	for _, y := range ys {
		var in []pdftest.Run
		for _, run := range r.runs {
			if middle := run.Y - 0.3*run.Size; above < middle && middle < y {
				in = append(in, run)
			}
		}
		above = y
		if l, w, ok := columnsOf(in, days, every); ok {
			left, wide = l, w
			continue
		}
		var row printedRow
		for k, run := range in {
			text, blank := strings.ReplaceAll(strings.TrimSpace(run.Text), words.NoBreak, " "), " "
			if k > 0 && strings.ContainsAny(text, "¼½¾") && followsAtOnce(in[k-1], run) {
				blank = ""
			}
			switch at := run.X + run.Width/2; {
			case math.IsNaN(left):
			case run.X < left-0.6 && at < left:
				row.label = words.Join(" ", row.label, text)
			case wide == 0:
				for day := range row.cells {
					row.cells[day] = words.Join(blank, row.cells[day], text)
				}
			default:
				day := max(0, min(6, int((at-left)/wide)))
				row.cells[day] = words.Join(blank, row.cells[day], text)
			}
		}
		if row.label != "" {
			out = append(out, row)
		}
	}
	return out
}

// followsAtOnce says whether a reader sees no blank between two pieces on one line.
func followsAtOnce(before, run pdftest.Run) bool {
	gap := run.X - before.X - before.Width
	return math.Abs(run.Y-before.Y) < 0.1*run.Size && run.X > before.X && gap < 0.15*run.Size
}

// columnsOf finds where the columns begin and how wide a day's is; one column has none.
func columnsOf(in []pdftest.Run, days [7]string, every []string) (left, wide float64, ok bool) {
	var middles []float64
	for _, name := range days {
		i := slices.IndexFunc(in, func(r pdftest.Run) bool { return r.Text == name })
		if i < 0 || name == "" {
			break
		}
		middles = append(middles, in[i].X+in[i].Width/2)
		in[i].Text = "" // in some languages two days have one name
	}
	if len(middles) == 7 {
		wide = (middles[6] - middles[0]) / 6
		return middles[0] - wide/2, wide, true
	}
	for _, r := range in {
		if isEvery(r, every) {
			return r.X, 0, true
		}
	}
	return 0, 0, false
}

// isEvery says that a run, or its first line, is what is over a column for all days.
func isEvery(r pdftest.Run, every []string) bool {
	return slices.ContainsFunc(every, func(e string) bool { return strings.HasPrefix(e, r.Text) && len(r.Text) > 3 })
}

// onEachDay is what a horse gets of a feed at a meal on each day, worked out from its servings.
func onEachDay(h *yard.HorsePlan, meal, feed string, t words.Language, imperial bool) (on [7]string) {
	var kg [7]float64
	served := map[yard.DayKind]bool{}
	for _, v := range h.Servings {
		served[v.Day] = true
	}
	light, heavy, most := false, false, 0.0
	for day := range on {
		kind := h.Days[day].Kind
		if kind == yard.RestDay && h.RestAsWork {
			kind = yard.WorkDay
		}
		on[day] = t.Say("amount.none")
		if !served[kind] {
			on[day] = t.Say("amount.unsaid")
		}
		for _, v := range h.Servings { // later stages stand later
			if v.Day == kind && int(v.From) <= day && v.Feed == feed && v.Meal == meal {
				a := t.AmountOf(v, imperial)
				on[day], kg[day] = a.Number, 0
				if _, counted := words.ByMeasure(v); !counted && (a.Unit == "kg" || a.Unit == "lb") {
					heavy, kg[day], most = true, float64(v.Kg), max(most, float64(v.Kg))
				} else if a.Unit == "g" || a.Unit == "oz" {
					light = true
				}
			}
		}
	}
	for day := range on {
		if kg[day] > 0 && light && heavy && most < 5 {
			if on[day] = t.Figure(kg[day]*1000, 0); imperial {
				on[day] = t.Figure(kg[day]/0.45359237*16, 1)
			}
		}
	}
	return on
}

var aNumber = regexp.MustCompile(`^[\d.,]*[¼½¾]?$`)

// reads says that a cell is read as an amount: it begins with it, and no other number
// follows. In a week of one column its weight may.
func reads(cell, want string, one bool) bool {
	cell = strings.TrimPrefix(cell, "? ")
	words := strings.Fields(cell)
	if !aNumber.MatchString(want) {
		return strings.Contains(strings.Join(words, ""), strings.Join(strings.Fields(want), ""))
	}
	at := slices.IndexFunc(words, func(w string) bool { return strings.ContainsAny(w, "0123456789¼½¾") })
	if at < 0 || words[at] != want {
		return false
	}
	return one || !slices.ContainsFunc(words[at+1:], func(w string) bool { return strings.ContainsAny(w, "0123456789¼½¾") })
}

// Of yards by chance, in every language and in two, on both papers, one, two and four
// cards a page: under each day, in the row of each feed of each meal, stands what that
// horse gets, on its card and on the list of the yard; and each of its cautions, its notes
// and the reasons of a reduced card are on the card.
func TestWhatIsServedIsPrintedUnderItsDay(t *testing.T) {
	t.Parallel()
	r := rand.New(rand.NewPCG(31, 7))
	yards := sample(12, 200)
	if reporttest.Raced {
		yards = 4
	}
	rows, texts := 0, 0
	for i := range yards {
		p := ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
		p.Week.Imperial = i%5 == 0
		for j := range p.Horses {
			p.Horses[j].Horse.Notes = []string{"", "zq hq jq", "zq\nkq wq"}[(i+j)%3]
		}
		m := words.Meta{CardsPerPage: []int{1, 2, 4}[i%3], Paper: []string{"A4", "Letter"}[i/3%2], Languages: reporttest.Tried()[i%len(reporttest.Tried())]}
		n, said := readBack(t, i, p, m)
		rows += n
		texts += said
	}
	t.Logf("%d rows of seven days, %d warnings, notes and reasons", rows, texts)
	if !reporttest.Raced && (rows < 14*yards || texts < 3*yards) {
		t.Errorf("only %d rows and %d texts were read in %d yards", rows, texts, yards)
	}
}

// readBack compares the cards and the list of a plan with it.
func readBack(t *testing.T, i int, p yard.Plan, m words.Meta) (rows, texts int) {
	s, err := reporttest.Sketch("cards", wall.Cards(), p, reporttest.KeepBoxes(m))
	if err != nil {
		t.Fatal(err)
	}
	file := reporttest.Pdf(t, s)
	first, lines := reporttest.FirstCardPage(s), rulesOf(t, file, s.D.PageH)
	var feeds []string
	for _, h := range p.Horses {
		for _, v := range h.Servings {
			if !slices.Contains(feeds, v.Feed) {
				feeds = append(feeds, v.Feed)
			}
		}
	}
	var days [7]string
	for day := range days {
		days[day] = s.Main.Weekday(p.Week, day)
	}
	every := []string{s.Word("column.every"), s.Word("column.every but off")}
	type key struct{ where, horse, meal, feed string } // on the card, or on the list
	found := map[key][]printedRow{}
	text, cards := map[string]string{}, map[string]int{} // all that stands on a horse's cards
	one := map[string]bool{}
	for page, runs := range pdftest.Runs(t, file) {
		page++
		for k := range runs {
			const mm = 25.4 / 72
			runs[k].X, runs[k].Y, runs[k].Width, runs[k].Size = runs[k].X*mm, s.D.PageH-runs[k].Y*mm, runs[k].Width*mm, runs[k].Size*mm
		}
		take := func(where, horse, meal, feed string, row printedRow) {
			if strings.Contains(" "+row.label+" ", " "+feed+" ") {
				k := key{where, horse, meal, feed}
				found[k] = append(found[k], row)
			}
		}
		for _, part := range regions(s, page, runs, lines[page]) {
			if page < first {
				for meal, on := range part.meals(s) {
					horse := ""
					for _, row := range on.printedRows(days, every) {
						for _, h := range p.Horses {
							if strings.HasPrefix(row.label, h.Horse.Name+" ") {
								horse = h.Horse.Name
							}
						}
						for _, f := range feeds {
							take("list", horse, meal, f, row)
						}
					}
				}
				continue
			}
			horse, meal := "", ""
			for _, h := range p.Horses {
				if slices.ContainsFunc(part.runs, func(r pdftest.Run) bool { return r.Text == h.Horse.Name }) {
					horse = h.Horse.Name
				}
			}
			cards[horse]++
			for _, run := range part.runs {
				text[horse] += run.Text
				one[horse] = one[horse] || isEvery(run, every)
			}
			for _, row := range part.printedRows(days, every) {
				for name, title := range mealTitles(s) {
					if strings.HasPrefix(row.label, title) {
						meal = name
					}
				}
				for _, f := range feeds {
					take("card", horse, meal, f, row)
				}
			}
		}
	}
	for j := range p.Horses {
		h := &p.Horses[j]
		name := h.Horse.Name
		seen := map[key]bool{}
		for _, v := range h.Servings {
			k := key{"card", name, v.Meal, v.Feed}
			want := onEachDay(h, v.Meal, v.Feed, s.Main, p.Week.Imperial)
			if seen[k] || !slices.ContainsFunc(want[:], func(a string) bool { return a != s.Word("amount.none") }) {
				continue // on a kind of day that is not planned
			}
			seen[k] = true
			for _, where := range []string{"card", "list"} {
				k.where = where
				got := found[k]
				if len(got) == 0 {
					t.Errorf("yard %d, %v, %s, %d a page, %s: no row of %s at %q on the %s", i, m.Languages, m.Paper, m.CardsPerPage, name, v.Feed, v.Meal, where)
					continue
				}
				rows++
				for day := range want {
					if !reads(got[0].cells[day], want[day], one[name] && where == "card") {
						t.Errorf("yard %d, %v, %s, %d a page, %s, %s, %s, day %d: %q is printed on the %s, want %q", i, m.Languages, m.Paper, m.CardsPerPage, name, v.Meal, v.Feed, day+1, got[0].cells[day], where, want[day])
					}
				}
			}
		}
		all := strings.ToLower(reporttest.Unspaced(text[name]))
		asked := strings.Contains(all, strings.ToLower(reporttest.Unspaced(s.Word("status.ask"))))
		must := []string{h.Horse.Notes}
		for _, l := range s.Languages() {
			for _, c := range h.Cautions {
				if !(asked && c.Key == "caution.before") { // the largest words of the card say so
					must = append(must, l.Caution(c))
				}
			}
			if !asked {
				must = append(must, l.Reasons(h, "nocard.office")...)
			}
		}
		for _, w := range must {
			texts++
			if !strings.Contains(all, strings.ToLower(reporttest.Bare(w))) && !(cards[name] > 1 && inOrder(all, w)) {
				t.Errorf("yard %d, %v, %d a page, %s: %q is not on the card", i, m.Languages, m.CardsPerPage, name, w)
			}
		}
	}
	return rows, texts
}

// inOrder says that all words of a text are in another, one behind the other: what runs on
// to the next card has its head in between.
func inOrder(all, text string) bool {
	for w := range strings.FieldsSeq(strings.ToLower(text)) {
		_, rest, ok := strings.Cut(all, reporttest.Bare(w))
		if !ok {
			return false
		}
		all = rest
	}
	return true
}

// mealTitles are the meals by what they are called on paper.
func mealTitles(s *reporttest.Drawing) map[string]string {
	out := map[string]string{"": s.Main.Name("meal.", words.AllDay)}
	for _, m := range s.Plan.Week.Meals {
		out[m.Name] = s.Main.Name("meal.", m.Name)
	}
	return out
}

// meals are a page of the list in parts, by the meals over them, down to the totals.
func (r region) meals(s *reporttest.Drawing) map[string]region {
	type head struct {
		meal string // "-" of a total
		y    float64
	}
	var heads []head
	together, _, _ := strings.Cut(s.Word("who.together.without", "names", "…"), "…")
	for _, run := range r.runs {
		for meal, title := range mealTitles(s) {
			if strings.HasPrefix(run.Text, title) && run.Size > 6 {
				heads = append(heads, head{meal, run.Y - 0.9*run.Size})
			}
		}
		if strings.HasPrefix(run.Text, s.Word("who.together")) || strings.HasPrefix(run.Text, together) {
			heads = append(heads, head{"-", run.Y - run.Size})
		}
	}
	slices.SortFunc(heads, func(a, b head) int { return cmp.Compare(a.y, b.y) })
	out := map[string]region{}
	for i, h := range heads {
		to := math.Inf(1)
		if i+1 < len(heads) {
			to = heads[i+1].y
		}
		var part region
		for _, run := range r.runs {
			if h.y < run.Y && run.Y < to {
				part.runs = append(part.runs, run)
			}
		}
		for _, l := range r.rules {
			if h.y < l.y1 && l.y1 < to {
				part.rules = append(part.rules, l)
			}
		}
		out[h.meal] = part
	}
	return out
}
