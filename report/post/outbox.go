package post

import (
	"context"
	"encoding/json"
	"errors"
	"io/fs"
	"net/textproto"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"time"

	"hardfeed/ingest/disk"
	"hardfeed/ration/yard"
)

// Outbox is a folder that keeps messages until they have gone, and remembers for
// good which have. A message is a folder in one of four rooms, and which room it
// lies in is its whole state:
//
//	waiting   not with the server
//	sending   the server may have it: its last line goes out, or went out and the
//	          answer was never noted
//	sent      the server has it
//	refused   the server will not have it, or it was tried for the last time
//
// A message changes its room by one rename, made lasting before the next thing is
// done.
type Outbox struct {
	Dir string
	// open gives the folder; nil: Dir, made if it is not there.
	open func() (disk.FS, error)
	// at is called at every step; a test ends the process there.
	at func(step string)
}

const (
	waiting = "waiting"
	sending = "sending"
	sent    = "sent"
	refused = "refused"

	messageName = "message.eml"
	stateName   = "state.json"
	addingName  = ".adding-"
)

// state is what is kept beside a message. Nothing secret is in it.
type state struct {
	To        string    `json:"to"`
	From      string    `json:"from"`
	Subject   string    `json:"subject"`
	MessageID string    `json:"message_id"`
	TextAt    int       `json:"text_at"` // byte of the message at which its text begins
	PageAt    int       `json:"page_at"` // and its page; 0: it has none
	Queued    time.Time `json:"queued"`
	Tries     int       `json:"tries"`
	Next      time.Time `json:"next_try"`
	Again     bool      `json:"may_have_gone"` // it goes with the notice from now on
	Last      string    `json:"last_answer"`
}

// Wait before another try: a minute, then twice as long each time, an hour at
// most. After lastTry tries (more than three days) it is given up. Ours; RFC 5321
// §4.5.4.1 asks for four to five days, but a week's cards are of no use then.
const (
	firstWait = time.Minute
	mostWait  = time.Hour
	lastTry   = 80
)

func wait(tries int) time.Duration {
	if tries > 10 {
		return mostWait
	}
	return min(firstWait<<max(tries-1, 0), mostWait)
}

func (o Outbox) step(name string) {
	if o.at != nil {
		o.at(name)
	}
}

// opened is an outbox whose folder is open.
type opened struct {
	Outbox
	disk disk.FS
}

func (o Outbox) opened() (opened, error) {
	open := o.open
	if open == nil {
		open = func() (disk.FS, error) { return disk.OpenMade(o.Dir) }
	}
	d, err := open()
	return opened{o, d}, err
}

// isThere says whether there is an outbox at all: to look into one makes none.
func (o Outbox) isThere() bool {
	if o.open != nil {
		return true
	}
	_, err := os.Stat(o.Dir)
	return !errors.Is(err, fs.ErrNotExist)
}

// Room is where a message lies: "" if the outbox does not know it, else
// "waiting", "sending", "sent" or "refused". The rooms are looked at in the order
// of the way, so that a message going forward meanwhile is not missed.
func (o Outbox) Room(k Key) (string, error) {
	if !o.isThere() {
		return "", nil
	}
	b, err := o.opened()
	if err != nil {
		return "", err
	}
	defer b.disk.Close()
	return b.roomOf(k)
}

func (b opened) roomOf(k Key) (string, error) {
	for _, room := range []string{waiting, sending, sent, refused} {
		if is, err := disk.There(b.disk, room+"/"+k.name()); err != nil || is {
			return room, err
		}
	}
	return "", nil
}

// Add puts a message into the outbox, whole or not at all. A message it knows,
// in whatever room, is left as it is.
func (o Outbox) Add(m Message) error {
	b, err := o.opened()
	if err != nil {
		return err
	}
	defer b.disk.Close()
	for _, room := range []string{waiting, sending, sent, refused} {
		if err := disk.MakeFolder(b.disk, room); err != nil {
			return err
		}
	}
	if room, err := b.roomOf(m.Key); err != nil || room != "" {
		return err
	}
	eml, at, err := m.bytes()
	if err != nil {
		return err
	}
	o.step("before writing")
	temp, err := disk.MakeTemp(b.disk, addingName)
	if err != nil {
		return err
	}
	defer disk.RemoveAll(b.disk, temp) // nothing once renamed
	if err := disk.WriteSynced(b.disk, temp+"/"+messageName, eml); err != nil {
		return err
	}
	o.step("half written")
	st := state{To: m.To, From: m.From, Subject: m.Subject, MessageID: m.messageID(), TextAt: at.text, PageAt: at.page, Queued: m.Date, Next: m.Date}
	if err := st.write(b.disk, temp); err != nil {
		return err
	}
	o.step("written")
	if err := b.disk.Rename(temp, waiting+"/"+m.Key.name()); err != nil {
		// Somebody else has added the same message meanwhile: theirs is as good.
		if room, look := b.roomOf(m.Key); look == nil && room != "" {
			return nil
		}
		return err
	}
	o.step("added, not lasting")
	err = errors.Join(b.disk.SyncDir(waiting), b.disk.SyncDir("."))
	o.step("added")
	return err
}

// Again makes a message due at once, or, if it was refused or given up, forgets
// it, so that it can be added anew. One that was sent stays sent.
func (o Outbox) Again(ctx context.Context, k Key) error {
	b, err := o.opened()
	if err != nil {
		return err
	}
	defer b.disk.Close()
	unlock, err := b.lock(ctx)
	if err != nil {
		return err
	}
	defer unlock()
	room, err := b.roomOf(k)
	if err != nil {
		return err
	}
	dir := room + "/" + k.name()
	switch room {
	case waiting:
		st, err := readState(b.disk, dir)
		if err != nil {
			return err
		}
		st.Next = time.Time{}
		return st.write(b.disk, dir)
	case refused:
		temp, err := disk.MakeTemp(b.disk, addingName)
		if err != nil {
			return err
		}
		defer disk.RemoveAll(b.disk, temp)
		if err := b.disk.Rename(dir, temp+"/old"); err != nil {
			return err
		}
		return b.disk.SyncDir(refused)
	}
	return nil
}

// Pass is what one look through the outbox came to.
type Pass struct {
	Sent     []Gone
	Waiting  int            // messages that are kept for later
	Next     time.Time      // when the first of them is due; zero: none waits
	Findings []yard.Finding // refused, given up, or not to be used as they lie there
}

// Gone is a message the server took.
type Gone struct {
	To, Subject, MessageID string
	Again                  bool // it may have gone before, and says so
}

// Deliver hands every message that is due to the server, one by one. What could
// not go now is kept, and the error says why; messages go on where the trouble
// was one message's own. Only one process delivers at a time; a second waits.
func (o Outbox) Deliver(ctx context.Context, s Server, now func() time.Time) (Pass, error) {
	var p Pass
	if !o.isThere() {
		return p, nil
	}
	b, err := o.opened()
	if err != nil {
		return p, err
	}
	defer b.disk.Close()
	unlock, err := b.lock(ctx)
	if err != nil {
		return p, err
	}
	defer unlock()
	d := delivery{box: b, server: s, now: now, pass: &p}
	defer d.hangUp()
	if err := d.tidy(); err != nil {
		return p, err
	}
	entries, err := disk.Names(b.disk, waiting) // in order of names: the oldest week first
	if err != nil {
		return p, err
	}
	entries = slices.DeleteFunc(entries, disk.IsLitter)
	var errs []error
	for _, e := range entries {
		if err := d.one(ctx, e.Name()); err != nil {
			errs = append(errs, err)
		}
	}
	if d.down != nil {
		errs = append(errs, d.down)
	}
	return p, errors.Join(errs...)
}

const lockName = "lock"

// lock waits for its turn.
func (b opened) lock(ctx context.Context) (unlock func(), err error) {
	for {
		l, err := b.disk.TryLock(lockName)
		if err == nil {
			return func() { l.Close() }, nil
		}
		if errors.Is(err, disk.ErrLocked) {
			select {
			case <-time.After(100 * time.Millisecond):
				continue
			case <-ctx.Done():
				err = ctx.Err()
			}
		}
		return nil, &yard.Trouble{Saying: yard.Say("part.mail.outbox", yard.Named("folder", yard.Place, b.Dir), yard.Said("why", told(err))), Cause: err}
	}
}

// move is one rename, made lasting.
func (b opened) move(name, from, to string) error {
	return disk.Move(b.disk, from+"/"+name, to+"/"+name)
}

// delivery is one pass. It keeps one line to the server for all messages.
type delivery struct {
	box    opened
	server Server
	now    func() time.Time
	pass   *Pass
	line   *connection // nil: not connected
	down   error       // why the server cannot be used; no message goes in this pass any more
}

func (d *delivery) hangUp() {
	if d.line != nil {
		d.line.quit()
		d.line = nil
	}
}

func (d *delivery) drop() {
	if d.line != nil {
		d.line.close()
		d.line = nil
	}
}

func (d *delivery) finding(rule, next string, args ...yard.Arg) {
	d.pass.Findings = append(d.pass.Findings, yard.Finding{Rule: yard.RuleID(rule), Severity: yard.Warn, Saying: yard.Say("finding."+rule, args...), Next: yard.Say(next)})
}

func (d *delivery) damaged(dir string, err error) {
	d.finding("mail-damaged", "next.mail.damaged", yard.Named("folder", yard.Place, filepath.Join(d.box.Dir, filepath.FromSlash(dir))), yard.Said("why", told(err)))
}

// tidy finishes what a process that died left behind. The lock is held, so
// nothing in sending is being sent: the server may have it, and nobody knows.
func (d *delivery) tidy() error {
	b := d.box
	entries, err := disk.Names(b.disk, sending)
	if err != nil {
		return err
	}
	for _, e := range slices.DeleteFunc(entries, disk.IsLitter) {
		dir := sending + "/" + e.Name()
		st, err := readState(b.disk, dir)
		if err != nil {
			d.pass.Waiting++
			d.damaged(dir, err)
			continue
		}
		st.Again, st.Next = true, time.Time{}
		if err := st.write(b.disk, dir); err != nil {
			return err
		}
		if err := b.move(e.Name(), sending, waiting); err != nil {
			return err
		}
	}
	// A message is forgotten once sent; that it was sent never is.
	gone, err := disk.Names(b.disk, sent)
	if err != nil {
		return err
	}
	for _, e := range gone {
		if err := b.forget(e.Name()); err != nil {
			return err
		}
	}
	return b.sweep()
}

// forget takes away the message of one that was sent, and keeps that it was.
func (b opened) forget(name string) error {
	if err := b.disk.Remove(sent + "/" + name + "/" + messageName); err != nil && !errors.Is(err, fs.ErrNotExist) && !errors.Is(err, syscall.ENOTDIR) {
		return err
	}
	return nil
}

// sweep takes away what a process that died while adding left behind.
func (b opened) sweep() error {
	entries, err := b.disk.ReadDir(".")
	if err != nil {
		return err
	}
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), addingName) {
			continue
		}
		// An hour is far more than adding takes; one at work is left alone.
		if age, err := disk.Age(b.disk, e.Name(), addingName); err == nil && age > time.Hour {
			disk.RemoveAll(b.disk, e.Name())
		}
	}
	return nil
}

// keep notes that a message waits until then.
func (d *delivery) keep(next time.Time) {
	d.pass.Waiting++
	if d.pass.Next.IsZero() || next.Before(d.pass.Next) {
		d.pass.Next = next
	}
}

// one takes a message on its way. Its error is of this machine's disk.
func (d *delivery) one(ctx context.Context, name string) error {
	o := d.box
	if is, err := disk.There(o.disk, sent+"/"+name); err == nil && is {
		// It was added again in the very moment it went. The one that went counts.
		return disk.RemoveAll(o.disk, waiting+"/"+name)
	}
	dir := waiting + "/" + name
	st, err := readState(o.disk, dir)
	var eml []byte
	if err == nil {
		eml, err = disk.ReadFile(o.disk, dir+"/"+messageName)
	}
	if err == nil && (st.TextAt < 0 || st.TextAt > len(eml) || st.PageAt < 0 || st.PageAt > len(eml) || Bare(st.To) == "") {
		err = yard.Troubled(yard.Say("part.mail.changed"))
	}
	if err != nil {
		d.pass.Waiting++
		d.damaged(dir, err)
		return nil
	}
	now := d.now()
	// A wait longer than the longest is a clock that was put back.
	if st.Next.After(now) && st.Next.Sub(now) <= mostWait {
		d.keep(st.Next)
		return nil
	}
	if ctx.Err() != nil {
		d.keep(st.Next)
		return nil
	}
	outcome := d.hand(ctx, name, st, eml)
	switch {
	case outcome.stopped:
		d.keep(now)
		return outcome.err
	case outcome.err == nil:
		d.pass.Sent = append(d.pass.Sent, Gone{st.To, st.Subject, st.MessageID, st.Again})
		return o.forget(name)
	}
	st.Tries++
	st.Again = st.Again || outcome.doubt
	st.Last = plain(outcome.err)
	st.Next = now.Add(wait(st.Tries))
	from := waiting
	if outcome.claimed {
		from = sending
	}
	room := waiting
	to, why := yard.Named("to", yard.PersonName, st.To), yard.Said("why", told(outcome.err))
	switch {
	case outcome.final:
		room = refused
		d.finding("mail-refused", outcome.do, to, why)
	case st.Tries >= lastTry:
		room = refused
		d.finding("mail-given-up", "next.mail.given up", to, yard.Count("tries", st.Tries), why)
	default:
		d.keep(st.Next)
		if d.down == nil { // else the server's trouble is said once, for all of them
			d.finding("mail-waiting", "next.mail.waiting", to, why)
		}
	}
	if err := st.write(o.disk, from+"/"+name); err != nil {
		return err
	}
	if from != room {
		return o.move(name, from, room)
	}
	return nil
}

// outcome is how the hand-over of one message ended.
type outcome struct {
	err     error  // nil: the server has it, and it lies in sent
	final   bool   // the server will never have it
	do      string // about it, if it is final
	claimed bool   // it lies in sending
	doubt   bool   // the server may have it
	stopped bool   // this machine's disk or its owner stopped it: no try is counted
}

// hand does the conversation of RFC 5321 §3.3 for one message.
func (d *delivery) hand(ctx context.Context, name string, st state, eml []byte) outcome {
	o := d.box
	if d.down != nil {
		return outcome{err: d.down}
	}
	o.step("before connecting")
	if d.line == nil {
		line, err := d.server.open(ctx)
		if err != nil {
			if ctx.Err() != nil {
				return outcome{err: ctx.Err(), stopped: true}
			}
			d.down = err
			return outcome{err: err}
		}
		d.line = line
	}
	o.step("connected")
	if st.Again {
		eml = again(eml, places{st.TextAt, st.PageAt})
	}
	if d.line.most > 0 && len(eml) > d.line.most {
		return outcome{final: true, do: doSize, err: yard.Troubled(yard.Say("part.mail.size", yard.Fixed("mb", megabytes(len(eml)), yard.NoUnit, 1), yard.Fixed("most", megabytes(d.line.most), yard.NoUnit, 1)))}
	}
	// fail ends a conversation that did not come to the last line.
	fail := func(err error, at part) outcome {
		if ctx.Err() != nil {
			d.drop()
			return outcome{err: ctx.Err(), stopped: true}
		}
		theirs, final := answered(err)
		if !theirs || d.line.Reset() != nil {
			d.drop()
		}
		return outcome{err: err, final: final, do: remedy(err, at)}
	}
	if err := d.line.Mail("<" + Bare(st.From) + ">"); err != nil {
		return fail(err, ofSender)
	}
	if err := d.line.Rcpt("<" + Bare(st.To) + ">"); err != nil {
		return fail(err, ofRecipient)
	}
	o.step("recipient taken")
	body, err := d.line.Data()
	if err != nil {
		return fail(err, ofText)
	}
	half := len(eml) / 2
	if _, err := body.Write(eml[:half]); err != nil {
		return fail(err, ofText)
	}
	if err := d.line.Text.W.Flush(); err != nil {
		return fail(err, ofText)
	}
	o.step("half sent")
	if _, err := body.Write(eml[half:]); err != nil {
		return fail(err, ofText)
	}
	// All but the last line is out; without it no server takes a message.
	if err := d.line.Text.W.Flush(); err != nil {
		return fail(err, ofText)
	}
	o.step("before claim")
	if err := o.move(name, waiting, sending); err != nil {
		d.drop()
		is, look := disk.There(o.disk, sending+"/"+name)
		return outcome{err: err, stopped: true, claimed: is && look == nil}
	}
	o.step("after claim")
	err = body.Close() // the last line, and the answer to it
	if err != nil {
		theirs, final := answered(err)
		if !theirs {
			d.drop()
		}
		e, replied := errors.AsType[*textproto.Error](err)
		return outcome{err: err, final: final, do: remedy(err, ofText), claimed: true, doubt: !replied || e.Code < 400}
	}
	o.step("taken, not noted")
	if err := o.move(name, sending, sent); err != nil {
		return outcome{err: &yard.Trouble{Saying: yard.Say("part.mail.not noted", yard.Named("to", yard.PersonName, st.To), yard.Said("why", told(err))), Cause: err}, stopped: true, claimed: true}
	}
	o.step("noted")
	return outcome{}
}

func megabytes(n int) float64 { return float64(n) / 1e6 }

func readState(d disk.FS, dir string) (state, error) {
	var st state
	data, err := disk.ReadFile(d, dir+"/"+stateName)
	if err == nil {
		err = json.Unmarshal(data, &st)
	}
	return st, err
}

// write replaces a state whole.
func (st state) write(d disk.FS, dir string) error {
	data, err := json.MarshalIndent(st, "", " ")
	if err != nil {
		return err
	}
	return disk.WriteWhole(d, addingName, dir+"/"+stateName, append(data, '\n'))
}
