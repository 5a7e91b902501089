package board

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ingest/quantity"
)

// total is a cell in a horse's row that adds up its feed.
type total struct {
	horse int
	cell  *Cell
	value float64
	col   *column
	sheet *sheetData
}

// totalIn is the number of a cell of totals in the unit of its column, kg where it has none:
// "11 lb" is 4.99 kg.
func (l *language) totalIn(c *Cell, unit string) (float64, bool) {
	if v, ok := numberOf(c); ok || c.Kind != Text {
		return v, ok
	}
	parts := l.amount(c.Text).Parts
	if len(parts) != 1 || !parts[0].Known || parts[0].FeedKey != "" {
		return 0, false
	}
	own, ok := quantity.KgPer(parts[0].Unit)
	per, mass := quantity.KgPer(cmp.Or(unit, "kg"))
	return parts[0].Value * own / per, ok && mass
}

// numberOf is the number a cell holds, as a number or as a text; false where it holds
// something else.
func numberOf(c *Cell) (float64, bool) {
	if c.Kind == Number {
		return c.Num, true
	}
	if c.Kind != Text || !isNumber(c.Text) {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.Replace(strings.TrimSpace(c.Text), ",", ".", 1), 64)
	return v, err == nil
}

// sumOf adds up the portions of a ration that count; false where one is not known.
func sumOf(r ration, counts func(portion) bool) (float64, bool) {
	sum := 0.0
	for _, p := range r.portions {
		switch {
		case !counts(p):
		case !p.known:
			return 0, false
		default:
			sum += p.kg
		}
	}
	return sum, r.said && !r.unknown && !slices.ContainsFunc(r.portions, func(p portion) bool { return p.vague })
}
