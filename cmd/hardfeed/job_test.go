package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/spf13/pflag"

	"hardfeed/ration/yard"
	"hardfeed/report"
	"hardfeed/templates"
)

func newJob(words *bytes.Buffer, read source, dir string) job {
	return job{std: streams{&bytes.Buffer{}, words}, set: pflag.NewFlagSet("run", pflag.ContinueOnError),
		name: "week.xlsx", read: read, dir: dir}
}

// A panic anywhere below is reported as ours, with the workbook's name, and
// leaves nothing behind.
func TestAFaultOfOurs(t *testing.T) {
	parent := t.TempDir()
	var words bytes.Buffer
	j := newJob(&words, func() ([]byte, error) { panic("index out of range") }, filepath.Join(parent, "week"))
	code, err := j.run(t.Context())
	if code != exitNothing || err == nil {
		t.Fatalf("exit %d, %v", code, err)
	}
	for _, want := range []string{"week.xlsx", "index out of range", "The fault is in this program", "job_test.go"} {
		if !strings.Contains(err.Error(), want) {
			t.Errorf("the report lacks %q", want)
		}
	}
	if got := namesIn(t, parent); len(got) != 0 {
		t.Errorf("left behind: %v", got)
	}
}

func TestStoppedByHand(t *testing.T) {
	parent := t.TempDir()
	ctx, stop := context.WithCancel(t.Context())
	var words bytes.Buffer
	j := newJob(&words, func() ([]byte, error) {
		stop()
		return readDemo()
	}, filepath.Join(parent, "week"))
	if code, err := j.run(ctx); code != exitNothing || err != errStopped {
		t.Errorf("exit %d, %v", code, err)
	}
	if got := namesIn(t, parent); len(got) != 0 {
		t.Errorf("left behind: %v", got)
	}
}

func TestWhatTheConsoleSays(t *testing.T) {
	horse := func(name string, s yard.Status) yard.HorsePlan {
		return yard.HorsePlan{Horse: yard.Horse{Name: name}, Status: s}
	}
	p := yard.Plan{
		Week: yard.Week{Read: yard.Counts{Sheets: 1, Rows: 30, Horses: 3}},
		Horses: []yard.HorsePlan{horse("Ada", yard.Carded), horse("Bo", yard.Held),
			horse("Cy", yard.Held), horse("Di", yard.NoCard), horse("Ed", yard.Held), horse("Flo", yard.Carded)},
		Findings: []yard.Finding{
			{Rule: "D-02", Severity: yard.Stop, Horse: "Bo", Message: "Too\nfast."},
			{Rule: "D-30", Severity: yard.Note, Message: "A note."},
		},
	}
	p.Horses[1].HeldWhy = []yard.Saying{yard.Say("reason.step", yard.Kg("plan", 3), yard.Kg("now", 1), yard.Kg("mark", 1.4))}
	p.Horses[1].HardFeed = yard.HardFeedDay{Planned: yard.Known(3), Card: yard.Known(2.4)}
	p.Horses[3].NoCardWhy = []yard.Saying{yard.Say("reason.weight")}
	// Nobody knows what they had, and hard feed is on the card: it says to ask first.
	for _, i := range []int{4, 5} {
		p.Horses[i].Step.Verdict = yard.StepUnknown
		p.Horses[i].Servings = []yard.Serving{{Feed: "Oats", Class: yard.HardFeed, Kg: 0.5}}
	}
	p.Horses[4].HeldWhy = []yard.Saying{yard.Say("reason.now unknown", yard.Kg("plan", 2), yard.Kg("card", 0.5))}
	j := job{name: "week.xlsx", dir: "out"}
	run := func(change func(*jobFlags)) string {
		j := j
		change(&j.flags)
		return j.tell(p, []string{"cards.pdf", "results.json"}, []string{"notes.txt"})
	}
	want := "Read week.xlsx: 1 sheet, 30 rows, 3 horses. Planned: 6 horses.\nWritten to out: cards.pdf, results.json.\nYour own changes in that folder were kept: notes.txt.\n" +
		"No card: Di. We don't know the body weight. Weigh the horse, or measure girth and length.\n" +
		"Ask first: Ed. We don't know what hard feed this horse had last week.\nAsk first: Flo. We don't know what hard feed this horse had last week.\n" +
		"Less than planned: Bo. The plan was 3 kg of hard feed a day. That is too big a jump from 1 kg. The card has 2.4 kg.\nNot as planned: Cy.\n" +
		"To decide: 1. To do this week: 0. Good to know: 1. Read page 1 of office.pdf. Then print the cards and count them.\n"
	if got := run(func(*jobFlags) {}); got != want {
		t.Errorf("says\n%s\nwant\n%s", got, want)
	}
	if got := run(func(f *jobFlags) { f.verbose = true }); !strings.Contains(got, "DECIDE Bo: Too fast. (D-02)\n") || !strings.Contains(got, "GOOD TO KNOW: A note. (D-30)\n") {
		t.Errorf("--verbose says\n%s", got)
	}
	if got := run(func(f *jobFlags) { f.quiet = true }); strings.Contains(got, "Read ") || !strings.HasPrefix(got, "No card: Di.") {
		t.Errorf("--quiet says\n%s", got)
	}
	check := j
	check.dir = ""
	if got := check.tell(p, nil, nil); !strings.Contains(got, "DECIDE Bo: Too fast.\n") || strings.Contains(got, "D-02") || strings.Contains(got, "office.pdf") {
		t.Errorf("check says\n%s", got)
	}
	p.Horses = p.Horses[:1]
	if got := run(func(f *jobFlags) { f.quiet = true }); got != "" {
		t.Errorf("--quiet of a week without trouble says %q", got)
	}
}

// Twelve lines at most, however many horses there are: what was made, who has no card or
// less than planned, and where to read on.
func TestTheConsoleSaysAtMostTwelveLines(t *testing.T) {
	var p yard.Plan
	for i := range 40 {
		h := yard.HorsePlan{Horse: yard.Horse{Name: fmt.Sprint("Horse ", i)}, Status: []yard.Status{yard.Held, yard.NoCard, yard.Carded}[i%3]}
		p.Horses = append(p.Horses, h)
	}
	got := job{name: "week.xlsx", dir: "out"}.tell(p, []string{"cards.pdf"}, []string{"notes.txt"})
	if n := strings.Count(got, "\n"); n > 12 {
		t.Errorf("%d lines:\n%s", n, got)
	}
	for _, h := range p.Horses {
		if named := regexp.MustCompile(`\b` + h.Horse.Name + `\b`).MatchString(got); named != (h.Status != yard.Carded) {
			t.Errorf("%s is named: %v", h.Horse.Name, named)
		}
	}
}

// A whole run of the demo yard: read, plan, draw, write. Eighteen horses.
func BenchmarkDemo(b *testing.B) {
	dir := filepath.Join(b.TempDir(), "demo")
	for b.Loop() {
		var words bytes.Buffer
		if code, err := newJob(&words, readDemo, dir).run(b.Context()); code != exitDone || err != nil {
			b.Fatal(code, err)
		}
	}
}

// Whole runs of larger yards: time and memory a horse should not grow with them.
func BenchmarkRun(b *testing.B) {
	for _, horses := range []int{20, 100, 1_000, 3_000, 10_000} {
		data, err := templates.Many(horses, 1)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("%d horses", horses), func(b *testing.B) {
			b.ReportAllocs()
			dir := filepath.Join(b.TempDir(), "many")
			for b.Loop() {
				var words bytes.Buffer
				if _, err := newJob(&words, func() ([]byte, error) { return data, nil }, dir).run(b.Context()); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*horses), "µs/horse")
		})
	}
}

// The number of processors changes nothing in any file.
func TestTheSameFilesOnOneProcessor(t *testing.T) {
	data, err := templates.Many(40, 7)
	if err != nil {
		t.Fatal(err)
	}
	var want []report.File
	for _, n := range []int{1, 2, 5} {
		was := runtime.GOMAXPROCS(n)
		var words bytes.Buffer
		j := newJob(&words, func() ([]byte, error) { return data, nil }, filepath.Join(t.TempDir(), "many"))
		settings := defaultSettings()
		var made report.Shelf
		_, _, err := j.compute(t.Context(), settings, func(string) {}, func(fill func(report.To) error) error { return fill(made.To) })
		runtime.GOMAXPROCS(was)
		if err != nil {
			t.Fatal(err)
		}
		files := made.Files()
		if want == nil {
			want = files
		}
		if len(files) != len(want) || len(files) < 5 {
			t.Fatalf("%d files", len(files))
		}
		for i, f := range files {
			if f.Name != want[i].Name || !bytes.Equal(f.Bytes, want[i].Bytes) {
				t.Errorf("%s is another with %d processors", f.Name, n)
			}
		}
	}
}
