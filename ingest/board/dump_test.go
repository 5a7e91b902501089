package board

import (
	"encoding/json"
	"os"
	"testing"
)

func TestDump(t *testing.T) {
	path := os.Getenv("DUMP")
	if path == "" {
		return
	}
	b := dumpBook(path)
	type o struct {
		Sheet, Ref, Horse, Role, Text string
		Day, When                     int
		Week, Meal, Feed, Unit        string
	}
	var out []o
	for _, x := range b.obs {
		w := ""
		if x.week != nil && !x.week.first.IsZero() {
			w = x.week.first.Format("2006-01-02")
		}
		out = append(out, o{x.sheet.Name, x.cell.Ref(), b.horses[x.horse].name, x.role.String(), x.cell.Text, x.day, int(x.when), w, x.meal, x.feed, x.unit})
	}
	json.NewEncoder(os.Stdout).Encode(out)
}
