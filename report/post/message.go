package post

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"io"
	"net/mail"
	"regexp"
	"strings"
	"time"
	"unicode/utf8"

	gomail "github.com/wneessen/go-mail"
)

// Attachment is a PDF that goes with a mail.
type Attachment struct {
	Name  string // a plain file name, never from a workbook
	Bytes []byte
}

// Message is one mail to one recipient.
type Message struct {
	Key         Key
	From        string   // an address as [Address] takes it; may be empty in a draft
	To          string   // the same; empty in a draft
	Recipients  []string // of a draft, in place of To: a person looks at it before it goes
	ReplyTo     string   // the same; empty: none
	Subject     string
	Text        string
	Attachments []Attachment
	Date        time.Time
	Draft       bool // to be opened in a mail program and sent from there
}

// Key is what makes a message the same message: a second message with equal
// parts is never made.
type Key struct {
	Yard    string
	Week    string // ISO 8601, or empty
	Edition int
	To      string
	Results [sha256.Size]byte // SHA-256 of results.json
}

// KeyOf is the key of an edition's message to one recipient.
func (l Letter) KeyOf(results []byte, to string) Key {
	return Key{l.Yard, l.week, l.Edition, to, sha256.Sum256(results)}
}

// name is the message's folder in the outbox: readable, valid on every file
// system, and another for every key.
func (k Key) name() string {
	week := k.Week
	if week == "" {
		week = "undated"
	}
	return fmt.Sprintf("%s edition %d %s", week, k.Edition, k.hash()[:16])
}

func (k Key) hash() string {
	h := sha256.New()
	for _, part := range []string{k.Yard, k.Week, fmt.Sprint(k.Edition), strings.ToLower(Bare(k.To)), string(k.Results[:])} {
		fmt.Fprintf(h, "%d:%s\n", len(part), part)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// messageID is RFC 5322's, without its angle brackets. The right side is the
// sender's domain, as RFC 5322 §3.6.4 advises.
func (m Message) messageID() string {
	_, domain, ok := strings.Cut(Bare(m.From), "@")
	if !ok {
		domain = "hardfeed.invalid"
	}
	return m.Key.hash()[:40] + "@" + strings.ToLower(domain)
}

// plainAddress is the form of address taken: atoms with points between them, and
// a domain of letters, digits and hyphens (RFC 5321 §4.1.2 without its quoted
// strings, which no staff member has and which have been used to smuggle
// commands).
var plainAddress = regexp.MustCompile("^[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(\\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*@[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?(\\.[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?)*$")

// Address checks one mail address, "hattie@example.org" or "Hattie Marsh
// <hattie@example.org>".
func Address(s string) error {
	a, err := mail.ParseAddress(s)
	if err != nil || strings.ContainsAny(s, "\r\n") || len(a.Address) > 254 || !plainAddress.MatchString(a.Address) || line(a.Name) != a.Name {
		return fmt.Errorf("%q is not a mail address; it should look like hattie@example.org or Hattie Marsh <hattie@example.org>", line(s))
	}
	return nil
}

// Bare is the address without the name; empty where there is none.
func Bare(s string) string {
	a, err := mail.ParseAddress(s)
	if err != nil {
		return ""
	}
	return a.Address
}

// bytes makes the message, ready for a server or a file, and says at which byte
// of it the text begins.
func (m Message) bytes() (eml []byte, textAt int, err error) {
	msg := gomail.NewMsg(gomail.WithNoDefaultUserAgent(), gomail.WithBoundary("hardfeed-"+m.Key.hash()[:40]))
	for _, a := range []struct {
		header gomail.AddrHeader
		value  string
	}{{gomail.HeaderFrom, m.From}, {gomail.HeaderTo, m.To}, {gomail.HeaderReplyTo, m.ReplyTo}} {
		if a.value == "" {
			continue
		}
		if err := Address(a.value); err != nil {
			return nil, 0, err
		}
		if err := msg.SetAddrHeader(a.header, a.value); err != nil {
			return nil, 0, err
		}
	}
	for _, to := range m.Recipients {
		if err := Address(to); err != nil {
			return nil, 0, err
		}
	}
	if len(m.Recipients) > 0 {
		if err := msg.SetAddrHeader(gomail.HeaderTo, m.Recipients...); err != nil {
			return nil, 0, err
		}
	}
	msg.SetGenHeaderPreformatted(gomail.HeaderSubject, encoded(line(m.Subject)))
	msg.SetMessageIDWithValue(m.messageID())
	msg.SetDateWithValue(m.Date)
	if m.Draft {
		msg.SetGenHeader("X-Unsent", "1")
	} else {
		// RFC 3834: nobody's holiday notice should answer this.
		msg.SetGenHeader("Auto-Submitted", "auto-generated")
	}
	msg.SetBodyString(gomail.TypeTextPlain, m.Text)
	for _, a := range m.Attachments {
		if err := msg.AttachReader(a.Name, bytes.NewReader(a.Bytes), gomail.WithFileContentType("application/pdf")); err != nil {
			return nil, 0, err
		}
	}
	var b bytes.Buffer
	if _, err := msg.WriteTo(&b); err != nil {
		return nil, 0, err
	}
	// Nothing from outside stands at the start of a line above the text: headers
	// are encoded and folded lines begin with a blank.
	head := bytes.Index(b.Bytes(), []byte("\r\nContent-Type: text/plain"))
	if head < 0 {
		return nil, 0, fmt.Errorf("the message has no text part")
	}
	end := bytes.Index(b.Bytes()[head:], []byte("\r\n\r\n"))
	if end < 0 {
		return nil, 0, fmt.Errorf("the message's text part has no end of its headers")
	}
	return b.Bytes(), head + end + 4, nil
}

// encoded makes a header's text fit for the wire: as it stands where it is short
// ASCII, else in encoded words (RFC 2047) of at most 60 characters, so that no
// line of the header passes 76. The library would begin a long one with an empty
// line, which some programs show as a blank.
func encoded(s string) string {
	ascii := !strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r > '~' })
	if ascii && len(s) <= 60 && !strings.Contains(s, "=?") {
		return s
	}
	const most = 36 // bytes in one word: base64 makes them 48 characters
	var words []string
	var word []byte
	flush := func() {
		if len(word) > 0 {
			words = append(words, "=?UTF-8?b?"+base64.StdEncoding.EncodeToString(word)+"?=")
		}
		word = nil
	}
	for _, r := range s {
		if len(word)+utf8.RuneLen(r) > most {
			flush()
		}
		word = utf8.AppendRune(word, r)
	}
	flush()
	return strings.Join(words, "\r\n ")
}

// WriteTo writes the message as an .eml file.
func (m Message) WriteTo(w io.Writer) (int64, error) {
	eml, _, err := m.bytes()
	if err != nil {
		return 0, err
	}
	n, err := w.Write(eml)
	return int64(n), err
}

// Size is the bytes the message has on its way: base64 makes a PDF a third
// longer.
func (m Message) Size() (int, error) {
	eml, _, err := m.bytes()
	return len(eml), err
}

// notice stands on top of a message that may have gone before. It is plain ASCII
// in short lines without an equals sign, so it is its own quoted-printable form.
const notice = "YOU MAY ALREADY HAVE THIS.\r\n" +
	"The line broke while this mail went out, and it is not known whether it\r\n" +
	"arrived. It is the same mail with the same cards: one of the two is enough.\r\n" +
	"\r\n"

// again is the message with the notice on top of its text.
func again(eml []byte, textAt int) []byte {
	out := make([]byte, 0, len(eml)+len(notice))
	out = append(out, eml[:textAt]...)
	out = append(out, notice...)
	return append(out, eml[textAt:]...)
}
