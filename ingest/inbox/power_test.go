package inbox

import (
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"path"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"hardfeed/ingest/disk"
	"hardfeed/ingest/disk/disktest"
)

var cuts = flag.Int("cuts", 4, "how many states of the disk are tried after each step at which the power goes")

// memoryTray is a drop folder in memory.
func memoryTray(t testing.TB, d disk.FS, now time.Time) *tray {
	f := newTray(t, "drop folder")
	f.now = now
	f.box.AtOnce = 1
	f.box.open = func() (disk.FS, error) { return disk.Steady(d), nil }
	return f
}

// looks does n rounds, and skips what a failing disk makes of them.
func (f *tray) looks(n int) {
	for range n {
		f.now = f.now.Add(3 * time.Second)
		f.box.Look(f.t.Context(), f.now)
	}
}

// seen is what a drop folder in memory came to.
type seen struct {
	books    map[string]int    // text of each workbook, wherever it lies: how often
	editions map[string]string // "yard week edition" of each record of the archive -> its text
	folders  map[string]string // result folder -> the text of its record
	odd      []string
}

// take takes stock of a drop folder. Results in sight must be whole.
func take(m *disktest.Memory) seen {
	s := seen{map[string]int{}, map[string]string{}, map[string]string{}, nil}
	all := m.All()
	for name, data := range all {
		dir, file := path.Split(name)
		top, _, _ := strings.Cut(name, "/")
		switch {
		case strings.HasSuffix(file, ".xlsx"):
			lines, err := linesOf(name, []byte(data))
			if err != nil || len(lines) != 3 {
				s.odd = append(s.odd, name+" is no whole workbook")
				continue
			}
			s.books[lines[2]]++
		case file == resultsName && !strings.HasPrefix(name, ownDir):
			var r record
			if err := json.Unmarshal([]byte(data), &r); err != nil {
				s.odd = append(s.odd, fmt.Sprintf("%s holds %q", name, data))
				continue
			}
			if top == archiveDir {
				s.editions[fmt.Sprintf("%s %s %d", r.Yard, r.Week, r.Edition)] += r.Text
				continue
			}
			s.folders[top] = r.Text
			if cards := all[dir+"cards.pdf"]; !strings.HasPrefix(cards, "cards of ") || !strings.HasSuffix(cards, r.Text) {
				s.odd = append(s.odd, fmt.Sprintf("%s is in sight and has the cards %q", top, cards))
			}
		case file == "cards.pdf" && !strings.HasPrefix(name, ownDir) && all[dir+resultsName] == "":
			s.odd = append(s.odd, top+" is in sight without its record")
		}
	}
	return s
}

// scenes are what happens to a drop folder, and what must be found in the end: each
// workbook that was there in no fewer places than one, and these editions.
var scenes = map[string]struct {
	before   func(f *tray, m *disktest.Memory) // done and on the disk when the scene begins
	dropped  []string                          // "yard|week|text"
	editions map[string]string
}{
	"one workbook": {nil, []string{"Cold Brook|" + week49 + "|a"}, map[string]string{"Cold Brook 2026-11-30 1": "a"}},
	"two yards": {nil, []string{"Cold Brook|" + week49 + "|a", "Far End|" + week49 + "|b"},
		map[string]string{"Cold Brook 2026-11-30 1": "a", "Far End 2026-11-30 1": "b"}},
	"a second edition": {func(f *tray, m *disktest.Memory) {
		m.Put("first.xlsx", workbook("Cold Brook", week49, "a"))
		f.looks(3)
	}, []string{"Cold Brook|" + week49 + "|b"}, map[string]string{"Cold Brook 2026-11-30 1": "a", "Cold Brook 2026-11-30 2": "b"}},
	"the same again": {func(f *tray, m *disktest.Memory) {
		m.Put("first.xlsx", workbook("Cold Brook", week49, "a"))
		f.looks(3)
	}, []string{"Cold Brook|" + week49 + "|a"}, map[string]string{"Cold Brook 2026-11-30 1": "a"}},
	"its results are gone": {func(f *tray, m *disktest.Memory) {
		m.Put("first.xlsx", workbook("Cold Brook", week49, "a"))
		f.looks(3)
		disk.RemoveAll(m, "2026-11-30 Cold Brook")
		m.SyncDir(".")
	}, []string{"Cold Brook|" + week49 + "|a"}, map[string]string{"Cold Brook 2026-11-30 1": "a"}},
	"one that cannot be read": {nil, []string{"refuse|" + week49 + "|a"}, map[string]string{}},
	"the week before, late": {func(f *tray, m *disktest.Memory) {
		m.Put("first.xlsx", workbook("Cold Brook", week49, "a"))
		f.looks(3)
	}, []string{"Cold Brook|" + week48 + "|z"}, map[string]string{"Cold Brook 2026-11-30 1": "a", "Cold Brook 2026-11-23 1": "z"}},
}

// scene plays one on a disk and gives it back as it was when it began; whatever
// changes after that is told to changed.
func play(t testing.TB, name string, m *disktest.Memory, d disk.FS, changed func(step string)) {
	s := scenes[name]
	f := memoryTray(t, d, time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC))
	if s.before != nil {
		s.before(f, m)
	}
	for i, text := range s.dropped {
		part := strings.Split(text, "|")
		m.Put(fmt.Sprintf("week %d.xlsx", i), workbook(part[0], part[1], part[2]))
	}
	m.OnChange(changed)
	f.looks(4)
	f.box.Close()
	m.OnChange(nil)
}

// wantScene sees that all came out as it should, after whatever had happened.
func wantScene(t testing.TB, name, what string, m *disktest.Memory) {
	t.Helper()
	got := take(m)
	for _, odd := range got.odd {
		t.Errorf("%s, %s: %s", name, what, odd)
	}
	s := scenes[name]
	for _, text := range s.dropped {
		if part := strings.Split(text, "|"); got.books[part[2]] == 0 {
			t.Errorf("%s, %s: the workbook %q is lost", name, what, part[2])
		}
	}
	for edition, text := range s.editions {
		// After a power cut an edition can be twice in the archive, never half.
		if have := got.editions[edition]; strings.Trim(have, text) != "" || have == "" {
			t.Errorf("%s, %s: the archive has %q as %s, want %q", name, what, have, edition, text)
		}
		if !slices.Contains(valuesOf(got.folders), text) {
			t.Errorf("%s, %s: no folder has the results %q: %v", name, what, text, got.folders)
		}
	}
	for edition, text := range got.editions {
		if s.editions[edition] == "" {
			t.Errorf("%s, %s: nobody dropped %s, %q", name, what, edition, text)
		}
	}
	for file := range m.All() {
		if strings.HasPrefix(file, workDir) || strings.HasPrefix(file, newDir) || strings.HasSuffix(file, ".xlsx") && !strings.Contains(file, "/") {
			t.Errorf("%s, %s: left: %s", name, what, file)
		}
	}
}

func valuesOf(m map[string]string) (all []string) {
	for _, v := range m {
		all = append(all, v)
	}
	return all
}

// The power goes after every step, with what was not synced saved in several ways
// each time; and goes again while that is being put right.
func TestPowerCuts(t *testing.T) {
	for name := range scenes {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			clock := time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)
			m := disktest.New(func() time.Time { return clock })
			random := rand.New(rand.NewPCG(1, 25))
			steps, states := 0, 0
			ways := func(way int) func(int) int {
				return func(n int) int {
					switch way {
					case 0:
						return 0
					case 1:
						return n - 1
					}
					return random.IntN(n)
				}
			}
			restart := func(what string, found *disktest.Memory, again bool) {
				states++
				if got := take(found); len(got.odd) > 0 {
					t.Errorf("%s: %q", what, got.odd)
				}
				f := memoryTray(t, found, clock.Add(time.Hour))
				if again {
					n := 0
					found.OnChange(func(step string) {
						if n++; random.IntN(8) == 0 {
							after := found.PowerCut(ways(2))
							states++
							g := memoryTray(t, after, clock.Add(2*time.Hour))
							g.looks(5)
							wantScene(t, name, what+", and again after "+step, after)
						}
					})
				}
				f.looks(5)
				f.box.Close()
				found.OnChange(nil)
				wantScene(t, name, what, found)
			}
			play(t, name, m, m, func(step string) {
				steps++
				for way := range *cuts {
					restart("power cut after "+step, m.PowerCut(ways(way)), way == 2)
				}
			})
			wantScene(t, name, "undisturbed", m)
			t.Logf("%d steps, %d states of the disk", steps, states)
			if steps < 8 {
				t.Errorf("only %d steps", steps)
			}
		})
	}
}

// Each call that is made on the disk fails once, in turn, by each of the errors that a
// disk gives; or all calls that write fail from there on, and then there is room again.
func TestEveryCallFails(t *testing.T) {
	clock := time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)
	writes := []string{"create", "write", "sync", "mkdir", "syncdir"}
	for name := range scenes {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			failures := 0
			for way, fails := range map[string]func(at, n int, call string) error{
				"no room once":   func(at, n int, _ string) error { return map[bool]error{true: syscall.ENOSPC}[at == n] },
				"a failing disk": func(at, n int, _ string) error { return map[bool]error{true: syscall.EIO}[at == n || at == n+1] },
				"a share that is gone": func(at, n int, _ string) error {
					return map[bool]error{true: syscall.ESTALE}[n >= at && n < at+40]
				},
				"no room from here on": func(at, n int, call string) error {
					return map[bool]error{true: syscall.ENOSPC}[n >= at && slices.Contains(writes, call)]
				},
			} {
				for at := 1; ; at++ {
					m := disktest.New(func() time.Time { return clock })
					n, failed := 0, 0
					armed := false
					d := disktest.Faults{FS: m, Before: func(call, _ string) error {
						if !armed {
							return nil
						}
						n++
						if err := fails(at, n, call); err != nil {
							failed++
							return err
						}
						return nil
					}}
					s := scenes[name]
					f := memoryTray(t, d, clock)
					if s.before != nil {
						s.before(f, m)
					}
					for i, text := range s.dropped {
						part := strings.Split(text, "|")
						m.Put(fmt.Sprintf("week %d.xlsx", i), workbook(part[0], part[1], part[2]))
					}
					armed = true
					f.looks(4)
					armed = false
					f.looks(5)
					f.box.Close()
					wantScene(t, name, fmt.Sprintf("%s at call %d", way, at), m)
					failures += failed
					if failed == 0 && at > 10 || t.Failed() {
						break
					}
				}
			}
			t.Logf("%d calls failed", failures)
			if failures < 200 {
				t.Errorf("only %d calls failed", failures)
			}
		})
	}
}

// A share that does what it is asked and whose answer is lost.
func TestAnswersThatAreLost(t *testing.T) {
	clock := time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)
	for name := range scenes {
		for at := 1; ; at++ {
			m := disktest.New(func() time.Time { return clock })
			n, lost := 0, false
			armed := false
			d := disktest.Faults{FS: m, Before: func(string, string) error { return nil }, After: func(call, _ string) error {
				if armed && slices.Contains([]string{"create", "mkdir", "rename", "remove", "sync", "syncdir"}, call) {
					if n++; n == at {
						lost = true
						return syscall.EIO
					}
				}
				return nil
			}}
			armed = true
			play(t, name, m, d, nil)
			armed = false
			f := memoryTray(t, m, clock.Add(time.Hour))
			f.looks(5)
			wantScene(t, name, fmt.Sprintf("the answer to call %d lost", at), m)
			if !lost && n < at || t.Failed() {
				break
			}
		}
	}
}

// Signals that interrupt calls, one in three, and a slow share whose clock is an hour
// off and counts in steps of two seconds: all comes out as if nothing were amiss.
func TestInterruptsAndASlowShare(t *testing.T) {
	for name := range scenes {
		clock := time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)
		var mu sync.Mutex
		m := disktest.New(func() time.Time {
			mu.Lock()
			defer mu.Unlock()
			clock = clock.Add(150 * time.Millisecond) // each call takes that long
			return clock.Add(-time.Hour).Truncate(2 * time.Second)
		})
		n := 0
		d := disktest.Faults{FS: m, Before: func(string, string) error {
			if n++; n%3 == 0 {
				return syscall.EINTR
			}
			return nil
		}}
		f := memoryTray(t, d, clock)
		play(t, name, m, d, nil)
		wantScene(t, name, "interrupted", m)
		if n < 50 {
			t.Errorf("only %d calls", n)
		}
		f.box.Close()
	}
}

// A clock that is put forward or back between any two looks, by seconds or by years:
// no workbook is taken that has not been quiet, and all are done in the end.
func TestTheClockJumps(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 25))
	jumps := []time.Duration{0, time.Second, -time.Second, time.Hour, -time.Hour, 24 * time.Hour, -24 * time.Hour, 20 * 365 * 24 * time.Hour, -20 * 365 * 24 * time.Hour}
	for round := range 200 {
		f := newTray(t, "drop folder")
		file := f.now
		m := disktest.New(func() time.Time { return file })
		f.box.AtOnce = 1
		f.box.open = func() (disk.FS, error) { return m, nil }
		data := workbook("Cold Brook", week49, fmt.Sprint("text ", round))
		half := data[:len(data)/2]
		m.Put("week.xlsx", half) // a copy on its way
		look := func(after time.Duration) Looked {
			f.now = f.now.Add(after)
			looked, err := f.box.Look(t.Context(), f.now)
			if err != nil {
				t.Fatal(err)
			}
			return looked
		}
		// A look adds a minute to what is known at most, so with eight jumps a half
		// workbook is not judged, whatever the clock says.
		for range 8 {
			if got := look(jumps[random.IntN(len(jumps))]); got.Taken+got.Rejected > 0 {
				t.Fatalf("half a workbook was taken: %+v", got)
			}
		}
		file = file.Add(jumps[random.IntN(len(jumps))])
		m.Put("week.xlsx", data)
		done := 0
		for range 12 {
			done += look(jumps[random.IntN(len(jumps))]).Finished
			done += look(2 * f.box.Settle).Finished
		}
		if done != 1 || take(m).editions["Cold Brook 2026-11-30 1"] == "" {
			t.Fatalf("done %d times: %v", done, take(m))
		}
		f.box.Close()
	}
}

// Two programs on a share that passes no locks on. What is promised then is less, and
// still this: no workbook is lost, and results in sight are whole at every moment.
func TestTwoMachinesWithoutACommonLock(t *testing.T) {
	clock := time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)
	twice, rounds := 0, sample(15, 60)
	for round := range rounds {
		m := disktest.New(func() time.Time { return clock })
		var mu sync.Mutex
		m.OnChange(func(step string) {
			mu.Lock()
			defer mu.Unlock()
			for _, odd := range take(m).odd {
				t.Errorf("round %d, after %s: %s", round, step, odd)
			}
		})
		machines := []*tray{memoryTray(t, m, clock), memoryTray(t, m.AnotherMachine(), clock)}
		var texts []string
		for i := range 4 {
			text := fmt.Sprintf("text %d", i)
			texts = append(texts, text)
			m.Put(fmt.Sprintf("week %d.xlsx", i), workbook([]string{"Cold Brook", "Far End"}[i%2], week49, text))
		}
		var all sync.WaitGroup
		for _, f := range machines {
			f.box.AtOnce = 2
			all.Go(func() { f.looks(6) })
		}
		all.Wait()
		m.OnChange(nil)
		for _, f := range machines {
			f.looks(4) // one after the other now
			f.box.Close()
		}
		got := take(m)
		for _, text := range texts {
			if got.books[text] == 0 || !slices.Contains(valuesOf(got.folders), text) {
				t.Errorf("round %d: %q is lost: %v, %v", round, text, got.books, got.folders)
			}
		}
		if len(got.folders) > len(texts) {
			twice++
		}
		for file := range m.All() {
			if strings.HasPrefix(file, workDir) {
				t.Errorf("round %d: left %s; said %q and %q", round, file, machines[0].said, machines[1].said)
			}
		}
		if t.Failed() {
			break
		}
	}
	t.Logf("in %d of %d rounds results stood twice", twice, rounds)
}
