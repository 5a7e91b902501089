package board

import (
	"fmt"
	"os"
	"testing"
)

func TestDbg2(t *testing.T) {
	path := os.Getenv("DBG2")
	if path == "" {
		return
	}
	b := dumpBook(path)
	for _, s := range b.sheets {
		g := grid{s, true}
		for _, c := range g.row(1) {
			delete(s.fate, c)
		}
		h := b.headRow(g, 1)
		fmt.Println(s.Name, len(h.cells), len(h.heads), h.kinds, h.days, len(h.names))
		for _, tt := range b.tablesOn(g) {
			fmt.Println("T", tt.head, tt.name, tt.end, b.acrossNames(tt))
		}
		for _, tt := range b.tablesOn(grid{s, false}) {
			fmt.Println("U", tt.head, tt.name, tt.end, strongNames(b, []*table{tt}))
		}
	}
}
