package feeds

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"hardfeed/ration/yard"
)

//go:embed forms.csv
var formsCSV string

// form is a way a generic feed is processed that changes what a litre weighs and
// nothing else: rolled, ground, in pellets.
type form struct {
	generic string
	words   []string
	density float64 // kg per litre, level, dry
	source  string
}

func loadForms(t *Table) []form {
	rows, err := csv.NewReader(strings.NewReader(formsCSV)).ReadAll()
	if err != nil {
		panic("feeds: forms.csv: " + err.Error())
	}
	var forms []form
	for _, row := range rows[1:] {
		density, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			panic("feeds: forms.csv: " + err.Error())
		}
		if g, ok := t.Lookup(row[0]); !ok || g.Name != row[0] {
			panic(fmt.Sprintf("feeds: forms.csv: %q is no generic feed", row[0]))
		}
		forms = append(forms, form{row[0], strings.Split(row[1], "|"), density, row[3]})
	}
	return forms
}

// lookupForm finds "sugar beet pellets" by taking out the word for its form.
func (t *Table) lookupForm(name string) (Generic, bool) {
	for _, f := range t.forms {
		for _, w := range f.words {
			if !hasWord(name, w) {
				continue
			}
			if g, ok := t.Lookup(withoutWord(name, w)); ok && g.Name == f.generic {
				return g, true
			}
		}
	}
	return Generic{}, false
}

// inForm gives a generic feed the density of the form its name or description
// speaks of.
func (t *Table) inForm(g Generic, f yard.Feed) Generic {
	for _, form := range t.forms {
		if form.generic == g.Name && slices.ContainsFunc(form.words, func(w string) bool { return hasWord(f.Name, w) || hasWord(f.Generic, w) }) {
			g.DensityKgPerL, g.DensitySource = yard.Known(form.density), published(form.source)
			return g
		}
	}
	return g
}

// hasWord says whether a name has a word in it, whatever its case.
func hasWord(name, word string) bool {
	return slices.Contains(strings.Fields(key(name)), word)
}

// withoutWord takes a word out of a name.
func withoutWord(name, word string) string {
	return strings.Join(slices.DeleteFunc(strings.Fields(key(name)), func(w string) bool { return w == word }), " ")
}
