package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"text/template"
	"time"

	"github.com/spf13/cobra"

	"hardfeed/ingest/disk"
	"hardfeed/report/post"
	"hardfeed/report/words"
	"hardfeed/templates"
	"hardfeed/templates/wording"
)

// passwordVariable holds the mail password. It is not a setting: nothing keeps it.
const passwordVariable = "HARDFEED_MAIL_PASSWORD"

// exitNotAll is the exit code of send where a mail did not go: the same as of a
// run in which a horse got no card.
const exitNotAll = exitNoCard

// sheetNames are the sheets that can go with a mail.
var sheetNames = []string{"cards", "scoops", "office", seasonSheet}

// seasonSheet is the sheet that is made only where it is asked for, as by naming it here.
const seasonSheet = "season"

func (m Mail) check() error {
	if m.TLS != post.StartTLS && m.TLS != post.Implicit && m.TLS != post.NoTLS {
		return refuse("mail.tls is %q. It can be starttls, implicit or none (none only for a mail server on this same machine).", m.TLS)
	}
	if m.Host != "" {
		if err := m.server(post.Secret{}).Check(); err != nil {
			return refuse("mail.host: %v.", err)
		}
		if m.From == "" {
			return refuse("mail.host is set and mail.from is not. It should be the yard's own mail address.")
		}
		if len(m.To) == 0 {
			return refuse("mail.host is set and mail.to names nobody. It should list who gets the cards.")
		}
	}
	for _, a := range []struct{ name, value string }{{"mail.from", m.From}, {"mail.reply_to", m.ReplyTo}} {
		if a.value == "" {
			continue
		}
		if err := post.Address(a.value); err != nil {
			return refuse("%s: %v.", a.name, err)
		}
	}
	seen := map[string]bool{}
	for _, to := range m.To {
		if err := post.Address(to); err != nil {
			return refuse("mail.to: %v.", err)
		}
		key := strings.ToLower(post.Bare(to))
		if seen[key] {
			return refuse("mail.to names %s twice. Take one out.", post.Bare(to))
		}
		seen[key] = true
	}
	for i, name := range m.Attach {
		if !slices.Contains(sheetNames, name) {
			return refuse("mail.attach names %q. It can name %s.", name, strings.Join(sheetNames, ", "))
		}
		if slices.Contains(m.Attach[:i], name) {
			return refuse("mail.attach names %s twice. Take one out.", name)
		}
	}
	return nil
}

func (m Mail) server(password post.Secret) post.Server {
	return post.Server{Host: m.Host, Port: m.Port, TLS: m.TLS, User: m.User, Password: password}
}

// mostPassword is far longer than any password (ours): a whole file taken for
// one is a mistake.
const mostPassword = 1024

// password is read at the moment it is used. No error has any of it.
func (m Mail) password() (post.Secret, error) {
	if m.User == "" {
		return post.Secret{}, nil
	}
	word := os.Getenv(passwordVariable)
	from := "the variable " + passwordVariable
	if word == "" {
		if m.PasswordFile == "" {
			return post.Secret{}, refuse("mail.user is set, and there is no password. Set the variable %s, or name a file with mail.password_file.", passwordVariable)
		}
		from = m.PasswordFile
		f, err := os.Open(m.PasswordFile)
		if err != nil {
			return post.Secret{}, refuse("The password file %s could not be read: %v.", m.PasswordFile, reason(err))
		}
		defer f.Close()
		info, err := f.Stat()
		if err != nil || !info.Mode().IsRegular() {
			return post.Secret{}, refuse("The password file %s is not a file.", m.PasswordFile)
		}
		if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
			return post.Secret{}, refuse("The password file %s can be read by others than its owner. Close it first: chmod 600 %s. If others use this machine, change the password.", m.PasswordFile, m.PasswordFile)
		}
		data, err := io.ReadAll(io.LimitReader(f, mostPassword+3))
		if err != nil {
			return post.Secret{}, refuse("The password file %s could not be read: %v.", m.PasswordFile, reason(err))
		}
		word = strings.TrimSuffix(strings.TrimSuffix(string(data), "\n"), "\r")
	}
	if word == "" || len(word) > mostPassword || strings.ContainsFunc(word, func(r rune) bool { return r < ' ' || r == 0x7f }) {
		return post.Secret{}, refuse("There is no password on one line in %s.", from)
	}
	return post.Conceal(word), nil
}

// mailing is a finished folder made ready to go.
type mailing struct {
	letter   post.Letter
	messages []post.Message // one a recipient; one without a recipient where none is set
	sizes    []int
}

// mailFunctions word the mails in the first language of the cards: English until
// somebody has translated the mail.
func (s Settings) mailFunctions() (template.FuncMap, error) {
	t, err := wording.In(languages(s.Language)[0])
	if err != nil || !t.Has("mail.title") {
		t, err = wording.In(wording.Original)
	}
	return post.Functions(t, t.Code == wording.Original), err
}

// mailing words the mails of a finished folder. The edition overrides the one in
// the results; 0 leaves it.
func (s Settings) mailing(dir string, results []byte, edition int, at time.Time) (mailing, error) {
	letter, err := post.ReadLetter(results)
	if err != nil {
		return mailing{}, refuse("The folder %s cannot be mailed: %v.", dir, err)
	}
	if edition > 0 {
		letter.Edition = edition
	}
	m := mailing{letter: letter}
	functions, err := s.mailFunctions()
	if err != nil {
		return mailing{}, err
	}
	words := map[string]string{"subject": templates.MailSubject(), "text": templates.MailText()}
	for name, text := range words {
		t, err := template.New(name).Funcs(functions).Option("missingkey=error").Parse(text)
		if err != nil {
			return mailing{}, err
		}
		fill := letter.Text
		if name == "subject" {
			fill = letter.Subject
		}
		if words[name], err = fill(t); err != nil {
			return mailing{}, err
		}
	}
	page, sheets, err := s.sheets(dir)
	if err != nil {
		return mailing{}, err
	}
	to := s.Mail.To
	if len(to) == 0 {
		to = []string{""}
	}
	for _, to := range to {
		msg := post.Message{Key: letter.KeyOf(results, to), From: s.Mail.From, To: to, ReplyTo: s.Mail.ReplyTo,
			Subject: words["subject"], Text: words["text"], Page: page, Attachments: sheets, Date: at}
		size, err := msg.Size()
		if err != nil {
			return mailing{}, err
		}
		if most := int(s.Mail.MostMB * 1e6); size > most {
			return mailing{}, refuse("The mail of %s would have %.1f MB and mail.most_mb is %v. Send fewer sheets (mail.attach), or raise it if the mail server takes more.", dir, float64(size)/1e6, s.Mail.MostMB)
		}
		m.messages, m.sizes = append(m.messages, msg), append(m.sizes, size)
	}
	return m, nil
}

// pageName is the cards as a page for a telephone.
const pageName = "cards.html"

// mostPage is how many bytes of cards a mail shows by itself. Gmail cuts off what is
// over 102 kB (from memory), and half the cards are worse than none: a longer page goes
// as a file.
const mostPage = 90_000

// sheets reads the cards that the mail shows, and the sheets that go with it. Links are not
// followed out of the folder.
func (s Settings) sheets(dir string) (page string, out []post.Attachment, err error) {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return "", nil, refuse("The folder %s could not be read: %v.", dir, reason(err))
	}
	defer root.Close()
	read := func(name string, whole func([]byte) bool) ([]byte, error) {
		data, err := root.ReadFile(name)
		if err != nil {
			return nil, refuse("The folder %s cannot be mailed: its %s could not be read (%v). Run the workbook again.", dir, name, reason(err))
		}
		if !whole(data) {
			return nil, refuse("The folder %s cannot be mailed: its %s is damaged or cut short. Run the workbook again.", dir, name)
		}
		return data, nil
	}
	cards, err := read(pageName, wholePage)
	if err != nil {
		return "", nil, err
	}
	for _, name := range s.Mail.Attach {
		data, err := read(name+".pdf", wholePDF)
		if err != nil {
			return "", nil, err
		}
		out = append(out, post.Attachment{Name: name + ".pdf", Bytes: data})
	}
	if len(cards) > mostPage {
		return "", append(out, post.Attachment{Name: pageName, Bytes: cards}), nil
	}
	return string(cards), out, nil
}

func wholePage(data []byte) bool {
	return bytes.Contains(data, []byte("\n<body>\n")) && bytes.HasSuffix(bytes.TrimSpace(data), []byte("</html>"))
}

func wholePDF(data []byte) bool {
	return bytes.HasPrefix(data, []byte("%PDF-")) && bytes.HasSuffix(bytes.TrimSpace(data), []byte("%%EOF"))
}

// outboxIn is where mails of the finished folders in dir wait.
func (s Settings) outboxIn(dir string) string {
	if s.Mail.Outbox != "" {
		return s.Mail.Outbox
	}
	return filepath.Join(dir, ".hardfeed", "outbox")
}

// queueMail puts the mails of a finished folder into the outbox. Mails it knows
// are left as they are; without a mail server it does nothing.
func (s Settings) queueMail(outbox, dir string, results []byte, edition int) error {
	if s.Mail.Host == "" {
		return nil
	}
	m, err := s.mailing(dir, results, edition, time.Now())
	if err != nil {
		return err
	}
	for _, msg := range m.messages {
		if err := (post.Outbox{Dir: outbox}).Add(msg); err != nil {
			return refuse("The mail to %s could not be put into the outbox %s: %v.", msg.To, outbox, reason(err))
		}
	}
	return nil
}

// deliverMail hands what is due in the outbox to the mail server, once, and says
// what became of it. Its error is the server's or the disk's; what could not go
// is kept.
func (s Settings) deliverMail(ctx context.Context, outbox string, say func(format string, args ...any)) error {
	_, err := s.deliver(ctx, outbox, say)
	return err
}

func (s Settings) deliver(ctx context.Context, outbox string, say func(format string, args ...any)) (post.Pass, error) {
	if s.Mail.Host == "" {
		return post.Pass{}, nil
	}
	password, err := s.Mail.password()
	if err != nil {
		return post.Pass{}, err
	}
	pass, err := (post.Outbox{Dir: outbox}).Deliver(ctx, s.Mail.server(password), time.Now)
	for _, g := range pass.Sent {
		if g.Again {
			say("Mailed to %s, who may have it twice: it was not known whether the first try arrived. %s", g.To, g.Subject)
			continue
		}
		say("Mailed to %s: %s", g.To, g.Subject)
	}
	for _, f := range pass.Findings {
		say("%s %s", words.Text(f), words.Said(f.Next))
	}
	return pass, err
}

func sendCommand(std streams, code *int) *cobra.Command {
	var flags jobFlags
	var dry bool
	cmd := &cobra.Command{
		Use:   "send DIR",
		Short: "Mail a finished folder to the weekend staff",
		Long: "Mails the sheets of a finished folder to everyone in the settings (mail.to). A mail\n" +
			"that cannot go is kept and goes the next time. One that has gone does not go again.\n" +
			"Without a mail server in the settings it writes a mail beside the folder, to open\n" +
			"in a mail program.\n\n" +
			"Exit codes: 0 everyone's mail has gone; 1 somebody's has not; 2 nothing was done.",
		Example: "  hardfeed send week --dry-run           say who would get what\n" +
			"  hardfeed send week --config hardfeed.yaml",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return refuse("Name the one folder to mail, for example: hardfeed send week.")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := flags.settings(std, filepath.Dir(filepath.Clean(args[0])), cmd.Flags())
			if err != nil {
				return err
			}
			*code, err = s.send(cmd.Context(), std, args[0], dry)
			return err
		},
	}
	flags.addConfig(cmd.Flags())
	cmd.Flags().BoolVar(&dry, "dry-run", false, "say who would get what; send and write nothing")
	return cmd
}

// finishedFolder reads the results of a folder that is ours and whole.
func finishedFolder(dir string) ([]byte, error) {
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, refuse("There is no folder %s.", dir)
	}
	if err != nil || !info.IsDir() {
		return nil, refuse("%s is not a folder. Name the folder that hardfeed run has written.", dir)
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, refuse("The folder %s could not be read: %v.", dir, reason(err))
	}
	defer root.Close()
	for _, name := range ourFiles {
		info, err := root.Stat(name)
		if notAlways(name) && errors.Is(err, fs.ErrNotExist) {
			continue
		}
		if err != nil || !info.Mode().IsRegular() || info.Size() == 0 {
			return nil, refuse("%s is not a whole folder of this program: its %s is missing or empty. Run the workbook again.", dir, name)
		}
	}
	results, err := root.ReadFile(resultsName)
	if err != nil {
		return nil, refuse("The folder %s could not be read: %v.", dir, reason(err))
	}
	return results, nil
}

// send mails one folder for a person who asked for it now.
func (s Settings) send(ctx context.Context, std streams, dir string, dry bool) (int, error) {
	say := func(format string, args ...any) { fmt.Fprintf(std.err, format+"\n", args...) }
	dir = filepath.Clean(dir)
	results, err := finishedFolder(dir)
	if err != nil {
		return exitNothing, err
	}
	m, err := s.mailing(dir, results, 0, time.Now())
	if err != nil {
		return exitNothing, err
	}
	if s.Mail.Host == "" {
		return s.draft(m, dir, dry, say)
	}
	abs, err := filepath.Abs(dir)
	if err != nil {
		return exitNothing, err
	}
	outbox := s.outboxIn(filepath.Dir(abs))
	box := post.Outbox{Dir: outbox}
	if dry {
		say("This is a dry run, and nothing is sent. The mail server would be %s, the sender %s.", s.Mail.server(post.Secret{}).Name(), s.Mail.From)
		for i, msg := range m.messages {
			room, err := box.Room(msg.Key)
			if err != nil {
				return exitNothing, refuse("The outbox %s could not be read: %v.", outbox, reason(err))
			}
			say("%s would get %s", msg.To, sayMail(msg, m.sizes[i]))
			switch room {
			case "sent":
				say("  It went there before, and would not go again.")
			case "refused":
				say("  It was refused before, and would be tried again.")
			case "waiting", "sending":
				say("  It lies in the outbox and would be tried again.")
			}
		}
		say("\n%s", m.messages[0].Text)
		return exitDone, nil
	}
	if _, err := s.Mail.password(); err != nil {
		return exitNothing, err
	}
	for _, msg := range m.messages {
		if room, err := box.Room(msg.Key); err == nil && room == "sent" {
			say("%s has this mail: it went before and was not sent again.", msg.To)
			continue
		}
		if err := errors.Join(box.Again(ctx, msg.Key), box.Add(msg)); err != nil {
			return exitNothing, refuse("The mail to %s could not be put into the outbox %s: %v.", msg.To, outbox, reason(err))
		}
	}
	_, trouble := s.deliver(ctx, outbox, say)
	left := 0
	for _, msg := range m.messages {
		room, err := box.Room(msg.Key)
		if err != nil {
			return exitNothing, refuse("The outbox %s could not be read: %v.", outbox, reason(err))
		}
		switch room {
		case "sent":
			continue
		case "waiting", "sending":
			say("Not yet mailed to %s: kept in the outbox. Run hardfeed send %s again; hardfeed watch tries by itself.", msg.To, dir)
		}
		left++
	}
	if trouble != nil {
		say("%s", sayError(trouble))
	}
	if left > 0 || trouble != nil {
		return exitNotAll, nil
	}
	return exitDone, nil
}

// draft writes the mail beside the folder, for a yard without a mail server in
// its settings.
func (s Settings) draft(m mailing, dir string, dry bool, say func(format string, args ...any)) (int, error) {
	msg := m.messages[0]
	msg.Draft, msg.Key.To = true, ""
	msg.To = ""
	// The same folder gives the same bytes, so the date is the week's; a mail
	// program sets its own when it sends.
	msg.Date = m.letter.Begins()
	msg.Recipients = s.Mail.To
	var eml bytes.Buffer
	if _, err := msg.WriteTo(&eml); err != nil {
		return exitNothing, err
	}
	name := dir + ".eml"
	who := "nobody yet (fill in the address there)"
	if len(s.Mail.To) > 0 {
		who = strings.Join(s.Mail.To, ", ")
	}
	if dry {
		say("This is a dry run, and nothing is written. There is no mail server in the settings (mail.host), so %s would be written, to %s.\n%s\n\n%s", name, who, sayMail(msg, eml.Len()), msg.Text)
		return exitDone, nil
	}
	data := signed(eml.Bytes())
	old, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return exitNothing, refuse("%s is in the way and could not be read: %v.%s", name, reason(err), remedy(err))
	case bytes.Equal(old, data):
		say("%s is there already and is the same. Open it in a mail program to send it.", name)
		return exitDone, nil
	case !isSigned(old):
		kept, err := keepMail(name)
		if err != nil {
			return exitNothing, err
		}
		say("%s was not as this program had written it: it is kept as %s.", name, kept)
	}
	if err := replaceFile(name, data); err != nil {
		return exitNothing, err
	}
	say("There is no mail server in the settings (mail.host), so nothing was sent. Written: %s, to %s. Open it in a mail program to send it.", name, who)
	return exitDone, nil
}

// draftSum is the header by which a draft is known that nobody has changed: the SHA-256
// of all the rest.
const draftSum = "X-Draft-Sum: "

// signed puts the header in front.
func signed(eml []byte) []byte {
	sum := sha256.Sum256(eml)
	return append([]byte(draftSum+hex.EncodeToString(sum[:])+"\r\n"), eml...)
}

func isSigned(eml []byte) bool {
	_, rest, ok := bytes.Cut(eml, []byte("\r\n"))
	return ok && bytes.Equal(eml, signed(rest))
}

// keepMail gives a mail of somebody's another name, and returns it.
func keepMail(name string) (kept string, err error) {
	for n := 1; ; n++ {
		kept = filepath.Join(filepath.Dir(name), keptName(filepath.Base(name), n))
		if _, err = os.Lstat(kept); err != nil {
			break
		}
	}
	if errors.Is(err, fs.ErrNotExist) {
		err = os.Rename(name, kept)
	}
	if err != nil {
		return "", refuse("%s is in the way and could not be renamed: %v.%s", name, reason(err), remedy(err))
	}
	return kept, nil
}

// replaceFile writes a file whole, in place of what is there.
func replaceFile(name string, data []byte) error {
	d, err := disk.Open(filepath.Dir(name))
	if err == nil {
		defer d.Close()
		err = disk.WriteWhole(d, newBeginning, filepath.Base(name), data)
	}
	if err != nil {
		return refuse("%s could not be written: %v.%s", name, reason(err), remedy(err))
	}
	return nil
}

func sayMail(m post.Message, size int) string {
	var names []string
	for _, a := range m.Attachments {
		names = append(names, a.Name)
	}
	with := "no sheets"
	if len(names) > 0 {
		with = strings.Join(names, ", ")
	}
	shown := ""
	if m.Page != "" {
		shown = ", the cards in the mail itself"
	}
	return fmt.Sprintf("%q with %s%s (%.1f MB).", m.Subject, with, shown, float64(size)/1e6)
}
