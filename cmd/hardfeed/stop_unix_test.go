//go:build unix

package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"hardfeed/templates"
)

// What is not a file, whatever it is called, is refused at once; nothing waits for it.
func TestPipesAndDevicesAreRefused(t *testing.T) {
	t.Chdir(t.TempDir())
	for name, make := range map[string]func(string) error{
		"pipe.xlsx":   func(n string) error { return syscall.Mkfifo(n, 0o640) },
		"device.xlsx": func(n string) error { return os.Symlink("/dev/zero", n) },
		"end.xlsx":    func(n string) error { return os.Symlink("/dev/null", n) },
		"folder.xlsx": func(n string) error { return os.Mkdir(n, 0o750) },
		"loop.xlsx":   func(n string) error { return os.Symlink(n, n) },
	} {
		if err := make(name); err != nil {
			t.Fatal(err)
		}
		for _, args := range [][]string{{"check", name}, {"run", name}, {"why", name, "Gannet"}, {name}, {"watch", name, "--once"}, {"send", name}} {
			if name == "folder.xlsx" && (args[0] == "watch" || args[0] == "send") {
				continue
			}
			var words bytes.Buffer
			hangs := time.AfterFunc(time.Minute, func() { panic(fmt.Sprint(args, " waits for something")) })
			code := run(t.Context(), args, strings.NewReader(""), io.Discard, &words)
			hangs.Stop()
			if code != exitNothing || strings.Count(words.String(), "\n") != 1 || !strings.HasPrefix(words.String(), "hardfeed: ") {
				t.Errorf("%v: exit code %d, %q", args, code, words.String())
			}
		}
	}
	if names := namesIn(t, "."); len(names) != 5 {
		t.Errorf("left: %v", names)
	}
}

// A signal ends every command, with a sentence and nothing half done: also one that
// waits for something that never comes.
func TestASignalEndsEverything(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	big, err := templates.Demo()
	if err != nil {
		t.Fatal(err)
	}
	writeTo(t, "demo.xlsx", big)
	if err := errors.Join(syscall.Mkfifo("settings.yaml", 0o640), os.Mkdir("box", 0o750)); err != nil {
		t.Fatal(err)
	}
	for _, args := range [][]string{
		{"check", "demo.xlsx", "--config", "settings.yaml"}, // a pipe that nobody writes to
		{"run", "demo.xlsx", "--config", "settings.yaml"},
		{"watch", "box"},
	} {
		for _, sig := range []os.Signal{os.Interrupt, syscall.SIGTERM} {
			cmd := exec.Command("hardfeed", args...)
			words := &saidLines{}
			cmd.Stderr = words
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			hangs := time.AfterFunc(time.Minute, func() { cmd.Process.Kill() })
			if args[0] == "watch" {
				soon(t, "the watch", words, func() bool { return strings.Contains(words.String(), "Watching") })
			} else {
				// The pipe opens once the program waits at its other end.
				pipe, err := os.OpenFile("settings.yaml", os.O_WRONLY, 0)
				if err != nil {
					t.Fatal(err)
				}
				defer pipe.Close()
			}
			if err := cmd.Process.Signal(sig); err != nil {
				t.Fatal(err)
			}
			err := cmd.Wait()
			hangs.Stop()
			said := words.String()
			if exit, ok := errors.AsType[*exec.ExitError](err); ok && exit.ExitCode() == -1 || !strings.Contains(said, "topped") || strings.Contains(said, "context") {
				t.Errorf("%v, %v: %v, said %q", args, sig, err, said)
			}
		}
	}
	if names := namesIn(t, "."); !slices.Equal(names, []string{"box", "demo.xlsx", "settings.yaml"}) {
		t.Errorf("left: %v", names)
	}
}

// However long what it does takes, the program waits no longer than the grace.
func TestWhatDoesNotEndIsLeft(t *testing.T) {
	ctx, stop := contextThatStops(t)
	var words bytes.Buffer
	never := make(chan struct{})
	defer close(never)
	stop()
	start := time.Now()
	if code := inTime(ctx, time.Millisecond, &words, func() int { <-never; return 0 }); code != exitNothing || !strings.Contains(words.String(), "Stopped.") {
		t.Errorf("code %d, said %q", code, words.String())
	}
	t.Logf("it took %v", time.Since(start))
	if grace >= time.Second {
		t.Errorf("a signal ends the program after %v", grace)
	}
	if code := inTime(t.Context(), time.Hour, &words, func() int { return 7 }); code != 7 {
		t.Errorf("code %d", code)
	}
}

// The umask takes rights away from folders as from files.
func TestTheUmaskCounts(t *testing.T) {
	for _, c := range []struct {
		mask         int
		folder, file os.FileMode
	}{{0o077, 0o700, 0o600}, {0o027, 0o750, 0o640}, {0, 0o750, 0o640}} {
		dir := t.TempDir()
		settings := filepath.Join(t.TempDir(), "settings.yaml")
		writeTo(t, settings, []byte("mail:\n  host: localhost\n  port: 9\n  tls: none\n  from: a@example.org\n  to: [b@example.org]\nwatch:\n  settle_seconds: 0.05\n"))
		box := filepath.Join(dir, "box")
		if err := os.Mkdir(box, 0o750); err != nil {
			t.Fatal(err)
		}
		book := smallWorkbook(t, "Cold Brook", "2026-11-30", "Gannet", 500)
		for _, name := range []string{"box/small.xlsx", "small.xlsx"} {
			writeTo(t, filepath.Join(dir, filepath.FromSlash(name)), book)
		}
		for _, args := range [][]string{{"run", "small.xlsx", "-o", "out"}, {"watch", "box", "--once", "--config", settings}} {
			cmd := exec.Command("sh", append([]string{"-c", `umask "$1" && shift && exec hardfeed "$@"`, "sh", octal(c.mask)}, args...)...)
			cmd.Dir = dir
			if out, err := cmd.CombinedOutput(); err != nil {
				t.Fatalf("%v: %v\n%s", args, err, out)
			}
		}
		seen := 0
		err := filepath.Walk(dir, func(p string, info os.FileInfo, err error) error {
			if err != nil || p == dir || filepath.Base(p) == "box" || strings.HasSuffix(p, "small.xlsx") {
				return err
			}
			want := c.file
			if info.IsDir() {
				want = c.folder
			}
			if seen++; info.Mode().Perm() != want {
				t.Errorf("umask %03o: %s has rights %o, want %o", c.mask, p, info.Mode().Perm(), want)
			}
			return nil
		})
		if err != nil || seen < 20 {
			t.Errorf("looked at %d, %v", seen, err)
		}
	}
}
