package board

import (
	"slices"
)

// obs is one cell read: whose it is and what it is about.
type obs struct {
	sheet    *sheetData
	cell     *Cell
	horse    int
	role     role
	when     when
	day      int // Monday 0; -1: not said
	date     date
	meal     string
	feed     string
	unit     string
	lab      *label
	head     *Cell // its heading
	week     *weekOf
	weekDate date // of the week its heading names
	span     Rect // where the cell is joined with others
	joint    bool
	rest     *Cell // further part: minutes beside work
	table    *table
	row      int
	by       string // how a weight was come by
	col      *column
	half     string // which part of the day, of work: am, pm
	asPlan   bool
	meals    int  // how many meals its heading names
	thisWeek bool // its heading names this week, and no other week is
	each     bool // its heading says that the amount is for each feed
}

// use marks a cell as used for a fact.
func (o *obs) use(why string) { o.sheet.mark(o.cell, "used", why) }

// daysOf are the days of the week a cell of work is about.
func (o *obs) daysOf() []int {
	if o.day < 0 {
		return nil
	}
	if !o.joint || o.table == nil && o.span.Row1 == o.span.Row2 && o.span.Col1 == o.span.Col2 {
		return []int{o.day}
	}
	if o.table == nil { // a form: over days beside each other
		var out []int
		for i := range min(o.span.Col2-o.span.Col1+1, 7) {
			out = append(out, (o.day+i)%7)
		}
		return out
	}
	lo, hi := o.span.Col1, o.span.Col2
	if o.turned() {
		lo, hi = o.span.Row1, o.span.Row2
	}
	var out []int
	for _, k := range o.table.cols {
		if k.at >= lo && k.at <= hi && k.role == workRole && k.day >= 0 && k.shift == o.col.shift {
			out = append(out, k.day)
		}
	}
	if len(out) == 0 {
		return []int{o.day}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func (o *obs) turned() bool { return o.table != nil && o.table.g.turned }

// perDay says whether the heading of an amount says that it is the day's.
func (o *obs) perDay() bool { return o.lab != nil && o.lab.has("perday") }

// besideOthers says whether the column of an amount is one of several for the same
// meal: then each is for its own feed.
func (o *obs) besideOthers() bool {
	n := 0
	for _, k := range o.table.cols {
		if k.role == feedRole && k.when == o.col.when && k.meal == o.col.meal {
			n++
		}
	}
	return n > 1
}

// above is the cell of the same column for the horse before.
func (o *obs) above() *obs {
	if o.col == nil {
		return nil
	}
	var best *obs
	for _, x := range o.col.obs {
		if x.row < o.row && x.role == o.role && x.half == o.half && (best == nil || x.row > best.row) {
			best = x
		}
	}
	return best
}

// take gives the cells to their horses.
func (hd *herd) take(all []*obs) {
	for _, o := range all {
		h := hd.horses[o.horse]
		h.obs = append(h.obs, o)
		if o.col != nil {
			o.col.obs = append(o.col.obs, o)
		}
	}
}
