//go:build unix

package post

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/emersion/go-smtp"
)

// The test binary, started with these set, is the process that is killed: it adds
// three messages to an outbox and delivers them.
const (
	killBox  = "POST_TEST_OUTBOX"
	killPort = "POST_TEST_PORT"
	killAt   = "POST_TEST_KILL_AT" // the how manyth step; 0: none
)

func TestMain(m *testing.M) {
	if os.Getenv(killBox) != "" {
		if err := addAndDeliver(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	debug.SetGCPercent(400)
	os.Exit(m.Run())
}

func addAndDeliver() error {
	at, err := strconv.Atoi(os.Getenv(killAt))
	if err != nil {
		return err
	}
	port, err := strconv.Atoi(os.Getenv(killPort))
	if err != nil {
		return err
	}
	n := 0
	o := Outbox{Dir: os.Getenv(killBox), at: func(step string) {
		n++
		fmt.Printf("%s\n", step)
		if n == at {
			die()
		}
	}}
	for _, to := range []string{hattie, robin, sam} {
		if err := o.Add(messageTo(to)); err != nil {
			return err
		}
	}
	// No TLS, as only to this machine: the conversation after it is the same.
	_, err = o.Deliver(context.Background(), Server{Host: "localhost", Port: port, TLS: NoTLS}, time.Now)
	return err
}

// die is not a panic and no exit: nothing of ours runs any more.
func die() {
	syscall.Kill(os.Getpid(), syscall.SIGKILL)
	select {}
}

// run starts the process and returns the steps it came to, and whether it was
// killed.
func runKilled(t *testing.T, dir string, port, at int, started func(*os.Process)) (steps []string, killed bool) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	// Under the race detector a process would sleep for a second at its end.
	cmd.Env = append(os.Environ(), "GORACE=atexit_sleep_ms=0", killBox+"="+dir, killPort+"="+strconv.Itoa(port), killAt+"="+strconv.Itoa(at))
	var out, complaint bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &complaint
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	if started != nil {
		started(cmd.Process)
	}
	err := cmd.Wait()
	steps = strings.Split(strings.TrimSpace(out.String()), "\n")
	if err == nil {
		return steps, false
	}
	exit, ok := errors.AsType[*exec.ExitError](err)
	if !ok || !exit.Sys().(syscall.WaitStatus).Signaled() {
		t.Fatalf("the process failed: %v\n%s", err, complaint.String())
	}
	return steps, true
}

var long = flag.Bool("long", false, "kill at every step of every message, not of one")

// stepsToKillAt are the numbers of the steps of a run: all, or of each sort the one of the
// first, the second or the third message.
func stepsToKillAt(t *testing.T) (at []int) {
	t.Helper()
	steps, _ := runKilled(t, filepath.Join(t.TempDir(), "outbox"), (&mailServer{tls: NoTLS}).start(t).addr.Port, 0, nil)
	if len(steps) < 30 {
		t.Errorf("a run has only %d steps", len(steps))
	}
	met, turn := map[string]int{}, map[string]int{}
	for i, step := range steps {
		if _, known := turn[step]; !known {
			turn[step] = len(turn) % 3
		}
		if *long || met[step] == turn[step] {
			at = append(at, i+1)
		}
		met[step]++
	}
	return at
}

// Killed at every step of every message, and started again: each message arrives
// once; where it was killed after the claim, the message goes (again) with the
// notice.
func TestKilledAtEveryStep(t *testing.T) {
	seen, inDoubt, twice := map[string]int{}, 0, 0
	for _, at := range stepsToKillAt(t) {
		s := (&mailServer{tls: NoTLS}).start(t)
		dir := filepath.Join(t.TempDir(), "outbox")
		steps, killed := runKilled(t, dir, s.addr.Port, at, nil)
		if !killed {
			t.Fatalf("step %d was not reached", at)
		}
		step := steps[len(steps)-1]
		seen[step]++
		if again, killed := runKilled(t, dir, s.addr.Port, 0, nil); killed {
			t.Fatalf("killed the second time at %v", again)
		}
		// A third start finds nothing to do.
		runKilled(t, dir, s.addr.Port, 0, nil)
		doubt, notices := step == "after claim" || step == "taken, not noted", 0
		if doubt {
			inDoubt++
		}
		for _, to := range []string{hattie, robin, sam} {
			got := s.deliveries(to)
			switch {
			case len(got) == 1 && !strings.Contains(string(got[0]), "ALREADY"):
			case len(got) == 1 && step == "after claim":
				notices++
			case len(got) == 2 && step == "taken, not noted":
				sameButForTheNotice(t, got[0], got[1])
				notices++
				twice++
			default:
				t.Errorf("killed at %q (step %d): %s has %d mails", step, at, to, len(got))
			}
			if r := room(t, Outbox{Dir: dir}, to); r != "sent" {
				t.Errorf("killed at %q (step %d): the message to %s lies in %q", step, at, to, r)
			}
		}
		if want := map[bool]int{true: 1}[doubt]; notices != want {
			t.Errorf("killed at %q (step %d): %d mails with the notice, want %d", step, at, notices, want)
		}
		for _, left := range []string{waiting, sending, refused} {
			if entries, err := os.ReadDir(filepath.Join(dir, left)); err != nil || len(entries) > 0 {
				t.Errorf("killed at %q: %v left in %s, %v", step, entries, left, err)
			}
		}
		if files := filesUnder(t, filepath.Join(dir, sent)); strings.Contains(files, "Content-Type") {
			t.Errorf("killed at %q: a sent message is still kept", step)
		}
	}
	for _, step := range []string{"before writing", "half written", "written", "added, not lasting", "added",
		"before connecting", "connected", "recipient taken", "half sent", "before claim", "after claim", "taken, not noted", "noted"} {
		if want := map[bool]int{false: 1, true: 3}[*long]; seen[step] != want {
			t.Errorf("killed at %q %d times, want %d", step, seen[step], want)
		}
	}
	t.Logf("killed %v; %d times in the one moment, %d mails arrived twice", seen, inDoubt, twice)
}

// Killed by somebody else once the server has the message whole, before its
// answer goes out: nothing on this side could know.
func TestKilledWhileTheServerAnswers(t *testing.T) {
	for nth := 1; nth <= 3; nth++ {
		victim := make(chan *os.Process, 1)
		n := 0
		s := &mailServer{tls: NoTLS}
		s.data = func(_ *smtp.Conn, _ string) error {
			if n++; n == nth {
				p := <-victim
				p.Kill()
			}
			return errTaken
		}
		s.start(t)
		dir := filepath.Join(t.TempDir(), "outbox")
		if _, killed := runKilled(t, dir, s.addr.Port, 0, func(p *os.Process) { victim <- p }); !killed {
			t.Fatal("it was not killed")
		}
		if _, killed := runKilled(t, dir, s.addr.Port, 0, nil); killed {
			t.Fatal("killed the second time")
		}
		twice := 0
		for _, to := range []string{hattie, robin, sam} {
			switch got := s.deliveries(to); len(got) {
			case 1:
				if strings.Contains(string(got[0]), "ALREADY") {
					t.Errorf("%s has one mail, with the notice", to)
				}
			case 2:
				twice++
				sameButForTheNotice(t, got[0], got[1])
			default:
				t.Errorf("%s has %d mails", to, len(got))
			}
		}
		if twice != 1 {
			t.Errorf("%d mails arrived twice, want the one in its moment", twice)
		}
	}
}
