package post

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/emersion/go-sasl"
	"github.com/emersion/go-smtp"

	"hardfeed/ration/yard"
	"hardfeed/report/words"
)

// mailServer is a mail server of another maker (emersion/go-smtp) with a
// certificate made for the test. The hooks decide what it does.
type mailServer struct {
	name   string // in the certificate
	expiry time.Time
	noTLS  bool // STARTTLS is not offered, or was taken out on the way
	tls    string
	users  map[string]string // user: password; nil: no login is asked for
	login  bool              // it knows LOGIN only
	greet  chan struct{}     // if set, the greeting comes once it is closed
	most   int64             // SIZE
	mail   func(from string) error
	rcpt   func(to string) error
	// data is given a whole message before it is answered.
	data func(c *smtp.Conn, to string) error
	// begun is called once a message's first bytes have come.
	begun func(c *smtp.Conn, to string)

	addr  *net.TCPAddr
	roots *x509.CertPool
	cert  tls.Certificate
	mu    sync.Mutex
	got   []delivered
	heard []string // commands by name, and logins tried
	conns chan struct{}
}

type delivered struct {
	to  string
	eml []byte
}

func certificate(t testing.TB, name string, until time.Time) (tls.Certificate, *x509.CertPool) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	c := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name}, DNSNames: []string{name},
		NotBefore: time.Now().Add(-48 * time.Hour), NotAfter: until, IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign}
	if ip := net.ParseIP(name); ip != nil {
		c.DNSNames, c.IPAddresses = nil, []net.IP{ip}
	}
	der, err := x509.CreateCertificate(rand.Reader, c, c, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	leaf, err := x509.ParseCertificate(der)
	if err != nil {
		t.Fatal(err)
	}
	pool := x509.NewCertPool()
	pool.AddCert(leaf)
	return tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}, pool
}

func (s *mailServer) start(t testing.TB) *mailServer {
	t.Helper()
	if s.name == "" {
		s.name = "localhost"
	}
	if s.expiry.IsZero() {
		s.expiry = time.Now().Add(time.Hour)
	}
	if s.tls == "" {
		s.tls = StartTLS
	}
	s.cert, s.roots = certificate(t, s.name, s.expiry)
	inner, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s.addr = inner.Addr().(*net.TCPAddr)
	s.conns = make(chan struct{}, 100)
	srv := smtp.NewServer(smtp.BackendFunc(func(c *smtp.Conn) (smtp.Session, error) { return &session{s: s, c: c}, nil }))
	srv.Domain = "localhost"
	srv.MaxMessageBytes = s.most
	srv.ErrorLog = quiet{}
	if !s.noTLS && s.tls == StartTLS {
		srv.TLSConfig = &tls.Config{Certificates: []tls.Certificate{s.cert}}
	}
	if s.tls != StartTLS {
		srv.AllowInsecureAuth = true
	}
	var l net.Listener = slowListener{inner, s}
	if s.tls == Implicit {
		l = tls.NewListener(l, &tls.Config{Certificates: []tls.Certificate{s.cert}})
	}
	go srv.Serve(l)
	t.Cleanup(func() { srv.Close() })
	return s
}

type quiet struct{}

func (quiet) Printf(string, ...any) {}
func (quiet) Println(...any)        {}

// slowListener keeps a connection's first word back until the greeting may come.
type slowListener struct {
	net.Listener
	s *mailServer
}

func (l slowListener) Accept() (net.Conn, error) {
	c, err := l.Listener.Accept()
	if err != nil {
		return nil, err
	}
	l.s.conns <- struct{}{}
	return &slowConn{Conn: c, wait: l.s.greet}, nil
}

type slowConn struct {
	net.Conn
	wait chan struct{}
}

func (c *slowConn) Write(b []byte) (int, error) {
	if c.wait != nil {
		<-c.wait
	}
	return c.Conn.Write(b)
}

func (s *mailServer) hear(word string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.heard = append(s.heard, word)
}

func (s *mailServer) deliveries(to string) (all [][]byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, d := range s.got {
		if d.to == to {
			all = append(all, d.eml)
		}
	}
	return all
}

func (s *mailServer) count() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return len(s.got)
}

func (s *mailServer) server() Server {
	return Server{Host: "localhost", Port: s.addr.Port, TLS: s.tls, Roots: s.roots, Patience: time.Minute}
}

type session struct {
	s  *mailServer
	c  *smtp.Conn
	to string
}

func (x *session) AuthMechanisms() []string {
	if x.s.users == nil {
		return nil
	}
	if x.s.login {
		return []string{sasl.Login}
	}
	return []string{sasl.Plain}
}

func (x *session) Auth(string) (sasl.Server, error) {
	check := func(_, user, password string) error {
		x.s.hear("AUTH")
		if want, ok := x.s.users[user]; !ok || want != password {
			// A server that tells the world what it was given.
			return &smtp.SMTPError{Code: 535, EnhancedCode: smtp.EnhancedCode{5, 7, 8},
				Message: "no entry for " + user + " with " + password + " or " + base64.StdEncoding.EncodeToString([]byte("\x00"+user+"\x00"+password))}
		}
		return nil
	}
	if x.s.login {
		return &loginServer{check: check}, nil
	}
	return sasl.NewPlainServer(check), nil
}

// loginServer asks as most servers do; LOGIN never became a standard.
type loginServer struct {
	check func(_, user, password string) error
	said  []string
}

func (l *loginServer) Next(response []byte) (challenge []byte, done bool, err error) {
	if response != nil {
		l.said = append(l.said, string(response))
	}
	switch len(l.said) {
	case 0:
		return []byte("Username:"), false, nil
	case 1:
		return []byte("Password:"), false, nil
	}
	return nil, true, l.check("", l.said[0], l.said[1])
}

func (x *session) Mail(from string, _ *smtp.MailOptions) error {
	x.s.hear("MAIL")
	if x.s.mail != nil {
		return x.s.mail(from)
	}
	return nil
}

func (x *session) Rcpt(to string, _ *smtp.RcptOptions) error {
	x.s.hear("RCPT")
	x.to = to
	if x.s.rcpt != nil {
		return x.s.rcpt(to)
	}
	return nil
}

func (x *session) Data(r io.Reader) error {
	if x.s.begun != nil {
		first := make([]byte, 100)
		if _, err := io.ReadFull(r, first); err != nil {
			return err
		}
		x.s.begun(x.c, x.to)
		r = io.MultiReader(bytes.NewReader(first), r)
	}
	eml, err := io.ReadAll(r)
	if err != nil {
		return err
	}
	if x.s.data != nil {
		if err := x.s.data(x.c, x.to); err != nil && !errors.Is(err, errTaken) {
			return err
		}
	}
	x.s.mu.Lock()
	x.s.got = append(x.s.got, delivered{x.to, eml})
	x.s.mu.Unlock()
	return nil
}

// errTaken: the message counts as taken, whatever becomes of the answer.
var errTaken = errors.New("taken")

func (x *session) Reset()        {}
func (x *session) Logout() error { return nil }

const (
	hattie = "hattie@example.org"
	robin  = "robin@example.org"
	sam    = "sam@example.org"
)

// aPage is of the cards: it has long lines, other letters, and what a server could take for its own.
const aPage = "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<title>Cards</title>\n</head>\n<body>\n<h1>Žižka = 2 kg</h1>\n.\n<p>Oats, oats, oats, oats, oats, oats, oats, oats, oats, oats, oats, oats, oats, oats</p>\n</body>\n</html>\n"

func messageTo(to string) Message {
	return Message{Key: Key{Yard: "Cold Brook Yard", Week: "2026-11-30", Edition: 1, To: to, Results: [32]byte{1}},
		From: "Cold Brook Yard <cards@example.org>", To: to, Subject: "Feed cards, Cold Brook Yard", Text: "Hay first.\n", Page: aPage,
		Attachments: []Attachment{{"cards.pdf", bytes.Repeat([]byte("%PDF-1.3 .\n.\r\n..\x00\xff"), 2000)}},
		Date:        time.Date(2026, 11, 28, 17, 0, 0, 0, time.UTC)}
}

func outboxWith(t testing.TB, to ...string) Outbox {
	t.Helper()
	o := Outbox{Dir: filepath.Join(t.TempDir(), "outbox")}
	for _, a := range to {
		if err := o.Add(messageTo(a)); err != nil {
			t.Fatal(err)
		}
	}
	return o
}

// clock is a test's own time: no test waits.
type clock struct{ t time.Time }

func (c *clock) now() time.Time { return c.t }

func newClock() *clock { return &clock{time.Date(2026, 11, 28, 17, 0, 0, 0, time.UTC)} }

func room(t testing.TB, o Outbox, to string) string {
	t.Helper()
	r, err := o.Room(messageTo(to).Key)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func rules(fs []yard.Finding) string {
	var out []string
	for _, f := range fs {
		out = append(out, string(f.Rule))
	}
	return strings.Join(out, " ")
}

func TestAMailArrivesAsItWasMade(t *testing.T) {
	for _, way := range []string{StartTLS, Implicit, NoTLS, "LOGIN over " + StartTLS, "LOGIN over " + Implicit} {
		t.Run(way, func(t *testing.T) {
			over, login := strings.CutPrefix(way, "LOGIN over ")
			s := (&mailServer{tls: over, login: login, users: map[string]string{"cold": "brook"}}).start(t)
			o := outboxWith(t, hattie)
			to := s.server()
			to.User, to.Password = "cold", Conceal("brook")
			pass, err := o.Deliver(t.Context(), to, newClock().now)
			if err != nil {
				t.Fatal(err)
			}
			want, _, err := messageTo(hattie).bytes()
			if err != nil {
				t.Fatal(err)
			}
			if got := s.deliveries(hattie); len(got) != 1 || !bytes.Equal(got[0], want) {
				t.Errorf("%d mails arrived, or another one", len(got))
			}
			if strings.Contains(filesUnder(t, o.Dir), "Content-Type") {
				t.Error("what went is still kept")
			}
			if len(pass.Sent) != 1 || pass.Waiting != 0 || room(t, o, hattie) != "sent" {
				t.Errorf("%+v, in %q", pass, room(t, o, hattie))
			}
		})
	}
}

func TestWhatWentNeverGoesAgain(t *testing.T) {
	s := (&mailServer{}).start(t)
	o := outboxWith(t, hattie, robin)
	for range 3 {
		if _, err := o.Deliver(t.Context(), s.server(), newClock().now); err != nil {
			t.Fatal(err)
		}
		for _, to := range []string{hattie, robin} {
			if err := errors.Join(o.Again(t.Context(), messageTo(to).Key), o.Add(messageTo(to))); err != nil {
				t.Fatal(err)
			}
		}
	}
	if s.count() != 2 {
		t.Errorf("%d mails arrived, want 2", s.count())
	}
	// A message added by another process in the moment it went lies in both rooms.
	m := messageTo(hattie)
	other := outboxWith(t, hattie)
	if err := os.Rename(filepath.Join(other.room(waiting), m.Key.name()), filepath.Join(o.room(waiting), m.Key.name())); err != nil {
		t.Fatal(err)
	}
	if _, err := o.Deliver(t.Context(), s.server(), newClock().now); err != nil || s.count() != 2 {
		t.Errorf("%d mails arrived, want 2; %v", s.count(), err)
	}
}

// Several at once, in one process or more: one delivers, the others wait.
func TestSeveralDeliverAtOnce(t *testing.T) {
	s := (&mailServer{}).start(t)
	o := Outbox{Dir: filepath.Join(t.TempDir(), "outbox")}
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for n := range 5 {
				m := messageTo(hattie)
				m.Key.Edition = n
				if err := o.Add(m); err != nil {
					t.Error(err)
				}
				if _, err := o.Deliver(t.Context(), s.server(), newClock().now); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if n := len(s.deliveries(hattie)); n != 5 {
		t.Errorf("%d mails of 5 editions arrived", n)
	}
}

// What a dead process left half added goes in time; one at work stays.
func TestHalfAdded(t *testing.T) {
	s := (&mailServer{}).start(t)
	o := outboxWith(t, hattie)
	old, young := filepath.Join(o.Dir, addingName+"1"), filepath.Join(o.Dir, addingName+"2")
	for _, dir := range []string{old, young} {
		if err := os.Mkdir(dir, 0o750); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Chtimes(old, time.Time{}, time.Now().Add(-2*time.Hour)); err != nil {
		t.Fatal(err)
	}
	if _, err := o.Deliver(t.Context(), s.server(), newClock().now); err != nil {
		t.Fatal(err)
	}
	left, err := filepath.Glob(filepath.Join(o.Dir, addingName+"*"))
	if err != nil || len(left) != 1 || left[0] != young {
		t.Errorf("left are %v, %v", left, err)
	}
}

// A new edition, another week and another recipient are other messages.
func TestEveryEditionGoes(t *testing.T) {
	s := (&mailServer{}).start(t)
	o := outboxWith(t, hattie)
	for _, change := range []func(*Message){
		func(m *Message) { m.Key.Edition = 2 }, func(m *Message) { m.Key.Week = "2026-12-07" },
		func(m *Message) { m.Key.Yard = "Cold Brook Farm" }, func(m *Message) { m.Key.Results[0]++ },
	} {
		m := messageTo(hattie)
		change(&m)
		if err := o.Add(m); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := o.Deliver(t.Context(), s.server(), newClock().now); err != nil {
		t.Fatal(err)
	}
	ids := map[string]bool{}
	for _, eml := range s.deliveries(hattie) {
		ids[header(t, eml).Get("Message-Id")] = true
	}
	if len(ids) != 5 {
		t.Errorf("%d Message-IDs for 5 editions", len(ids))
	}
}

func TestSlowGreeting(t *testing.T) {
	s := (&mailServer{greet: make(chan struct{})}).start(t)
	o, done := outboxWith(t, hattie), make(chan error)
	go func() {
		_, err := o.Deliver(context.Background(), s.server(), newClock().now)
		done <- err
	}()
	<-s.conns // connected, and the server says nothing
	close(s.greet)
	if err := <-done; err != nil || s.count() != 1 {
		t.Errorf("%d mails arrived, %v", s.count(), err)
	}
}

func TestNoGreetingAtAll(t *testing.T) {
	s := (&mailServer{greet: make(chan struct{})}).start(t)
	defer close(s.greet)
	o, to := outboxWith(t, hattie), s.server()
	to.Patience = 50 * time.Millisecond // however late, the greeting never comes
	pass, err := o.Deliver(t.Context(), to, newClock().now)
	if err == nil || !strings.Contains(words.Told(err), "did not greet: it did not answer in time") {
		t.Errorf("said %v", err)
	}
	if pass.Waiting != 1 || room(t, o, hattie) != "waiting" {
		t.Errorf("%+v, in %q", pass, room(t, o, hattie))
	}
}

func TestDroppedInTheMiddle(t *testing.T) {
	first := true
	s := &mailServer{}
	s.begun = func(c *smtp.Conn, _ string) {
		if first {
			first = false
			c.Conn().Close()
		}
	}
	s.start(t)
	o, k := outboxWith(t, hattie, robin), newClock()
	pass, err := o.Deliver(t.Context(), s.server(), k.now)
	if err != nil {
		t.Fatal(err)
	}
	// The line broke for one; the other goes over a new line in the same pass.
	if len(pass.Sent) != 1 || pass.Waiting != 1 || s.count() != 1 {
		t.Fatalf("%+v; %d arrived", pass, s.count())
	}
	k.t = pass.Next
	if pass, err = o.Deliver(t.Context(), s.server(), k.now); err != nil || len(pass.Sent) != 1 || s.count() != 2 {
		t.Errorf("%+v, %v; %d arrived", pass, err, s.count())
	}
	for _, to := range []string{hattie, robin} {
		if got := s.deliveries(to); len(got) != 1 {
			t.Errorf("%s has it %d times", to, len(got))
		}
	}
}

// The moment no protocol can close: the server took it and the answer was lost.
func TestAnswerLost(t *testing.T) {
	first := true
	s := &mailServer{}
	s.data = func(c *smtp.Conn, _ string) error {
		if first {
			first = false
			c.Conn().Close()
		}
		return errTaken
	}
	s.start(t)
	o, k := outboxWith(t, hattie), newClock()
	pass, err := o.Deliver(t.Context(), s.server(), k.now)
	if err != nil || len(pass.Sent) != 0 || pass.Waiting != 1 {
		t.Fatalf("%+v, %v", pass, err)
	}
	k.t = pass.Next
	if pass, err = o.Deliver(t.Context(), s.server(), k.now); err != nil || len(pass.Sent) != 1 || !pass.Sent[0].Again {
		t.Fatalf("%+v, %v", pass, err)
	}
	got := s.deliveries(hattie)
	if len(got) != 2 {
		t.Fatalf("%d arrived, want two", len(got))
	}
	sameButForTheNotice(t, got[0], got[1])
}

// sameButForTheNotice fails unless second is first with the notice on top.
func sameButForTheNotice(t testing.TB, first, second []byte) {
	t.Helper()
	a, b := header(t, first).Get("Message-Id"), header(t, second).Get("Message-Id")
	if a == "" || a != b {
		t.Errorf("Message-IDs %q and %q", a, b)
	}
	before, after := parse(t, first), parse(t, second)
	if strings.Contains(before.text, "ALREADY") || !strings.HasPrefix(after.text, "YOU MAY ALREADY HAVE THIS.\n") || !strings.HasSuffix(after.text, before.text) {
		t.Errorf("the texts are %q and %q", before.text, after.text)
	}
	if len(before.files) != len(after.files) {
		t.Fatalf("%d and %d files", len(before.files), len(after.files))
	}
	for i := range before.files {
		if !bytes.Equal(before.files[i].Bytes, after.files[i].Bytes) {
			t.Errorf("%s differs", before.files[i].Name)
		}
	}
}

func TestNotNowThenTaken(t *testing.T) {
	for _, c := range []struct {
		name string
		set  func(s *mailServer, answer func() error)
	}{
		{"at the sender", func(s *mailServer, a func() error) { s.mail = func(string) error { return a() } }},
		{"at the recipient", func(s *mailServer, a func() error) { s.rcpt = func(string) error { return a() } }},
		{"after the last line", func(s *mailServer, a func() error) { s.data = func(*smtp.Conn, string) error { return a() } }},
	} {
		for _, code := range []int{450, 451, 421} {
			t.Run(fmt.Sprint(c.name, " ", code), func(t *testing.T) {
				tries := 0
				s := &mailServer{}
				c.set(s, func() error {
					if tries++; tries <= 2 {
						return &smtp.SMTPError{Code: code, EnhancedCode: smtp.EnhancedCode{4, 2, 0}, Message: "come back later"}
					}
					return nil
				})
				s.start(t)
				o, k := outboxWith(t, hattie), newClock()
				for want := range 2 {
					pass, err := o.Deliver(t.Context(), s.server(), k.now)
					if err != nil || rules(pass.Findings) != "mail-waiting" || pass.Waiting != 1 || s.count() != 0 {
						t.Fatalf("%+v, %v; %d arrived", pass, err, s.count())
					}
					if got, must := words.Message(pass.Findings[0]), fmt.Sprintf("The mail to %s did not go yet: it answered %d 4.2.0 come back later.", hattie, code); got != must {
						t.Errorf("it says %q, want %q", got, must)
					}
					if d := pass.Next.Sub(k.t); d != firstWait<<want {
						t.Errorf("it waits %v, want %v", d, firstWait<<want)
					}
					// Not due yet: nothing is tried.
					if _, err := o.Deliver(t.Context(), s.server(), k.now); err != nil || tries != want+1 {
						t.Errorf("%d tries, %v", tries, err)
					}
					k.t = pass.Next
				}
				pass, err := o.Deliver(t.Context(), s.server(), k.now)
				if err != nil || len(pass.Sent) != 1 || pass.Sent[0].Again {
					t.Errorf("%+v, %v", pass, err)
				}
				if got := s.deliveries(hattie); len(got) != 1 || strings.Contains(string(got[0]), "ALREADY") {
					t.Errorf("%d arrived, or with the notice; a server that says no has it not", len(got))
				}
			})
		}
	}
}

func TestOneOfThreeIsRefused(t *testing.T) {
	no := &smtp.SMTPError{Code: 550, EnhancedCode: smtp.EnhancedCode{5, 1, 1}, Message: "no such mailbox\r\nBcc: everyone@example.org"}
	for name, set := range map[string]func(s *mailServer){
		"at the recipient": func(s *mailServer) {
			s.rcpt = func(to string) error {
				if to == robin {
					return no
				}
				return nil
			}
		},
		"after the last line": func(s *mailServer) {
			s.data = func(_ *smtp.Conn, to string) error {
				if to == robin {
					return no
				}
				return nil
			}
		},
	} {
		t.Run(name, func(t *testing.T) {
			s := &mailServer{}
			set(s)
			s.start(t)
			o, k := outboxWith(t, hattie, robin, sam), newClock()
			pass, err := o.Deliver(t.Context(), s.server(), k.now)
			if err != nil || len(pass.Sent) != 2 || pass.Waiting != 0 {
				t.Errorf("%+v, %v", pass, err)
			}
			if len(pass.Findings) != 1 || pass.Findings[0].Rule != "mail-refused" ||
				!strings.Contains(words.Message(pass.Findings[0]), robin) || !strings.Contains(words.Message(pass.Findings[0]), "550 no such mailbox") || strings.Contains(words.Message(pass.Findings[0]), "\n") {
				t.Errorf("findings are %+v", pass.Findings)
			}
			if len(s.deliveries(hattie)) != 1 || len(s.deliveries(sam)) != 1 || len(s.deliveries(robin)) != 0 || room(t, o, robin) != "refused" {
				t.Errorf("%d arrived; robin's lies in %q", s.count(), room(t, o, robin))
			}
			// Adding it again changes nothing; a person who asks for it does.
			if err := o.Add(messageTo(robin)); err != nil || room(t, o, robin) != "refused" {
				t.Errorf("%v, in %q", err, room(t, o, robin))
			}
			s.mu.Lock()
			s.rcpt, s.data = nil, nil
			s.mu.Unlock()
			if err := errors.Join(o.Again(t.Context(), messageTo(robin).Key), o.Add(messageTo(robin))); err != nil {
				t.Fatal(err)
			}
			if pass, err = o.Deliver(t.Context(), s.server(), k.now); err != nil || len(s.deliveries(robin)) != 1 || s.count() != 3 {
				t.Errorf("%+v, %v; %d arrived", pass, err, s.count())
			}
		})
	}
}

func TestTooBigForTheServer(t *testing.T) {
	s := (&mailServer{most: 1000}).start(t)
	o := outboxWith(t, hattie)
	pass, err := o.Deliver(t.Context(), s.server(), newClock().now)
	if err != nil || rules(pass.Findings) != "mail-refused" || !strings.Contains(words.Message(pass.Findings[0]), "mail.attach") {
		t.Errorf("%+v, %v", pass, err)
	}
	if s.count() != 0 || strings.Contains(strings.Join(s.heard, " "), "MAIL") {
		t.Errorf("it was sent all the same: %v", s.heard)
	}
}

func TestGivenUpAfterTheLastTry(t *testing.T) {
	o, k := outboxWith(t, hattie), newClock()
	b := openBox(t, o)
	dir := waiting + "/" + messageTo(hattie).Key.name()
	st, err := readState(b.disk, dir)
	if err != nil {
		t.Fatal(err)
	}
	st.Tries = lastTry - 3
	if err := st.write(b.disk, dir); err != nil {
		t.Fatal(err)
	}
	tries := 0
	for ; tries < 10 && room(t, o, hattie) == "waiting"; tries++ {
		pass, err := o.Deliver(t.Context(), nobody(t), k.now)
		if err == nil || !strings.Contains(words.Told(err), "could not be reached") {
			t.Fatalf("said %v", err)
		}
		k.t = k.t.Add(mostWait)
		if want := map[bool]string{true: "mail-given-up"}[tries == 2]; rules(pass.Findings) != want || want != "" && !strings.Contains(words.Message(pass.Findings[0]), hattie) {
			t.Errorf("try %d: findings are %+v", tries+1, pass.Findings)
		}
	}
	if tries != 3 || room(t, o, hattie) != "refused" {
		t.Errorf("given up after %d tries, in %q", lastTry-3+tries, room(t, o, hattie))
	}
}

func TestWaits(t *testing.T) {
	all := time.Duration(0)
	for n := 1; n <= lastTry; n++ {
		d := wait(n)
		if n < 6 && d != time.Minute<<(n-1) || n > 6 && d != time.Hour {
			t.Errorf("after try %d it waits %v", n, d)
		}
		all += d
	}
	if all < 72*time.Hour || all > 96*time.Hour {
		t.Errorf("it is given up after %v, want three to four days", all)
	}
}

// nobody is a server at which nothing answers.
func nobody(t testing.TB) Server {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return Server{Host: "localhost", Port: l.Addr().(*net.TCPAddr).Port, TLS: StartTLS}
}

func TestClockPutBack(t *testing.T) {
	o, k := outboxWith(t, hattie), newClock()
	k.t = k.t.AddDate(1, 0, 0)
	if _, err := o.Deliver(t.Context(), nobody(t), k.now); err == nil {
		t.Fatal("nothing answers there")
	}
	k.t = k.t.AddDate(-1, 0, 0)
	s := (&mailServer{}).start(t)
	if pass, err := o.Deliver(t.Context(), s.server(), k.now); err != nil || len(pass.Sent) != 1 {
		t.Errorf("%+v, %v: it waits for a year", pass, err)
	}
}

// What must never happen, with a password at stake. Nothing of the mail and
// nothing of the password may reach the server, nor a word of it the reader.
func TestRefusesToTalk(t *testing.T) {
	const password = "Bürste und Striegel 7"
	yesterday := time.Now().Add(-time.Hour)
	for _, c := range []struct {
		name   string
		server *mailServer
		change func(*Server)
		says   string
		heard  string
	}{
		{"STARTTLS taken out on the way", &mailServer{noTLS: true}, nil, "does not offer STARTTLS", ""},
		{"STARTTLS on a port that is implicit", &mailServer{tls: Implicit}, func(s *Server) { s.TLS, s.Patience = StartTLS, 300*time.Millisecond }, "", ""},
		{"implicit on a port that is STARTTLS", &mailServer{}, func(s *Server) { s.TLS = Implicit }, "does not speak TLS at this port", ""},
		{"a certificate nobody vouches for", &mailServer{}, func(s *Server) { s.Roots = x509.NewCertPool() }, "nobody this machine trusts", ""},
		{"the same, implicit", &mailServer{tls: Implicit}, func(s *Server) { s.Roots = x509.NewCertPool() }, "nobody this machine trusts", ""},
		{"a certificate for another name", &mailServer{name: "smtp.example.com"}, nil, "for another name", ""},
		{"the same, implicit", &mailServer{name: "smtp.example.com", tls: Implicit}, nil, "for another name", ""},
		{"a certificate out of date", &mailServer{expiry: yesterday}, nil, "out of date", ""},
		{"the wrong password by LOGIN", &mailServer{login: true}, func(s *Server) { s.Password = Conceal(password + "!") }, "did not accept the login of cold: it answered 535", "AUTH"},
		{"the wrong password", &mailServer{}, func(s *Server) { s.Password = Conceal(password + "!") }, "did not accept the login of cold: it answered 535", "AUTH"},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := c.server
			if s.users == nil {
				s.users = map[string]string{"cold": password}
			}
			s.start(t)
			to := s.server()
			to.User, to.Password = "cold", Conceal(password)
			if c.change != nil {
				c.change(&to)
			}
			o := outboxWith(t, hattie)
			pass, err := o.Deliver(t.Context(), to, newClock().now)
			if err == nil || !strings.Contains(words.Told(err), c.says) {
				t.Errorf("said %v, want %q", err, c.says)
			}
			if got := strings.Join(s.heard, " "); got != c.heard {
				t.Errorf("the server heard %q, want %q", got, c.heard)
			}
			if pass.Waiting != 1 || room(t, o, hattie) != "waiting" {
				t.Errorf("%+v, in %q", pass, room(t, o, hattie))
			}
			said := fmt.Sprintf("%v %+v %#v %+v %#v %s", err, pass, pass, to, to, filesUnder(t, o.Dir))
			js, _ := json.Marshal(to.Password)
			said += string(js)
			for _, secret := range []string{password, "Striegel", base64.StdEncoding.EncodeToString([]byte("\x00cold\x00" + password)), base64.StdEncoding.EncodeToString([]byte(password))} {
				if strings.Contains(said, secret) {
					t.Errorf("the password stands in %q", said)
				}
			}
		})
	}
}

// A login is never put to a server that does not offer one.
func TestNoLoginOffered(t *testing.T) {
	s := (&mailServer{}).start(t)
	to := s.server()
	to.User, to.Password = "cold", Conceal("brook")
	_, err := outboxWith(t, hattie).Deliver(t.Context(), to, newClock().now)
	if err == nil || !strings.Contains(words.Told(err), "has no login by user and password") || len(s.heard) != 0 {
		t.Errorf("said %v, heard %v", err, s.heard)
	}
}

func TestWithoutTLSOnlyToThisMachine(t *testing.T) {
	for host, ok := range map[string]bool{"localhost": true, "LocalHost": true, "127.0.0.1": true, "127.9.9.9": true, "::1": true,
		"smtp.example.org": false, "192.168.1.10": false, "localhost.example.org": false, "10.0.0.1": false, "0.0.0.0": false, "": false, "a b": false, "x\r\nMAIL": false} {
		if err := (Server{Host: host, TLS: NoTLS}).Check(); (err == nil) != ok {
			t.Errorf("%q: %v", host, err)
		}
	}
	if err := (Server{Host: "smtp.example.org", TLS: "opportunistic"}).Check(); err == nil {
		t.Error("TLS that may be left out was taken")
	}
}

func TestStoppedWhileSending(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	s := &mailServer{begun: func(*smtp.Conn, string) { stop() }}
	s.start(t)
	o := outboxWith(t, hattie, robin)
	big := messageTo(sam)
	big.Attachments[0].Bytes = bytes.Repeat([]byte("x"), 20<<20) // more than any buffer on the way
	if err := o.Add(big); err != nil {
		t.Fatal(err)
	}
	pass, err := o.Deliver(ctx, s.server(), newClock().now)
	if err != nil && !errors.Is(err, context.Canceled) {
		t.Errorf("said %v", err)
	}
	if len(pass.Sent)+pass.Waiting != 3 {
		t.Errorf("%+v", pass)
	}
	if pass, err = o.Deliver(t.Context(), (&mailServer{}).start(t).server(), func() time.Time { return time.Now().AddDate(1, 0, 0) }); err != nil || pass.Waiting != 0 {
		t.Errorf("%+v, %v", pass, err)
	}
}

// One damaged message does not keep the others back, and is not lost from sight.
func TestDamagedMessages(t *testing.T) {
	for name, harm := range map[string]func(dir string) error{
		"no state":         func(dir string) error { return os.Remove(filepath.Join(dir, stateName)) },
		"state cut short":  func(dir string) error { return os.WriteFile(filepath.Join(dir, stateName), []byte(`{"to":`), 0o640) },
		"state of nothing": func(dir string) error { return os.WriteFile(filepath.Join(dir, stateName), []byte(`{}`), 0o640) },
		"no message":       func(dir string) error { return os.Remove(filepath.Join(dir, messageName)) },
		"text past the end": func(dir string) error {
			return os.WriteFile(filepath.Join(dir, stateName), []byte(`{"to":"hattie@example.org","text_at":99999999}`), 0o640)
		},
	} {
		for _, in := range []string{waiting, sending} {
			t.Run(name+" in "+in, func(t *testing.T) {
				s := (&mailServer{}).start(t)
				o := outboxWith(t, hattie, robin)
				m := messageTo(hattie)
				if in == sending {
					if err := openBox(t, o).move(m.Key.name(), waiting, sending); err != nil {
						t.Fatal(err)
					}
				}
				if err := harm(filepath.Join(o.room(in), m.Key.name())); err != nil {
					t.Fatal(err)
				}
				pass, err := o.Deliver(t.Context(), s.server(), newClock().now)
				if err != nil || rules(pass.Findings) != "mail-damaged" || len(pass.Sent) != 1 || len(s.deliveries(robin)) != 1 {
					t.Errorf("%+v, %v", pass, err)
				}
				if r := room(t, o, hattie); r != waiting && r != sending {
					t.Errorf("it lies in %q", r)
				}
			})
		}
	}
}

func filesUnder(t testing.TB, dir string) string {
	t.Helper()
	var b strings.Builder
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := os.ReadFile(path)
		b.Write(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// room is where a room of the outbox lies.
func (o Outbox) room(name string) string { return filepath.Join(o.Dir, name) }

func openBox(t *testing.T, o Outbox) opened {
	t.Helper()
	b, err := o.opened()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.disk.Close() })
	return b
}
