package ingest

import (
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// colouredWeek is a board whose days are coloured and blank: a letter a day, G and Y for two
// colours, a blank for none. The legend is written where one is given.
func colouredWeek(t *testing.T, rows map[string]string, legend map[byte]string) []byte {
	t.Helper()
	f := excelize.NewFile()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	style := map[byte]int{}
	for letter, rgb := range map[byte]string{'G': "70AD47", 'Y': "FFFF00", 'W': "FFFFFF"} {
		id, err := f.NewStyle(&excelize.Style{Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{rgb}}})
		must(err)
		style[letter] = id
	}
	set := func(col, row int, v any) {
		ref, err := excelize.CoordinatesToCellName(col, row)
		must(err)
		must(f.SetCellValue("Sheet1", ref, v))
	}
	paint := func(col, row int, letter byte) {
		ref, err := excelize.CoordinatesToCellName(col, row)
		must(err)
		must(f.SetCellStyle("Sheet1", ref, ref, style[letter]))
	}
	set(1, 1, "Week starting 5 April 2027")
	for i, head := range []string{"Horse", "Weight kg", "Now (kg mix)", "Next (kg mix)", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"} {
		set(i+1, 2, head)
	}
	row := 3
	for _, name := range []string{"Gantry", "Wharf", "Lockgate"} {
		set(1, row, name)
		for i, v := range []any{500 + 10*row, 2, 2.25} {
			set(2+i, row, v)
		}
		for d := range 7 {
			if c := rows[name][d]; c != ' ' {
				paint(5+d, row, c)
			}
		}
		row++
	}
	row += 2
	for _, letter := range []byte{'G', 'Y'} {
		if text := legend[letter]; text != "" {
			paint(1, row, letter)
			set(2, row, text)
			row++
		}
	}
	data, err := f.WriteToBuffer()
	must(err)
	return data.Bytes()
}

func TestColoursSayWhatTheirLegendSays(t *testing.T) {
	mixed := map[string]string{"Gantry": "GGYG Y ", "Wharf": "Y Y YG ", "Lockgate": "GG GGYW"}
	for name, c := range map[string]struct {
		rows    map[string]string
		legend  map[byte]string
		minutes map[string][7]float64 // -1: not known
		asked   bool
	}{
		"with a legend": {mixed, map[byte]string{'G': "schooling 45 mins", 'Y': "hack 1 hr"},
			map[string][7]float64{"Gantry": {45, 45, 60, 45, 0, 60, 0}, "Wharf": {60, 0, 60, 0, 60, 45, 0}, "Lockgate": {45, 45, 0, 45, 45, 60, 0}}, false},
		"without one": {mixed, nil,
			map[string][7]float64{"Gantry": {-1, -1, -1, -1, 0, -1, 0}, "Wharf": {-1, 0, -1, 0, -1, -1, 0}, "Lockgate": {-1, -1, 0, -1, -1, -1, 0}}, true},
		"every other row in a colour, and the weekend": {map[string]string{"Gantry": "GGGGGYY", "Wharf": "     YY", "Lockgate": "GGGGGYY"}, nil,
			map[string][7]float64{"Gantry": {}, "Wharf": {}, "Lockgate": {}}, false},
	} {
		w, err := Read("colours.xlsx", colouredWeek(t, c.rows, c.legend), Options{})
		if err != nil {
			t.Fatalf("%s: %s", name, words.Told(err))
		}
		for _, h := range w.Horses {
			for d, want := range c.minutes[h.Name] {
				got := 0.0
				for _, s := range h.Work[d].Sessions {
					got += s.Total()
				}
				if h.Work[d].Unknown {
					got = -1
				}
				if got != want {
					t.Errorf("%s: %s on day %d does %g minutes, not %g", name, h.Name, d+1, got, want)
				}
			}
		}
		if asked := slices.ContainsFunc(w.Findings, func(f yard.Finding) bool { return f.Saying.Key == "finding.board.work-blank.colour" }); asked != c.asked {
			t.Errorf("%s: the colours are asked about: %v", name, asked)
		}
	}
}
