package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"hardfeed/ingest/inbox"
	"hardfeed/report"
	"hardfeed/report/words"
)

var kills = flag.Int("kills", 12, "how many times the crash test kills the program")

// killAt names the step before which hardfeed-killed kills itself.
const killAt = "TEST_KILL_AT"

// mainKilled is the program, but that it dies by SIGKILL just before a step.
func mainKilled() {
	at := os.Getenv(killAt)
	atStep = func(step string) {
		if step != at {
			return
		}
		if self, err := os.FindProcess(os.Getpid()); err == nil {
			self.Kill()
		}
		select {} // the signal is on its way
	}
	mainOfTests()
}

// jobStep is a step of a job, and what must lie in the folder for it to be
// reached: a workbook that is new, one that cannot be read, or one done before.
type jobStep struct{ step, needs string }

func jobSteps() (all []jobStep) {
	done, refused, again := inbox.Steps()
	for needs, steps := range map[string][]string{"new": append(done, "mail begins", "mail is being taken", "mail was taken"), "bad": refused[2:], "same": again[2:]} {
		for _, s := range steps {
			all = append(all, jobStep{s, needs})
		}
	}
	slices.SortFunc(all, func(a, b jobStep) int { return strings.Compare(a.step, b.step) })
	return all
}

// Killed before every step and at any moment, and started again, the program
// ends with exactly one complete result of each edition of each workbook, and
// none is ever seen in part.
func TestKilledAndStartedAgain(t *testing.T) {
	const lanes = 2
	jobSteps := jobSteps()
	for lane := range lanes {
		t.Run(fmt.Sprint(lane), func(t *testing.T) {
			t.Parallel()
			random := rand.New(rand.NewPCG(uint64(lane), 5))
			byStep := map[string]int{}
			post := newMailServer(t)
			next := lane * len(jobSteps) / lanes
			for killed := 0; killed < *kills/lanes; {
				c := newCrash(t, inMemory(t), random)
				c.mailTo(post)
				for n := 0; n < 2*len(jobSteps) && killed < *kills/lanes; n++ {
					var died bool
					if n%3 == 2 {
						c.drop([]string{"new", "new", "bad", "same"}[random.IntN(4)])
						if died = c.killAtRandom(program); died {
							byStep["any moment"]++
						}
					} else {
						s := jobSteps[next%len(jobSteps)]
						next++
						c.drop(s.needs)
						if died = c.killAtStep(s.step); !died {
							t.Fatalf("the step %s was not reached", s.step)
						}
						byStep[s.step]++
					}
					if died {
						killed++
					}
				}
				c.end(program)
				c.checkMail()
			}
			t.Logf("killed: %v; %d mails, %d of them a second time", byStep, post.first, post.second)
			if *kills/lanes*2/3 < len(jobSteps) {
				return // too few for a round of all
			}
			for _, s := range jobSteps {
				if byStep[s.step] == 0 {
					t.Errorf("never killed before %s", s.step)
				}
			}
		})
	}
}

// crash is one drop folder and what was put into it.
type crash struct {
	t      *testing.T
	dir    string
	random *rand.Rand
	n      int
	good   map[string]string // SHA-256 -> yard
	bad    map[string]bool   // SHA-256
	last   []byte            // a workbook whose results stand
	post   *mailServer
	config string // settings file, if mail goes
}

func newCrash(t *testing.T, place string, random *rand.Rand) *crash {
	dir, err := os.MkdirTemp(place, "box")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	return &crash{t: t, dir: dir, random: random, good: map[string]string{}, bad: map[string]bool{}}
}

// inMemory is a place where files cost no disk. To a process that is killed it is
// as good as a disk; a power cut is another matter.
func inMemory(t *testing.T) string {
	if info, err := os.Stat("/dev/shm"); err == nil && info.IsDir() {
		return "/dev/shm"
	}
	return t.TempDir()
}

func smallWorkbook(t testing.TB, yard, week, horse string, kg int) []byte {
	t.Helper()
	data, err := workbookOf(fmt.Sprintf(`
[yard]
Yard | %s
Week beginning | %s
Meals | Breakfast 7:00, Tea 17:00
[horses]
Horse | Weight (kg) | How weighed | Score | Fitness
%s | %d | scale | 5 | hard
[work]
Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun
%[3]s | hack 60 | rest | hack 60 | rest | hack 60 | hack 60 | rest
[feeds]
Feed | Kind | What it is | One measure (kg)
Hay | forage | grass hay |
Oats | hard feed | oats | 1
[rations]
Horse | Feed | Now | Planned
%[3]s | Hay | 9 kg | 9 kg
%[3]s | Oats | 1 kg | 1 kg
`, yard, week, horse, kg))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

func sum(data []byte) string {
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

// drop puts a workbook into the folder as a copy does: under a temporary name,
// then renamed.
func (c *crash) drop(kind string) {
	c.n++
	var data []byte
	switch {
	case kind == "bad":
		data = fmt.Appendf(nil, "not a workbook %d", c.n)
		c.bad[sum(data)] = true
	case kind == "same" && c.last != nil:
		data = c.last
	default:
		yard := []string{"Cold Brook", "Far End"}[c.random.IntN(2)]
		data = smallWorkbook(c.t, yard, []string{"2026-11-23", "2026-11-30"}[c.random.IntN(2)], "Gannet", 450+c.n)
		c.good[sum(data)] = yard
		if kind == "same" {
			c.put(data)
			c.finish("hardfeed")
		}
		c.last = data
	}
	c.put(data)
}

func (c *crash) put(data []byte) {
	c.n++
	name := filepath.Join(c.dir, fmt.Sprintf("week %d.xlsx", c.n))
	if err := errors.Join(os.WriteFile(name+".tmp", data, 0o640), os.Rename(name+".tmp", name)); err != nil {
		c.t.Fatal(err)
	}
}

func (c *crash) command(program string, env ...string) *exec.Cmd {
	cmd := exec.Command(program, "watch", c.dir, "--once")
	if c.config != "" {
		cmd.Args = append(cmd.Args, "--config", c.config)
	}
	cmd.Env = append(os.Environ(), append(env, "HARDFEED_WATCH_SETTLE_SECONDS=0.05")...)
	return cmd
}

// killed says whether a program that has ended was killed rather than done.
func killed(err error) bool {
	exit, ok := errors.AsType[*exec.ExitError](err)
	return ok && exit.ExitCode() == -1
}

func (c *crash) killAtStep(step string) bool {
	c.t.Helper()
	if step == "again" || step == "clearing" {
		c.finishLast()
	}
	var words bytes.Buffer
	cmd := c.command("hardfeed-killed", killAt+"="+step)
	cmd.Stderr = &words
	begun := make(chan struct{})
	disarm := c.post.arm(step, func() {
		<-begun
		cmd.Process.Kill()
	})
	if err := cmd.Start(); err != nil {
		c.t.Fatal(err)
	}
	close(begun)
	err := cmd.Wait()
	disarm()
	c.check()
	if !killed(err) {
		c.t.Logf("%v\n%s", err, words.String())
	}
	return killed(err)
}

// finishLast sees that the workbook that lies there a second time was done.
func (c *crash) finishLast() {
	records, err := filepath.Glob(filepath.Join(c.dir, "archive", "*", "*", "job.json"))
	if err != nil {
		c.t.Fatal(err)
	}
	for _, r := range records {
		if data, err := os.ReadFile(r); err == nil && bytes.Contains(data, []byte(sum(c.last))) {
			return
		}
	}
	c.finish("hardfeed")
	c.put(c.last)
}

func (c *crash) killAtRandom(program string) bool {
	c.t.Helper()
	cmd := c.command(program)
	if c.random.IntN(2) == 0 {
		cmd.Args = slices.DeleteFunc(cmd.Args, func(a string) bool { return a == "--once" }) // until killed
	}
	if err := cmd.Start(); err != nil {
		c.t.Fatal(err)
	}
	// Somewhere within what such a run takes, on a quick machine as on a slow one:
	// short waits are as likely as long ones. It may end first; that is not a kill.
	wait := time.Duration(float64(time.Millisecond) * 10 * (1 + 60*c.random.Float64()*c.random.Float64()))
	ended := make(chan error, 1)
	go func() { ended <- cmd.Wait() }()
	over := time.After(wait)
	for {
		select {
		case err := <-ended:
			c.check()
			return killed(err)
		case <-over:
			over = nil
			cmd.Process.Kill()
		default:
			c.check() // what a person would see meanwhile
			time.Sleep(time.Millisecond)
		}
	}
}

// finish runs the program to its end.
func (c *crash) finish(program string) {
	c.t.Helper()
	out, err := c.command(program).CombinedOutput()
	if exit, ok := errors.AsType[*exec.ExitError](err); err != nil && (!ok || exit.ExitCode() != exitNothing) { // 2: a workbook was rejected
		c.t.Fatalf("%v\n%s", err, out)
	}
}

// check sees that every result folder in sight is whole.
func (c *crash) check() {
	c.t.Helper()
	for _, folder := range c.results() {
		for _, name := range report.NamesFor(words.Meta{}) {
			data, err := os.ReadFile(filepath.Join(c.dir, folder, name))
			whole := map[string]bool{
				".pdf":  bytes.HasPrefix(data, []byte("%PDF-")) && bytes.HasSuffix(bytes.TrimSpace(data), []byte("%%EOF")),
				".xlsx": bytes.HasPrefix(data, []byte("PK")),
				".json": json.Valid(data),
				".html": bytes.HasPrefix(data, []byte("<!DOCTYPE html>")) && bytes.HasSuffix(bytes.TrimSpace(data), []byte("</html>")),
			}[filepath.Ext(name)]
			if err != nil || !whole {
				c.t.Fatalf("%s/%s is in sight and not whole: %v", folder, name, err)
			}
		}
	}
}

// results lists the result folders.
func (c *crash) results() (names []string) {
	entries, err := os.ReadDir(c.dir)
	if err != nil {
		c.t.Fatal(err)
	}
	for _, e := range entries {
		if e.IsDir() && !slices.Contains([]string{"archive", "rejected", ".hardfeed"}, e.Name()) {
			names = append(names, e.Name())
		}
	}
	return names
}

// end runs the program to its end and takes stock.
func (c *crash) end(program string) {
	c.t.Helper()
	c.finish(program)
	c.finish(program) // nothing is left for a second time
	c.check()
	byRecord := map[string]string{} // results.json -> result folder
	for _, folder := range c.results() {
		data, err := os.ReadFile(filepath.Join(c.dir, folder, resultsName))
		if err != nil {
			c.t.Fatal(err)
		}
		if other, ok := byRecord[string(data)]; ok {
			c.t.Errorf("%s and %s are one result twice", folder, other)
		}
		byRecord[string(data)] = folder
	}
	type series struct{ yard, week string }
	editions := map[series][]int{}
	done, first := map[string]bool{}, map[string]bool{}
	jobs, err := filepath.Glob(filepath.Join(c.dir, "archive", "*", "*", "job.json"))
	if err != nil {
		c.t.Fatal(err)
	}
	for _, job := range jobs {
		var j struct {
			SHA256, Name, Yard, Week, Folder, Why string
			Edition                               int
		}
		data, err := os.ReadFile(job)
		if err == nil {
			err = json.Unmarshal(data, &j)
		}
		if err != nil {
			c.t.Fatal(err)
		}
		book, err := os.ReadFile(filepath.Join(filepath.Dir(job), j.Name))
		if err != nil || sum(book) != j.SHA256 || c.good[j.SHA256] != j.Yard || j.Why == "" && first[j.SHA256] || j.Why != "" && !strings.HasPrefix(j.Why, "record changed ") {
			c.t.Errorf("%s: the workbook is not the one dropped, or is there twice: %v", job, err)
		}
		done[j.SHA256] = true
		first[j.SHA256] = first[j.SHA256] || j.Why == ""
		record, err := os.ReadFile(filepath.Join(filepath.Dir(job), resultsName))
		if err != nil || byRecord[string(record)] != j.Folder {
			c.t.Errorf("%s: its results are not in %s: %v", job, j.Folder, err)
		}
		delete(byRecord, string(record))
		editions[series{j.Yard, j.Week}] = append(editions[series{j.Yard, j.Week}], j.Edition)
	}
	if len(done) != len(c.good) {
		c.t.Errorf("%d workbooks of %d were done", len(done), len(c.good))
	}
	for _, folder := range byRecord {
		c.t.Errorf("%s is a result of no workbook", folder)
	}
	for s, es := range editions {
		slices.Sort(es)
		for i, e := range es {
			if e != i+1 {
				c.t.Errorf("%v: the editions are %v", s, es)
				break
			}
		}
	}
	found := map[string]bool{}
	err = filepath.WalkDir(c.dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, _ := filepath.Rel(c.dir, p)
		rel = filepath.ToSlash(rel)
		switch dir, name, _ := strings.Cut(rel, "/"); {
		case d.IsDir() && (rel == ".hardfeed/work" || rel == ".hardfeed/new"):
			entries, err := os.ReadDir(p)
			if err != nil || len(entries) > 0 {
				c.t.Errorf("left in %s: %v %v", rel, entries, err)
			}
		case d.IsDir() || dir == "archive" || rel == ".hardfeed/lock" || strings.HasPrefix(rel, ".hardfeed/outbox/") || slices.Contains(c.results(), dir):
		case dir == "rejected" && strings.HasSuffix(name, ".xlsx"):
			data, err := os.ReadFile(p)
			if err != nil || !c.bad[sum(data)] || found[sum(data)] {
				c.t.Errorf("%s was not dropped so, or is there twice: %v", rel, err)
			}
			found[sum(data)] = true
			if _, err := os.Stat(strings.TrimSuffix(p, ".xlsx") + ".txt"); err != nil {
				c.t.Errorf("%s has no note: %v", rel, err)
			}
		case dir == "rejected" && strings.HasSuffix(name, ".txt"):
			if _, err := os.Stat(strings.TrimSuffix(p, ".txt") + ".xlsx"); err != nil {
				c.t.Errorf("%s is a note on nothing: %v", rel, err)
			}
		case name == "" && strings.Contains(dir, ", done before"):
		default:
			c.t.Errorf("left over: %s", rel)
		}
		return nil
	})
	if err != nil {
		c.t.Fatal(err)
	}
	if len(found) != len(c.bad) {
		c.t.Errorf("%d of %d workbooks that cannot be read were laid aside", len(found), len(c.bad))
	}
}
