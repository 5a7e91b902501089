package main

import (
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"hardfeed/ingest/disk"
	"hardfeed/ingest/disk/disktest"
)

var cuts = flag.Int("cuts", 4, "how many states of the disk are tried after each step at which the power goes")

// yardDisk is a disk with a result folder on it, whose clock a test sets.
type yardDisk struct {
	*disktest.Memory
	clock time.Time
}

func newYardDisk() *yardDisk {
	y := &yardDisk{clock: time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)}
	y.Memory = disktest.New(func() time.Time { return y.clock })
	return y
}

func resultOn(d disk.FS) result { return result{disk.Steady(d), "week", "week"} }

// wholeWeek says what run the folder week is of; "" if it is not there. A folder in part
// is an error.
func wholeWeek(m *disktest.Memory) (run string, err error) {
	all := m.All()
	cards, is := all["week/cards.pdf"]
	for name := range all {
		if strings.HasPrefix(name, "week/") && !is {
			return "", fmt.Errorf("%s is there and the cards are not", name)
		}
	}
	if !is {
		return "", nil
	}
	if want := `{"program":"hardfeed","text":"` + cards + `"}`; cards == "" || all["week/"+resultsName] != want && cards != "by hand" {
		return cards, fmt.Errorf("the cards are %q and the results %q", cards, all["week/"+resultsName])
	}
	return cards, nil
}

// handChanges are what a person did to the folder since the first run, and the texts
// that must never be lost.
var handChanges = map[string]struct {
	change func(m *disktest.Memory)
	keep   []string
}{
	"untouched":              {func(*disktest.Memory) {}, nil},
	"the cards were changed": {func(m *disktest.Memory) { m.Put("week/cards.pdf", []byte("by hand")) }, []string{"by hand"}},
	"changed twice over": {func(m *disktest.Memory) {
		m.Put("week/cards, changed by hand.pdf", []byte("before that"))
		m.Put("week/cards.pdf", []byte("by hand"))
	}, []string{"before that", "by hand"}},
	"it is not there": {func(m *disktest.Memory) { disk.RemoveAll(m, "week"); m.SyncDir(".") }, nil},
}

func lost(m *disktest.Memory, texts []string) (gone []string) {
	var all strings.Builder
	for _, text := range m.All() {
		all.WriteString(text + "\n")
	}
	for _, t := range texts {
		if !strings.Contains(all.String(), t) {
			gone = append(gone, t)
		}
	}
	return gone
}

// The power goes after every step of a run that replaces a folder. The next runs find
// it whole, the old one or the new one, and nothing of a person's is lost.
func TestPowerCutsWhileAFolderIsReplaced(t *testing.T) {
	for name, c := range handChanges {
		t.Run(name, func(t *testing.T) {
			random := rand.New(rand.NewPCG(2, 25))
			y := newYardDisk()
			if _, err := resultOn(y).write(t.Context(), "week.xlsx", someFiles("old")); err != nil {
				t.Fatal(err)
			}
			c.change(y.Memory)
			steps, states, aside := 0, 0, 0
			y.OnChange(func(step string) {
				steps++
				for way := range *cuts {
					states++
					found := y.PowerCut(func(n int) int { return []int{0, n - 1, random.IntN(n), random.IntN(n)}[min(way, 3)] })
					what := fmt.Sprintf("power cut after %s (%d)", step, way)
					run, err := wholeWeek(found)
					if err != nil {
						t.Errorf("%s: %v", what, err)
					}
					if run == "" && name != "it is not there" {
						aside++ // between two renames: the next run puts the old one back
					}
					if gone := lost(found, c.keep); len(gone) > 0 {
						t.Errorf("%s: lost %q", what, gone)
					}
					// The next run comes a while later, and one after that.
					y.clock = y.clock.Add(time.Hour)
					for _, text := range []string{"next", "after"} {
						if _, err := resultOn(found).write(t.Context(), "week.xlsx", someFiles(text)); err != nil {
							t.Errorf("%s: the run %q: %v", what, text, err)
						}
						if run, err := wholeWeek(found); err != nil || run != text {
							t.Errorf("%s: after the run %q: %q, %v", what, text, run, err)
						}
						if gone := lost(found, c.keep); len(gone) > 0 {
							t.Errorf("%s: after the run %q: lost %q", what, text, gone)
						}
					}
					for name := range found.All() {
						if !strings.HasPrefix(name, "week/") {
							t.Errorf("%s: left: %s", what, name)
						}
					}
					y.clock = y.clock.Add(-time.Hour)
				}
			})
			kept, err := resultOn(y).write(t.Context(), "week.xlsx", someFiles("new"))
			y.OnChange(nil)
			if run, err2 := wholeWeek(y.Memory); errors.Join(err, err2) != nil || run != "new" || len(kept) > 0 != (len(c.keep) > 0) {
				t.Errorf("undisturbed: %q, kept %q, %v, %v", run, kept, err, err2)
			}
			t.Logf("%d steps, %d states of the disk, in %d of them the folder was aside", steps, states, aside)
		})
	}
}

// Every call on the disk fails once, in turn, or all writing fails from there on: the
// run says so, the old folder stands or the new one does, and nothing is left.
func TestEveryCallOfAFolderFails(t *testing.T) {
	for name, c := range handChanges {
		for way, errs := range map[string]error{"no room": syscall.ENOSPC, "a failing disk": syscall.EIO, "no rights": syscall.EACCES, "open elsewhere": syscall.EBUSY} {
			for at := 1; ; at++ {
				y := newYardDisk()
				if _, err := resultOn(y).write(t.Context(), "week.xlsx", someFiles("old")); err != nil {
					t.Fatal(err)
				}
				c.change(y.Memory)
				n, failed := 0, ""
				var mu sync.Mutex
				faulty := disktest.Faults{FS: y, Before: func(call, on string) error {
					mu.Lock()
					defer mu.Unlock()
					if n++; n == at || way == "no room" && n > at && (call == "create" || call == "write" || call == "mkdir") {
						failed += " " + call + " " + on
						return errs
					}
					return nil
				}}
				_, err := resultOn(faulty).write(t.Context(), "week.xlsx", someFiles("new"))
				if failed == "" {
					if err != nil {
						t.Errorf("%s: nothing failed, and %v", name, err)
					}
					break
				}
				run, broken := wholeWeek(y.Memory)
				what := fmt.Sprintf("%s, %s at call %d (%s)", name, way, at, failed)
				if broken != nil || err != nil && run == "new" && !strings.Contains(failed, "syncdir") {
					t.Errorf("%s: %q, %v, and it said %v", what, run, broken, err)
				}
				if err == nil && run != "new" {
					t.Errorf("%s: it said nothing, and there is %q", what, run)
				}
				if gone := lost(y.Memory, c.keep); len(gone) > 0 {
					t.Errorf("%s: lost %q", what, gone)
				}
				if err != nil && way == "no room" && strings.Contains(err.Error(), "written") && (!strings.Contains(err.Error(), "Make room") || strings.Contains(err.Error(), "close it")) {
					t.Errorf("%s: it says %v", what, err)
				}
				if err != nil && way == "open elsewhere" && strings.Contains(failed, "rename") && !strings.Contains(err.Error(), "open in another program. Close it there") {
					t.Errorf("%s: it says %v", what, err)
				}
				y.clock = y.clock.Add(time.Hour)
				if _, err := resultOn(y).write(t.Context(), "week.xlsx", someFiles("next")); err != nil {
					t.Errorf("%s: the next run: %v", what, err)
				}
				for name := range y.All() {
					if !strings.HasPrefix(name, "week/") {
						t.Errorf("%s: left: %s", what, name)
					}
				}
				if at > 500 {
					t.Fatal("it never ends")
				}
			}
		}
	}
}

// What dead runs have left is cleared by the next, once it is old enough and nobody
// holds its lock; a folder that one of them was replacing comes back.
func TestDeadRunsAreCleared(t *testing.T) {
	y := newYardDisk()
	for i := range 81 {
		y.Put(fmt.Sprintf("%sdead%d/cards.pdf", newBeginning, i), []byte("half"))
		if i%2 == 0 {
			y.Put(fmt.Sprintf("%sdead%d%s", newBeginning, i, lockEnding), nil)
		}
	}
	y.Put(newBeginning+"alive/cards.pdf", []byte("half"))
	y.Put(oldBeginning+"dead/other/cards.pdf", []byte("the other folder"))
	y.Put(oldBeginning+"dead2/week/cards.pdf", []byte("by hand"))
	y.Put("notes/.hardfeed-new-x/mine", []byte("mine"))
	lock, err := y.TryLock(newBeginning + "alive" + lockEnding)
	if err != nil {
		t.Fatal(err)
	}
	run := func(text string) map[string]string {
		t.Helper()
		if _, err := resultOn(y).write(t.Context(), "week.xlsx", someFiles(text)); err != nil {
			t.Fatal(err)
		}
		return y.All()
	}
	if all := run("young"); all[newBeginning+"dead1/cards.pdf"] == "" || all["other/cards.pdf"] != "" {
		t.Errorf("what may be alive was cleared: %v", all)
	}
	y.clock = y.clock.Add(deadAfter + time.Minute)
	all := run("old")
	if all[newBeginning+"alive/cards.pdf"] == "" {
		t.Error("a run that holds its lock was cleared")
	}
	if all["other/cards.pdf"] != "the other folder" {
		t.Errorf("a folder that was being replaced did not come back: %v", all)
	}
	if all["week/cards, changed by hand.pdf"] != "by hand" || all["notes/.hardfeed-new-x/mine"] != "mine" {
		t.Errorf("somebody's work is lost: %v", all)
	}
	lock.Close()
	y.clock = y.clock.Add(time.Hour)
	for name := range run("last") {
		if strings.HasPrefix(name, ".hardfeed-") {
			t.Errorf("left: %s", name)
		}
	}
}

// A sheet saved into the old folder while the new one is being made is kept.
func TestASheetSavedMeanwhileIsKept(t *testing.T) {
	y := newYardDisk()
	if _, err := resultOn(y).write(t.Context(), "week.xlsx", someFiles("old")); err != nil {
		t.Fatal(err)
	}
	y.OnChange(func(step string) {
		if strings.HasPrefix(step, "rename week "+oldBeginning) {
			aside := strings.TrimPrefix(step, "rename week ")
			y.Put(aside+"/cards.pdf", []byte("by hand"))
		}
	})
	kept, err := resultOn(y).write(t.Context(), "week.xlsx", someFiles("new"))
	if err != nil || len(kept) != 1 || y.All()["week/"+kept[0]] != "by hand" {
		t.Errorf("kept %q, %v: %v", kept, err, y.All())
	}
}

// A full disk is told of as a full disk, by the program itself.
func TestAFullDiskIsSaid(t *testing.T) {
	y := newYardDisk()
	faulty := disktest.Faults{FS: y, Before: func(call, _ string) error {
		if call == "write" {
			return syscall.ENOSPC
		}
		return nil
	}}
	_, err := resultOn(faulty).write(t.Context(), "week.xlsx", someFiles("new"))
	if want := "hardfeed: week could not be written: no space left on device. The disk is full. Make room on it, then try again."; sayError(err) != want {
		t.Errorf("it says %q", sayError(err))
	}
}
