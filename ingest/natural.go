package ingest

import (
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"hardfeed/ingest/phrase"
	"hardfeed/ingest/quantity"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// cellWords are the words of all languages, for the cells of the plain layout that
// hold more than a number and its unit.
var cellWords = sync.OnceValue(func() *phrase.Words { return phrase.Load() })

// weighing reads a weight as people write it, "c. 480", "540kg (tape 12/11)", where
// it is one weight without a doubt: the cell with the number and its unit alone,
// how it was got, and the day. A question mark, a range and words that are not
// understood leave the cell as it is, for the question it is. A day without a year is
// one near the first day of the week.
func weighing(c xlsx.Cell, headUnit string, week time.Time) (xlsx.Cell, yard.WeightBasis, time.Time) {
	if c.Kind != xlsx.Text {
		return c, yard.NoWeight, time.Time{}
	}
	if q, err := ParseQuantity(c.Shown); err == nil && (q.Unit == "" || kgPer[q.Unit] != 0) {
		return c, yard.NoWeight, time.Time{}
	}
	w := cellWords().Weight(c.Shown, quantity.WeightContext{Unit: unitName(headUnit)})
	x, ok := w.Latest(week)
	if !ok || w.Question || w.Unknown || w.Range != 0 || len(w.Unread) > 0 || x.Other != 0 {
		return c, yard.NoWeight, time.Time{}
	}
	c.Shown = strings.TrimSpace(strconv.FormatFloat(x.Value, 'f', -1, 64) + " " + x.Unit)
	basis := map[quantity.Basis]yard.WeightBasis{quantity.Scale: yard.ByScale, quantity.Tape: yard.ByTape, quantity.Formula: yard.ByGirthLength}[x.Basis]
	if basis == "" {
		basis = yard.NoWeight
	}
	var day time.Time
	if x.Date.Day != 0 && !week.IsZero() {
		// Nobody has weighed it yet on a day to come.
		days := slices.DeleteFunc(x.Date.Readings(week), func(d time.Time) bool { return d.After(week.AddDate(0, 0, 6)) })
		if len(days) == 1 {
			day = days[0]
		}
	}
	return c, basis, day
}

// weekInWords is the first day of the week a text names, in any spelling that says
// its year and leaves one Monday.
func weekInWords(text string) (time.Time, bool) {
	w, ok := cellWords().Week(text)
	if !ok || w.First.Year == 0 && w.Year == 0 {
		return time.Time{}, false
	}
	days := w.Readings(time.Time{})
	if len(days) != 1 || days[0].Weekday() != time.Monday {
		return time.Time{}, false
	}
	return days[0], true
}
