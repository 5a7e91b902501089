package post

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"net"
	"net/textproto"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/wneessen/go-mail/smtp"
)

// Ways to a mail server.
const (
	StartTLS = "starttls" // RFC 3207: begins in the clear, and not a word of the mail goes before TLS
	Implicit = "implicit" // RFC 8314: TLS from the first byte
	NoTLS    = "none"     // only to this same machine
)

// Server is where mail is handed in.
type Server struct {
	Host     string
	Port     int            // 0: the usual one, 587, 465 or 25 after TLS
	TLS      string         // [StartTLS], [Implicit] or [NoTLS]
	User     string         // empty: without a login
	Password Secret         // of the login
	Roots    *x509.CertPool // who may vouch for the server; nil: whom the system trusts
	Patience time.Duration  // for each answer; 0: five minutes, as RFC 5321 §4.5.3.2 asks for most
}

// Secret is a password. It prints as nothing of itself.
type Secret struct{ word string }

// Conceal makes a Secret.
func Conceal(word string) Secret { return Secret{word} }

// IsEmpty says whether there is none.
func (s Secret) IsEmpty() bool { return s.word == "" }

// Format hides the password under every verb.
func (Secret) Format(f fmt.State, _ rune) { io.WriteString(f, "(hidden)") }

// MarshalText hides the password from encoders.
func (Secret) MarshalText() ([]byte, error) { return []byte("(hidden)"), nil }

func (s Server) port() int {
	switch {
	case s.Port != 0:
		return s.Port
	case s.TLS == Implicit:
		return 465
	case s.TLS == NoTLS:
		return 25
	}
	return 587
}

// Name is the server as people write it.
func (s Server) Name() string { return net.JoinHostPort(s.Host, strconv.Itoa(s.port())) }

// Check refuses a server that must not be used.
func (s Server) Check() error {
	if !hostName.MatchString(s.Host) && net.ParseIP(s.Host) == nil {
		return fmt.Errorf("%q is not the name of a mail server; it should look like smtp.example.org", line(s.Host))
	}
	switch s.TLS {
	case StartTLS, Implicit:
	case NoTLS:
		if ip := net.ParseIP(s.Host); !strings.EqualFold(s.Host, "localhost") && (ip == nil || !ip.IsLoopback()) {
			return fmt.Errorf("mail without TLS goes only to this same machine (localhost), and %s is another; take starttls or implicit", s.Host)
		}
	default:
		return fmt.Errorf("%q is no way to reach a mail server; it can be starttls, implicit or none", line(s.TLS))
	}
	return nil
}

var hostName = regexp.MustCompile(`^[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?(\.[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?)*$`)

// connection is one open conversation with a server.
type connection struct {
	*smtp.Client
	raw  net.Conn
	stop func() bool
	most int // bytes the server takes; 0: it does not say
}

// patient gives every read and write its own time: a slow server is waited for,
// a dead one is not.
type patient struct {
	net.Conn
	d time.Duration
}

func (p patient) Read(b []byte) (int, error) {
	if err := p.SetReadDeadline(time.Now().Add(p.d)); err != nil {
		return 0, err
	}
	return p.Conn.Read(b)
}

func (p patient) Write(b []byte) (int, error) {
	if err := p.SetWriteDeadline(time.Now().Add(p.d)); err != nil {
		return 0, err
	}
	return p.Conn.Write(b)
}

// trouble is a failure of the way to the server, of its certificate or of the
// login: it concerns every message, and may be gone later.
type trouble struct {
	says string
	err  error
}

func (t trouble) Error() string { return t.says + ": " + plain(t.err) }
func (t trouble) Unwrap() error { return t.err }

// open connects, makes sure of TLS and of the certificate, and logs in.
func (s Server) open(ctx context.Context) (c *connection, err error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	patience := s.Patience
	if patience == 0 {
		patience = 5 * time.Minute
	}
	raw, err := (&net.Dialer{Timeout: min(patience, time.Minute)}).DialContext(ctx, "tcp", s.Name())
	if err != nil {
		return nil, trouble{"The mail server " + s.Name() + " could not be reached", err}
	}
	c = &connection{raw: raw, stop: context.AfterFunc(ctx, func() { raw.Close() })}
	defer func() {
		if err != nil {
			c.close()
			c = nil
		}
	}()
	if a, ok := raw.RemoteAddr().(*net.TCPAddr); s.TLS == NoTLS && (!ok || !a.IP.IsLoopback()) {
		return c, trouble{"Mail without TLS goes only to this same machine", fmt.Errorf("%s is at %v", s.Host, raw.RemoteAddr())}
	}
	var end net.Conn = patient{raw, patience}
	secure := &tls.Config{ServerName: s.Host, RootCAs: s.Roots, MinVersion: tls.VersionTLS12}
	if s.TLS == Implicit {
		wrapped := tls.Client(end, secure)
		if err := wrapped.HandshakeContext(ctx); err != nil {
			return c, trouble{"No secure line to the mail server " + s.Name(), err}
		}
		end = wrapped
	}
	if c.Client, err = smtp.NewClient(end, s.Host); err != nil {
		return c, trouble{"The mail server " + s.Name() + " did not greet", err}
	}
	c.SkipSMTPUTF8(true) // all we send is ASCII
	if err := c.Hello(ownName(raw.LocalAddr())); err != nil {
		return c, trouble{"The mail server " + s.Name() + " did not take our greeting", err}
	}
	if s.TLS == StartTLS {
		if ok, _ := c.Extension("STARTTLS"); !ok {
			return c, trouble{"No secure line to the mail server " + s.Name(), errors.New("it does not offer STARTTLS, or something on the way hides it; nothing was sent")}
		}
		if err := c.StartTLS(secure); err != nil {
			return c, trouble{"No secure line to the mail server " + s.Name(), err}
		}
	}
	if err := s.login(c); err != nil {
		return c, err
	}
	if ok, size := c.Extension("SIZE"); ok {
		c.most, _ = strconv.Atoi(size) // RFC 1870: nothing or 0 means no limit is said
	}
	return c, nil
}

// login never hands on the server's own words: some servers repeat what they
// were sent.
func (s Server) login(c *connection) error {
	if s.User == "" {
		return nil
	}
	_, offered := c.Extension("AUTH")
	var way smtp.Auth
	switch ways := strings.Fields(strings.ToUpper(offered)); {
	case slices.Contains(ways, "PLAIN"):
		way = smtp.PlainAuth("", s.User, s.Password.word, s.Host, s.TLS == NoTLS)
	case slices.Contains(ways, "LOGIN"):
		way = smtp.LoginAuth(s.User, s.Password.word, s.Host, s.TLS == NoTLS)
	default:
		return trouble{"The mail server " + s.Name() + " takes no login by user and password", errors.New("it offers neither PLAIN nor LOGIN")}
	}
	err := c.Auth(way)
	if err == nil {
		return nil
	}
	if e, ok := errors.AsType[*textproto.Error](err); ok {
		return trouble{fmt.Sprintf("The mail server %s did not take the login of %s", s.Name(), line(s.User)),
			fmt.Errorf("its answer was %d; check mail.user and the password", e.Code)}
	}
	if _, ok := errors.AsType[net.Error](err); ok || errors.Is(err, io.EOF) {
		return trouble{"The mail server " + s.Name() + " broke off at the login", err}
	}
	return trouble{fmt.Sprintf("The mail server %s did not take the login of %s", s.Name(), line(s.User)), errors.New("check mail.user and the password")}
}

// ownName is what we call ourselves in the greeting: this machine's full name, or
// its address where it has none (RFC 5321 §4.1.4). A name without a point, as most
// PCs in a yard have, is refused by strict servers.
func ownName(at net.Addr) string {
	if name, err := os.Hostname(); err == nil && hostName.MatchString(name) && strings.Contains(name, ".") {
		return name
	}
	a, ok := at.(*net.TCPAddr)
	switch {
	case !ok:
		return "localhost"
	case a.IP.To4() == nil:
		return "[IPv6:" + a.IP.String() + "]"
	}
	return "[" + a.IP.String() + "]"
}

// close ends the conversation without a word.
func (c *connection) close() {
	c.stop()
	c.raw.Close()
}

// quit ends it politely. What the server makes of it matters no more.
func (c *connection) quit() {
	_ = c.Client.Quit()
	c.close()
}

// answered says whether the error is the server's own answer, after which the
// conversation can go on, and whether it is final.
func answered(err error) (answered, final bool) {
	e, ok := errors.AsType[*textproto.Error](err)
	return ok && e.Code != 421, ok && e.Code >= 500
}

// plain says an error on one line without the inside of a program.
func plain(err error) string {
	var unknown x509.UnknownAuthorityError
	var host x509.HostnameError
	var invalid x509.CertificateInvalidError
	var header tls.RecordHeaderError
	dns, isDNS := errors.AsType[*net.DNSError](err)
	op, isOp := errors.AsType[*net.OpError](err)
	reply, isReply := errors.AsType[*textproto.Error](err)
	way, isWay := errors.AsType[trouble](err)
	text := ""
	switch {
	case isWay:
		text = way.Error()
	case errors.As(err, &host):
		text = "its certificate is for another name"
	case errors.As(err, &unknown):
		text = "nobody this machine trusts vouches for its certificate"
	case errors.As(err, &invalid) && invalid.Reason == x509.Expired:
		text = "its certificate is out of date, or this machine's clock is wrong"
	case errors.As(err, &header):
		text = "it does not speak TLS at this port; check mail.port and mail.tls"
	case isDNS && dns.IsNotFound:
		text = "there is no machine of that name, or no connection to the internet"
	case errors.Is(err, context.Canceled):
		text = "stopped"
	case errors.Is(err, os.ErrDeadlineExceeded) || isOp && op.Timeout() || errors.Is(err, context.DeadlineExceeded):
		text = "it did not answer in time"
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed):
		text = "the line broke"
	case isReply:
		text = fmt.Sprintf("it answered %d %s", reply.Code, reply.Msg)
	case isOp:
		text = op.Err.Error()
	default:
		text = err.Error()
	}
	if rs := []rune(line(text)); len(rs) > 300 {
		return string(rs[:300]) + "…"
	}
	return line(text)
}
