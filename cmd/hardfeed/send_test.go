package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"mime"
	"net"
	"net/mail"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/emersion/go-smtp"

	"hardfeed/report/post"
)

// letterBox is a mail server of another maker on this machine. Proofs of the
// conversation itself are in report/post.
type letterBox struct {
	mu  sync.Mutex
	got map[string][][]byte
}

func (b *letterBox) NewSession(*smtp.Conn) (smtp.Session, error) { return &letterSession{box: b}, nil }

type letterSession struct {
	box *letterBox
	to  string
}

func (s *letterSession) Mail(string, *smtp.MailOptions) error { return nil }
func (s *letterSession) Reset()                               {}
func (s *letterSession) Logout() error                        { return nil }
func (s *letterSession) Rcpt(to string, _ *smtp.RcptOptions) error {
	s.to = to
	if to == "away@example.org" {
		return &smtp.SMTPError{Code: 550, EnhancedCode: smtp.EnhancedCode{5, 1, 1}, Message: "no such mailbox"}
	}
	return nil
}

func (s *letterSession) Data(r io.Reader) error {
	eml, err := io.ReadAll(r)
	s.box.mu.Lock()
	defer s.box.mu.Unlock()
	s.box.got[s.to] = append(s.box.got[s.to], eml)
	return err
}

func (b *letterBox) start(t *testing.T) (port int) {
	t.Helper()
	b.got = map[string][][]byte{}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := smtp.NewServer(b)
	s.Domain = "localhost"
	go s.Serve(l)
	t.Cleanup(func() { s.Close() })
	return l.Addr().(*net.TCPAddr).Port
}

func mailSettings(port int, to ...string) Settings {
	s := defaultSettings()
	s.Mail.Host, s.Mail.Port, s.Mail.TLS, s.Mail.From, s.Mail.To = "localhost", port, post.NoTLS, "Cold Brook Yard <cards@example.org>", to
	return s
}

func demoFolder(t *testing.T) (dir string, results []byte) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "demo")
	if code := run(t.Context(), []string{"demo", "-o", dir}, nil, io.Discard, io.Discard); code != exitDone {
		t.Fatalf("the demo ended with %d", code)
	}
	results, err := os.ReadFile(filepath.Join(dir, resultsName))
	if err != nil {
		t.Fatal(err)
	}
	return dir, results
}

// What watch does: queued twice and delivered twice, an edition goes once; the
// next edition goes too; who is refused is named.
func TestAnEditionIsMailedOnce(t *testing.T) {
	box := &letterBox{}
	s := mailSettings(box.start(t), "Hattie Marsh <hattie@example.org>", "away@example.org", "sam@example.org")
	dir, results := demoFolder(t)
	outbox := filepath.Join(t.TempDir(), "outbox")
	var said strings.Builder
	say := func(format string, args ...any) { fmt.Fprintf(&said, format+"\n", args...) }
	for _, edition := range []int{1, 1, 2} {
		for range 2 {
			if err := s.queueMail(outbox, dir, results, edition); err != nil {
				t.Fatal(err)
			}
		}
		for range 2 {
			if err := s.deliverMail(t.Context(), outbox, say); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, to := range []string{"hattie@example.org", "sam@example.org"} {
		if n := len(box.got[to]); n != 2 {
			t.Errorf("%s has %d mails, want one of each edition", to, n)
			continue
		}
		for i, want := range []string{"week from 30 Nov 2026, less than planned: 2, ask first: 1", "week from 30 Nov 2026, version 2, less than planned: 2, ask first: 1"} {
			m, err := mail.ReadMessage(bytes.NewReader(box.got[to][i]))
			if err != nil {
				t.Fatal(err)
			}
			subject, err := new(mime.WordDecoder).DecodeHeader(m.Header.Get("Subject"))
			if err != nil || !strings.HasSuffix(subject, want) {
				t.Errorf("mail %d is %q, %v; want %q", i+1, subject, err, want)
			}
		}
	}
	if n := strings.Count(said.String(), "The mail to away@example.org was refused for good"); n != 2 {
		t.Errorf("the refused one is named %d times, want once an edition:\n%s", n, said.String())
	}
}

func TestWithoutAMailServerNothingIsQueued(t *testing.T) {
	s := defaultSettings()
	outbox := filepath.Join(t.TempDir(), "outbox")
	if err := s.queueMail(outbox, "nowhere", nil, 1); err != nil {
		t.Error(err)
	}
	if err := s.deliverMail(t.Context(), outbox, t.Errorf); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(outbox); err == nil {
		t.Error("an outbox was made")
	}
}

// A person who asks again gets what did not go, at once, and is told what had.
func TestSendAsksAgain(t *testing.T) {
	dir, _ := demoFolder(t)
	closed := mailSettings(9, "hattie@example.org", "away@example.org")
	try := func(s Settings, want int) string {
		t.Helper()
		var said strings.Builder
		code, err := s.send(t.Context(), streams{io.Discard, &said}, dir, false)
		if err != nil || code != want {
			t.Fatalf("ended with %d, want %d; %v\n%s", code, want, err, said.String())
		}
		return said.String()
	}
	try(closed, exitNotAll)
	box := &letterBox{}
	open := mailSettings(box.start(t), closed.Mail.To...)
	if said := try(open, exitNotAll); !strings.Contains(said, "Mailed to hattie@example.org") || !strings.Contains(said, "away@example.org was refused") {
		t.Errorf("said %s", said)
	}
	if said := try(open, exitNotAll); !strings.Contains(said, "hattie@example.org has this mail") || !strings.Contains(said, "away@example.org was refused") {
		t.Errorf("said %s", said)
	}
	open.Mail.To = []string{"hattie@example.org", "here@example.org"}
	try(open, exitDone)
	try(open, exitDone)
	if len(box.got["hattie@example.org"]) != 1 || len(box.got["here@example.org"]) != 1 || len(box.got["away@example.org"]) != 0 {
		t.Errorf("arrived: %d, %d, %d", len(box.got["hattie@example.org"]), len(box.got["here@example.org"]), len(box.got["away@example.org"]))
	}
}

func TestSendStopped(t *testing.T) {
	dir, _ := demoFolder(t)
	box := &letterBox{}
	s := mailSettings(box.start(t), "hattie@example.org")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if code, err := s.send(ctx, streams{io.Discard, io.Discard}, dir, false); err == nil && code == exitDone {
		t.Error("stopped, and said done")
	}
	if code, err := s.send(t.Context(), streams{io.Discard, io.Discard}, dir, false); err != nil || code != exitDone || len(box.got["hattie@example.org"]) != 1 {
		t.Errorf("%d, %v; %d arrived", code, err, len(box.got["hattie@example.org"]))
	}
}

// The mail shows the cards while no mail program cuts them off, and carries them as a
// file from there on; cards that are cut short stop it.
func TestTheCardsInTheMail(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "week")
	if code := run(t.Context(), []string{"demo", "-o", dir}, nil, io.Discard, io.Discard); code != exitDone {
		t.Fatal(code)
	}
	path := filepath.Join(dir, pageName)
	cards, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if len(cards) > mostPage {
		t.Fatalf("the demo's cards have %d bytes, too many for a mail", len(cards))
	}
	s := defaultSettings()
	for _, c := range []struct {
		name  string
		cards []byte
		shown bool
		files string
		fault string
	}{
		{"a small yard", cards, true, "cards.pdf, scoops.pdf", ""},
		{"a large one", append(slices.Clone(cards[:len(cards)-1]), strings.Repeat(" ", mostPage)+"\n"...), false, "cards.pdf, scoops.pdf, cards.html", ""},
		{"cut short", cards[:len(cards)/2], false, "", "its cards.html is damaged or cut short"},
		{"not there", nil, false, "", "its cards.html"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
				t.Fatal(err)
			}
			if c.cards != nil {
				if err := os.WriteFile(path, c.cards, 0o640); err != nil {
					t.Fatal(err)
				}
			}
			page, sheets, err := s.sheets(dir)
			if c.fault != "" {
				if err == nil || !strings.Contains(err.Error(), c.fault) {
					t.Errorf("it says %v", err)
				}
				return
			}
			var names []string
			for _, a := range sheets {
				names = append(names, a.Name)
			}
			if err != nil || (page != "") != c.shown || c.shown && page != string(cards) || strings.Join(names, ", ") != c.files {
				t.Errorf("%d bytes are shown, with %v (%v)", len(page), names, err)
			}
		})
	}
}
