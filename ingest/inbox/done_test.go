package inbox

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/report/words"
)

// noted reads a job.json of the archive.
func (f *tray) noted(edition string) journal {
	f.t.Helper()
	data, err := os.ReadFile(f.path("archive/" + week49 + "/" + edition + "/" + journalName))
	if err != nil {
		f.t.Fatal(err)
	}
	j, err := readJournal(data)
	if err != nil {
		f.t.Fatal(err)
	}
	return j
}

// The same workbook is done again where what was made of it does not stand any more,
// or would come out otherwise now; and job.json says why.
func TestDoneAgain(t *testing.T) {
	type box = func(*testing.T, *tray)
	remove := func(names ...string) box {
		return func(t *testing.T, f *tray) {
			for _, n := range names {
				if err := os.RemoveAll(f.path(n)); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	for name, c := range map[string]struct {
		change  box
		edition int    // that is made; 0: nothing is made
		folder  string // that then stands
		why     string
	}{
		"nothing has changed":                  {func(*testing.T, *tray) {}, 0, "2026-11-30 Cold Brook", ""},
		"the result folder is gone":            {remove("2026-11-30 Cold Brook"), 1, "2026-11-30 Cold Brook", resultsGone},
		"the cards are gone":                   {remove("2026-11-30 Cold Brook/cards.pdf"), 1, "2026-11-30 Cold Brook (2)", resultsGone},
		"the record is gone":                   {remove("2026-11-30 Cold Brook/results.json"), 1, "2026-11-30 Cold Brook (2)", resultsGone},
		"the settings have changed":            {func(_ *testing.T, f *tray) { f.box.Settings = "s2" }, 2, "2026-11-30 Cold Brook edition 2", settingsChanged},
		"the program has changed":              {func(_ *testing.T, f *tray) { f.box.Program = "p2" }, 2, "2026-11-30 Cold Brook edition 2", programChanged},
		"gone, and the program has changed":    {func(t *testing.T, f *tray) { remove("2026-11-30 Cold Brook")(t, f); f.box.Program = "p2" }, 2, "2026-11-30 Cold Brook edition 2", resultsGone},
		"a person has written into the folder": {func(t *testing.T, f *tray) { write(t, f.path("2026-11-30 Cold Brook/cards.pdf"), "by hand") }, 0, "2026-11-30 Cold Brook", ""},
		"the week before came late": {func(_ *testing.T, f *tray) {
			f.drop("late.xlsx", workbook("Cold Brook", week48, "late"))
			f.settle()
		}, 2, "2026-11-30 Cold Brook edition 2", recordChanged + "2026-11-23"},
		"another yard's week before came late": {func(_ *testing.T, f *tray) {
			f.drop("late.xlsx", workbook("Far End", week48, "late"))
			f.settle()
		}, 0, "2026-11-30 Cold Brook", ""},
		"the week after came": {func(_ *testing.T, f *tray) {
			f.drop("next.xlsx", workbook("Cold Brook", week50, "next"))
			f.settle()
		}, 0, "2026-11-30 Cold Brook", ""},
	} {
		t.Run(name, func(t *testing.T) {
			f := newTray(t, t.TempDir())
			f.box.Program, f.box.Settings = "p1", "s1"
			same := workbook("Cold Brook", week49, "a")
			f.drop("week.xlsx", same)
			f.settle()
			if j := f.noted("Cold Brook edition 1"); j.Why != "" || j.Program != "p1" || j.Settings != "s1" || len(j.Files) != 2 || j.Records["2026-11-23"] != "" || len(j.Records) != 1 {
				t.Errorf("noted first: %+v", j)
			}
			c.change(t, f)
			f.made, f.said = nil, nil
			f.drop("once more.xlsx", same)
			got := f.settle()
			if c.edition == 0 {
				if got.Again != 1 || got.Finished != 0 || len(f.made) != 0 {
					t.Errorf("%+v, made %q", got, f.made)
				}
				f.wantSaid("Nothing was made a second time")
				return
			}
			if got.Finished != 1 || got.Again != 0 || !slices.Equal(f.made, []string{fmt.Sprintf("Cold Brook 2026-11-30 %d", c.edition)}) {
				t.Errorf("%+v, made %q, said %q", got, f.made, f.said)
			}
			f.wantSaid("is done again, because " + words.AsWritten(again(c.why)))
			if j := f.noted(fmt.Sprintf("Cold Brook edition %d", c.edition)); j.Why != c.why || j.Folder != c.folder || j.Program != f.box.Program || j.Settings != f.box.Settings {
				t.Errorf("noted: %+v", j)
			}
			if r := f.record(c.folder); r.Text != "a" || r.Edition != c.edition {
				t.Errorf("the results: %+v", r)
			}
			if _, err := os.Stat(f.path(c.folder + "/cards.pdf")); err != nil {
				t.Error(err)
			}
			editions, err := filepath.Glob(f.path("archive/2026-11-30/*"))
			if err != nil || len(editions) != c.edition {
				t.Errorf("archived: %q, %v", editions, err)
			}
			// And that is that: the same once more is done.
			f.made = nil
			f.drop("a third time.xlsx", same)
			if got := f.settle(); got.Again != 1 || len(f.made) != 0 {
				t.Errorf("the third time: %+v, made %q", got, f.made)
			}
			for _, left := range tree(t, f.box.Dir) {
				if strings.HasPrefix(left, ownDir) {
					t.Errorf("left: %s", left)
				}
			}
		})
	}
}

// Where a later edition stands, the first one's workbook makes the next.
func TestAnEditionThatIsNotTheLastIsNotMadeAgainAsItWas(t *testing.T) {
	f := newTray(t, t.TempDir())
	first := workbook("Cold Brook", week49, "a")
	for _, data := range [][]byte{first, workbook("Cold Brook", week49, "b")} {
		f.drop("week.xlsx", data)
		f.settle()
	}
	if err := os.RemoveAll(f.path("2026-11-30 Cold Brook")); err != nil {
		t.Fatal(err)
	}
	f.drop("week.xlsx", first)
	f.settle()
	if r := f.record("2026-11-30 Cold Brook edition 3"); r.Text != "a" || r.LastEdition != "b" {
		t.Errorf("%+v", r)
	}
}

// Killed at every step of being done again: nothing is lost, and the edition stands.
func TestDoneAgainIsKilled(t *testing.T) {
	steps, _, _ := Steps()
	for _, at := range steps {
		f := newTray(t, t.TempDir())
		same := workbook("Cold Brook", week49, "a")
		f.drop("week.xlsx", same)
		f.settle()
		if err := os.RemoveAll(f.path("2026-11-30 Cold Brook")); err != nil {
			t.Fatal(err)
		}
		f.drop("week.xlsx", same)
		f.box.Step = func(name string) {
			if name == at {
				runtime.Goexit() // whoever is at this step goes no further
			}
		}
		f.now = f.now.Add(time.Minute)
		stopped := make(chan struct{})
		go func() {
			defer close(stopped)
			for range 2 {
				f.box.Look(t.Context(), f.now)
				f.now = f.now.Add(3 * f.box.Settle)
			}
		}()
		<-stopped
		f.box.Step = nil
		f.box.Close()
		again := newTray(t, f.box.Dir)
		again.now = f.now
		again.settle()
		again.settle()
		if r := again.record("2026-11-30 Cold Brook"); r.Text != "a" || r.Edition != 1 {
			t.Errorf("killed before %s: %+v", at, r)
		}
		if left := work(t, f.box.Dir); len(left) > 0 {
			t.Errorf("killed before %s: left %q; said %q", at, left, again.said)
		}
	}
}

// What is in the way of the folders that workbooks are moved to is named before any
// workbook is touched.
func TestAFolderOfOursIsBarred(t *testing.T) {
	outside := t.TempDir()
	for _, name := range []string{archiveDir, rejectedDir, ownDir} {
		for kind, put := range map[string]func(path string) error{
			"a file":                 func(p string) error { return os.WriteFile(p, []byte("notes"), 0o640) },
			"a link out":             func(p string) error { return os.Symlink(outside, p) },
			"a link that dangles":    func(p string) error { return os.Symlink("nowhere", p) },
			"a link up":              func(p string) error { return os.Symlink("..", p) },
			"a link to a file there": func(p string) error { return os.Symlink("week.xlsx", p) },
		} {
			t.Run(name+" is "+kind, func(t *testing.T) {
				f := newTray(t, t.TempDir())
				f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
				if err := put(f.path(name)); err != nil {
					t.Fatal(err)
				}
				for range 3 {
					f.now = f.now.Add(f.box.Settle * 2)
					_, err := f.box.Look(t.Context(), f.now)
					if blocked, ok := errors.AsType[Blocked](err); !ok || string(blocked) != name || !strings.Contains(words.Told(err), "Rename it") {
						t.Fatalf("got %v", err)
					}
				}
				if got, err := os.ReadFile(f.path("week.xlsx")); err != nil || len(got) == 0 {
					t.Errorf("the workbook has gone: %v", err)
				}
			})
		}
	}
	f := newTray(t, t.TempDir())
	if err := errors.Join(os.Mkdir(f.path("kept"), 0o750), os.Symlink("kept", f.path(archiveDir))); err != nil {
		t.Fatal(err)
	}
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	if got := f.settle(); got.Finished != 1 {
		t.Errorf("a link to a folder inside: %+v", got)
	}
}

// What operating systems leave among the jobs stops nothing.
func TestLitterAmongTheJobs(t *testing.T) {
	f := newTray(t, t.TempDir())
	f.look(0)
	for _, n := range []string{".DS_Store", "archive/.DS_Store", "rejected/Thumbs.db", ".hardfeed/.DS_Store", ".hardfeed/work/.DS_Store", ".hardfeed/new/.DS_Store", "archive/2026-11-30/desktop.ini"} {
		if err := os.MkdirAll(filepath.Dir(f.path(n)), 0o750); err != nil {
			t.Fatal(err)
		}
		write(t, f.path(n), "x")
	}
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	f.drop("bad.xlsx", workbook("refuse", week49, "b"))
	if got := f.settle(); got.Finished != 1 || got.Rejected != 1 || got.Left != 0 {
		t.Errorf("%+v, said %q", got, f.said)
	}
}

func write(t *testing.T, name, text string) {
	t.Helper()
	if err := os.WriteFile(name, []byte(text), 0o640); err != nil {
		t.Fatal(err)
	}
}
