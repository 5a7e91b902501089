package post

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"html"
	"io"
	"net/mail"
	"strings"
	"time"
	"unicode/utf8"

	gomail "github.com/wneessen/go-mail"
)

// Attachment is a sheet that goes with a mail: a PDF, or a page of HTML.
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
	Page        string // of HTML, shown in place of the text where it can be; the text is above it. "": none
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
	return Key{l.Yard, l.Week, l.Edition, to, sha256.Sum256(results)}
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
var plainAddress = lazily("^[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+(\\.[A-Za-z0-9!#$%&'*+/=?^_`{|}~-]+)*@[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?(\\.[A-Za-z0-9]([A-Za-z0-9-]*[A-Za-z0-9])?)*$")

// Address checks one mail address, "hattie@example.org" or "Hattie Marsh
// <hattie@example.org>".
func Address(s string) error {
	a, err := mail.ParseAddress(s)
	if err != nil || strings.ContainsAny(s, "\r\n") || len(a.Address) > 254 || !plainAddress().MatchString(a.Address) || line(a.Name) != a.Name {
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

// places are the bytes of a message at which its text and its page begin; 0: it has none.
type places struct{ text, page int }

// bytes makes the message, ready for a server or a file.
func (m Message) bytes() (eml []byte, at places, err error) {
	msg := gomail.NewMsg(gomail.WithNoDefaultUserAgent())
	for _, a := range []struct {
		header gomail.AddrHeader
		value  string
	}{{gomail.HeaderFrom, m.From}, {gomail.HeaderTo, m.To}, {gomail.HeaderReplyTo, m.ReplyTo}} {
		if a.value == "" {
			continue
		}
		if err := Address(a.value); err != nil {
			return nil, at, err
		}
		if err := msg.SetAddrHeader(a.header, a.value); err != nil {
			return nil, at, err
		}
	}
	for _, to := range m.Recipients {
		if err := Address(to); err != nil {
			return nil, at, err
		}
	}
	if len(m.Recipients) > 0 {
		if err := msg.SetAddrHeader(gomail.HeaderTo, m.Recipients...); err != nil {
			return nil, at, err
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
	if m.Page != "" {
		page, err := withText(m.Page, m.Text)
		if err != nil {
			return nil, at, err
		}
		msg.AddAlternativeString(gomail.TypeTextHTML, page)
	}
	for _, a := range m.Attachments {
		if err := msg.AttachReader(a.Name, bytes.NewReader(a.Bytes), gomail.WithFileContentType(a.kind())); err != nil {
			return nil, at, err
		}
	}
	var b bytes.Buffer
	if _, err := msg.WriteTo(&b); err != nil {
		return nil, at, err
	}
	// Nothing from outside is at the start of a line above the text: headers
	// are encoded and folded lines begin with a blank.
	head := bytes.Index(b.Bytes(), []byte("\r\nContent-Type: text/plain"))
	if head < 0 {
		return nil, at, fmt.Errorf("the message has no text part")
	}
	eml = m.ownBoundaries(b.Bytes(), head)
	if at.text = after(eml, "\r\nContent-Type: text/plain", "\r\n\r\n"); at.text == 0 {
		return nil, at, fmt.Errorf("the message's text part has no end of its headers")
	}
	if m.Page != "" {
		if at.page = after(eml, "\r\nContent-Type: text/html", "\r\n"+bodyTag+"\r\n"); at.page == 0 {
			return nil, at, fmt.Errorf("the message's page has no body")
		}
	}
	return eml, at, nil
}

// kind is what a sheet is by the name this program gave it.
func (a Attachment) kind() gomail.ContentType {
	if strings.HasSuffix(a.Name, ".html") {
		return "text/html; charset=utf-8"
	}
	return "application/pdf"
}

// after is the place behind the first tag that comes after part; 0: there is none.
func after(eml []byte, part, tag string) int {
	at := bytes.Index(eml, []byte(part))
	if at < 0 {
		return 0
	}
	end := bytes.Index(eml[at:], []byte(tag))
	if end < 0 {
		return 0
	}
	return at + end + len(tag)
}

// bodyTag is on a line of its own in a page; "=" and long lines aside, a line stays
// in a message as it is.
const bodyTag = "<body>"

// withText puts the text on top of a page: where the page is shown, the text is not.
func withText(page, text string) (string, error) {
	before, rest, ok := strings.Cut(strings.ReplaceAll(page, "\r\n", "\n"), "\n"+bodyTag+"\n")
	if !ok {
		return "", errors.New("the page of the cards is not as this program wrote it")
	}
	return before + "\n" + bodyTag + "\n<div lang=\"en\" style=\"white-space: pre-line\">\n" + html.EscapeString(text) + "</div>\n" + rest, nil
}

var aBoundary = lazily(`boundary=([0-9a-f]{40,})`)

// ownBoundaries puts boundaries of ours in place of the library's, which are of chance,
// or, where one is set, the same on both storeys. head is where the text's part begins,
// above which all of them are named.
func (m Message) ownBoundaries(eml []byte, head int) []byte {
	for i, found := range aBoundary().FindAllSubmatch(bytes.Clone(eml[:head]), -1) {
		eml = bytes.ReplaceAll(eml, found[1], fmt.Appendf(nil, "hardfeed-%s-%d", m.Key.hash()[:40], i))
	}
	return eml
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

// notice is on top of a message that may have gone before. It is plain ASCII
// in short lines without an equals sign, so it is its own quoted-printable form.
const notice = "YOU MAY ALREADY HAVE THIS.\r\n" +
	"The line broke while this mail went out, and it is not known whether it\r\n" +
	"arrived. It is the same mail with the same cards: one of the two is enough.\r\n" +
	"\r\n"

// again is the message with the notice on top of its text, and of its page.
func again(eml []byte, at places) []byte {
	out := make([]byte, 0, len(eml)+2*len(notice))
	out = append(out, eml[:at.text]...)
	out = append(out, notice...)
	if at.page > at.text {
		out = append(out, eml[at.text:at.page]...)
		out = append(out, "<p><strong>"+strings.TrimSuffix(notice, "\r\n\r\n")+"</strong></p>\r\n"...)
		return append(out, eml[at.page:]...)
	}
	return append(out, eml[at.text:]...)
}
