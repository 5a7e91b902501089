package inbox

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// Whatever is dropped, edited, dropped again, taken away or begun anew in
// whatever order: no workbook is lost, none is done twice, and editions count
// without a gap.
func TestNothingIsLostOrDoneTwice(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp(memory(), "inbox")
		if err != nil {
			rt.Fatal(err)
		}
		defer os.RemoveAll(dir)
		f := newTray(t, dir)
		defer func() { f.box.Close() }()
		dropped := map[string]bool{} // text of every workbook dropped -> can be read
		fragile := 0                 // how many calls of Done still fail
		told := map[string]int{}
		f.box.Done = func(d Finished) error {
			f.mu.Lock()
			defer f.mu.Unlock()
			if fragile > 0 {
				fragile--
				return fmt.Errorf("no")
			}
			told[filepath.Base(d.Dir)]++
			return nil
		}
		put := func(name string, data []byte) {
			if err := os.WriteFile(f.path(name), data, 0o644); err != nil {
				rt.Fatal(err)
			}
		}
		look := func(after time.Duration) {
			f.now = f.now.Add(after)
			if _, err := f.box.Look(t.Context(), f.now); err != nil {
				rt.Fatal(err)
			}
		}
		name := rapid.SampledFrom([]string{"a.xlsx", "b.xlsx", "A.XLSX", "c.xlsm", "week (2).xlsx", "_CON.xlsx"})
		rt.Repeat(map[string]func(*rapid.T){
			"drop": func(t *rapid.T) {
				n := name.Draw(t, "name")
				if _, err := os.Lstat(f.path(n)); err == nil {
					return // a person would be asked
				}
				yard := rapid.SampledFrom([]string{"Cold Brook", "cold  brook", "Far/End", "refuse"}).Draw(t, "yard")
				text := rapid.SampledFrom([]string{"1", "2", "3", "4", "5", "6"}).Draw(t, "text")
				week := rapid.SampledFrom([]string{week48, week49, ""}).Draw(t, "week")
				put(n, workbook(yard, week, text))
				dropped[yard+"\n"+week+"\n"+text] = yard != "refuse"
			},
			"look":        func(t *rapid.T) { look(time.Second * time.Duration(rapid.IntRange(0, 5).Draw(t, "seconds"))) },
			"start anew":  func(*rapid.T) { f.box.Close(); f.box.lock, f.box.seen = nil, nil },
			"mail is out": func(t *rapid.T) { fragile = rapid.IntRange(1, 3).Draw(t, "times") },
		})
		fragile = 0
		for range 8 {
			look(3 * time.Second)
		}
		done := map[string]int{}
		editions := map[string]int{}
		highest := map[string]int{}
		jobs, err := filepath.Glob(f.path("archive/*/*/" + journalName))
		if err != nil {
			rt.Fatal(err)
		}
		for _, p := range jobs {
			var j journal
			data, err := os.ReadFile(p)
			if err == nil {
				err = json.Unmarshal(data, &j)
			}
			if err != nil {
				rt.Fatal(err)
			}
			book, err := os.ReadFile(filepath.Join(filepath.Dir(p), j.Name))
			if err != nil {
				rt.Fatal(err)
			}
			lines, err := linesOf(j.Name, book)
			if err != nil {
				rt.Fatal(err)
			}
			if j.Why == "" { // done again, it says why
				done[strings.Join(lines, "\n")]++
			} else if !strings.HasPrefix(j.Why, recordChanged) {
				rt.Errorf("%s was done again because %s", p, j.Why)
			}
			series := seriesName(j.Yard) + j.Week
			editions[series]++
			highest[series] = max(highest[series], j.Edition)
			var r record
			data, err = os.ReadFile(f.path(j.Folder + "/" + resultsName))
			if err == nil {
				err = json.Unmarshal(data, &r)
			}
			if err != nil || r.Text != lines[2] || r.Edition != j.Edition || told[j.Folder] == 0 {
				rt.Errorf("%s: results %+v of %+v, told %d times: %v", p, r, j, told[j.Folder], err)
			}
		}
		for series, n := range editions {
			if highest[series] != n {
				rt.Errorf("%s: %d editions, the highest is %d", series, n, highest[series])
			}
		}
		refused, err := filepath.Glob(f.path("rejected/*.xls*"))
		if err != nil {
			rt.Fatal(err)
		}
		for _, p := range append(refused, globOf(rt, f.path("rejected/*.XLS*"))...) {
			book, err := os.ReadFile(p)
			if err != nil {
				rt.Fatal(err)
			}
			lines, err := linesOf(p, book)
			if err != nil {
				rt.Fatal(err)
			}
			done[strings.Join(lines, "\n")]++
		}
		for text, good := range dropped {
			if n := done[text]; n == 0 || good && n > 1 {
				rt.Errorf("%q was done %d times", text, n)
			}
		}
		for _, n := range tree(t, dir) {
			if strings.HasPrefix(n, ownDir) || mayBeWorkbook(n) && !strings.Contains(n, "/") {
				rt.Errorf("left: %s", n)
			}
		}
	})
}

func globOf(t *rapid.T, pattern string) []string {
	names, err := filepath.Glob(pattern)
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// memory is where files cost no disk: the many syncs of this test would.
func memory() string {
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		return "/dev/shm"
	}
	return ""
}
