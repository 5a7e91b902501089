package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/spf13/pflag"
	"github.com/xuri/excelize/v2"

	"hardfeed/ingest/disk/disktest"
	"hardfeed/ingest/rollover"
	"hardfeed/ration/yard"
	"hardfeed/templates"
)

var moreWorkbooks = flag.String("workbooks", "", "folder of more workbooks to be moved on")

// everyWorkbook is every workbook of the tests, by name.
func everyWorkbook(t *testing.T) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for name, make := range map[string]func() ([]byte, error){"demo.xlsx": templates.Demo, "starter.xlsx": templates.Starter} {
		data, err := make()
		if err != nil {
			t.Fatal(err)
		}
		out[name] = data
	}
	paths, _ := filepath.Glob(filepath.Join("..", "..", "testdata", "workbooks", "*.xls[xm]"))
	if len(paths) < 13 {
		t.Fatalf("only %d workbooks found", len(paths))
	}
	if *moreWorkbooks != "" {
		more, _ := filepath.Glob(filepath.Join(*moreWorkbooks, "*.xls[xm]"))
		paths = append(paths, more...)
	}
	for _, p := range paths {
		data, err := os.ReadFile(p)
		if err != nil {
			t.Fatal(err)
		}
		out[filepath.Base(p)] = data
	}
	return out
}

var untouched = nextFlags{planned: "clear", work: "copy"}

// moved plans a workbook, moves it on and plans what comes out of it.
func movedOn(t *testing.T, name string, data []byte, how nextFlags) (before, after yard.Plan, m rollover.Moved) {
	t.Helper()
	s := mustSettings(t)
	for prefix, code := range map[string]string{"french_": "fr", "german_": "de", "spanish_": "es"} {
		if strings.HasPrefix(name, prefix) {
			s.Headings = code
		}
	}
	before, err := planOf(name, data, s, nil)
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if m, err = moveOn(name, data, before, s, how); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if after, err = planOf(name, m.Data, s, nil); err != nil {
		t.Fatalf("%s moved on: %v", name, err)
	}
	return before, after, m
}

func mustSettings(t *testing.T) Settings {
	t.Helper()
	s, err := loadSettings("", pflag.NewFlagSet("", pflag.ContinueOnError))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// left says whether a horse is on the list of what was not moved on.
func left(m rollover.Moved, horse, key string) bool {
	for _, l := range m.Left {
		if l.Horse == horse && (key == "" || strings.HasPrefix(l.Why.Key, key)) {
			return true
		}
	}
	return false
}

// What a card ends on is what is fed now in the week after, to ten grams; the week is
// the next one; work, weights and all else that was read are as they were.
func TestNextWeekBeginsWhereTheCardsEnd(t *testing.T) {
	horses := 0
	for name, data := range everyWorkbook(t) {
		before, after, m := movedOn(t, name, data, untouched)
		if b := before.Week.Beginning; !b.IsZero() && !after.Week.Beginning.Equal(b.AddDate(0, 0, 7)) {
			t.Errorf("%s: the week after %v begins on %v", name, b, after.Week.Beginning)
		}
		if len(before.Horses) != len(after.Horses) {
			t.Errorf("%s: %d horses became %d", name, len(before.Horses), len(after.Horses))
			continue
		}
		for i, h := range before.Horses {
			n := after.Horses[i]
			if h.WeightKg != n.WeightKg || h.Horse.Notes != n.Horse.Notes || fmt.Sprint(h.Horse.Diagnoses) != fmt.Sprint(n.Horse.Diagnoses) {
				t.Errorf("%s, %s: weight, notes or diagnoses are read otherwise", name, h.Horse.Name)
			}
			if len(h.Horse.Later) == 0 && fmt.Sprint(sessionsOf(h.Horse.Work)) != fmt.Sprint(sessionsOf(n.Horse.Work)) {
				t.Errorf("%s, %s: work %v became %v", name, h.Horse.Name, sessionsOf(h.Horse.Work), sessionsOf(n.Horse.Work))
			}
			card, carded := h.HardFeed.Card.Get()
			if h.Status == yard.NoCard || !carded || left(m, h.Horse.Name, "part.next.not") {
				continue
			}
			horses++
			if now, ok := n.HardFeed.Now.Get(); !ok || math.Abs(now-card) > 0.0101 {
				t.Errorf("%s, %s: the card ends on %.3f kg, fed now is %.3f (%v)", name, h.Horse.Name, card, now, ok)
			}
		}
		if *moreWorkbooks == "" && len(m.Left) > 0 {
			for _, l := range m.Left {
				if strings.HasPrefix(l.Why.Key, "part.next.not") || l.Why.Key == "part.next.no place" {
					t.Errorf("%s: %s: %s", name, l.Horse, l.Why.Key)
				}
			}
		}
	}
	t.Logf("%d horses", horses)
	if horses < 60 {
		t.Errorf("only %d horses were compared", horses)
	}
}

func sessionsOf(work [7]yard.Day) (out [7]string) {
	for i, d := range work {
		out[i] = fmt.Sprint(d.Sessions, d.Unknown)
	}
	return out
}

// Every cell that is not on the list is as it was: value, formula, look, comment.
func TestOnlyWhatIsListedChanges(t *testing.T) {
	for name, data := range everyWorkbook(t) {
		_, _, m := movedOn(t, name, data, untouched)
		was, err := excelize.OpenReader(bytes.NewReader(data))
		if err != nil {
			continue // the library opens not all that is read here
		}
		is, err := excelize.OpenReader(bytes.NewReader(m.Data))
		if err != nil {
			t.Errorf("%s moved on does not open: %v", name, err)
			continue
		}
		listed, renamed, added := map[string]bool{}, map[string]string{}, map[string]bool{}
		for _, c := range m.Changes {
			switch {
			case c.Ref != "":
				listed[c.Sheet+"!"+c.Ref] = true
			case c.Was != "":
				renamed[c.Was] = c.Is
			default:
				added[c.Is] = true
			}
		}
		list := is.GetSheetList()[0]
		rows, err := is.GetRows(list)
		if err != nil || len(rows) < len(m.Changes) {
			t.Errorf("%s: the list has %d rows for %d changes, %v", name, len(rows), len(m.Changes), err)
		}
		cells := 0
		for _, sheet := range was.GetSheetList() {
			now := sheet
			if to, ok := renamed[sheet]; ok {
				now = to
			}
			if i, _ := is.GetSheetIndex(now); i < 0 {
				t.Errorf("%s: the sheet %q is gone", name, sheet)
				continue
			}
			rows, err := was.GetRows(sheet)
			if err != nil {
				t.Fatal(err)
			}
			joined := firstOfJoined(t, was, sheet)
			for r := range len(rows) + 3 {
				for c := range 30 {
					ref, _ := excelize.CoordinatesToCellName(c+1, r+1)
					cells++
					if a, b := style(was, sheet, ref), style(is, now, ref); a != b {
						t.Fatalf("%s, %s!%s: the look %s became %s", name, sheet, ref, a, b)
					}
					af, _ := was.GetCellFormula(sheet, ref)
					bf, _ := is.GetCellFormula(now, ref)
					if strings.ReplaceAll(af, sheet, now) != strings.ReplaceAll(bf, sheet, now) && len(renamed) == 0 {
						t.Fatalf("%s, %s!%s: the formula %q became %q", name, sheet, ref, af, bf)
					}
					if listed[now+"!"+ref] || listed[now+"!"+joined[ref]] {
						continue
					}
					a, _ := was.GetCellValue(sheet, ref, excelize.Options{RawCellValue: true})
					b, _ := is.GetCellValue(now, ref, excelize.Options{RawCellValue: true})
					if a != b {
						t.Fatalf("%s, %s!%s is not on the list, and %q became %q", name, sheet, ref, a, b)
					}
				}
			}
			a, err1 := was.GetComments(sheet)
			b, err2 := is.GetComments(now)
			if said(a) != said(b) || (err1 == nil) != (err2 == nil) {
				t.Errorf("%s, %s: comments became others", name, sheet)
			}
			av, _ := was.GetDataValidations(sheet)
			bv, _ := is.GetDataValidations(now)
			if len(av) != len(bv) {
				t.Errorf("%s, %s: %d drop-down lists became %d", name, sheet, len(av), len(bv))
			}
		}
		if len(is.GetSheetList()) != len(was.GetSheetList())+1+len(added) {
			t.Errorf("%s: sheets %v became %v", name, was.GetSheetList(), is.GetSheetList())
		}
		if cells == 0 {
			t.Errorf("%s: nothing was compared", name)
		}
	}
}

// firstOfJoined is the first cell of the block a cell is joined in: the library gives all of
// a block the value of its first.
func firstOfJoined(t *testing.T, f *excelize.File, sheet string) map[string]string {
	t.Helper()
	blocks, err := f.GetMergeCells(sheet)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, b := range blocks {
		c1, r1, err1 := excelize.CellNameToCoordinates(b.GetStartAxis())
		c2, r2, err2 := excelize.CellNameToCoordinates(b.GetEndAxis())
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		for c := c1; c <= c2; c++ {
			for r := r1; r <= r2; r++ {
				ref, _ := excelize.CoordinatesToCellName(c, r)
				out[ref] = b.GetStartAxis()
			}
		}
	}
	return out
}

func said(cs []excelize.Comment) string {
	out := ""
	for _, c := range cs {
		out += c.Cell + c.Author + c.Text
		for _, p := range c.Paragraph {
			out += p.Text
		}
	}
	return out
}

func style(f *excelize.File, sheet, ref string) string {
	id, err := f.GetCellStyle(sheet, ref)
	return fmt.Sprint(id, err != nil)
}

// typed is what somebody types in the demo yard's workbook before a week: work that is
// another, a weighing.
var typed = [][]struct{ sheet, ref, text string }{
	{{"work", "G2", "hack 75"}, {"work", "C5", "rest"}, {"horses", "B2", "538"}},
	{{"work", "G3", "rest"}, {"work", "E9", "hack 90"}},
	{{"work", "D4", "lunge 20"}, {"horses", "B3", "500"}, {"work", "H8", "hack 60"}},
	{},
	{{"work", "F6", "rest"}},
}

// mostTyped is how many cells a week may ask for, of eighteen horses.
const mostTyped = 25

// Ten weeks, each made of the one before: what is fed now is always what the last card
// ended on, and where nothing was typed a proposal is what was announced.
func TestTenWeeksRolled(t *testing.T) {
	data, err := templates.Demo()
	if err != nil {
		t.Fatal(err)
	}
	s := mustSettings(t)
	plan, err := planOf("demo.xlsx", data, s, nil)
	if err != nil {
		t.Fatal(err)
	}
	cells, announced := 0, 0
	for week := range 10 {
		m, err := moveOn("demo.xlsx", data, plan, s, untouched)
		if err != nil {
			t.Fatalf("week %d: %v", week+2, err)
		}
		data = m.Data
		touched := map[int]bool{}
		type_ := typed[week%len(typed)]
		if len(type_) > 0 {
			f, err := excelize.OpenReader(bytes.NewReader(data))
			if err != nil {
				t.Fatal(err)
			}
			for _, x := range type_ {
				if err := f.SetCellValue(x.sheet, x.ref, x.text); err != nil {
					t.Fatal(err)
				}
				_, row, _ := excelize.CellNameToCoordinates(x.ref)
				touched[row] = true
				cells++
			}
			var out bytes.Buffer
			if err := f.Write(&out); err != nil {
				t.Fatal(err)
			}
			data = out.Bytes()
		}
		for _, l := range m.Left { // what the list asks for has to be typed too
			if l.Why.Key == "part.next.event" || strings.HasPrefix(l.Why.Key, "part.next.no") {
				cells++
			}
		}
		next, err := planOf("demo.xlsx", data, s, nil)
		if err != nil {
			t.Fatalf("week %d: %v", week+2, err)
		}
		for i, h := range plan.Horses {
			n := next.Horses[i]
			card, ok := h.HardFeed.Card.Get()
			if now, known := n.HardFeed.Now.Get(); h.Status != yard.NoCard && ok && (!known || math.Abs(card-now) > 0.0101) {
				t.Errorf("week %d, %s: the card ended on %.3f kg, fed now is %.3f", week+2, h.Horse.Name, card, now)
			}
			path := h.Step.PathKg
			if len(path) < 2 || touched[i+2] || h.HardFeed.Planned.IsKnown() || h.Status != yard.Carded || n.Status != yard.Carded || len(h.Horse.Later) > 0 {
				continue
			}
			announced++
			if got, _ := n.HardFeed.Card.Get(); math.Abs(got-path[1]) > 0.011 {
				t.Errorf("week %d, %s: %.3f kg was announced, %.3f came", week+2, h.Horse.Name, path[1], got)
			}
		}
		plan = next
	}
	t.Logf("%d cells typed in ten weeks of %d horses, %.1f a week; %d announcements compared", cells, len(plan.Horses), float64(cells)/10, announced)
	if cells > 10*mostTyped {
		t.Errorf("%d cells typed in ten weeks", cells)
	}
	if announced == 0 {
		t.Error("no announcement was compared")
	}
}

// A plan of the path is the next week's, where it is asked for.
func TestThePathIsPlanned(t *testing.T) {
	data, err := templates.Demo()
	if err != nil {
		t.Fatal(err)
	}
	_, cleared, _ := movedOn(t, "demo.xlsx", data, untouched)
	_, filled, _ := movedOn(t, "demo.xlsx", data, nextFlags{planned: "path", work: "copy"})
	n := 0
	for i, h := range cleared.Horses {
		p, ok := filled.Horses[i].HardFeed.Planned.Get()
		card, carded := h.HardFeed.Card.Get()
		if !ok || !carded || h.Status == yard.NoCard {
			continue
		}
		n++
		if math.Abs(p-card) > 0.02 {
			t.Errorf("%s: planned %.3f kg, the path gives %.3f", h.Horse.Name, p, card)
		}
	}
	if n < 10 {
		t.Errorf("only %d horses have a plan", n)
	}
}

// A power cut at any moment leaves no half file, and never another in the place of one
// that was there.
func TestNoHalfNextWeek(t *testing.T) {
	whole := strings.Repeat("next week ", 5_000)
	d := disktest.New(func() time.Time { return time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC) })
	steps, there := 0, 0
	look := func(done bool) {
		for _, choose := range []func(int) int{func(int) int { return 0 }, func(n int) int { return n - 1 }, func(n int) int { return n / 2 }} {
			got, ok := d.PowerCut(choose).All()["next.xlsx"]
			if ok && got != whole {
				t.Fatalf("after %d steps next.xlsx has %d of %d bytes", steps, len(got), len(whole))
			}
			if done && !ok {
				t.Fatal("it was said to be written, and is not there after a power cut")
			}
			if ok {
				there++
			}
		}
	}
	d.OnChange(func(string) {
		steps++
		look(false)
	})
	if err := putNew(d, "next.xlsx", []byte(whole)); err != nil {
		t.Fatal(err)
	}
	d.OnChange(nil)
	look(true)
	if steps < 3 || there == 0 {
		t.Errorf("only %d steps were looked at", steps)
	}
	if err := putNew(d, "next.xlsx", []byte("another")); !errors.Is(err, fs.ErrExist) || d.All()["next.xlsx"] != whole {
		t.Errorf("a file that was there was replaced: %v", err)
	}
}

func TestNextNeverReplaces(t *testing.T) {
	dir := t.TempDir()
	name := filepath.Join(dir, "next.xlsx")
	if err := os.WriteFile(name, []byte("hers"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := writeWholeNew(name, []byte("ours")); err == nil {
		t.Error("a file that was there was replaced")
	}
	if got, err := os.ReadFile(name); err != nil || string(got) != "hers" {
		t.Errorf("%q, %v", got, err)
	}
	if _, err := os.Stat(filepath.Join(dir, nextBeginning)); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("scratch is left: %v", err)
	}
}
