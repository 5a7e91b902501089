package choose

import (
	"strings"
	"testing"
)

func hayAndOats(change func(*Model)) Model {
	line := func(hay, oats int64) Sum {
		s := Sum{Adds: [][]int64{make([]int64, 41), make([]int64, 13)}}
		for v := range s.Adds[0] {
			s.Adds[0][v] = hay * int64(v)
		}
		for v := range s.Adds[1] {
			s.Adds[1][v] = oats * int64(v)
		}
		return s
	}
	m := Model{
		Feeds: []Feed{{"hay", 41}, {"oats", 13}}, // quarter kilos, quarter scoops of 200 g
		Limits: []Limit{
			{"the forage floor", []Row{{line(250, 0), 7500, NoHigh}}},
			{"the hay in stock", []Row{{line(250, 0), NoLow, 9000}}},
			{"oats a day", []Row{{line(0, 200), NoLow, 2000}}},
		},
		Goals: []Goal{
			{Name: "energy", Bands: []Row{{line(500, 600), 19400, 20600}}},
			{Name: "hard feed", Sum: line(0, 200)},
		},
	}
	if change != nil {
		change(&m)
	}
	return m
}

// 36 quarter kilos of hay, all there is, bring 18,000 kcal; three quarters of a
// scoop of oats 1,800 more: the least that reaches the band from 19,400.
func TestForageFirstAndTheLeastHardFeedThatReachesTheBand(t *testing.T) {
	a := answer(t, hayAndOats(nil))
	if a.Clash != nil || a.Choice[0] < 35 || a.Choice[1] != 3 || a.Values[0] != 0 || a.Values[1] != 600 {
		t.Errorf("%+v", a)
	}
}

func TestTheClashIsNamed(t *testing.T) {
	a := answer(t, hayAndOats(func(m *Model) { m.Limits[1].Rows[0].High = 5000 }))
	if a.Clash == nil || len(a.Clash.Limits) != 2 || a.Clash.Limits[0] != 0 || a.Clash.Limits[1] != 1 || !a.Clash.Smallest {
		t.Fatalf("the floor of 7.5 kg and the stock of 5 kg clash, not %+v", a.Clash)
	}
	// The stock is the less important: it is passed by the 2.5 kg there is no way round.
	if a.Clash.Broken[0] != 1 || a.Clash.By[0] != 2500 || a.Choice[0] != 30 {
		t.Errorf("given up %v by %v, hay %d", a.Clash.Broken, a.Clash.By, a.Choice[0])
	}
}

func TestAMalformedModelIsRefused(t *testing.T) {
	for want, change := range map[string]func(*Model){
		"no amount":    func(m *Model) { m.Feeds[0].Choices = 0 },
		"stands twice": func(m *Model) { m.Feeds[1].Name = "hay" },
		"amounts":      func(m *Model) { m.Limits[0].Rows[0].Adds[0] = []int64{1, 2} },
		"feeds":        func(m *Model) { m.Goals[1].Sum.Adds = m.Goals[1].Sum.Adds[:1] },
		"too large":    func(m *Model) { m.Goals[0].Bands[0].Adds[0][3] = 1 << 60 },
		"adds up":      func(m *Model) { m.Limits[0].Rows[0].Adds[0][3], m.Limits[0].Rows[0].Adds[1][3] = largest, largest },
		"constant":     func(m *Model) { m.Goals[0].Bands[0].Const = -1 << 63 },
		"low mark":     func(m *Model) { m.Limits[1].Rows[0].Low = 9001 },
		"grain":        func(m *Model) { m.Goals[0].Grain = -1 },
	} {
		if _, err := Solve(hayAndOats(change)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error with %q, got %v", want, err)
		}
	}
}

// Numbers as large as a model may have: the bounds are in floating point, the
// answer is not.
func TestLargeNumbersAreExact(t *testing.T) {
	m := Model{Feeds: []Feed{{"a", 2}, {"b", 2}}}
	m.Goals = []Goal{{Name: "least", Sum: Sum{Adds: [][]int64{{largest/2 - 1, largest / 2}, {1, 0}}}}}
	if a := answer(t, m); a.Choice[0] != 0 || a.Choice[1] != 1 {
		t.Errorf("chose %v", a.Choice)
	}
	m.Limits = []Limit{{"just", []Row{{Sum{Adds: [][]int64{{0, largest - 1}, {0, 1}}}, largest, NoHigh}}}}
	if a := answer(t, m); a.Choice[0] != 1 || a.Choice[1] != 1 {
		t.Errorf("chose %v", a.Choice)
	}
}
