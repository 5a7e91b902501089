package yard

import (
	"reflect"
	"testing"
)

// Every figure of a composition is in the table once, each row has a place of
// its own, and no two share a name, a column, a key or a heading.
func TestEveryFigureOfACompositionHasItsRow(t *testing.T) {
	var c Composition
	fields := reflect.ValueOf(&c).Elem()
	rows := map[any]string{}
	words := map[string]string{}
	for _, n := range Constituents() {
		at := n.In(&c)
		if first, twice := rows[at]; twice {
			t.Errorf("%s and %s are one field", first, n.Name)
		}
		rows[at] = n.Name
		*at = Known(float64(len(rows)))
		if got := n.Of(c); got != *at {
			t.Errorf("%s reads %v where %v was written", n.Name, got, *at)
		}
		if n.Name == "" || n.Column == "" || n.Key == "" || n.Most <= 0 || len(n.Headings) == 0 {
			t.Errorf("a part of the row is missing: %+v", n)
		}
		for _, w := range append([]string{"name " + n.Name, "column " + n.Column, "key " + n.Key}, n.Headings...) {
			if words[w] != "" {
				t.Errorf("%q is of %s and of %s", w, words[w], n.Name)
			}
			words[w] = n.Name
		}
	}
	for i := range fields.NumField() {
		if rows[fields.Field(i).Addr().Interface()] == "" {
			t.Errorf("Composition.%s has no row", fields.Type().Field(i).Name)
		}
	}
}
