package disk_test

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"pgregory.net/rapid"

	"hardfeed/ingest/disk"
	"hardfeed/ingest/disk/disktest"
	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

func opened(t *testing.T, dir string) disk.FS {
	t.Helper()
	d, err := disk.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { d.Close() })
	return d
}

// inMemory is where files cost no disk: the many syncs would.
func inMemory() string {
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		return "/dev/shm"
	}
	return ""
}

// The memory must behave as a real folder does, or what is tested on it says nothing:
// any calls are made on both, and give the same.
func TestMemoryIsAsAFolder(t *testing.T) {
	names := rapid.SampledFrom([]string{"a", "b", "a/c", "a/d", "b/c", "a/c/e"})
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp(inMemory(), "disk")
		if err != nil {
			rt.Fatal(err)
		}
		defer os.RemoveAll(dir)
		real, err := disk.Open(dir)
		if err != nil {
			rt.Fatal(err)
		}
		defer real.Close()
		memory := disktest.New(time.Now)
		kind := func(err error) string { // which of two reasons comes first differs from system to system
			return fmt.Sprint(err == nil)
		}
		for range rapid.IntRange(1, 25).Draw(rt, "calls") {
			name, other := names.Draw(rt, "name"), names.Draw(rt, "other")
			if strings.HasPrefix(other, name+"/") || strings.HasPrefix(name, other+"/") {
				other = name // systems differ in how they refuse a folder moved into itself
			}
			what := rapid.SampledFrom([]string{"write", "mkdir", "rename", "remove", "read", "list", "removeall", "whole"}).Draw(rt, "call")
			var said [2]string
			for i, d := range []disk.FS{real, memory} {
				switch what {
				case "write":
					said[i] = kind(disk.WriteSynced(d, name, []byte("text of "+name)))
				case "whole":
					said[i] = fmt.Sprint(disk.WriteWhole(d, "w-", name, []byte("all of "+name)) == nil)
				case "mkdir":
					said[i] = kind(d.Mkdir(name))
				case "rename":
					said[i] = kind(d.Rename(name, other))
				case "remove":
					said[i] = kind(d.Remove(name))
				case "removeall":
					said[i] = fmt.Sprint(disk.RemoveAll(d, name) == nil)
				case "read":
					data, err := disk.ReadFile(d, name)
					said[i] = fmt.Sprintf("%q %v", data, err == nil)
				case "list":
					entries, err := disk.Names(d, name)
					for _, e := range entries {
						said[i] += fmt.Sprintf("%s %v, ", e.Name(), e.IsDir())
					}
					said[i] += kind(err)
				}
			}
			if said[0] != said[1] {
				rt.Fatalf("%s %s %s: a folder says %q, the memory %q", what, name, other, said[0], said[1])
			}
		}
		want := map[string]string{}
		err = filepath.WalkDir(dir, func(p string, e fs.DirEntry, err error) error {
			if err != nil || e.IsDir() {
				return err
			}
			data, err := os.ReadFile(p)
			rel, _ := filepath.Rel(dir, p)
			want[filepath.ToSlash(rel)] = string(data)
			return err
		})
		if err != nil || !maps.Equal(want, memory.All()) {
			rt.Fatalf("a folder has %v, the memory %v, %v", want, memory.All(), err)
		}
	})
}

// What the power can take: everything that was not synced, in any order, and nothing
// that was.
func TestWhatAPowerCutLeaves(t *testing.T) {
	type step func(m *disktest.Memory) error
	write := func(name, text string, sync bool) step {
		return func(m *disktest.Memory) error {
			f, err := m.Create(name)
			if err == nil {
				_, err = f.Write([]byte(text))
			}
			if err == nil && sync {
				err = f.Sync()
			}
			return err
		}
	}
	mkdir := func(name string) step { return func(m *disktest.Memory) error { return m.Mkdir(name) } }
	syncDir := func(name string) step { return func(m *disktest.Memory) error { return m.SyncDir(name) } }
	rename := func(from, to string) step {
		return func(m *disktest.Memory) error { return m.Rename(from, to) }
	}
	remove := func(name string) step { return func(m *disktest.Memory) error { return m.Remove(name) } }
	for name, c := range map[string]struct {
		steps []step
		may   []string // every state that may be found
	}{
		"written, not synced":              {[]step{write("a", "ab", false)}, []string{"", "a=", "a=a\x00", "a=ab"}},
		"written and synced, not its name": {[]step{write("a", "ab", true)}, []string{"", "a=ab"}},
		"its name, not what is in it":      {[]step{write("a", "ab", false), syncDir(".")}, []string{"a=", "a=a\x00", "a=ab"}},
		"all":                              {[]step{write("a", "ab", true), syncDir(".")}, []string{"a=ab"}},
		"a rename in one folder is whole":  {[]step{write("a", "ab", true), syncDir("."), rename("a", "b")}, []string{"a=ab", "b=ab"}},
		"a rename over a file is whole": {[]step{write("a", "new", true), write("b", "old", true), syncDir("."), rename("a", "b")},
			[]string{"a=new b=old", "b=new"}},
		"a file may have both names":  {[]step{mkdir("x"), write("a", "ab", true), syncDir("."), rename("a", "x/b")}, []string{"a=ab", "a=ab x/b=ab", "x/b=ab"}},
		"and never none":              {[]step{mkdir("x"), write("a", "ab", true), syncDir("."), rename("a", "x/b"), syncDir(".")}, []string{"x/b=ab"}},
		"a folder has one name":       {[]step{mkdir("x"), mkdir("y"), write("x/a", "ab", true), syncDir("x"), syncDir("."), rename("x", "y/x")}, []string{"x/a=ab", "y/x/a=ab"}},
		"the same, synced at one end": {[]step{mkdir("x"), mkdir("y"), write("x/a", "ab", true), syncDir("x"), syncDir("."), rename("x", "y/x"), syncDir("y")}, []string{"y/x/a=ab"}},
		"a removal comes back":        {[]step{write("a", "ab", true), syncDir("."), remove("a")}, []string{"", "a=ab"}},
		"a removal that lasts":        {[]step{write("a", "ab", true), syncDir("."), remove("a"), syncDir(".")}, []string{""}},
		"in any order":                {[]step{write("a", "", true), write("b", "", true)}, []string{"", "a=", "a= b=", "b="}},
	} {
		t.Run(name, func(t *testing.T) {
			m := disktest.New(time.Now)
			for _, s := range c.steps {
				if err := s(m); err != nil {
					t.Fatal(err)
				}
			}
			found := map[string]bool{}
			for seed := range 400 {
				n := seed
				var state []string
				all := m.PowerCut(func(most int) int { k := n % most; n /= most; return k }).All()
				for _, f := range slices.Sorted(maps.Keys(all)) {
					state = append(state, f+"="+all[f])
				}
				found[strings.Join(state, " ")] = true
			}
			if got := slices.Sorted(maps.Keys(found)); !slices.Equal(got, c.may) {
				t.Errorf("found %q, want %q", got, c.may)
			}
		})
	}
}

// Signals that interrupt a call are not told to whoever made it.
func TestInterrupts(t *testing.T) {
	for _, done := range []bool{false, true} {
		memory := disktest.New(time.Now)
		last := ""
		interrupt := func(call, name string) error {
			if last == call+name || done && (call == "create" || call == "write" || call == "read") {
				last = "" // a file half made, or bytes written twice, could not be told apart
				return nil
			}
			last = call + name
			return syscall.EINTR
		}
		faulty := disktest.Faults{FS: memory, Before: func(string, string) error { return nil }}
		if done {
			faulty.After = interrupt
		} else {
			faulty.Before = interrupt
		}
		d := disk.Steady(faulty)
		err := errors.Join(disk.MakeFolder(d, "a/b"), disk.WriteWhole(d, "a/w-", "a/b/c", []byte("text")), disk.Move(d, "a/b/c", "a/d"),
			disk.WriteSynced(d, "a/e", []byte("more text")), d.Remove("a/d"), d.Remove("a/b"))
		got, err2 := disk.ReadFile(d, "a/e")
		if err := errors.Join(err, err2); err != nil || string(got) != "more text" || len(memory.All()) != 1 {
			t.Errorf("done %v: %v, read %q, there is %v", done, err, got, memory.All())
		}
	}
	always := disktest.Faults{FS: disktest.New(time.Now), Before: func(string, string) error { return syscall.EINTR }}
	if _, err := disk.Steady(always).Lstat("x"); !errors.Is(err, syscall.EINTR) {
		t.Errorf("interrupted for ever: %v", err)
	}
}

func TestWhatIsNoFolderIsNotOpened(t *testing.T) {
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o640); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{file, filepath.Join(dir, "none"), os.DevNull} {
		if d, err := disk.Open(name); err == nil {
			d.Close()
			t.Errorf("%s was opened", name)
		}
	}
	if _, err := disk.OpenMade(filepath.Join(file, "below")); err == nil {
		t.Error("a folder below a file was made")
	}
}

func TestNamesLeadNowhere(t *testing.T) {
	dir := t.TempDir()
	d := opened(t, dir)
	if err := errors.Join(os.Symlink(t.TempDir(), filepath.Join(dir, "out")), os.Symlink("/etc/hostname", filepath.Join(dir, "file"))); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"../x", "/etc/hostname", "out/x", "file"} {
		if err := disk.WriteSynced(d, name, nil); err == nil {
			t.Errorf("%s was written", name)
		}
		if _, err := disk.ReadFile(d, name); err == nil {
			t.Errorf("%s was read", name)
		}
		if err := disk.MakeFolder(d, name+"/y"); err == nil {
			t.Errorf("%s was made", name)
		}
	}
	if _, err := d.TryLock("file"); err == nil {
		t.Error("a link was locked")
	}
	if err := disk.RemoveAll(d, "out"); err != nil {
		t.Error(err)
	}
}

func TestLocks(t *testing.T) {
	dir := t.TempDir()
	for name, d := range map[string]disk.FS{"a folder": opened(t, dir), "memory": disktest.New(time.Now)} {
		one, err := d.TryLock("lock")
		if err != nil || !one.Holds() {
			t.Fatalf("%s: %v", name, err)
		}
		if _, err := d.TryLock("lock"); !errors.Is(err, disk.ErrLocked) {
			t.Errorf("%s: a second time: %v", name, err)
		}
		if err := one.Close(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		two, err := d.TryLock("lock")
		if err != nil {
			t.Errorf("%s: once it is free: %v", name, err)
		}
		two.Close()
	}
	d := opened(t, dir)
	one, err := d.TryLock("lock")
	if err != nil {
		t.Fatal(err)
	}
	defer one.Close()
	if err := os.Remove(filepath.Join(dir, "lock")); err != nil {
		t.Fatal(err)
	}
	if one.Holds() {
		t.Error("the lock's file is gone, and it holds")
	}
}

// Every refusal of a disk says what to do about that one, and nothing about another.
func TestRemedies(t *testing.T) {
	for err, want := range map[error]string{
		syscall.ENOSPC: "make room", syscall.EDQUOT: "make room", syscall.EROFS: "write protection", syscall.EACCES: "not allowed", syscall.EPERM: "not allowed",
		syscall.EBUSY: "close it", syscall.ENAMETOOLONG: "shorter", syscall.EIO: "failed", syscall.ESTALE: "network folder", syscall.EFBIG: "larger than is allowed",
	} {
		got := strings.ToLower(words.Said(yard.Say(disk.Remedy(&fs.PathError{Op: "write", Path: "x", Err: err}))))
		if !strings.Contains(got, want) {
			t.Errorf("%v: %q", err, got)
		}
		if err != syscall.EBUSY && strings.Contains(got, "close") {
			t.Errorf("%v: somebody is told to close a sheet: %q", err, got)
		}
	}
	if got := disk.Remedy(errors.New("else")); got != "" {
		t.Errorf("nothing is known of it, and it says %q", got)
	}
}

func TestLitter(t *testing.T) {
	dir := t.TempDir()
	litter := []string{".DS_Store", "Thumbs.db", "desktop.ini", "._cards.pdf", ".~lock.week.xlsx#", "~$week.xlsx", ".nfs0001", "~WRL0001.tmp", ".directory"}
	theirs := []string{"notes.txt", "cards.pdf", "~notes.txt", ".keep", "thumbs.dbx", "week.tmp", "DS_Store"}
	for _, n := range append(litter, theirs...) {
		if err := os.WriteFile(filepath.Join(dir, n), nil, 0o640); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, "~$folder.xlsx"), 0o750); err != nil {
		t.Fatal(err)
	}
	entries, err := opened(t, dir).ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if got, want := disk.IsLitter(e), slices.Contains(litter, e.Name()); got != want {
			t.Errorf("%s: litter %v, want %v", e.Name(), got, want)
		}
	}
}

// Windows ends its errors with a full stop, which is not wanted inside a sentence; what
// they are is still known.
func TestAReasonHasNoFullStop(t *testing.T) {
	theirs := errors.New("The process cannot access the file because it is being used by another process.")
	for _, err := range []error{&fs.PathError{Op: "rename", Path: "week", Err: theirs}, &os.LinkError{Op: "rename", Old: "a", New: "b", Err: theirs}} {
		got := disk.Reason(err)
		if want := "The process cannot access the file because it is being used by another process"; got.Error() != want || !errors.Is(got, theirs) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := disk.Remedy(disk.Reason(&fs.PathError{Op: "open", Path: "x", Err: syscall.EBUSY})); got == "" {
		t.Error("what to do is not known any more")
	}
}
