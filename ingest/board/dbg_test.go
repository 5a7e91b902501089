package board

import (
	"fmt"
	"os"
	"testing"
)

func TestDbg(t *testing.T) {
	path := os.Getenv("DBG")
	if path == "" {
		return
	}
	b := dumpBook(path)
	fmt.Println("language", b.words.language, "mdy", b.mdy, "year", b.year)
	for _, w := range b.weeks {
		fmt.Println("week", w.sheet.Name, w.text, w.from, w.whole, w.rel)
	}
	for _, t := range b.tables {
		fmt.Println("TABLE", t.g.Name, "turned", t.g.turned, "head", t.h1, t.head, t.h2, "cols", t.c1, t.c2, "end", t.end, "name", t.name, "kind", t.kind, "week", t.week)
		for _, k := range t.cols {
			own := ""
			if k.own != nil {
				own = k.own.Text
			}
			fmt.Printf("   %d %q role %v day %d when %d feed %q unit %q meal %q attr %q date %v shift %d keys %v\n", k.at, own, k.role, k.day, k.when, k.feed, k.unit, k.meal, k.attr, k.date.Format("01-02"), k.shift, k.lab.order)
		}
	}
	for _, f := range b.forms {
		fmt.Println("FORM", f.sheet.Name, f.horse, f.parts)
	}
}
