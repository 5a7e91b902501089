package board

// findDateRuns finds cells that are dates because their neighbours are: "1/2" after
// "1/1" is the second of January, and elsewhere a half.
func findDateRuns(sheets []*sheetData, words *vocabulary) map[*Cell]bool {
	out := map[*Cell]bool{}
	for _, s := range sheets {
		for _, lines := range []map[int][]*Cell{s.rows, s.cols} {
			for _, cells := range lines {
				var run []*Cell
				sure := 0
				flush := func() {
					if len(run) >= 5 && sure >= 3 {
						for _, c := range run {
							out[c] = true
						}
					}
					run, sure = nil, 0
				}
				for _, c := range cells {
					if c.Kind != Text || len(c.Text) > 12 {
						flush()
						continue
					}
					l := words.readCell(c)
					if len(l.dates) != 1 || len(l.rest)+l.nums > 0 || l.used > 1 {
						flush()
						continue
					}
					run = append(run, c)
					if !fraction(l.dates[0]) {
						sure++
					}
				}
				flush()
			}
		}
	}
	return out
}

// fraction says whether what reads as a date is as likely a part of one.
func fraction(d date) bool {
	return d.y == 0 && d.a > 0 && d.a < d.b && (d.b == 2 || d.b == 3 || d.b == 4 || d.b == 8)
}
