package ingest

import (
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"hardfeed/ingest/lexicon"
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
// understood leave the cell as it is, for the question it is.
func (r *reader) weighing(c xlsx.Cell, headUnit string) (xlsx.Cell, yard.WeightBasis, time.Time) {
	if c.Kind != xlsx.Text {
		return c, yard.NoWeight, time.Time{}
	}
	if q, err := ParseQuantity(c.Shown); err == nil && (q.Unit == "" || kgPer[q.Unit] != 0) {
		return c, yard.NoWeight, time.Time{}
	}
	w := cellWords().Weight(c.Shown, quantity.WeightContext{Unit: unitName(headUnit)})
	x, ok := w.Latest(r.week.Beginning)
	if !ok || w.Question || w.Unknown || w.Range != 0 || len(w.Unread) > 0 || x.Other != 0 {
		return c, yard.NoWeight, time.Time{}
	}
	c.Shown = strings.TrimSpace(strconv.FormatFloat(x.Value, 'f', -1, 64) + " " + x.Unit)
	basis := map[quantity.Basis]yard.WeightBasis{quantity.Scale: yard.ByScale, quantity.Tape: yard.ByTape, quantity.Formula: yard.ByGirthLength}[x.Basis]
	if basis == "" {
		basis = yard.NoWeight
	}
	var day time.Time
	if x.Date.Day != 0 && !r.week.Beginning.IsZero() {
		// Nobody has weighed it yet on a day to come.
		days := slices.DeleteFunc(x.Date.Readings(r.week.Beginning), func(d time.Time) bool { return d.After(r.week.Beginning.AddDate(0, 0, 6)) })
		if len(days) == 1 {
			day = days[0]
		}
	}
	return c, basis, day
}

// amountInWords reads an amount of one feed as people write it, "two scoops", "2 x
// scoop", "1 sc twice a day", where it says one amount without a doubt. rule and
// why say what is wrong with one that is understood and is not an amount by itself.
func (r *reader) amountInWords(text, feed string) (q Quantity, ok bool, rule string, why yard.Saying) {
	known := func(words string) bool {
		_, listed := r.feedAt[fold(words)]
		return listed || fold(words) == fold(feed)
	}
	a := cellWords().Amounts(text, phrase.AmountContext{Feeds: known})
	for _, p := range a.Parts {
		if p.Relative != 0 {
			return q, false, "cell-number", yard.Say("part.amount.change", wrote("wrote", text))
		}
	}
	if a.Question || a.Alternative != nil || a.Same || a.Ditto || a.None || a.AdLib || len(a.Unread) > 0 || len(a.Parts) != 1 {
		return q, false, "", why
	}
	p := a.Parts[0]
	if !p.Known || p.High != 0 || p.Other != 0 || p.Vague != "" || p.Meal != "" || p.PerFeed || p.GivenKg != 0 || p.Feed != "" && lexicon.Fold(p.Feed) != lexicon.Fold(feed) {
		return q, false, "", why
	}
	q = Quantity{p.Value, p.Unit}
	if p.Times > 1 && !p.PerDay {
		q.Value *= float64(p.Times)
	}
	if p.IsMeasure && p.UnitWord != "" {
		q.Unit = unitName(singular(fold(p.UnitWord)))
	}
	return q, true, "", why
}

// sameAsNow says whether a planned amount says that nothing changes.
func (r *reader) sameAsNow(c xlsx.Cell) bool {
	if c.Kind != xlsx.Text {
		return false
	}
	is, seen := r.sameNow[c.Shown]
	if !seen {
		a := cellWords().Amounts(c.Shown, phrase.AmountContext{})
		is = a.Same && len(a.Parts) == 0 && len(a.Unread) == 0 && !a.Question
		r.sameNow[c.Shown] = is
	}
	return is
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
