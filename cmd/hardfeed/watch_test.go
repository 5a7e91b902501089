package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode"
	"unicode/utf8"

	"hardfeed/templates"
)

var drops = flag.Int("drops", 12, "how many workbooks are dropped at once")

// A folder full of workbooks at once: each is done, none twice.
func TestManyWorkbooksAtOnce(t *testing.T) {
	c := newCrash(t, t.TempDir(), rand.New(rand.NewPCG(1, 5)))
	for range *drops {
		c.drop("new")
	}
	c.drop("bad")
	c.end("hardfeed")
}

// saidLines gathers what a program says while it runs.
type saidLines struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *saidLines) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *saidLines) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// soon waits for something that will happen; the limit is for a program that hangs.
func soon(t *testing.T, what string, l *saidLines, is func() bool) {
	t.Helper()
	for end := time.Now().Add(2 * time.Minute); !is(); time.Sleep(10 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("%s did not come about; said:\n%s", what, l)
		}
	}
}

func exists(parts ...string) bool {
	_, err := os.Stat(filepath.Join(parts...))
	return err == nil
}

// started runs the watch command until it is stopped.
func started(t *testing.T, dir string, env ...string) (*exec.Cmd, *saidLines) {
	t.Helper()
	said := &saidLines{}
	cmd := exec.Command("hardfeed", "watch", dir)
	cmd.Stderr = said
	cmd.Env = append(os.Environ(), append(env, "HARDFEED_WATCH_SETTLE_SECONDS=0.05")...)
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { cmd.Process.Kill(); cmd.Wait() })
	soon(t, "the watch", said, func() bool { return strings.Contains(said.String(), "Watching") })
	return cmd, said
}

// With an hour between looks only the system's word that something changed can
// bring the workbook in.
func TestAChangeIsHeardOf(t *testing.T) {
	dir := t.TempDir()
	_, said := started(t, dir, "HARDFEED_WATCH_LOOK_EVERY_SECONDS=3600")
	book := smallWorkbook(t, "Cold Brook", "2026-11-30", "Gannet", 500)
	if err := os.WriteFile(filepath.Join(dir, "week.xlsx"), book, 0o640); err != nil {
		t.Fatal(err)
	}
	soon(t, "the result", said, func() bool { return exists(dir, "2026-11-30 Cold Brook", "cards.pdf") })
}

func TestWatchUntilStopped(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "box")
	if err := os.Mkdir(dir, 0o750); err != nil {
		t.Fatal(err)
	}
	cmd, said := started(t, dir, "HARDFEED_WATCH_LOOK_EVERY_SECONDS=0.1")
	put := func(week string, kg int) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(dir, week+".xlsx"), smallWorkbook(t, "Cold Brook", week, "Gannet", kg), 0o640); err != nil {
			t.Fatal(err)
		}
	}
	put("2026-11-23", 500)
	soon(t, "the first", said, func() bool { return exists(dir, "archive", "2026-11-23", "Cold Brook edition 1") })

	var second bytes.Buffer
	if code := run(t.Context(), []string{"watch", dir}, nil, nil, &second); code != exitNothing || !strings.Contains(second.String(), "Another hardfeed is watching") {
		t.Errorf("a second watcher: %d %s", code, second.String())
	}

	// The folder goes and comes back.
	if err := os.Rename(dir, dir+" gone"); err != nil {
		t.Fatal(err)
	}
	soon(t, "a word that the folder is gone", said, func() bool { return strings.Contains(said.String(), "There is no folder") })
	if err := os.Rename(dir+" gone", dir); err != nil {
		t.Fatal(err)
	}
	put("2026-11-30", 510)
	soon(t, "the second", said, func() bool { return exists(dir, "archive", "2026-11-30", "Cold Brook edition 1") })
	if n := strings.Count(said.String(), "There is no folder"); n != 1 {
		t.Errorf("that the folder is gone is said %d times", n)
	}

	// Another folder in its place at once: nothing tells of that.
	if err := os.Rename(dir, dir+" old"); err != nil {
		t.Fatal(err)
	}
	if err := os.Mkdir(dir, 0o750); err != nil {
		t.Fatal(err)
	}
	put("2026-12-07", 520)
	soon(t, "the third", said, func() bool { return exists(dir, "archive", "2026-12-07", "Cold Brook edition 1") })

	if runtime.GOOS == "windows" {
		return // there is no signal to send
	}
	if err := cmd.Process.Signal(os.Interrupt); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil || !strings.Contains(said.String(), "Stopped.") {
		t.Errorf("stopped: %v\n%s", err, said)
	}
	for line := range strings.Lines(said.String()) {
		if _, err := time.Parse("2006-01-02 15:04:05", line[:min(19, len(line))]); err != nil {
			t.Errorf("a line without its time: %q", line)
		}
	}
}

// nastyNames are names as a yard, a person or a joker may write them.
var nastyNames = []string{
	".", "..", "../../escaped", `..\..\escaped`, "/tmp/escaped", `C:\escaped`, `\\server\share`, "C:", "a/b", "CON", "nul", "COM1", "LPT9.x", "aux ",
	"trailing.", "trailing. . ", " leading", "-rf", "--once", "a:b", "a*b?c", `<a>"b"`, "tab\tnew\nline\rend", "esc\x1b[31mred", "line\u2028par\u2029",
	"rtl\u202exslx.exe", "zero\u200bwidth", "e\u0301", "ﬁre", "Łódź", "Ωμέγα", "Конь", "馬", "🐴🏇", "👩‍🌾", "السّاكن", "שׁלום", "%s%n%d", "$(touch escaped)", "`touch escaped`",
	"=HYPERLINK(\"x\")", "'; drop table", "soft\u00adhyphen", "no\u00a0break", strings.Repeat("long", 60), strings.Repeat("🐴", 50), strings.Repeat("../", 40), "x\r\nBcc: everyone@example.org",
}

// Every nasty name through the whole run, as the name of the file, the yard, the
// horse and the feed: nothing leaves the folder, every name made of them is one
// that any file system takes, and every workbook is done or laid aside.
func TestNastyNames(t *testing.T) {
	around := t.TempDir()
	dir := filepath.Join(around, "box")
	if err := os.Mkdir(dir, 0o750); err != nil {
		t.Fatal(err)
	}
	put := 0
	for i, name := range nastyNames {
		day := time.Date(2026, 1, 5, 0, 0, 0, 0, time.UTC).AddDate(0, 0, 7*i).Format("2006-01-02")
		data, err := templates.Workbook([]templates.Sheet{
			{Name: "yard", Rows: [][]string{{"Yard", name}, {"Week beginning", day}}},
			{Name: "horses", Rows: [][]string{{"Horse", "Weight (kg)", "How weighed", "Score", "Fitness"}, {name, "500", "scale", "5", "hard"}}},
			{Name: "work", Rows: [][]string{{"Horse", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}, {name, "hack 60", "rest", "hack 60", "rest", "hack 60", "rest", "rest"}}},
			{Name: "feeds", Rows: [][]string{{"Feed", "Kind", "What it is", "One measure (kg)"}, {"Hay", "forage", "grass hay", ""}, {name, "hard feed", "oats", "1"}}},
			{Name: "rations", Rows: [][]string{{"Horse", "Feed", "Now", "Planned"}, {name, "Hay", "9 kg", "9 kg"}, {name, name, "1 kg", "1 kg"}}},
		})
		if err != nil {
			t.Fatal(err)
		}
		file := strings.Map(func(r rune) rune {
			if r == '/' || runtime.GOOS == "windows" && (r < ' ' || strings.ContainsRune(`<>:"\|?*`, r)) {
				return '+'
			}
			return r
		}, name)
		file = fmt.Sprintf("%.180s", strings.ToValidUTF8(file[:min(len(file), 180)], "")) + ".xlsx"
		if strings.HasPrefix(file, ".") || strings.HasPrefix(file, "~") { // these are left alone
			file = "x" + file
		}
		if err := os.WriteFile(filepath.Join(dir, file), data, 0o640); err != nil {
			t.Fatalf("%q: %v", file, err)
		}
		put++
	}
	var words bytes.Buffer
	t.Setenv("HARDFEED_WATCH_SETTLE_SECONDS", "0.05")
	code := run(t.Context(), []string{"watch", dir, "--once"}, nil, nil, &words)
	if code == exitNothing && !strings.Contains(words.String(), "rejected") {
		t.Fatalf("exit %d\n%s", code, words.String())
	}
	for line := range strings.Lines(words.String()) {
		if _, err := time.Parse("2006-01-02 15:04:05", line[:min(19, len(line))]); err != nil {
			t.Errorf("a name made a line of its own: %q", line)
		}
		for _, r := range strings.TrimSuffix(line, "\n") {
			if !unicode.IsGraphic(r) && r != '\u200c' && r != '\u200d' { // the joiners some scripts need are let be
				t.Errorf("%U reaches the terminal in %q", r, line)
			}
		}
	}
	if entries, err := os.ReadDir(around); err != nil || len(entries) != 1 {
		t.Errorf("beside the folder: %v %v", entries, err)
	}
	if exists("escaped") || exists("/tmp/escaped") {
		t.Error("something escaped")
	}
	results, archived, rejected := 0, 0, 0
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || p == dir {
			return err
		}
		rel, _ := filepath.Rel(dir, p)
		rel = filepath.ToSlash(rel)
		if n := d.Name(); rel != ".hardfeed" && (!utf8.ValidString(n) || len(n) > 200 || strings.ContainsAny(n, `<>:"/\|?*`) || strings.HasPrefix(n, ".") ||
			strings.TrimRight(n, ". ") != n || strings.ContainsFunc(n, func(r rune) bool { return !unicode.IsGraphic(r) })) {
			t.Errorf("%q is no name for every file system", rel)
		}
		top, _, nested := strings.Cut(rel, "/")
		switch {
		case !nested && !d.IsDir():
			t.Errorf("left lying: %q", rel)
		case top == "rejected" && strings.HasSuffix(rel, ".xlsx"):
			rejected++
		case top == "archive" && strings.Count(rel, "/") == 2:
			archived++
		case strings.HasPrefix(top, "2026-") && d.Name() == resultsName:
			results++
			data, err := os.ReadFile(p)
			if err != nil || !json.Valid(data) {
				t.Errorf("%q: %v", rel, err)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if results != archived || archived+rejected != put {
		t.Errorf("%d workbooks: %d results, %d in the archive, %d laid aside\n%s", put, results, archived, rejected, words.String())
	}
	if archived < put*9/10 {
		t.Errorf("only %d of %d could be done\n%s", archived, put, words.String())
	}
}
