package inbox

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// apart names, in a process started by runApart, the way it was started.
const apart = "INBOX_TEST_APART"

// runApart runs a test once more in a process of its own.
func runApart(t *testing.T, program, way string, attr *syscall.SysProcAttr) error {
	t.Helper()
	cmd := exec.Command(program, "-test.run=^"+t.Name()+"$", "-test.v")
	cmd.Env = append(os.Environ(), apart+"="+way)
	cmd.SysProcAttr = attr
	out, err := cmd.CombinedOutput()
	if err == nil && !bytes.Contains(out, []byte("--- PASS: "+t.Name())) {
		err = errors.New("the test did not run")
	}
	if err != nil {
		return fmt.Errorf("%s: %w\n%s", way, err, out)
	}
	t.Logf("%s:\n%s", way, out)
	return nil
}

const mayNotMount = "this process may not mount"

// TestDiskFull lets every write of a job fail for want of room, on a small file
// system of its own where this process may mount one, as root or in a user
// namespace. Where neither is allowed the system cuts files off at a size
// (RLIMIT_FSIZE): a write that fails all the same.
func TestDiskFull(t *testing.T) {
	switch way := os.Getenv(apart); way {
	case "mount", "mount in a user namespace":
		dir := t.TempDir()
		if err := errors.Join(syscall.Mount("none", "/", "", syscall.MS_REC|syscall.MS_PRIVATE, ""),
			syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=16m,mode=0755")); err != nil {
			t.Fatalf("%s: %v", mayNotMount, err)
		}
		t.Cleanup(func() { syscall.Unmount(dir, syscall.MNT_DETACH) })
		filler := filepath.Join(dir, "filler")
		diskFull(t, dir, 12, func(room int) {
			var fs syscall.Statfs_t
			if err := syscall.Statfs(dir, &fs); err != nil {
				t.Fatal(err)
			}
			if n := int(fs.Bavail) - room; n > 0 {
				if err := os.WriteFile(filler, make([]byte, n*int(fs.Bsize)), 0o600); err != nil {
					t.Fatal(err)
				}
			}
		}, func() {
			if err := os.Remove(filler); err != nil && !errors.Is(err, os.ErrNotExist) {
				t.Fatal(err)
			}
		})
	case "limit":
		signal.Ignore(syscall.SIGXFSZ)
		var most syscall.Rlimit
		if err := syscall.Getrlimit(syscall.RLIMIT_FSIZE, &most); err != nil {
			t.Fatal(err)
		}
		set := func(bytes uint64) {
			if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: bytes, Max: most.Max}); err != nil {
				t.Fatal(err)
			}
		}
		diskFull(t, t.TempDir(), 12, func(room int) { set(uint64(room * 900)) }, func() { set(most.Cur) })
	default:
		self, err := os.Executable()
		if err != nil {
			t.Fatal(err)
		}
		refused := func(err error) bool {
			_, ended := errors.AsType[*exec.ExitError](err)
			return err != nil && (!ended || strings.Contains(err.Error(), mayNotMount))
		}
		err = runApart(t, self, "mount", &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNS})
		if refused(err) {
			err = runApart(t, self, "mount in a user namespace", &syscall.SysProcAttr{
				Cloneflags:  syscall.CLONE_NEWNS | syscall.CLONE_NEWUSER,
				UidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getuid(), Size: 1}},
				GidMappings: []syscall.SysProcIDMap{{ContainerID: 0, HostID: os.Getgid(), Size: 1}},
			})
		}
		if refused(err) {
			t.Logf("no file system may be mounted here, so files are cut off at a size only: %v", err)
		} else if err != nil {
			t.Error(err)
		}
		if err := runApart(t, self, "limit", nil); err != nil {
			t.Error(err)
		}
	}
}

// diskFull drops workbooks of each kind and leaves room for none, one, two …
// units of what they write; then there is room again.
func diskFull(t *testing.T, dir string, most int, leave func(room int), free func()) {
	f := newTray(t, dir)
	f.look(0)
	failed := map[string]int{}
	editions := 0
	for n := range 3 * most {
		kind, room := []string{"new", "same", "refuse"}[n%3], n/3
		data := workbook("Cold Brook", week49, strings.Repeat(fmt.Sprint(room, " "), 2000))
		switch kind {
		case "refuse":
			data = workbook("refuse", week49, fmt.Sprint(room))
		case "new":
			editions++
		}
		free()
		f.drop("week.xlsx", data)
		f.look(0)
		leave(room)
		f.said = nil
		looked, err := f.box.Look(t.Context(), f.now.Add(3*time.Second))
		for _, s := range f.said {
			if strings.Contains(s, "tried again") {
				failed[kind+": "+s[strings.Index(s, ": ")+2:]]++
			}
		}
		if err == nil && looked.Finished+looked.Rejected+looked.Again+looked.Left+looked.Waiting != 1 {
			t.Fatalf("no room for %s: %+v", kind, looked)
		}
		whole(t, dir)
		free()
		f.now = f.now.Add(time.Minute)
		f.look(0)
		f.look(3 * time.Second)
		whole(t, dir)
		if left := work(t, dir); len(left) > 0 {
			t.Fatalf("no room for %s, then room again: %q is left; said %q", kind, left, f.said)
		}
	}
	t.Logf("failed: %v", failed)
	if len(failed) < 4 {
		t.Errorf("no room for: only %d kinds of writes failed: %v", len(failed), failed)
	}
	for e := 1; e <= editions; e++ {
		name := "2026-11-30 Cold Brook"
		if e > 1 {
			name += fmt.Sprintf(" edition %d", e)
		}
		if got := f.record(name); got.Edition != e {
			t.Errorf("no room for an edition: %s is %d", name, got.Edition)
		}
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	folders := 0
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), "2026-") {
			folders++
		}
	}
	if folders != editions {
		t.Errorf("no room for: %d result folders of %d editions", folders, editions)
	}
}

// whole sees that every result folder holds both of its files, complete.
func whole(t *testing.T, dir string) {
	t.Helper()
	folders, err := filepath.Glob(filepath.Join(dir, "2026-*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, folder := range folders {
		cards, err := os.ReadFile(filepath.Join(folder, "cards.pdf"))
		record, err2 := os.ReadFile(filepath.Join(folder, resultsName))
		if err := errors.Join(err, err2); err != nil || len(cards) < 100 || !bytes.HasSuffix(record, []byte("}")) {
			t.Fatalf("no room for: %s is not whole: %v", folder, err)
		}
	}
}

// work lists what is in work and what was dropped and not taken.
func work(t *testing.T, dir string) []string {
	t.Helper()
	var left []string
	for _, n := range tree(t, dir) {
		if strings.HasPrefix(n, ownDir) || strings.HasSuffix(n, ".xlsx") && !strings.Contains(n, "/") || strings.HasPrefix(n, newDir) {
			left = append(left, n)
		}
	}
	return left
}

// TestRightsTakenAway runs as somebody who is bound by rights: root is not.
func TestRightsTakenAway(t *testing.T) {
	if os.Getuid() == 0 && os.Getenv(apart) == "" {
		const nobody = 65534
		place, err := os.MkdirTemp("", "inbox-apart")
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { os.RemoveAll(place) })
		self, err := os.Executable()
		if err != nil {
			t.Fatal(err)
		}
		program, err := os.ReadFile(self)
		if err != nil {
			t.Fatal(err)
		}
		copied := filepath.Join(place, "inbox.test")
		if err := errors.Join(os.WriteFile(copied, program, 0o755), os.Chmod(copied, 0o755), os.Chmod(place, 0o777)); err != nil {
			t.Fatal(err)
		}
		t.Setenv("TMPDIR", place)
		t.Chdir(place)
		if err := runApart(t, copied, "nobody", &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: nobody, Gid: nobody}}); err != nil {
			t.Fatal(err)
		}
		return
	}
	dir := t.TempDir()
	f := newTray(t, dir)
	rights := func(name string, mode os.FileMode) {
		t.Helper()
		if err := os.Chmod(f.path(name), mode); err != nil {
			t.Fatal(err)
		}
	}
	t.Cleanup(func() {
		for _, n := range []string{"", "archive", "rejected", "archive/" + week49} {
			os.Chmod(f.path(n), 0o755)
		}
	})

	// The folder itself, before anything was made in it.
	rights("", 0o555)
	if _, err := f.box.Look(t.Context(), f.now); !errors.Is(err, os.ErrPermission) {
		t.Fatalf("a folder that cannot be written: %v", err)
	}
	rights("", 0o755)

	// The same once it is in use: nothing can be taken or put there.
	f.drop("week.xlsx", workbook("Cold Brook", week49, "a"))
	f.look(0)
	rights("", 0o555)
	if got := f.look(3 * time.Second); got.Taken+got.Finished != 0 || got.Waiting != 1 {
		t.Errorf("%+v", got)
	}
	f.wantSaid("could not be taken and is tried again: permission denied")
	rights("", 0o755)
	if got := f.look(time.Second); got.Finished != 1 {
		t.Errorf("%+v", got)
	}

	// A file nobody may read.
	f.drop("week.xlsx", workbook("Cold Brook", week49, "b"))
	rights("week.xlsx", 0)
	f.settle()
	if got := f.look(time.Minute); got.Waiting != 1 {
		t.Errorf("%+v", got)
	}
	f.wantSaid("it cannot be read")
	rights("week.xlsx", 0o644)

	// The archive: the results stand, once, and the rest follows later.
	rights("archive/"+week49, 0o555)
	for range 3 {
		if got := f.settle(); got.Finished != 0 || got.Left != 1 {
			t.Errorf("%+v", got)
		}
	}
	f.wantSaid("filing it away did not work (permission denied). It is tried again.")
	f.record("2026-11-30 Cold Brook edition 2")
	rights("archive/"+week49, 0o755)
	if got := f.settle(); got.Finished != 1 {
		t.Errorf("%+v", got)
	}
	if want := []string{"Cold Brook 2026-11-30 1", "Cold Brook 2026-11-30 2"}; !slices.Equal(f.made, want) {
		t.Errorf("made %q, want %q", f.made, want)
	}

	// The folder of the rejected.
	f.drop("bad.xlsx", workbook("refuse", "", "a"))
	f.settle()
	f.drop("worse.xlsx", workbook("refuse", "", "b"))
	rights("rejected", 0o555)
	if got := f.settle(); got.Rejected != 0 || got.Left != 1 {
		t.Errorf("%+v", got)
	}
	rights("rejected", 0o755)
	if got := f.settle(); got.Rejected != 1 {
		t.Errorf("%+v", got)
	}
	if left := work(t, dir); len(left) > 0 {
		t.Errorf("left: %q", left)
	}
}
