package feeds

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
)

// What the generic feeds are called in German, French and Spanish, by the trade's
// plain words: common practice, no source.
//
//go:embed names.csv
var namesCSV string

// The words by which a feed that is no generic one is known to be a cereal, a file
// of rows: a word of the name, or a part of one as in compound nouns, that makes it
// one or says that it is none.
//
//go:embed cereals.csv
var cerealsCSV string

// addNames adds the names of the other languages as aliases.
func (t *Table) addNames() {
	for _, row := range table("names.csv", namesCSV) {
		g, ok := t.Lookup(row[1])
		if !ok || g.Name != row[1] {
			panic(fmt.Sprintf("feeds: names.csv: %q is no generic feed", row[1]))
		}
		i := t.byName[wordsOf(row[1])]
		for _, n := range strings.Split(row[2], "|") {
			k := wordsOf(n)
			if j, taken := t.byName[k]; taken && j != i {
				panic(fmt.Sprintf("feeds: names.csv: %q names both %s and %s", n, t.list[j].Name, g.Name))
			}
			t.byName[k] = i
		}
	}
}

// cerealWord is a row of the table of cereal words.
type cerealWord struct {
	part, cereal bool
	words        []string
}

var cerealWords = func() (out []cerealWord) {
	for _, row := range table("cereals.csv", cerealsCSV) {
		out = append(out, cerealWord{row[1] == "part", row[2] == "yes", strings.Split(row[3], "|")})
	}
	return out
}()

// cerealByName says whether a feed that is none of the generic feeds is a cereal: a
// cereal's name is in its own or in what it is said to be. No analysis is needed for
// what a vet forbids by name (limits D-15). Straw, hay and the like of a cereal are
// none, nor is what is said to be without.
func cerealByName(text string) bool {
	is := false
	for _, w := range cerealWords {
		if !slices.ContainsFunc(w.words, func(word string) bool {
			return hasWord(text, word) || w.part && strings.Contains(key(text), word)
		}) {
			continue
		}
		if !w.cereal {
			return false
		}
		is = true
	}
	return is
}

// table are the rows of an embedded table without its head. A malformed one is a
// mistake of ours, caught by this package's tests.
func table(name, data string) [][]string {
	rows, err := csv.NewReader(strings.NewReader(data)).ReadAll()
	if err != nil {
		panic("feeds: " + name + ": " + err.Error())
	}
	return rows[1:]
}
