package board

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"hardfeed/ration/yard"
)

// sheetOf makes a sheet of lines, cells between bars. "d:2027-03-01" is a date;
// figures are numbers.
func sheetOf(name, text string) Sheet {
	s := Sheet{Name: name}
	for r, line := range strings.Split(text, "\n") {
		for c, cell := range strings.Split(line, "|") {
			cell = strings.ReplaceAll(strings.TrimSpace(cell), "\\n", "\n")
			if cell == "" {
				continue
			}
			x := Cell{Row: r + 1, Col: c + 1, Kind: Text, Text: cell}
			if day, ok := strings.CutPrefix(cell, "d:"); ok {
				x.Day, _ = time.Parse("2006-01-02", day)
				x.Kind, x.Text = Date, day
			} else if v, err := strconv.ParseFloat(cell, 64); err == nil {
				x.Kind, x.Num = Number, v
			}
			s.Cells = append(s.Cells, x)
		}
	}
	return s
}

// facts are what a test compares of a horse: weight, minutes of the seven days,
// hard feed now and planned; -1 where it is not known.
func factsOf(w yard.Week, name string) string {
	for _, h := range w.Horses {
		if h.Name != name {
			continue
		}
		out := fmt.Sprintf("%.0f kg;", h.WeightKg.Or(-1))
		for _, d := range h.Work {
			m := 0.0
			for _, s := range d.Sessions {
				m += s.Total()
			}
			if d.Unknown {
				m = -1
			}
			out += fmt.Sprintf(" %.0f", m)
		}
		now, plan := hardOf(w, name, false), hardOf(w, name, true)
		return out + fmt.Sprintf("; %s -> %s", now, plan)
	}
	return "no such horse"
}

func hardOf(w yard.Week, name string, planned bool) string {
	class := map[string]yard.FeedClass{}
	for _, f := range w.Feeds {
		class[f.Name] = f.Class
	}
	sum, given := 0.0, false
	for _, l := range w.Lines {
		a := l.Now
		if planned {
			a = l.Planned
		}
		if l.Horse != name || class[l.Feed] != yard.HardFeed || !a.Given {
			continue
		}
		given = true
		v, ok := a.Kg.Get()
		if !ok {
			return "?"
		}
		sum += v
	}
	if !given {
		return "-"
	}
	return strconv.FormatFloat(math.Round(sum*1000)/1000, 'f', -1, 64)
}

func TestLayouts(t *testing.T) {
	for what, c := range map[string]struct {
		sheets []Sheet
		want   map[string]string
	}{
		"one wide table": {[]Sheet{sheetOf("Board", `Week beginning 1 March 2027

Horse | Wt (kg) | Mon | Tue | Wed | Thu | Fri | Sat | Sun | Feed now | New feed
Larkin | 512 | off | hack 60 | school 40 | off | hack 60 | lunge 20 | off | 1 scoop nuts twice a day | 1½ scoops nuts twice a day
Pilot | c. 430 | rest | rest | hack 45 | hack 45 | rest | hack 1hr 15 | rest | 1 scoop nuts am | same

1 scoop nuts = 1.2 kg
Vet 01632 960111`)}, map[string]string{
			"Larkin": "512 kg; 0 60 40 0 60 20 0; 2.4 -> 3.6",
			"Pilot":  "430 kg; 0 0 45 45 0 75 0; 1.2 -> 1.2"}},
		"a block a horse": {[]Sheet{sheetOf("Plan", `w/c 1/3/27

Larkin
Weight | 512 | Height | 16hh
 | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Work | off | hack 60 | school 40 | off | hack 60 | lunge 20 | off
Now | 2 kg oats a day
New | 2.5 kg oats a day

Barley
Weight | 430 | Height | 14hh
 | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Work | turnout only
Now | –
New | same`)}, map[string]string{
			"Larkin": "512 kg; 0 60 40 0 60 20 0; 2 -> 2.5",
			"Barley": "430 kg; 0 0 0 0 0 0 0; 0 -> 0"}},
		"horses across": {[]Sheet{sheetOf("Week", `Week beginning Monday 1 March 2027

 | Larkin | Pilot
Weight kg | 512 | 430
Mon | off | 30
Tue | 60 | off
Wed | 45 | 30
Thu | off | off
Fri | 60 | 30
Sat | 20 | 90
Sun | off | off
Oats now (kg a day) | 2 | 0.5
Oats new (kg a day) | 2.5 | 0.5

numbers = minutes`)}, map[string]string{
			"Larkin": "512 kg; 0 60 45 0 60 20 0; 2 -> 2.5",
			"Pilot":  "430 kg; 30 0 30 0 30 90 0; 0.5 -> 0.5"}},
		"a diary and a list of feeds": {[]Sheet{sheetOf("Diary", `Date | Horse | What | Mins
d:2027-03-01 | Larkin | hack | 60
d:2027-03-01 | Pilot | off
d:2027-03-02 | Larkin | school | 40
d:2027-03-02 | Pilot | lunge | 20
d:2027-03-07 | Larkin | off
d:2027-03-07 | Pilot | hack | 90`), sheetOf("Feeds", `Horse | Weight kg | Meal | Oats now kg | Oats new kg
Larkin | 512 | AM | 1 | 1
 | | PM | 1 | 1.5
Pilot | 430 | AM | 0.5 | 0.5
 | | PM | – | –`)}, map[string]string{
			"Larkin": "512 kg; 60 40 0 0 0 0 0; 2 -> 2.5",
			"Pilot":  "430 kg; 0 20 0 0 0 0 90; 0.5 -> 0.5"}},
	} {
		w, err := Read(c.sheets, time.Time{})
		if err != nil {
			t.Errorf("%s: no horses", what)
			continue
		}
		if len(w.Horses) != len(c.want) || w.Beginning.Format("2006-01-02") != "2027-03-01" {
			t.Errorf("%s: %d horses, week %s", what, len(w.Horses), w.Beginning)
		}
		for name, want := range c.want {
			if got := factsOf(w, name); got != want {
				t.Errorf("%s: %s is %s, want %s", what, name, got, want)
			}
		}
	}
}

// Where the dates over the work run from another day than a Monday, the yard's weeks
// begin on it: no day's work drops out of the week.
func TestAWeekBeginsWhereItsDatesDo(t *testing.T) {
	for first, want := range map[string]string{"2027-03-01": "2027-03-01", "2027-03-02": "2027-03-02", "2027-03-06": "2027-03-06", "2027-03-07": "2027-03-07"} {
		day, err := time.Parse(time.DateOnly, first)
		if err != nil {
			t.Fatal(err)
		}
		head := "Horse | Weight kg"
		for i := range 7 {
			head += " | d:" + day.AddDate(0, 0, i).Format(time.DateOnly)
		}
		w, err := Read([]Sheet{sheetOf("Board", head+`
Thistle | 512 | rest | hack 45 | school 40 | hack 45 | school 40 | hack 60 | off
Marl | 455 | rest | lunge 20 | hack 45 | rest | lunge 20 | hack 30 | off`)}, time.Time{})
		if err != nil || w.Beginning.Format(time.DateOnly) != want {
			t.Errorf("dates from %s: week of %s", first, w.Beginning.Format(time.DateOnly))
			continue
		}
		for d, minutes := range []float64{0, 45, 40, 45, 40, 60, 0} {
			if day := w.Horses[0].Work[d]; day.Unknown || day.Rest() != (minutes == 0) {
				t.Errorf("dates from %s: day %d of Thistle is %+v", first, d, day)
			}
		}
	}
}

// Rations that are kept week below week are not added up, whether or not the work says
// which week it is of.
func TestRationsWeekBelowWeek(t *testing.T) {
	rations := sheetOf("Rations", `Date | Horse | Feed | Amount kg | By whom
d:2027-02-15 | Thistle | Oats | 1.5 | Jo
d:2027-02-22 | Thistle | Oats | 2
d:2027-03-01 | Thistle | Oats | 2.5
d:2027-02-15 | Marl | Oats | 0.5
d:2027-02-22 | Marl | Oats | 1
d:2027-03-01 | Marl | Oats | 1`)
	work := `Horse | Weight kg | Mon | Tue | Wed | Thu | Fri | Sat | Sun
Thistle | 512 | rest | hack 45 | school 40 | hack 45 | school 40 | hack 60 | off
Marl | 455 | rest | lunge 20 | hack 45 | rest | lunge 20 | hack 30 | off`
	for title, week := range map[string]string{"Week of 1 March 2027\n": "2027-03-01", "": "2027-03-01"} {
		w, err := Read([]Sheet{sheetOf("Work", title+work), rations}, time.Time{})
		if err != nil || w.Beginning.Format(time.DateOnly) != week {
			t.Fatalf("%q: week of %s", title, w.Beginning.Format(time.DateOnly))
		}
		for name, want := range map[string]string{"Thistle": "512 kg; 0 45 40 45 40 60 0; 2 -> 2.5", "Marl": "455 kg; 0 20 45 0 20 30 0; 1 -> 1"} {
			if got := factsOf(w, name); got != want {
				t.Errorf("%q: %s is %s, want %s", title, name, got, want)
			}
		}
	}
}
