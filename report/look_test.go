package report

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// TestLook writes the files of a harsh yard into the folder named by the variable
// REPORT_LOOK, for people to look at; it checks that they can be made in every
// paper and number of cards a page, and with a folder also in every language.
func TestLook(t *testing.T) {
	t.Parallel()
	dir := os.Getenv("REPORT_LOOK")
	in := [][]string{nil}
	if dir != "" {
		in = [][]string{{"en"}, {"de"}, {"fr"}, {"es"}, {"pl"}, {"pt"}, {"en", "pl"}, {"de", "fr"}}
	}
	for _, paper := range []string{"A4", "Letter"} {
		for per, name := range map[int]string{1: "full", 2: "half", 4: "quarter"} {
			for _, languages := range in {
				files, err := Files(reporttest.Harsh(), words.Meta{Version: "test", CardsPerPage: per, Paper: paper, Languages: languages})
				if err != nil {
					t.Fatalf("%s, %d a page, %v: %v", paper, per, languages, err)
				}
				if dir == "" {
					continue
				}
				for _, f := range files {
					if err := os.WriteFile(filepath.Join(dir, strings.Join([]string{paper, name, strings.Join(languages, "+"), f.Name}, "-")), f.Bytes, 0o644); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
}
