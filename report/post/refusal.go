package post

import (
	"errors"
	"net/textproto"
	"regexp"
	"strings"
	"sync"
)

// part is the part of the conversation (RFC 5321 §3.3) in which a server refused.
type part int

const (
	ofSender    part = iota + 1 // MAIL FROM
	ofRecipient                 // RCPT TO
	ofText                      // DATA and what follows
)

// What to do about a refusal, as the keys of its words.
const (
	doAddress = "next.mail.address"
	doFull    = "next.mail.full"
	doClosed  = "next.mail.closed"
	doSize    = "next.mail.size"
	doSpam    = "next.mail.spam"
	doSender  = "next.mail.sender"
	doLogin   = "next.mail.login"
	doSheets  = "next.mail.sheets"
	doOther   = "next.mail.other"
)

// remedies says by the enhanced status code (RFC 3463, RFC 7372 and the IANA registry)
// what to do; the class is left off. A subject with a zero at its end stands for all
// details that are not listed.
var remedies = map[string]string{
	"1.1": doAddress, "1.2": doAddress, "1.3": doAddress, "1.4": doAddress, "1.6": doAddress, "1.10": doAddress,
	"1.7": doSender, "1.8": doSender,
	"2.1": doClosed, "2.2": doFull, "2.3": doSize, "2.4": doOther,
	"3.4": doSize,
	"6.1": doSheets, "6.3": doSheets,
	"7.8": doLogin, "7.9": doLogin, "7.11": doLogin, "7.60": doSender,
	"7.20": doSpam, "7.21": doSpam, "7.22": doSpam, "7.23": doSpam, "7.24": doSpam, "7.25": doSpam, "7.26": doSpam, "7.27": doSender,
}

// wordings are what servers say where they give no code, or one that says little. The
// first that is found counts.
var wordings = []struct {
	words func() *regexp.Regexp
	do    string
}{
	{lazily(`(?i)\b(spam|junk|unsolicited|bulk mail|blocked|block ?list|black ?list|blacklisted|reputation|rbl|dnsbl|dmarc|dkim|spf|phish)`), doSpam},
	{lazily(`(?i)(too (large|big|long)|size (limit|exceed)|exceeds? .*(size|limit)|maximum (message )?size|message size)`), doSize},
	{lazily(`(?i)(mailbox|quota|storage|inbox|user).*(full|exceeded|over)|over ?quota|quota exceeded`), doFull},
	{lazily(`(?i)(attachment|content|virus|file type|malware)`), doSheets},
	{lazily(`(?i)(auth(entication)? (is )?required|log ?in first|not authenticated)`), doLogin},
	{lazily(`(?i)(sender|from address|not owned by|not allowed to send)`), doSender},
	{lazily(`(?i)(disabled|inactive|suspended|closed)`), doClosed},
	{lazily(`(?i)(no such|unknown|does not exist|doesn't exist|not found|invalid recipient|no mailbox|relay)`), doAddress},
}

// lazily compiles an expression when it is first used.
func lazily(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}

var enhanced = lazily(`\b[245]\.([0-9]{1,3}\.[0-9]{1,3})\b`)

// remedy says what to do about a message that was refused for good, by the server's
// own code and words, else by where it refused.
func remedy(err error, at part) string {
	reply, ok := errors.AsType[*textproto.Error](err)
	if !ok {
		return doOther
	}
	if m := enhanced().FindStringSubmatch(reply.Msg); m != nil {
		if do, ok := remedies[m[1]]; ok {
			return do
		}
	}
	text := enhanced().ReplaceAllString(strings.ToLower(reply.Msg), "")
	for _, w := range wordings {
		if w.words().MatchString(text) {
			return w.do
		}
	}
	switch {
	case reply.Code == 530: // RFC 4954 §6
		return doLogin
	case at == ofSender:
		return doSender
	case at == ofRecipient && reply.Code == 552: // RFC 5321 §4.2.3: exceeded storage allocation
		return doFull
	case at == ofRecipient:
		return doAddress
	case reply.Code == 552:
		return doSize
	}
	return doOther
}
