package board

import (
	"hardfeed/ingest/phrase"
)

// bareFigures are what the legends say of figures that stand alone.
type bareFigures struct {
	amount     string  // unit of amounts
	feed       string  // amounts are of
	perFeed    int     // amounts are for each of so many feeds a day
	work       string  // unit of work
	sessionMin float64 // minutes of one session
}

// unitAround is the unit a title, a tab or a legend says all amounts are in.
func (bare *bareFigures) unitAround(o *obs) string {
	if o.table != nil && o.table.unit != "" {
		return o.table.unit
	}
	if u := o.sheet.unit; u != "" {
		return u
	}
	return bare.amount
}

// timesOfPart is how often a day an amount is given, or why that has to be asked.
func (bare *bareFigures) timesOfPart(o *obs, p phrase.Part, meal string) (times float64, why string) {
	switch {
	case p.Times > 0:
		return float64(p.Times), ""
	case p.PerDay:
		return 1, ""
	case o.each && o.meals > 1:
		return float64(o.meals), ""
	case o.meals > 1 && p.Meal == "" && !o.perDay():
		return 0, "each"
	case o.each && bare.perFeed == 0 && meal == "", p.PerFeed && bare.perFeed == 0:
		return 0, "per feed"
	case p.PerFeed, bare.perFeed > 0 && meal == "" && !o.perDay():
		return float64(max(bare.perFeed, 1)), ""
	}
	return 1, ""
}

// bareWorkOf is what a number alone is in a cell: minutes, hours, sessions.
func (bare *bareFigures) bareWorkOf(o *obs) string {
	if s := unitOfWork(o.lab); s != "" {
		return s
	}
	if o.sheet.bareWork != "" {
		return o.sheet.bareWork
	}
	return bare.work
}

// unitOfWork is what a heading or line says numbers of work are.
func unitOfWork(l *label) string {
	switch {
	case l == nil:
	case l.has("sessions"):
		return "session"
	case l.has("hours"):
		return "h"
	case l.has("minutes"):
		return "min"
	}
	return ""
}
