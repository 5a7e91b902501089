package feeds

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"

	"hardfeed/ration/yard"
)

// What the generic feeds are called in German, French and Spanish, by the trade's
// plain words: common practice, no source.
//
//go:embed names.csv
var namesCSV string

// The words by which a feed is known to be or to have something that no analysis says:
// a word of its name, or a part of one as in compound nouns, that makes it one or says
// that it is none. Common practice, no source.
//
//go:embed words.csv
var wordsCSV string

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

// property is what a feed is known to be by the words of its name.
type property string

const (
	cereal   property = "cereal" // no analysis is needed for what a vet forbids by name (limits D-15)
	balancer property = "balancer"
	beetPulp property = "beet pulp"
	hulls    property = "hulls"
	haylage  property = "haylage" // or silage: forage that is wrapped, and not dry
	pelleted property = "pelleted"
	soaked   property = "soaked"
	steamed  property = "steamed"
	wetted   property = "wetted" // soaked or steamed, also as people note it of a horse
	hay      property = "hay"
	// plainSalt is sodium chloride by whatever name, with nothing added.
	plainSalt property = "plain salt"
	lick      property = "lick" // a stone or block of salts and minerals, without feed in it
)

// propertyWords is a row of the table of words.
type propertyWords struct {
	part, is bool
	words    []string
}

var wordsFor = func() map[property][]propertyWords {
	out := map[property][]propertyWords{}
	for _, row := range table("words.csv", wordsCSV) {
		p := property(row[2])
		out[p] = append(out[p], propertyWords{row[1] == "part", row[3] == "yes", strings.Split(row[4], "|")})
	}
	return out
}()

// saidIn says whether a name says so; a word that says it is none wins.
func (p property) saidIn(name string) bool {
	name = key(name)
	said := strings.Fields(name)
	is := false
	for _, w := range wordsFor[p] {
		if !slices.ContainsFunc(w.words, func(word string) bool {
			return slices.Contains(said, word) || w.part && strings.Contains(name, word)
		}) {
			continue
		}
		if !w.is {
			return false
		}
		is = true
	}
	return is
}

// saidOf says whether a feed's name, or what it is said to be, says so.
func (p property) saidOf(f yard.Feed) bool { return p.saidIn(f.Name) || p.saidIn(f.Generic) }

// SaysHayIsWetted says whether a note of a horse says that its hay is soaked or steamed.
func SaysHayIsWetted(text string) bool { return wetted.saidIn(text) && hay.saidIn(text) }

// without takes the words that say so out of a name: the same feed, whatever was done to it.
func (p property) without(name string) string {
	for _, w := range wordsFor[p] {
		for _, word := range w.words {
			name = withoutWord(name, word)
		}
	}
	return name
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
