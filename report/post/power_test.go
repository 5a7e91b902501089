package post

import (
	"errors"
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

// boxOn is an outbox on a disk.
func boxOn(d disk.FS) Outbox {
	return Outbox{Dir: "outbox", open: func() (disk.FS, error) { return disk.Steady(d), nil }}
}

// arrivals are the mails that came, told apart by whether they carry the notice.
type arrivals struct{ plain, noticed int }

func arrived(s *mailServer, to string) (a arrivals) {
	for _, eml := range s.deliveries(to) {
		if strings.Contains(string(eml), "ALREADY") {
			a.noticed++
		} else {
			a.plain++
		}
	}
	return a
}

// The power goes after every step of adding two messages and delivering them. Whatever
// was added is delivered by the next passes, once, or a second time and says so.
func TestPowerCutsOfTheOutbox(t *testing.T) {
	clock := time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)
	now := func() time.Time { return clock }
	random := rand.New(rand.NewPCG(4, 25))
	m := disktest.New(now)
	s := (&mailServer{}).start(t)
	added := map[string]bool{}
	steps, states, twice := 0, 0, 0
	m.OnChange(func(step string) {
		steps++
		before := map[string]arrivals{hattie: arrived(s, hattie), robin: arrived(s, robin)}
		for way := range 3 {
			states++
			found := m.PowerCut(func(n int) int { return []int{0, n - 1, random.IntN(n)}[way] })
			what := fmt.Sprintf("power cut after %s (%d)", step, way)
			after := (&mailServer{}).start(t)
			o := boxOn(found)
			// Whoever added a message and was cut off adds it again: the drop folder and
			// a person do.
			for _, to := range []string{hattie, robin} {
				if !added[to] {
					continue
				}
				room, err := o.Room(messageTo(to).Key)
				if err != nil || room == "" && before[to] == (arrivals{}) {
					t.Errorf("%s: the message to %s is lost: in %q, %v", what, to, room, err)
				}
			}
			for _, to := range []string{hattie, robin} {
				if err := o.Add(messageTo(to)); err != nil {
					t.Errorf("%s: adding again: %v", what, err)
				}
			}
			for pass := range 3 {
				if _, err := o.Deliver(t.Context(), after.server(), func() time.Time { return clock.Add(time.Duration(pass) * time.Hour) }); err != nil {
					t.Errorf("%s: delivering: %v", what, err)
				}
			}
			for to, had := range before {
				got := arrived(after, to)
				all := arrivals{had.plain + got.plain, had.noticed + got.noticed}
				switch {
				case all.plain+all.noticed == 0:
					t.Errorf("%s: the mail to %s never came", what, to)
				case all.plain > 1:
					t.Errorf("%s: the mail to %s came twice and does not say so", what, to)
				case all.plain+all.noticed == 2:
					twice++
				case all.plain+all.noticed > 2:
					t.Errorf("%s: the mail to %s came %d times", what, to, all.plain+all.noticed)
				}
				if room, err := o.Room(messageTo(to).Key); room != sent || err != nil {
					t.Errorf("%s: the message to %s lies in %q, %v", what, to, room, err)
				}
			}
		}
	})
	o := boxOn(m)
	for _, to := range []string{hattie, robin} {
		if err := o.Add(messageTo(to)); err != nil {
			t.Fatal(err)
		}
		added[to] = true
	}
	if pass, err := o.Deliver(t.Context(), s.server(), now); err != nil || len(pass.Sent) != 2 {
		t.Errorf("%+v, %v", pass, err)
	}
	m.OnChange(nil)
	t.Logf("%d steps, %d states of the disk, %d mails a second time, saying so", steps, states, twice)
	if steps < 40 || twice == 0 {
		t.Errorf("%d steps, %d twice", steps, twice)
	}
}

// Every call on the disk fails once, in turn: no message is lost, and none goes twice
// without saying so.
func TestEveryCallOfTheOutboxFails(t *testing.T) {
	clock := time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)
	for _, lost := range []bool{false, true} {
		for at := 1; ; at++ {
			m := disktest.New(func() time.Time { return clock })
			s := (&mailServer{}).start(t)
			n, failed := 0, ""
			var mu sync.Mutex
			fail := func(call, name string) error {
				mu.Lock()
				defer mu.Unlock()
				if n++; n != at {
					return nil
				}
				failed = call + " " + name
				return map[bool]error{false: syscall.ENOSPC, true: syscall.EIO}[lost]
			}
			faulty := disktest.Faults{FS: m, Before: fail}
			if lost {
				faulty = disktest.Faults{FS: m, Before: func(string, string) error { return nil }, After: fail}
			}
			o := boxOn(faulty)
			_ = errors.Join(o.Add(messageTo(hattie)), o.Add(messageTo(robin)))
			for pass := range 3 {
				o.Deliver(t.Context(), s.server(), func() time.Time { return clock.Add(time.Duration(pass) * 2 * time.Hour) })
			}
			o = boxOn(m)
			for _, to := range []string{hattie, robin} {
				if err := o.Add(messageTo(to)); err != nil {
					t.Fatal(err)
				}
			}
			if _, err := o.Deliver(t.Context(), s.server(), func() time.Time { return clock.Add(24 * time.Hour) }); err != nil {
				t.Errorf("%s: %v", failed, err)
			}
			for _, to := range []string{hattie, robin} {
				if got := arrived(s, to); got.plain+got.noticed == 0 || got.plain > 1 || got.plain+got.noticed > 2 {
					t.Errorf("call %d (%s), lost %v: to %s came %+v", at, failed, lost, to, got)
				}
				if room, err := o.Room(messageTo(to).Key); room != sent || err != nil {
					t.Errorf("call %d (%s): the message to %s lies in %q, %v", at, failed, to, room, err)
				}
			}
			if failed == "" {
				t.Logf("lost answers %v: %d calls", lost, at)
				break
			}
		}
	}
}

// Two programs whose locks do not see each other deliver at once: each mail comes, and
// one that comes twice says so.
func TestTwoDeliverWithoutACommonLock(t *testing.T) {
	clock := time.Date(2026, 11, 30, 6, 0, 0, 0, time.UTC)
	twice := 0
	for range 15 {
		m := disktest.New(func() time.Time { return clock })
		s := (&mailServer{}).start(t)
		var all sync.WaitGroup
		for _, o := range []Outbox{boxOn(m), boxOn(m.AnotherMachine())} {
			all.Go(func() {
				for _, to := range []string{hattie, robin, sam} {
					o.Add(messageTo(to))
				}
				for pass := range 4 {
					o.Deliver(t.Context(), s.server(), func() time.Time { return clock.Add(time.Duration(pass) * 2 * time.Hour) })
				}
			})
		}
		all.Wait()
		o := boxOn(m)
		if _, err := o.Deliver(t.Context(), s.server(), func() time.Time { return clock.Add(48 * time.Hour) }); err != nil {
			t.Error(err)
		}
		for _, to := range []string{hattie, robin, sam} {
			got := arrived(s, to)
			if got.plain+got.noticed == 0 || got.plain > 1 {
				t.Errorf("to %s came %+v", to, got)
			}
			if got.plain+got.noticed > 1 {
				twice++
			}
			if room, err := o.Room(messageTo(to).Key); room != sent || err != nil {
				t.Errorf("the message to %s lies in %q, %v", to, room, err)
			}
		}
	}
	t.Logf("%d of 45 mails came twice and said so", twice)
}
