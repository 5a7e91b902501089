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
	"slices"
	"strconv"
	"strings"
	"time"

	"hardfeed/ration/yard"

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

// Secret is a password. It prints as nothing.
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

// says is a saying about the server.
func (s Server) says(key string) yard.Saying {
	return yard.Say(key, yard.Named("server", yard.Place, s.Name()), yard.Words("user", line(s.User)))
}

// Check refuses a server that must not be used.
func (s Server) Check() error {
	if !hostName().MatchString(s.Host) && net.ParseIP(s.Host) == nil {
		return yard.Troubled(yard.Say("part.mail.host", yard.Words("wrote", line(s.Host))))
	}
	switch s.TLS {
	case StartTLS, Implicit:
	case NoTLS:
		if ip := net.ParseIP(s.Host); !strings.EqualFold(s.Host, "localhost") && (ip == nil || !ip.IsLoopback()) {
			return yard.Troubled(yard.Say("part.mail.no tls", yard.Words("host", s.Host)))
		}
	default:
		return yard.Troubled(yard.Say("part.mail.way", yard.Words("wrote", line(s.TLS))))
	}
	return nil
}

var hostName = lazily(`^[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?(\.[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?)*$`)

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
	says yard.Saying
	err  error
}

func (t trouble) Error() string { return t.Told().String() }

// Told is what failed, and why.
func (t trouble) Told() yard.Saying {
	return yard.Say("part.mail.trouble", yard.Said("what", t.says), yard.Said("why", told(t.err)))
}

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
		return nil, trouble{s.says("part.mail.unreached"), err}
	}
	c = &connection{raw: raw, stop: context.AfterFunc(ctx, func() { raw.Close() })}
	defer func() {
		if err != nil {
			c.close()
			c = nil
		}
	}()
	if a, ok := raw.RemoteAddr().(*net.TCPAddr); s.TLS == NoTLS && (!ok || !a.IP.IsLoopback()) {
		return c, trouble{s.says("part.mail.plain"), fmt.Errorf("%s is at %v", s.Host, raw.RemoteAddr())}
	}
	var end net.Conn = patient{raw, patience}
	secure := &tls.Config{ServerName: s.Host, RootCAs: s.Roots, MinVersion: tls.VersionTLS12}
	if s.TLS == Implicit {
		wrapped := tls.Client(end, secure)
		if err := wrapped.HandshakeContext(ctx); err != nil {
			return c, trouble{s.says("part.mail.insecure"), err}
		}
		end = wrapped
	}
	if c.Client, err = smtp.NewClient(end, s.Host); err != nil {
		return c, trouble{s.says("part.mail.no greeting"), err}
	}
	c.SkipSMTPUTF8(true) // all we send is ASCII
	if err := c.Hello(ownName(raw.LocalAddr())); err != nil {
		return c, trouble{s.says("part.mail.greeting"), err}
	}
	if s.TLS == StartTLS {
		if ok, _ := c.Extension("STARTTLS"); !ok {
			return c, trouble{s.says("part.mail.insecure"), yard.Troubled(yard.Say("part.mail.no starttls"))}
		}
		if err := c.StartTLS(secure); err != nil {
			return c, trouble{s.says("part.mail.insecure"), err}
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
		return trouble{s.says("part.mail.no login"), yard.Troubled(yard.Say("part.mail.ways"))}
	}
	err := c.Auth(way)
	if err == nil {
		return nil
	}
	if e, ok := errors.AsType[*textproto.Error](err); ok {
		return trouble{s.says("part.mail.login"), yard.Troubled(yard.Say("part.mail.login answer", yard.Count("code", e.Code)))}
	}
	if _, ok := errors.AsType[net.Error](err); ok || errors.Is(err, io.EOF) {
		return trouble{s.says("part.mail.broke off"), err}
	}
	return trouble{s.says("part.mail.login"), yard.Troubled(yard.Say("part.mail.password"))}
}

// ownName is what we call ourselves in the greeting: this machine's full name, or
// its address where it has none (RFC 5321 §4.1.4). A name without a point, as most
// PCs in a yard have, is refused by strict servers.
func ownName(at net.Addr) string {
	if name, err := os.Hostname(); err == nil && hostName().MatchString(name) && strings.Contains(name, ".") {
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

// plain is an error on one line for a log, without the inside of a program.
func plain(err error) string { return told(err).String() }

// told is what an error says, without the inside of a program.
func told(err error) yard.Saying {
	var unknown x509.UnknownAuthorityError
	var host x509.HostnameError
	var invalid x509.CertificateInvalidError
	var header tls.RecordHeaderError
	dns, isDNS := errors.AsType[*net.DNSError](err)
	op, isOp := errors.AsType[*net.OpError](err)
	reply, isReply := errors.AsType[*textproto.Error](err)
	teller, tells := errors.AsType[yard.Teller](err)
	switch {
	case tells:
		return teller.Told()
	case errors.As(err, &host):
		return yard.Say("part.mail.other name")
	case errors.As(err, &unknown):
		return yard.Say("part.mail.certificate")
	case errors.As(err, &invalid) && invalid.Reason == x509.Expired:
		return yard.Say("part.mail.out of date")
	case errors.As(err, &header):
		return yard.Say("part.mail.port")
	case isDNS && dns.IsNotFound:
		return yard.Say("part.mail.no machine")
	case errors.Is(err, context.Canceled):
		return yard.Say("part.mail.stopped")
	case errors.Is(err, os.ErrDeadlineExceeded) || isOp && op.Timeout() || errors.Is(err, context.DeadlineExceeded):
		return yard.Say("part.mail.late")
	case errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed):
		return yard.Say("part.mail.line")
	case isReply:
		return yard.Say("part.mail.answer", yard.Count("code", reply.Code), yard.Words("answer", cutLine(reply.Msg)))
	case isOp:
		return yard.Verbatim(cutLine(op.Err.Error()))
	}
	return yard.Verbatim(cutLine(err.Error()))
}

// cutLine is a text of others on one line, cut where it is long.
func cutLine(text string) string {
	if rs := []rune(line(text)); len(rs) > 300 {
		return string(rs[:300]) + "…"
	}
	return line(text)
}
