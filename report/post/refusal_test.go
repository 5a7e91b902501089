package post

import (
	"net/textproto"
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/words"

	"github.com/emersion/go-smtp"
)

// Replies of the kind real servers give (codes of RFC 5321 and RFC 3463; the wording
// from memory, and ours), and the word that what to do must have in it.
var refusals = []struct {
	name  string
	at    part
	code  int
	reply string
	want  string
}{
	{"no such mailbox", ofRecipient, 550, "5.1.1 User unknown", "Check the address"},
	{"no such mailbox, without a code", ofRecipient, 550, "No such user here", "Check the address"},
	{"no such domain", ofRecipient, 550, "5.1.2 Bad destination system", "Check the address"},
	{"a bare no to the recipient", ofRecipient, 550, "rejected", "Check the address"},
	{"will not relay", ofRecipient, 554, "5.7.1 Relay access denied", "Check the address"},
	{"mailbox full", ofRecipient, 552, "5.2.2 Over quota", "mailbox is full"},
	{"mailbox full, without a code", ofRecipient, 552, "Requested mail action aborted", "mailbox is full"},
	{"mailbox full, said at the end", ofText, 552, "5.2.2 The email account is over quota", "mailbox is full"},
	{"mailbox closed", ofRecipient, 550, "5.2.1 The account is disabled", "mailbox is closed"},
	{"too large", ofText, 552, "5.3.4 Message size exceeds fixed limit", "fewer sheets"},
	{"too large for the mailbox", ofText, 552, "5.2.3 Message too long", "fewer sheets"},
	{"too large, without a code", ofText, 552, "message exceeds fixed maximum message size", "fewer sheets"},
	{"too large, said at the sender", ofSender, 552, "Message size too large", "fewer sheets"},
	{"too large, barely", ofText, 552, "no", "fewer sheets"},
	{"spam", ofText, 554, "5.7.1 Message rejected as spam", "unwanted mail"},
	{"spam, without a code", ofText, 550, "This message scores as junk", "unwanted mail"},
	{"on a list", ofRecipient, 550, "5.7.1 Service unavailable, client host blocked using a blocklist", "unwanted mail"},
	{"not signed", ofText, 550, "5.7.26 Unauthenticated mail is not accepted due to the domain's policy", "unwanted mail"},
	{"sender not ours", ofSender, 553, "5.1.8 Sender address rejected: domain not found", "mail.from"},
	{"sender not the login's", ofText, 554, "5.7.60 Client does not have permissions to send as this sender", "mail.from"},
	{"a bare no to the sender", ofSender, 550, "no", "mail.from"},
	{"login wanted", ofSender, 530, "5.7.0 Authentication required", "mail.user"},
	{"attachment", ofText, 552, "5.7.0 This message was blocked because its content presents a security issue", "unwanted mail"},
	{"attachment, plainly", ofText, 554, "5.6.1 Media not supported", "attached sheets"},
	{"nothing is said", ofText, 554, "5.0.0 Transaction failed", "Ask your mail provider"},
}

func TestWhatToDoAboutARefusal(t *testing.T) {
	for _, c := range refusals {
		got := words.Said(yard.Say(remedy(&textproto.Error{Code: c.code, Msg: c.reply}, c.at)))
		if !strings.Contains(got, c.want) {
			t.Errorf("%s (%d %s): %s", c.name, c.code, c.reply, got)
		}
		if c.want != "Check the address" && strings.Contains(got, "Check the address") {
			t.Errorf("%s: somebody is sent to check an address that is right: %s", c.name, got)
		}
	}
}

// The same through a server, at each place where it can refuse.
func TestARefusalSaysWhatToDo(t *testing.T) {
	for _, c := range refusals {
		t.Run(c.name, func(t *testing.T) {
			no := &smtp.SMTPError{Code: c.code, EnhancedCode: smtp.NoEnhancedCode, Message: c.reply}
			s := &mailServer{}
			switch c.at {
			case ofSender:
				s.mail = func(string) error { return no }
			case ofRecipient:
				s.rcpt = func(string) error { return no }
			default:
				s.data = func(*smtp.Conn, string) error { return no }
			}
			s.start(t)
			o := outboxWith(t, hattie)
			pass, err := o.Deliver(t.Context(), s.server(), newClock().now)
			if err != nil || len(pass.Findings) != 1 || pass.Findings[0].Rule != "mail-refused" || !strings.Contains(words.Said(pass.Findings[0].Next), c.want) {
				t.Errorf("%+v, %v", pass, err)
			}
			if room(t, o, hattie) != refused {
				t.Errorf("it lies in %q", room(t, o, hattie))
			}
		})
	}
}
