package board

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// books are workbooks of yards invented for these tests, each in another layout.
var books = map[string][]Sheet{
	"wide": {sheetOf("Board", `Week beginning 1 March 2027
1 scoop nuts = 1.2 kg
Horse | Wt (kg) | Mon | Tue | Wed | Thu | Fri | Sat | Sun | Feed now | New feed | Notes
Larkin | 512 | off | hack 60 | school 40 | off | hack 60 | lunge 20 | off | 1 scoop nuts twice a day | 1½ scoops nuts twice a day | kicks
Pilot | c. 430 | rest | rest | hack 45 | hack 45 | rest | hack 1hr 15 | rest | 1 scoop nuts am | same |
Sable | 601 | hack 30 | off | hack 30 | off | hack 30 | school 45 | off | ½ scoop nuts am / 1 scoop nuts pm | 1 scoop nuts twice a day | colic 3/2
Tansy | 388 | turnout only | | | | | | | – | – | retired`)},
	"two tabs": {sheetOf("Work", `WORK w/c 1/3/27
numbers = minutes

Horse | Mon 1/3 | Tue 2/3 | Wed 3/3 | Thu 4/3 | Fri 5/3 | Sat 6/3 | Sun 7/3
Larkin | 45 | 60 | off | 45 | 45 | 90 | off
Pilot | off | 30 | 30 | off | 30 | 60 | off
Sable | 20 | off | 20 | off | 20 | off | 20`), sheetOf("Feeds", `FEEDS in kg a day

Horse | Weighbridge | Oats now | Cubes now | Oats new | Cubes new | Vet
Larkin | 512 | 1 | 1.5 | 1.5 | 1.5 |
Pilot | 430 | 0 | 1 | 0 | 1.25 | ulcers
Sable | 601 | 2 | 0 | 2 | 0.5 |`)},
	"blocks": {sheetOf("Plan", `w/c 1/3/27

Larkin
Weight | 512 | Height | 16hh
 | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Work | off | hack 60 | school 40 | off | hack 60 | lunge 20 | off
Now | 2 kg oats a day
New | 2.5 kg oats a day

Pilot
Weight | 430 | Height | 14hh
 | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Work | rest | hack 45 | rest | hack 45 | rest | hack 45 | rest
Now | 1 kg oats a day
New | same

Sable
Weight | 601 | Height | 17hh
 | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Work | hack 30 | off | hack 30 | off | hack 30 | off | off
Now | 3 kg oats a day
New | 2.5 kg oats a day`)},
	"across": {sheetOf("Week", `Week beginning Monday 1 March 2027
numbers = minutes
 | Larkin | Pilot | Sable
Weight kg | 512 | 430 | 601
Mon | off | 30 | 45
Tue | 60 | off | 45
Wed | 45 | 30 | off
Thu | off | off | 45
Fri | 60 | 30 | 45
Sat | 20 | 90 | off
Sun | off | off | 30
Oats now (kg a day) | 2 | 0.5 | 3
Oats new (kg a day) | 2.5 | 0.5 | 3`)},
}

func clone(sheets []Sheet) []Sheet {
	out := slices.Clone(sheets)
	for i := range out {
		out[i].Cells = slices.Clone(out[i].Cells)
	}
	return out
}

// allFacts are the facts of every horse, by name.
func allFacts(w yard.Week) map[string]string {
	out := map[string]string{}
	for _, h := range w.Horses {
		out[h.Name] = factsOf(w, h.Name)
	}
	return out
}

// changes are what people do to a workbook without meaning another thing by it.
// Each gives the names under which the horses stand afterwards.
var changes = map[string]func(*rand.Rand, []Sheet) map[string]string{
	"horses called otherwise": func(rng *rand.Rand, ss []Sheet) map[string]string {
		names := []string{"Barley", "Monday", "Oats", "Bran", "Carrots", "Friday", "Chaff", "Merlin", "Old Tom", "Sir Percy Blake", "Mister Jones", "Bella"}
		rng.Shuffle(len(names), func(i, j int) { names[i], names[j] = names[j], names[i] })
		// One of them only is a feed or a day, as in any yard.
		var plain, odd []string
		for _, n := range names {
			if strings.Contains("Barley Monday Oats Bran Carrots Friday Chaff", n) {
				odd = append(odd, n)
			} else {
				plain = append(plain, n)
			}
		}
		to := map[string]string{"Larkin": plain[0], "Pilot": odd[0], "Sable": plain[1], "Tansy": plain[2]}
		for i := range ss {
			for k := range ss[i].Cells {
				if n, ok := to[ss[i].Cells[k].Text]; ok {
					ss[i].Cells[k].Text = n
				}
			}
		}
		return to
	},
	"rows and columns before": func(rng *rand.Rand, ss []Sheet) map[string]string {
		for i := range ss {
			down, right := rng.IntN(4), rng.IntN(3)
			for k := range ss[i].Cells {
				ss[i].Cells[k].Row += down
				ss[i].Cells[k].Col += right
			}
		}
		return nil
	},
	"tabs called otherwise and in another order": func(rng *rand.Rand, ss []Sheet) map[string]string {
		for i := range ss {
			ss[i].Name = fmt.Sprintf("Sheet%d", i+1)
		}
		slices.Reverse(ss)
		return nil
	},
	"a footer": func(rng *rand.Rand, ss []Sheet) map[string]string {
		for i := range ss {
			last := 0
			for _, c := range ss[i].Cells {
				last = max(last, c.Row)
			}
			ss[i].Cells = append(ss[i].Cells, Cell{Row: last + 2, Col: 1, Kind: Text, Text: "Vet 01632 960555, farrier 01632 960556"}, Cell{Row: last + 3, Col: 1, Kind: Text, Text: "Please sweep the feed room after tea"})
		}
		return nil
	},
	"other headings": func(rng *rand.Rand, ss []Sheet) map[string]string {
		like := map[string][]string{"Horse": {"Name", "Pony", "Horses"}, "Wt (kg)": {"Weight kg", "Bodyweight (kg)"}, "Weighbridge": {"Scales", "Weight"}, "Notes": {"Remarks", "Comments"}, "Vet": {"Health", "Medical"},
			"Feed now": {"Feeding now", "Current feed", "Present ration"}, "New feed": {"Planned feed", "Proposed ration", "New ration"}, "Weight": {"Wt", "Body weight"}, "Height": {"Ht", "Hands"},
			"Oats now": {"Oats current", "Oats old"}, "Cubes now": {"Cubes current", "Cubes old"}, "Oats new": {"Oats planned", "Oats proposed"}, "Cubes new": {"Cubes planned", "Cubes proposed"},
			"Mon": {"Monday"}, "Tue": {"Tuesday", "Tues"}, "Wed": {"Weds"}, "Thu": {"Thurs"}, "Sat": {"Saturday"}}
		for i := range ss {
			for k := range ss[i].Cells {
				if words := like[ss[i].Cells[k].Text]; words != nil {
					ss[i].Cells[k].Text = words[rng.IntN(len(words))]
				}
			}
		}
		return nil
	},
	"numbers as text": func(rng *rand.Rand, ss []Sheet) map[string]string {
		for i := range ss {
			for k := range ss[i].Cells {
				if c := &ss[i].Cells[k]; c.Kind == Number && rng.IntN(2) == 0 {
					c.Kind = Text
				}
			}
		}
		return nil
	},
	"capitals": func(rng *rand.Rand, ss []Sheet) map[string]string {
		for i := range ss {
			for k := range ss[i].Cells {
				c := &ss[i].Cells[k]
				if c.Kind == Text && !slices.Contains([]string{"Larkin", "Pilot", "Sable", "Tansy"}, c.Text) && rng.IntN(3) == 0 {
					c.Text = strings.ToUpper(c.Text)
				}
			}
		}
		return nil
	},
	"another tab": func(rng *rand.Rand, ss []Sheet) map[string]string { return nil },
}

func TestWhatMeansTheSameIsReadTheSame(t *testing.T) {
	const rounds = 20
	n := 0
	for _, book := range sortedKeys(books) {
		w, err := Read(books[book], time.Time{})
		if err != nil {
			t.Fatalf("%s: no horses", book)
		}
		want := allFacts(w)
		for _, change := range sortedKeys(changes) {
			rng := rand.New(rand.NewPCG(7, uint64(len(book)+len(change))))
			for range rounds {
				ss := clone(books[book])
				to := changes[change](rng, ss)
				if change == "another tab" {
					ss = append(ss, sheetOf("Rota", "Staff | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nJean | in | in | off | in | late | off | in\nOlive | off | in | in | late | in | in | off"))
				}
				got, err := Read(ss, time.Time{})
				n++
				if err != nil || len(got.Horses) != len(w.Horses) {
					t.Errorf("%s, %s: %d horses of %d: %v", book, change, len(got.Horses), len(w.Horses), to)
					break
				}
				facts := allFacts(got)
				for name, f := range want {
					if new, ok := to[name]; ok {
						name = new
					}
					if facts[name] != f {
						t.Errorf("%s, %s: %s is %s, was %s (%v)", book, change, name, facts[name], f, to)
					}
				}
				if t.Failed() {
					break
				}
			}
		}
	}
	t.Logf("%d changed workbooks were read the same", n)
}

// One cell emptied or garbled: no other horse's facts change, and no horse is lost
// or found.
func TestOneCellTouchesOneHorse(t *testing.T) {
	same, changed := 0, 0
	for _, book := range sortedKeys(books) {
		w, _ := Read(books[book], time.Time{})
		want := allFacts(w)
		b, err := readBook(books[book], time.Time{})
		if err != nil {
			t.Fatal(book, err)
		}
		for _, o := range b.seen.obs {
			for _, garbled := range []string{"", "zxqv 7 jkl?"} {
				ss := clone(books[book])
				for i := range ss {
					if ss[i].Name != o.sheet.Name {
						continue
					}
					for k := range ss[i].Cells {
						if c := &ss[i].Cells[k]; c.Row == o.cell.Row && c.Col == o.cell.Col {
							if garbled == "" {
								ss[i].Cells = slices.Delete(ss[i].Cells, k, k+1)
							} else {
								*c = Cell{Row: c.Row, Col: c.Col, Kind: Text, Text: garbled}
							}
							break
						}
					}
				}
				got, err := Read(ss, time.Time{})
				if err != nil || len(got.Horses) != len(w.Horses) {
					t.Errorf("%s, %s %q: %d horses of %d", book, o.cell.Ref(), garbled, len(got.Horses), len(w.Horses))
					continue
				}
				facts := allFacts(got)
				mine := b.seen.herd.horses[o.horse].name
				for name, f := range want {
					if name != mine && facts[name] != f {
						t.Errorf("%s, %s %q of %s: %s is %s, was %s", book, o.cell.Ref(), garbled, mine, name, facts[name], f)
					}
				}
				if facts[mine] == want[mine] {
					same++
				} else {
					changed++
				}
			}
		}
	}
	if changed < same {
		t.Errorf("a cell taken away changed its own horse %d times of %d only", changed, changed+same)
	}
	t.Logf("a cell emptied or garbled: its horse changed %d times, and %d times not (heights, notes, days off)", changed, same)
}

func TestEveryCellHasAFate(t *testing.T) {
	for _, book := range sortedKeys(books) {
		got := Account(books[book], time.Time{})
		if got["lost"] > 0 || got["unused"] > 0 || got["used"] == 0 {
			t.Errorf("%s: %v", book, got)
		}
	}
	// What nothing says the meaning of is named, once.
	ss := clone(books["wide"])
	ss[0].Cells = append(ss[0].Cells, Cell{Row: 12, Col: 2, Kind: Number, Num: 77, Text: "77"}, Cell{Row: 12, Col: 4, Kind: Number, Num: 78, Text: "78"})
	w, _ := Read(ss, time.Time{})
	n := 0
	for _, f := range w.Findings {
		if f.Rule == "cell-unused" {
			n++
			if f.Cell.Ref != "B12" {
				t.Errorf("the first cell not used is named as %s", f.Cell.Ref)
			}
		}
	}
	if n != 1 {
		t.Errorf("cells not used are named %d times", n)
	}
}

// How a horse was read agrees with its lines and days, and the cells not used are
// listed.
func TestHowItWasReadIsWrittenDown(t *testing.T) {
	ss := clone(books["wide"])
	ss[0].Cells = append(ss[0].Cells, Cell{Row: 12, Col: 2, Kind: Number, Num: 77, Text: "77"})
	w, _ := Read(ss, time.Time{})
	if len(w.Understood) != len(w.Horses) || len(w.NotUsed) != 1 || w.NotUsed[0].Ref != "B12" {
		t.Fatalf("%d lines of %d horses, not used %v", len(w.Understood), len(w.Horses), w.NotUsed)
	}
	l := w.Understood[0]
	if l.Horse != "Larkin" || l.WeightKg != yard.Known(512) || l.WorkMin[1] != yard.Known(60) || math.Abs(l.NowKg.Or(0)-2.4) > 1e-9 || math.Abs(l.PlannedKg.Or(0)-3.6) > 1e-9 {
		t.Errorf("%+v", l)
	}
	if s := w.Understood[2]; s.Horse != "Sable" || len(s.Diagnoses) != 1 || s.Diagnoses[0].Kind != yard.PastColic {
		t.Errorf("%+v", s)
	}
}
