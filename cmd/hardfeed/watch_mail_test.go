package main

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"net/mail"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/emersion/go-smtp"
)

// mailServer is a mail server of another maker on this machine, which can have
// the program killed while it hands over a mail.
type mailServer struct {
	t    *testing.T
	port int

	mu     sync.Mutex
	at     string // the moment at which kill is called, once
	kill   func()
	got    map[string][]taken // by Message-ID
	first  int                // mails taken for the first time
	second int
}

type taken struct {
	to     string
	notice bool // "you may already have this" is on top
}

func newMailServer(t *testing.T) *mailServer {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &mailServer{t: t, port: l.Addr().(*net.TCPAddr).Port, got: map[string][]taken{}}
	srv := smtp.NewServer(smtp.BackendFunc(func(*smtp.Conn) (smtp.Session, error) { return &mailSession{s: s}, nil }))
	srv.Domain = "localhost"
	srv.ErrorLog = quietLog{}
	go srv.Serve(l)
	t.Cleanup(func() { srv.Close() })
	return s
}

type quietLog struct{}

func (quietLog) Printf(string, ...any) {}
func (quietLog) Println(...any)        {}

// arm has kill called at a moment of the next mail. A moment that is none of the
// mail's never comes.
func (s *mailServer) arm(at string, kill func()) (disarm func()) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.at, s.kill = at, kill
	return func() { s.arm("", nil) }
}

func (s *mailServer) moment(at string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.at == at && s.kill != nil {
		s.kill()
		s.kill = nil
	}
}

type mailSession struct {
	s  *mailServer
	to string
}

func (x *mailSession) Mail(string, *smtp.MailOptions) error {
	x.s.moment("mail begins")
	return nil
}

func (x *mailSession) Rcpt(to string, _ *smtp.RcptOptions) error {
	x.to = to
	return nil
}

func (x *mailSession) Data(r io.Reader) error {
	first := make([]byte, 100)
	if _, err := io.ReadFull(r, first); err != nil {
		return err
	}
	x.s.moment("mail is being taken")
	rest, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	eml := append(first, rest...)
	m, err := mail.ReadMessage(bytes.NewReader(eml))
	if err != nil {
		x.s.t.Errorf("a mail that is none: %v", err)
		return err
	}
	x.s.mu.Lock()
	id := m.Header.Get("Message-Id")
	if len(x.s.got[id]) == 0 {
		x.s.first++
	} else {
		x.s.second++
	}
	x.s.got[id] = append(x.s.got[id], taken{x.to, bytes.Contains(eml, []byte("YOU MAY ALREADY HAVE THIS"))})
	x.s.mu.Unlock()
	x.s.moment("mail was taken") // and the answer is still to come
	return nil
}

func (x *mailSession) Reset()        {}
func (x *mailSession) Logout() error { return nil }

// mailTo has the folder's cards mailed to two people.
func (c *crash) mailTo(s *mailServer) {
	c.t.Helper()
	c.post = s
	c.config = filepath.Join(c.t.TempDir(), "settings.yaml")
	settings := fmt.Sprintf("mail:\n  host: 127.0.0.1\n  port: %d\n  tls: none\n  from: yard@example.org\n  to: [hattie@example.org, robin@example.org]\n  attach: [cards]\n", s.port)
	if err := os.WriteFile(c.config, []byte(settings), 0o600); err != nil {
		c.t.Fatal(err)
	}
	s.mu.Lock()
	s.got = map[string][]taken{}
	s.mu.Unlock()
}

// checkMail sees that every edition reached both, and that whatever came twice
// said so: a mail comes again only where it was not known whether it had gone.
func (c *crash) checkMail() {
	c.t.Helper()
	editions, err := filepath.Glob(filepath.Join(c.dir, "archive", "*", "*", "job.json"))
	if err != nil {
		c.t.Fatal(err)
	}
	c.post.mu.Lock()
	defer c.post.mu.Unlock()
	byPerson := map[string]int{}
	for id, mails := range c.post.got {
		plain := 0
		for _, m := range mails {
			if m.to != mails[0].to {
				c.t.Errorf("%s went to %s and to %s", id, m.to, mails[0].to)
			}
			if !m.notice {
				plain++
			}
		}
		if plain > 1 {
			c.t.Errorf("%s came %d times, %d times without saying that it may be there already", id, len(mails), plain)
		}
		byPerson[mails[0].to]++
	}
	for _, who := range []string{"hattie@example.org", "robin@example.org"} {
		if byPerson[who] != len(editions) {
			c.t.Errorf("%s got the cards of %d editions, and there are %d", who, byPerson[who], len(editions))
		}
	}
	if entries, err := os.ReadDir(filepath.Join(c.dir, ".hardfeed", "outbox", "waiting")); err != nil || len(entries) > 0 {
		var names []string
		for _, e := range entries {
			names = append(names, e.Name())
		}
		c.t.Errorf("mail is left in the outbox: %s %v", strings.Join(names, ", "), err)
	}
}
