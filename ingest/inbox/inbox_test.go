package inbox

import (
	"archive/zip"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"hardfeed/ingest/disk"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// tray is a drop folder with a clock of its own. Its workbooks are zips with
// one part of three lines: yard, week, anything.
type tray struct {
	t    testing.TB
	box  *Box
	now  time.Time
	mu   sync.Mutex
	said []string
	made []string // "yard week edition", as Make was called
	done []string // result folders, as Done was told
}

func newTray(t testing.TB, dir string) *tray {
	f := &tray{t: t, now: time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)}
	f.box = &Box{Dir: dir, Settle: 2 * time.Second, Patience: 10 * time.Minute, AtOnce: 3, MaxBytes: 1 << 20, Read: f.read, Make: f.make,
		Done: func(d Finished) error {
			f.mu.Lock()
			defer f.mu.Unlock()
			f.done = append(f.done, filepath.Base(d.Dir))
			return nil
		},
		Words: words.AsWritten,
		Say: func(s yard.Saying) {
			f.mu.Lock()
			defer f.mu.Unlock()
			f.said = append(f.said, words.AsWritten(s))
		}}
	t.Cleanup(func() { f.box.Close() })
	return f
}

func linesOf(name string, data []byte) ([]string, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, fmt.Errorf("%s is not a workbook: save it again as .xlsx", name)
	}
	r, err := z.File[0].Open()
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(r)
	return strings.SplitN(string(text), "\n", 3), err
}

func (f *tray) read(name string, data []byte) (Reading, error) {
	lines, err := linesOf(name, data)
	if err != nil {
		return Reading{}, err
	}
	if lines[0] == "refuse" {
		return Reading{}, fmt.Errorf("%s has no horses: fill in the horses sheet", name)
	}
	week, _ := time.Parse(isoDate, lines[1])
	return Reading{lines[0], week}, nil
}

func (f *tray) make(name string, data []byte, e Edition) ([]File, error) {
	lines, err := linesOf(name, data)
	if err != nil {
		return nil, err
	}
	f.mu.Lock()
	f.made = append(f.made, fmt.Sprintf("%s %s %d", lines[0], lines[1], e.Number))
	f.mu.Unlock()
	record, err := json.Marshal(record{lines[0], lines[1], lines[2], e.Number, textOf(e.LastEdition), textOf(e.LastWeek)})
	return []File{{"cards.pdf", []byte("cards of " + strings.Join(lines, "\n"))}, {resultsName, record}}, err
}

// record is the results.json of these tests.
type record struct {
	Yard, Week, Text      string
	Edition               int
	LastEdition, LastWeek string // the text of those records
}

func textOf(results []byte) string {
	var r record
	if json.Unmarshal(results, &r) != nil {
		return ""
	}
	return r.Text
}

func workbook(yard, week, text string) []byte {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	w, err := z.Create("workbook")
	if err == nil {
		_, err = io.WriteString(w, yard+"\n"+week+"\n"+text)
	}
	if err := errors.Join(err, z.Close()); err != nil {
		panic(err)
	}
	return b.Bytes()
}

func (f *tray) path(name string) string { return filepath.Join(f.box.Dir, filepath.FromSlash(name)) }

func (f *tray) drop(name string, data []byte) {
	f.t.Helper()
	if err := os.WriteFile(f.path(name), data, 0o644); err != nil {
		f.t.Fatal(err)
	}
	if err := os.Chtimes(f.path(name), f.now, f.now); err != nil {
		f.t.Fatal(err)
	}
}

// look looks after so long.
func (f *tray) look(after time.Duration) Looked {
	f.t.Helper()
	f.now = f.now.Add(after)
	looked, err := f.box.Look(f.t.Context(), f.now)
	if err != nil {
		f.t.Fatal(err)
	}
	return looked
}

// settle looks twice, so far apart that a file has settled, and adds up what was done.
func (f *tray) settle() Looked {
	f.t.Helper()
	a := f.look(0)
	b := f.look(3 * time.Second)
	b.Taken, b.Finished, b.Rejected, b.Again = a.Taken+b.Taken, a.Finished+b.Finished, a.Rejected+b.Rejected, a.Again+b.Again
	return b
}

func (f *tray) record(folder string) record {
	f.t.Helper()
	var r record
	data, err := os.ReadFile(f.path(folder + "/" + resultsName))
	if err == nil {
		err = json.Unmarshal(data, &r)
	}
	if err != nil {
		f.t.Fatal(err)
	}
	return r
}

// tree lists all files and empty folders but the lock.
func tree(t testing.TB, dir string) []string {
	t.Helper()
	var all []string
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || p == dir {
			return err
		}
		rel, _ := filepath.Rel(dir, p)
		rel = filepath.ToSlash(rel)
		if !d.IsDir() && rel != lockFile {
			all = append(all, rel)
		} else if entries, err := os.ReadDir(p); d.IsDir() && err == nil && len(entries) == 0 && rel != workDir && rel != newDir {
			all = append(all, rel+"/")
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(all)
	return all
}

func (f *tray) want(files ...string) {
	f.t.Helper()
	slices.Sort(files)
	if got := tree(f.t, f.box.Dir); !slices.Equal(got, files) {
		f.t.Errorf("the folder holds\n  %s\nwant\n  %s\nsaid:\n  %s", strings.Join(got, "\n  "), strings.Join(files, "\n  "), strings.Join(f.said, "\n  "))
	}
}

func (f *tray) wantSaid(words string) {
	f.t.Helper()
	if !strings.Contains(strings.Join(f.said, "\n"), words) {
		f.t.Errorf("%q was not said, but\n%s", words, strings.Join(f.said, "\n"))
	}
}

const (
	week48 = "2026-11-23"
	week49 = "2026-11-30"
	week50 = "2026-12-07"
)

func TestAWorkbookBecomesAFolder(t *testing.T) {
	f := newTray(t, t.TempDir())
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	if got := f.look(0); got != (Looked{Settling: 1}) {
		t.Errorf("the first look came to %+v", got)
	}
	if got := f.look(2 * time.Second); got != (Looked{Taken: 1, Finished: 1}) {
		t.Errorf("the second look came to %+v", got)
	}
	f.want("2026-11-30 Cold Brook/cards.pdf", "2026-11-30 Cold Brook/results.json",
		"archive/2026-11-30/Cold Brook edition 1/week.xlsx", "archive/2026-11-30/Cold Brook edition 1/job.json", "archive/2026-11-30/Cold Brook edition 1/results.json")
	if got := f.look(time.Minute); got != (Looked{}) {
		t.Errorf("nothing lies there, and a look came to %+v", got)
	}
	if want := []string{"2026-11-30 Cold Brook"}; !slices.Equal(f.done, want) {
		t.Errorf("Done was told of %q, want %q", f.done, want)
	}
}

// The crash test of the whole program goes by this list.
func TestTheStepsAreAsListed(t *testing.T) {
	f := newTray(t, t.TempDir())
	var steps []string
	f.box.Step = func(step string) { steps = append(steps, step) }
	done, refused, again := Steps()
	for _, c := range []struct {
		yard string
		want []string
	}{{"Cold Brook", done}, {"refuse", refused}, {"Cold Brook", again}} {
		steps = nil
		f.drop("week.xlsx", workbook(c.yard, week49, "a"))
		f.settle()
		if !slices.Equal(steps, c.want) {
			t.Errorf("%s went through %q, want %q", c.yard, steps, c.want)
		}
	}
}

func TestWhatIsNoWorkbookIsLeftAlone(t *testing.T) {
	f := newTray(t, t.TempDir())
	names := []string{"~$week.xlsx", ".~lock.week.xlsx#", ".hidden.xlsx", "week.xlsx.tmp", "week.tmp", "ABCD0123.tmp", "week.xlsx.crdownload",
		"week.xlsx.part", "Thumbs.db", "desktop.ini", "notes.txt", "hay.pdf", "week.csv", ".DS_Store", "~WRL0001.xlsx"}
	for _, n := range names {
		f.drop(n, workbook("Cold Brook", week49, n))
	}
	if err := os.Mkdir(f.path("folder.xlsx"), 0o755); err != nil {
		t.Fatal(err)
	}
	f.settle()
	f.settle()
	f.look(time.Hour)
	f.want(append(names, "folder.xlsx/")...)
}

func TestAFileIsWaitedForUntilItIsWhole(t *testing.T) {
	whole := workbook("Cold Brook", week49, strings.Repeat("long ", 400))
	t.Run("it grows for an hour", func(t *testing.T) {
		f := newTray(t, t.TempDir())
		for n := range 360 {
			f.drop("week.xlsx", append(whole[:40:40], bytes.Repeat([]byte{0}, n)...))
			if got := f.look(10 * time.Second); got != (Looked{Settling: 1}) {
				t.Fatalf("after %d looks: %+v", n, got)
			}
		}
		f.drop("week.xlsx", whole)
		f.look(10 * time.Second)
		if got := f.look(2 * time.Second); got.Finished != 1 {
			t.Errorf("whole: %+v", got)
		}
	})
	t.Run("it stops half way and goes on", func(t *testing.T) {
		f := newTray(t, t.TempDir())
		f.drop("week.xlsx", whole[:len(whole)/2])
		for range 9 {
			if got := f.look(time.Minute); got.Taken != 0 {
				t.Fatalf("half a file was taken: %+v", got)
			}
		}
		f.wantSaid("not all there")
		f.drop("week.xlsx", whole)
		if got := f.settle(); got.Finished != 1 {
			t.Errorf("whole: %+v", got)
		}
	})
	t.Run("all of its size at once, filled in later", func(t *testing.T) {
		f := newTray(t, t.TempDir())
		f.drop("week.xlsx", make([]byte, len(whole)))
		f.settle()
		f.drop("week.xlsx", append(append([]byte{}, whole[:100]...), make([]byte, len(whole)-100)...))
		if got := f.settle(); got.Waiting != 1 {
			t.Fatalf("%+v", got)
		}
		f.drop("week.xlsx", whole)
		if got := f.settle(); got.Finished != 1 {
			t.Errorf("whole: %+v", got)
		}
	})
	t.Run("it never gets whole", func(t *testing.T) {
		f := newTray(t, t.TempDir())
		f.drop("week.xlsx", whole[:len(whole)/2])
		rejected := 0
		for range 13 {
			rejected += f.look(time.Minute).Rejected
		}
		if rejected != 1 {
			t.Errorf("rejected %d times", rejected)
		}
		f.want("rejected/week.xlsx", "rejected/week.txt")
		note, err := os.ReadFile(f.path("rejected/week.txt"))
		if err != nil || !strings.Contains(string(note), "week.xlsx is not a workbook") || !strings.Contains(string(note), "drop it in the folder again") {
			t.Errorf("the note says %q, %v", note, err)
		}
	})
	t.Run("the clock jumps a day", func(t *testing.T) {
		f := newTray(t, t.TempDir())
		f.drop("week.xlsx", whole[:len(whole)/2])
		f.look(0)
		if got := f.look(24 * time.Hour); got.Rejected+got.Taken != 0 {
			t.Errorf("forward: %+v", got)
		}
		if got := f.look(-48 * time.Hour); got.Rejected+got.Taken != 0 {
			t.Errorf("back: %+v", got)
		}
		f.drop("week.xlsx", whole)
		f.look(0)
		if got := f.look(-time.Hour); got.Taken != 0 {
			t.Errorf("two looks no time apart took it: %+v", got)
		}
		if got := f.look(2 * time.Second); got.Finished != 1 {
			t.Errorf("the jumps hold up the work: %+v", got)
		}
	})
	t.Run("a download with its name kept free", func(t *testing.T) {
		f := newTray(t, t.TempDir())
		f.drop("week.xlsx", nil)
		f.drop("week.xlsx.part", whole[:50])
		if got := f.settle(); got.Taken != 0 {
			t.Errorf("%+v", got)
		}
		f.wantSaid("still being downloaded")
		if err := os.Remove(f.path("week.xlsx.part")); err != nil {
			t.Fatal(err)
		}
		f.drop("week.xlsx", whole)
		if got := f.settle(); got.Finished != 1 {
			t.Errorf("%+v", got)
		}
	})
	t.Run("open in a spreadsheet program", func(t *testing.T) {
		for _, lock := range []string{"~$week.xlsx", ".~lock.week.xlsx#"} {
			f := newTray(t, t.TempDir())
			f.drop(lock, []byte("me"))
			f.drop("week.xlsx", whole)
			f.settle()
			if got := f.look(5 * time.Minute); got.Taken != 0 {
				t.Errorf("%s: %+v", lock, got)
			}
			if err := os.Remove(f.path(lock)); err != nil {
				t.Fatal(err)
			}
			if got := f.settle(); got.Finished != 1 {
				t.Errorf("%s: %+v", lock, got)
			}
		}
	})
}

func TestARunThatLooksOnceGoesByTheFilesOwnTime(t *testing.T) {
	f := newTray(t, t.TempDir())
	f.box.Once = true
	f.drop("half.xlsx", workbook("Cold Brook", week49, "a")[:60])
	f.drop("lately.xlsx", workbook("Cold Brook", week49, "b")[:60])
	old := f.now.Add(-time.Hour)
	if err := os.Chtimes(f.path("half.xlsx"), old, old); err != nil {
		t.Fatal(err)
	}
	if got := f.settle(); got.Rejected != 1 || got.Waiting != 1 {
		t.Errorf("%+v", got)
	}
	f.want("lately.xlsx", "rejected/half.xlsx", "rejected/half.txt")
}

func TestTheSameBytesAreDoneOnce(t *testing.T) {
	f := newTray(t, t.TempDir())
	same := workbook("Cold Brook", week49, "a")
	f.drop("week.xlsx", same)
	f.drop("copy of week.xlsx", same)
	f.settle()
	if got := f.look(3 * time.Second); got.Again != 1 {
		t.Errorf("the copy: %+v", got)
	}
	f.drop("week.xlsx", same)
	if got := f.settle(); got.Again != 1 {
		t.Errorf("the same again: %+v", got)
	}
	if len(f.made) != 1 {
		t.Errorf("made %q", f.made)
	}
	f.wantSaid("was done before")
	f.want("2026-11-30 Cold Brook/cards.pdf", "2026-11-30 Cold Brook/results.json",
		"archive/2026-11-30/Cold Brook edition 1/copy of week.xlsx", "archive/2026-11-30/Cold Brook edition 1/job.json", "archive/2026-11-30/Cold Brook edition 1/results.json",
		"week, done before.txt")
	note, err := os.ReadFile(f.path("week, done before.txt"))
	if err != nil || !strings.Contains(string(note), "is edition 1 for the week 30 Nov 2026") {
		t.Errorf("the note says %q, %v", note, err)
	}
}

// A copy is thrown away only where its bytes really are in the archive.
func TestACopyIsKeptIfTheArchiveWasChanged(t *testing.T) {
	f := newTray(t, t.TempDir())
	same := workbook("Cold Brook", week49, "a")
	f.drop("week.xlsx", same)
	f.settle()
	if err := os.WriteFile(f.path("archive/2026-11-30/Cold Brook edition 1/week.xlsx"), []byte("edited"), 0o640); err != nil {
		t.Fatal(err)
	}
	f.drop("week.xlsx", same)
	if got := f.settle(); got.Finished != 1 || got.Again != 0 {
		t.Errorf("%+v", got)
	}
	if got, err := os.ReadFile(f.path("archive/2026-11-30/Cold Brook edition 2/week.xlsx")); err != nil || !bytes.Equal(got, same) {
		t.Errorf("the workbook is not in the archive: %v", err)
	}
}

func TestEditionsAndTheWeekBefore(t *testing.T) {
	f := newTray(t, t.TempDir())
	for _, d := range []struct{ yard, week, text string }{
		{"Cold Brook", week48, "48"}, {"Cold Brook", week49, "49 first"}, {"cold  brook", week49, "49 second"}, {"Far End", week49, "far"},
		{"Cold Brook", week48, "48 late"}, {"Cold Brook", week50, "50"}, {"Cold Brook", "2026-12-28", "53"}, {"Cold Brook", "", "no date"}, {"Cold Brook", "", "no date either"},
	} {
		f.drop("w.xlsx", workbook(d.yard, d.week, d.text))
		if got := f.settle(); got.Finished != 1 {
			t.Fatalf("%v: %+v", d, got)
		}
	}
	for folder, want := range map[string]record{
		"2026-11-23 Cold Brook":           {Text: "48", Edition: 1},
		"2026-11-30 Cold Brook":           {Text: "49 first", Edition: 1, LastWeek: "48"},
		"2026-11-30 cold brook edition 2": {Text: "49 second", Edition: 2, LastEdition: "49 first", LastWeek: "48"},
		"2026-11-30 Far End":              {Text: "far", Edition: 1},
		"2026-11-23 Cold Brook edition 2": {Text: "48 late", Edition: 2, LastEdition: "48"},
		"2026-12-07 Cold Brook":           {Text: "50", Edition: 1, LastWeek: "49 second"},
		"2026-12-28 Cold Brook":           {Text: "53", Edition: 1},
		"undated Cold Brook":              {Text: "no date", Edition: 1},
		"undated Cold Brook edition 2":    {Text: "no date either", Edition: 2, LastEdition: "no date"},
	} {
		got := f.record(folder)
		got.Yard, got.Week = "", ""
		if got != want {
			t.Errorf("%s: %+v, want %+v", folder, got, want)
		}
	}
}

// Dropped together, the weeks of a yard are done in their order, whatever the
// names of the files.
func TestAFullFolderIsDoneInTheOrderOfItsWeeks(t *testing.T) {
	f := newTray(t, t.TempDir())
	var files int
	yards, weeks := sample(4, 10), sample(25, 50)
	for y := range yards {
		day := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC)
		for n := range weeks {
			week := day.AddDate(0, 0, 7*n).Format(isoDate)
			f.drop(fmt.Sprintf("%02d %d.xlsx", 99-n, y), workbook(fmt.Sprintf("Yard %d", y), week, week))
			files++
		}
	}
	f.look(0)
	if got := f.look(3 * time.Second); got != (Looked{Taken: files, Finished: files}) {
		t.Fatalf("%d files: %+v", files, got)
	}
	for y := range yards {
		last := ""
		for n := range weeks {
			week := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 7*n).Format(isoDate)
			if got := f.record(fmt.Sprintf("%s Yard %d", week, y)); got.LastWeek != last || got.Edition != 1 {
				t.Fatalf("yard %d, week %s: %+v, and the week before was %q", y, week, got, last)
			}
			last = week
		}
	}
}

func TestARejectedWorkbook(t *testing.T) {
	f := newTray(t, t.TempDir())
	bad := workbook("refuse", "", "a")
	f.drop("week.xlsx", bad)
	f.drop("old.xls", []byte("\xd0\xcf\x11\xe0 a spreadsheet of another time"))
	if got := f.settle(); got.Rejected != 2 {
		t.Errorf("%+v", got)
	}
	f.drop("week.xlsx", bad)
	f.settle()
	f.want("rejected/week.xlsx", "rejected/week.txt", "rejected/old.xls", "rejected/old.txt")
	f.drop("huge.xlsx", make([]byte, 3<<20))
	f.settle()
	f.wantSaid("huge.xlsx is 3 MB, and a workbook may have 1 MB at most")
	for _, n := range []string{"rejected/huge.xlsx", "rejected/huge.txt"} {
		if err := os.Remove(f.path(n)); err != nil {
			t.Fatal(err)
		}
	}
	other := workbook("refuse", "", "b")
	f.drop("week.xlsx", other)
	f.settle()
	f.want("rejected/week.xlsx", "rejected/week.txt", "rejected/week (2).xlsx", "rejected/week (2).txt", "rejected/old.xls", "rejected/old.txt")
	if got, err := os.ReadFile(f.path("rejected/week (2).xlsx")); err != nil || !bytes.Equal(got, other) {
		t.Errorf("the workbook is not as it was dropped: %v", err)
	}
}

func TestOnlyOneWatcher(t *testing.T) {
	dir := t.TempDir()
	f, g := newTray(t, dir), newTray(t, dir)
	f.look(0)
	if _, err := g.box.Look(t.Context(), g.now); !errors.Is(err, ErrWatched) {
		t.Errorf("the second: %v", err)
	}
	if err := f.box.Close(); err != nil {
		t.Fatal(err)
	}
	g.look(0)
	if _, err := f.box.Look(t.Context(), f.now); !errors.Is(err, ErrWatched) {
		t.Errorf("the first, after it let go: %v", err)
	}
}

func TestTheFolderIsTakenAwayAndPutBack(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "box")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	f := newTray(t, dir)
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	f.look(0)
	if err := os.Rename(dir, dir+" elsewhere"); err != nil {
		t.Fatal(err)
	}
	if _, err := f.box.Look(t.Context(), f.now); !errors.Is(err, ErrMissing) {
		t.Errorf("taken away: %v", err)
	}
	if err := os.Rename(dir+" elsewhere", dir); err != nil {
		t.Fatal(err)
	}
	if got := f.settle(); got.Finished != 1 {
		t.Errorf("put back: %+v", got)
	}
	if err := os.RemoveAll(dir); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	f.drop("week.xlsx", workbook("Cold Brook", week49, "b"))
	if got := f.settle(); got.Finished != 1 {
		t.Errorf("made anew: %+v", got)
	}
	if _, err := newTray(t, dir).box.Look(t.Context(), f.now); !errors.Is(err, ErrWatched) {
		t.Errorf("the new folder is not held: %v", err)
	}
}

// Links are neither followed nor taken: what they point to is not in the folder.
func TestLinksLeadNowhere(t *testing.T) {
	outside := t.TempDir()
	book := filepath.Join(outside, "week.xlsx")
	if err := os.WriteFile(book, workbook("Cold Brook", week49, "a"), 0o644); err != nil {
		t.Fatal(err)
	}
	before := tree(t, outside)
	link := func(f *tray, to, name string) {
		if err := os.Symlink(to, f.path(name)); err != nil {
			t.Fatal("this system makes no links, so that nothing was tried: ", err)
		}
	}
	t.Run("a workbook", func(t *testing.T) {
		f := newTray(t, t.TempDir())
		link(f, book, "week.xlsx")
		f.settle()
		f.look(time.Hour)
		f.want("week.xlsx")
		f.wantSaid("is a link")
	})
	for _, name := range []string{"archive", "rejected", ".hardfeed"} {
		t.Run(name, func(t *testing.T) {
			f := newTray(t, t.TempDir())
			link(f, outside, name)
			f.drop("good.xlsx", workbook("Cold Brook", week49, "a"))
			f.drop("bad.xlsx", workbook("refuse", "", "a"))
			for range 3 {
				f.box.Look(t.Context(), f.now) // may refuse; must not get out
				f.now = f.now.Add(3 * time.Second)
			}
			if got := tree(t, outside); !slices.Equal(got, before) {
				t.Errorf("outside the folder: %q, was %q", got, before)
			}
		})
	}
	t.Run("the lock", func(t *testing.T) {
		f := newTray(t, t.TempDir())
		if err := os.Mkdir(f.path(".hardfeed"), 0o755); err != nil {
			t.Fatal(err)
		}
		link(f, filepath.Join(outside, "lock"), ".hardfeed/lock")
		if _, err := f.box.Look(t.Context(), f.now); err == nil {
			t.Error("a lock that is a link was taken")
		}
		if got := tree(t, outside); !slices.Equal(got, before) {
			t.Errorf("outside the folder: %q, was %q", got, before)
		}
	})
}

func TestAFolderOfThatNameIsLeftAsItIs(t *testing.T) {
	f := newTray(t, t.TempDir())
	if err := os.Mkdir(f.path("2026-11-30 Cold Brook"), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(f.path("2026-11-30 Cold Brook/mine.txt"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	f.settle()
	f.want("2026-11-30 Cold Brook/mine.txt", "2026-11-30 Cold Brook (2)/cards.pdf", "2026-11-30 Cold Brook (2)/results.json",
		"archive/2026-11-30/Cold Brook edition 1/week.xlsx", "archive/2026-11-30/Cold Brook edition 1/job.json", "archive/2026-11-30/Cold Brook edition 1/results.json")
}

// A share that renames and then answers with an error must not have the results
// made under a second name.
func TestARenameThatIsDoneAndDenied(t *testing.T) {
	f := newTray(t, t.TempDir())
	f.box.Step = func(step string) {
		if step == "publish" {
			made, err := filepath.Glob(f.path(newDir + "/*"))
			if err != nil || len(made) != 1 {
				t.Fatalf("%q, %v", made, err)
			}
			if err := os.Rename(made[0], f.path("2026-11-30 Cold Brook")); err != nil {
				t.Fatal(err)
			}
		}
	}
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	if got := f.settle(); got.Finished != 1 {
		t.Errorf("%+v", got)
	}
	f.want("2026-11-30 Cold Brook/cards.pdf", "2026-11-30 Cold Brook/results.json",
		"archive/2026-11-30/Cold Brook edition 1/week.xlsx", "archive/2026-11-30/Cold Brook edition 1/job.json", "archive/2026-11-30/Cold Brook edition 1/results.json")
}

// While an edition cannot be ended, the next one of its yard waits; another
// yard's does not.
func TestALaterEditionDoesNotOvertake(t *testing.T) {
	f := newTray(t, t.TempDir())
	told := f.box.Done
	f.box.Done = func(d Finished) error {
		if strings.Contains(d.Dir, "Cold Brook") {
			return errors.New("the mail box is full")
		}
		return told(d)
	}
	f.drop("a.xlsx", workbook("Cold Brook", week49, "a"))
	f.settle()
	f.drop("b.xlsx", workbook("Cold Brook", week49, "b"))
	f.drop("c.xlsx", workbook("Far End", week49, "c"))
	if got := f.settle(); got.Finished != 1 || got.Left != 2 {
		t.Errorf("%+v", got)
	}
	f.wantSaid("the mail box is full")
	f.box.Done = told
	if got := f.look(time.Minute); got.Finished != 2 {
		t.Errorf("%+v", got)
	}
	if got := f.record("2026-11-30 Cold Brook edition 2"); got.Text != "b" || got.LastEdition != "a" {
		t.Errorf("%+v", got)
	}
	if want := []string{"Cold Brook 2026-11-30 1", "Far End 2026-11-30 1", "Cold Brook 2026-11-30 2"}; !slices.Equal(f.made, want) {
		t.Errorf("made %q, want %q", f.made, want)
	}
}

func TestAStopLeavesTheWorkForTheNextStart(t *testing.T) {
	dir := t.TempDir()
	f := newTray(t, dir)
	ctx, stop := context.WithCancel(t.Context())
	f.box.Make = func(string, []byte, Edition) ([]File, error) {
		stop()
		return nil, fmt.Errorf("stopped: %w", context.Canceled)
	}
	for n := range 5 {
		f.drop(fmt.Sprintf("%d.xlsx", n), workbook("Cold Brook", week49, fmt.Sprint(n)))
	}
	f.look(0)
	f.now = f.now.Add(3 * time.Second)
	looked, err := f.box.Look(ctx, f.now)
	if err != nil || looked.Finished+looked.Rejected > 0 {
		t.Errorf("%+v, %v", looked, err)
	}
	f.box.Close()
	g := newTray(t, dir)
	if got := g.look(0); got.Finished+got.Settling != 5 {
		t.Errorf("%+v", got)
	}
	g.look(3 * time.Second)
	for n := 2; n <= 5; n++ {
		g.record(fmt.Sprintf("2026-11-30 Cold Brook edition %d", n))
	}
}

// A writer that goes on after its file was taken gets it back.
func TestAFileThatChangesWhileItIsTakenIsPutBack(t *testing.T) {
	f := newTray(t, t.TempDir())
	f.box.Step = func(step string) {
		if step == "claimed" {
			f.box.Step = nil
			works, err := filepath.Glob(f.path(workDir + "/*/week.xlsx"))
			if err != nil || len(works) != 1 {
				t.Fatalf("%q, %v", works, err)
			}
			if err := os.WriteFile(works[0], workbook("Cold Brook", week49, "later"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	if got := f.settle(); got.Finished != 0 {
		t.Errorf("%+v", got)
	}
	f.want("week.xlsx")
	f.settle()
	if got := f.record("2026-11-30 Cold Brook"); got.Text != "later" {
		t.Errorf("%+v", got)
	}
}

// A workbook that goes while it is looked at is nobody's fault.
func TestAFileThatVanishes(t *testing.T) {
	f := newTray(t, t.TempDir())
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	f.box.Step = func(step string) {
		if step == "claim" {
			if err := os.Remove(f.path("week.xlsx")); err != nil {
				t.Fatal(err)
			}
		}
	}
	if got := f.settle(); got.Taken != 0 || got.Rejected != 0 {
		t.Errorf("%+v", got)
	}
	f.box.Step = nil
	f.look(time.Minute)
	f.want()
}

func TestRights(t *testing.T) {
	f := newTray(t, t.TempDir())
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	f.drop("bad.xlsx", workbook("refuse", "", "a"))
	f.settle()
	err := filepath.WalkDir(f.box.Dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || p == f.box.Dir || strings.HasSuffix(p, ".xlsx") {
			return err // the workbook keeps the rights its owner gave it
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		most := disk.FileMode
		if d.IsDir() {
			most = disk.FolderMode
		}
		if got := info.Mode().Perm(); got&^most != 0 || got&0o600 != 0o600 {
			t.Errorf("%s has rights %o, at most %o", p, got, most)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}
