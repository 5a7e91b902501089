package report

import (
	"os"
	"path/filepath"
	"testing"
)

// TestLook writes the fixture's files into the folder named by the variable
// REPORT_LOOK, for people to look at; it checks that they can be made in every
// paper and number of cards a page.
func TestLook(t *testing.T) {
	dir := os.Getenv("REPORT_LOOK")
	for _, paper := range []string{"A4", "Letter"} {
		for per, name := range map[int]string{1: "full", 2: "half", 4: "quarter"} {
			files, err := Files(fixture(), Meta{Version: "test", CardsPerPage: per, Paper: paper})
			if err != nil {
				t.Fatalf("%s, %d a page: %v", paper, per, err)
			}
			if dir == "" {
				continue
			}
			for _, f := range files {
				if err := os.WriteFile(filepath.Join(dir, paper+"-"+name+"-"+f.Name), f.Bytes, 0o644); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
}
