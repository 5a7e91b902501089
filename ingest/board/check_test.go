package board

import (
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// ruleAt says whether a question of a rule is asked.
func ruleAt(w yard.Week, rule string) bool {
	for _, f := range w.Findings {
		if string(f.Rule) == rule && f.Severity != yard.Note {
			return true
		}
	}
	return false
}

const checkedDays = " | Mon 11/1 | Tue 12/1 | Wed 13/1 | Thu 14/1 | Fri 15/1 | Sat 16/1 | Sun 17/1"

// Readings that no careful person would believe are asked about, and what they rest on is
// not known; the same pages without the slip are read.
func TestUnbelievableReadingsAreAsked(t *testing.T) {
	for _, c := range []struct {
		name, page, want string // of Poppet
		rule             string // "": nothing is asked
	}{
		{"two meals after noon", "Horse | Weight | 5pm now | 9pm now | 5pm new | 9pm new\nPoppet | 500 | 1 kg nuts | 1 kg nuts | same | same\nRowan | 520 | 1 kg nuts | 1 kg nuts | 1 kg nuts | same",
			"2 -> 2", ""},
		{"a measure of two weights", "1 scoop nuts = 1.2 kg\nscoop of nuts weighs 1.6 kg\n\nHorse | Weight | Now | New\nPoppet | 500 | 1 scoop nuts | 2 scoops nuts\nRowan | 520 | 1 kg oats | 1 kg oats",
			"- -> -", "measure-weight"},
		{"a measure of one weight said twice", "1 scoop nuts = 1.2 kg\nscoop of nuts weighs 1.2 kg\n\nHorse | Weight | Now | New\nPoppet | 500 | 1 scoop nuts | 2 scoops nuts\nRowan | 520 | 1 kg oats | 1 kg oats",
			"1.2 -> 2.4", ""},
		{"no changes, or nothing", "Horse | Weight | Fed now | Changes\nPoppet | 500 | 2 kg nuts | none\nRowan | 520 | 1 kg nuts | 2 kg nuts",
			"2 -> -", "amount-doubt"},
		{"more at one meal", "1 scoop nuts = 1 kg\n\nHorse | Weight | Fed now | Change to\nPoppet | 500 | 2 scoops nuts am, 1 scoop nuts pm | +½ scoop nuts pm\nRowan | 520 | 1 scoop nuts am | 2 scoops nuts am",
			"3 -> 3.5", ""},
		{"another amount at one meal", "1 scoop nuts = 1 kg\n\nHorse | Weight | Fed now | Change to\nPoppet | 500 | 2 scoops nuts am, 1 scoop nuts pm | 1½ scoops nuts pm\nRowan | 520 | 1 scoop nuts am | 2 scoops nuts am",
			"3 -> -", "amount-doubt"},
		{"more than a horse eats", "Horse | Weight | Nuts now (kg) | Nuts new (kg)\nPoppet | 500 | 30 | 2\nRowan | 520 | 2 | 2",
			"- -> 2", "amount-doubt"},
		{"a weight in another unit", "Horse | Weight | Nuts now (kg) | Nuts new (kg)\nPoppet | 1150 | 2 | 2\nRowan | 520 | 2 | 2\nTeal | 500 | 2 | 2\nBryn | 540 | 2 | 2",
			"2 -> 2", "weight-doubt"},
		{"a title weeks from its days", "Week beginning 8 March 2027\n\nHorse | Weight" + checkedDays + " | Nuts now (kg) | Nuts new (kg)\nPoppet | 500 | hack 60 | off | hack 60 | off | off | off | off | 2 | 2\nRowan | 520 | hack 60 | off | hack 60 | off | off | off | off | 2 | 2",
			"2 -> 2", "week-unknown"},
		{"a title of its days", "Week beginning 11 January 2027\n\nHorse | Weight" + checkedDays + " | Nuts now (kg) | Nuts new (kg)\nPoppet | 500 | hack 60 | off | hack 60 | off | off | off | off | 2 | 2\nRowan | 520 | hack 60 | off | hack 60 | off | off | off | off | 2 | 2",
			"2 -> 2", ""},
	} {
		w, err := Read([]Sheet{sheetOf("Week", c.page)}, someMonday.AddDate(26, 0, 0))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got := factsOf(w, "Poppet"); !strings.HasSuffix(got, "; "+c.want) {
			t.Errorf("%s: read %s, meant %s", c.name, got, c.want)
		}
		for _, rule := range []string{"measure-weight", "amount-doubt", "weight-doubt", "week-unknown"} {
			if c.rule == "" && rule == "week-unknown" && !strings.HasPrefix(c.page, "Week") {
				continue
			}
			if c.rule == "" && ruleAt(w, rule) || c.rule == rule && !ruleAt(w, rule) {
				t.Errorf("%s: %s asked: %v", c.name, rule, ruleAt(w, rule))
			}
		}
	}
}

// A heaped scoop counts as a scoop, which is said; where a legend weighs heaped ones, that is
// what they weigh, and nothing needs saying.
func TestHeapedScoopsAreNamed(t *testing.T) {
	read := func(legend string) (kg string, said bool) {
		w, _ := Read([]Sheet{sheetOf("Week", "Week commencing 1 March 2027\n"+legend+"\n\nHorse|Weight kg|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now\n"+
			"Rowan|500|hack 60|off|hack 60|off|hack 60|off|off|2 heaped scoops nuts\nSorrel|400|hack 60|off|hack 60|off|hack 60|off|off|1 scoop nuts")}, time.Time{})
		for _, f := range w.Findings {
			said = said || f.Rule == "amount-vague"
		}
		return hardOf(w, "Rowan", false), said
	}
	if kg, said := read("1 scoop nuts = 1.2 kg"); kg != "2.4" || !said {
		t.Errorf("no weight of a heaped one: %s kg, said %t", kg, said)
	}
	if kg, said := read("1 scoop nuts = 1.2 kg, 1 heaped scoop nuts = 1.5 kg"); kg != "3" || said {
		t.Errorf("a weight of a heaped one: %s kg, said %t", kg, said)
	}
}

// The newer of two weighings counts, also where its cell says the day once more without a
// year and no week is stated.
func TestADayBesideADate(t *testing.T) {
	w, _ := Read([]Sheet{
		sheetOf("Work", "Ponies|Mon|Tue|Wed|Thu|Fri|Sat|Sun|Feed now\nRowan|hack 60|off|hack 60|off|hack 60|off|off|2 kg nuts\nSorrel|hack 60|off|hack 60|off|hack 60|off|off|1 kg nuts"),
		sheetOf("Weights", "Date|Horse|Weight kg\nd:2028-01-12|Rowan|602\nd:2028-01-12|Sorrel|410\nd:2028-02-09|Rowan|599kg on 8/2\nd:2028-02-09|Sorrel|405"),
	}, time.Time{})
	if got := factsOf(w, "Rowan"); !strings.HasPrefix(got, "599 kg;") {
		t.Error(got)
	}
}
