package report

import (
	"bytes"
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/wall"
	"hardfeed/report/words"
)

// nodes are the elements of a name below n, in order.
func nodes(n *html.Node, name string) (out []*html.Node) {
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && d.Data == name {
			out = append(out, d)
		}
	}
	return out
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

// textIn is all text below n, each space one.
func textIn(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode && d.Parent.Data != "style" {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(strings.ReplaceAll(b.String(), words.NoBreak, " ")), " ")
}

func htmlPage(t testing.TB, p yard.Plan, m words.Meta) *html.Node {
	t.Helper()
	page, err := html.Parse(bytes.NewReader(named(t, files(t, p, m), "cards.html")))
	if err != nil {
		t.Fatal(err)
	}
	return page
}

// What a screen reader goes by, in every language: the page's language and title, one
// heading a horse, every table with a caption, headings with their scope, and as many
// cells in a row as there are columns. No script, no other file.
func TestCardsForAScreenReader(t *testing.T) {
	t.Parallel()
	for _, in := range reporttest.Tried() {
		p := reporttest.Fixture()
		p.Horses = append(p.Horses, reporttest.Harsh().Horses...)
		page := htmlPage(t, p, words.Meta{Languages: in})
		root := nodes(page, "html")[0]
		want := words.English()
		if len(in) > 0 {
			want = reporttest.In(t, in[0])
		}
		if lang := attr(root, "lang"); lang == "" || lang != want.Say("language") {
			t.Errorf("%v: the page's language is %q", in, lang)
		}
		if title := nodes(page, "title"); len(title) != 1 || textIn(title[0]) == "" {
			t.Errorf("%v: no title", in)
		}
		if n := len(nodes(page, "h1")); n != 1 {
			t.Errorf("%v: %d chief headings", in, n)
		}
		if n := len(nodes(page, "h2")); n != len(p.Horses) {
			t.Errorf("%v: %d headings for %d horses", in, n, len(p.Horses))
		}
		ids := map[string]bool{}
		for d := range page.Descendants() {
			if id := attr(d, "id"); id != "" {
				if ids[id] {
					t.Errorf("%v: the id %s stands twice", in, id)
				}
				ids[id] = true
			}
			if src := attr(d, "src"); src != "" || d.Data == "script" && d.Type == html.ElementNode || d.Data == "link" && d.Type == html.ElementNode {
				t.Errorf("%v: the page needs %s %s", in, d.Data, src)
			}
		}
		for _, a := range nodes(page, "a") {
			if to, ok := strings.CutPrefix(attr(a, "href"), "#"); !ok || !ids[to] {
				t.Errorf("%v: a link to %q", in, attr(a, "href"))
			}
		}
		tables := nodes(page, "table")
		if len(tables) < 12 {
			t.Errorf("%v: only %d tables", in, len(tables))
		}
		for _, table := range tables {
			whose := textIn(nodes(table.Parent, "h2")[0])
			if c := nodes(table, "caption"); len(c) != 1 || !strings.HasSuffix(textIn(c[0]), " "+whose) {
				t.Errorf("%v: a table without a caption that says whose it is, %s", in, whose)
			}
			heads := nodes(nodes(table, "thead")[0], "th")
			for _, h := range heads {
				if attr(h, "scope") != "col" || textIn(h) == "" {
					t.Errorf("%v: a heading without its scope or words", in)
				}
			}
			for _, tr := range nodes(nodes(table, "tbody")[0], "tr") {
				rows, cells := nodes(tr, "th"), nodes(tr, "td")
				if len(rows) != 1 || attr(rows[0], "scope") != "row" || len(rows)+columns(t, cells) != len(heads) {
					t.Errorf("%v: a row of %d headings and %d cells under %d headings", in, len(rows), len(cells), len(heads))
				}
				for _, c := range cells {
					if textIn(c) == "" {
						t.Errorf("%v: an empty cell", in)
					}
				}
			}
		}
	}
}

// columns is how many columns cells take.
func columns(t *testing.T, cells []*html.Node) (n int) {
	t.Helper()
	for _, c := range cells {
		span, err := strconv.Atoi(cmp.Or(attr(c, "colspan"), "1"))
		if err != nil {
			t.Error(err)
		}
		n += span
	}
	return n
}

// The same amounts as on paper, day by day, worked out here straight from the plan; and
// every warning and note: of the fixture, and of yards by chance in both kinds of units.
func TestCardsForATelephoneSayWhatThePaperSays(t *testing.T) {
	t.Parallel()
	p := reporttest.Fixture()
	p.Horses[0].Horse.Notes = "Bites <b>& kicks</b>"
	cells := saysWhatIsPlanned(t, p)
	r := rand.New(rand.NewPCG(11, 30))
	yards := sample(20, 60)
	if reporttest.Raced {
		yards = 6
	}
	for i := range yards {
		p := ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
		p.Week.Imperial = i%3 == 0
		cells += saysWhatIsPlanned(t, p)
	}
	t.Logf("%d cells", cells)
	if cells < 30*yards {
		t.Errorf("only %d cells were compared", cells)
	}
}

// saysWhatIsPlanned compares each cell of cards.html with the plan, and says how many.
func saysWhatIsPlanned(t *testing.T, p yard.Plan) (cells int) {
	t.Helper()
	var b bytes.Buffer
	if err := wall.WriteHTML(&b, p, words.Meta{}); err != nil {
		t.Fatal(err)
	}
	page, err := html.Parse(&b)
	if err != nil {
		t.Fatal(err)
	}
	units := words.English().In(p.Week.Imperial)
	sections := nodes(page, "section")
	for i, h := range p.Horses {
		text := reporttest.Unspaced(textIn(sections[i]))
		must := append([]string{h.Horse.Notes}, units.Reasons(&h, "nocard.office")...)
		asked := strings.Contains(text, "ASKFIRST")
		if asked { // which is said in the line before
			must = strings.Split(strings.ReplaceAll(strings.Join(must, "\n"), " Ask first.", ""), "\n")
		}
		for _, c := range h.Cautions {
			if !(asked && c.Key == "caution.before") { // the words above it say so
				must = append(must, units.Caution(c))
			}
		}
		for _, w := range must {
			if !strings.Contains(strings.ToLower(text), strings.ToLower(reporttest.Unspaced(w))) {
				t.Errorf("%s: %q is not on the page", h.Horse.Name, w)
			}
		}
		for _, table := range nodes(sections[i], "table") {
			meal := textIn(nodes(table, "caption")[0])
			for _, tr := range nodes(nodes(table, "tbody")[0], "tr") {
				feed := textIn(nodes(tr, "th")[0])
				tds := nodes(tr, "td")
				feed, spare, isSpare := strings.Cut(feed, ", ON A")
				for day := range 7 {
					kind := h.Days[day].Kind
					if kind == yard.RestDay && h.RestAsWork {
						kind = yard.WorkDay
					}
					if isSpare { // of several stages the first, which is the smallest
						if day > 0 {
							break
						}
						kind = map[string]yard.DayKind{" DAY OFF": yard.RestDay, "N EVENT DAY": yard.EventDay}[spare]
						if slices.ContainsFunc(h.Days[:], func(d yard.DayPlan) bool { return d.Kind == kind }) {
							t.Errorf("%s: %s is said of a day that is planned", h.Horse.Name, spare)
						}
					}
					want, served := "none", false
					for _, v := range h.Servings { // later stages stand later
						served = served || v.Day == kind
						if v.Day == kind && int(v.From) <= day && strings.HasPrefix(feed, v.Feed) && (strings.HasPrefix(meal, v.Meal) && v.Meal != "" || v.Meal == "" && strings.HasPrefix(meal, "All day ")) {
							want = strings.ReplaceAll(words.English().AmountOf(v, p.Week.Imperial).String(), words.NoBreak, " ")
						}
					}
					if isSpare { // and no more than a day of work of this week gets
						want = leastOf(h, meal, feed, kind, want, p.Week.Imperial)
					}
					if !served {
						want = "not said: ask"
					}
					got := textIn(tds[min(day, len(tds)-1)])
					cells++
					if !sameAmount(strings.TrimSuffix(got, " WEIGH"), want) {
						t.Errorf("%s, %s, %s, day %d: %q, want %q", h.Horse.Name, meal, feed, day+1, got, want)
					}
				}
			}
		}
	}
	return cells
}

// sameAmount says that two amounts are the same: a row has its grams or ounces on all days
// where one of them is under a kilo or a pound.
func sameAmount(got, want string) bool {
	if got == want {
		return true
	}
	number, unit, _ := strings.Cut(got, " ")
	of, large, _ := strings.Cut(want, " ")
	n, err := strconv.ParseFloat(number, 64)
	m, err2 := strconv.ParseFloat(of, 64)
	switch {
	case err != nil || err2 != nil || m >= 5/0.45359237:
		return false
	case unit == "g" && large == "kg":
		return math.Abs(n-1000*m) < 0.5 && m < 5
	case unit == "oz" && large == "lb": // written to a hundredth of a pound, hay to a tenth
		return math.Abs(n-16*m) < 0.9
	}
	return false
}

// leastOf is what a kind of day that is not planned gets of a feed: want, or what a day of
// work gets that has less.
func leastOf(h yard.HorsePlan, meal, feed string, kind yard.DayKind, want string, imperial bool) string {
	on := func(kind yard.DayKind, day int) (kg float64, text string) {
		text = "none"
		for _, v := range h.Servings {
			if v.Day == kind && int(v.From) <= day && strings.HasPrefix(feed, v.Feed) && strings.HasPrefix(meal, v.Meal) {
				kg, text = float64(v.Kg), strings.ReplaceAll(words.English().AmountOf(v, imperial).String(), words.NoBreak, " ")
			}
		}
		return kg, text
	}
	least, _ := on(kind, 0)
	for day, d := range h.Days {
		if d.Kind != yard.WorkDay && !(d.Kind == yard.RestDay && h.RestAsWork) {
			continue
		}
		if kg, text := on(yard.WorkDay, day); kg < least {
			least, want = kg, text
		}
	}
	return want
}
