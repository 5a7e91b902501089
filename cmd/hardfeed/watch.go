package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/fsnotify/fsnotify"
	"github.com/spf13/cobra"

	"hardfeed/ingest"
	"hardfeed/ingest/inbox"
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
	"hardfeed/report"
	"hardfeed/report/post"
	"hardfeed/report/words"
)

func watchCommand(std streams, code *int) *cobra.Command {
	var flags jobFlags
	var once bool
	cmd := &cobra.Command{
		Use:   "watch FOLDER",
		Short: "Run every workbook dropped in a folder, until stopped",
		Long: "Runs every workbook that is dropped in FOLDER, puts the sheets beside it and files the\n" +
			"workbook away. It goes on until it is stopped with Ctrl-C. See hardfeed help folder.\n\n" +
			"Exit codes: 0 stopped, or with --once all was done; 1 (with --once) a horse has no\n" +
			"card; 2 nothing could be done, or with --once a workbook could not be read.",
		Example: "  hardfeed watch \"Feed cards\"\n" +
			"  hardfeed watch \"Feed cards\" --once     for a scheduler",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return refuse("Name the one folder to watch, for example: hardfeed watch \"Feed cards\".")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			settings, err := flags.settings(std, args[0], cmd.Flags())
			if err != nil {
				return err
			}
			w := &watcher{std: std, settings: settings, dir: args[0], once: once, mailed: map[string]bool{}}
			*code, err = w.run(cmd.Context())
			return err
		},
	}
	flags.addConfig(cmd.Flags())
	cmd.Flags().BoolVar(&once, "once", false, "do what lies in the folder and end, for a scheduler")
	return cmd
}

// watcher is one run of the watch command.
type watcher struct {
	std      streams
	settings Settings
	dir      string
	once     bool

	saying  sync.Mutex
	counts  sync.Mutex
	noCards int             // horses without a card in what was finished
	mailed  map[string]bool // what the mail has said: a trouble that lasts is said once
}

// atStep is called before each step of a job, if set. The program never sets
// it; the crash test ends the process there.
var atStep func(step string)

// backOff is how long a job that could not be ended is left alone: trying again
// costs the whole of its work.
const backOff = 30 * time.Second

// programSum stands for this very program: the version where a commit is part of it, else
// the version and the SHA-256 of the program's file, or the version alone where that
// cannot be read any more.
var programSum = sync.OnceValue(func() string {
	if version != released && !strings.Contains(version, "dirty") {
		return version
	}
	path, err := os.Executable()
	if err != nil {
		return version
	}
	f, err := os.Open(path)
	if err != nil {
		return version
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return version
	}
	return version + " " + hex.EncodeToString(h.Sum(nil))
})

// sum stands for the settings that count for the sheets: not those of the drop folder
// and of the mail.
func (s Settings) sum() string {
	s.Watch, s.Mail = Watch{}, Mail{}
	data, err := json.Marshal(s)
	if err != nil {
		panic("settings: " + err.Error()) // numbers and words always can be written
	}
	h := sha256.Sum256(data)
	return hex.EncodeToString(h[:])
}

func (w *watcher) run(ctx context.Context) (int, error) {
	s := w.settings.Watch
	box := &inbox.Box{
		Dir: w.dir, Settle: seconds(s.SettleSeconds), Patience: seconds(60 * s.PatienceMinutes), AtOnce: s.AtOnce, Once: w.once,
		MaxBytes: xlsx.MaxFileBytes,
		Read:     func(name string, data []byte) (inbox.Reading, error) { return w.read(ctx, name, data) },
		Make: func(name string, data []byte, e inbox.Edition) ([]inbox.File, error) {
			return w.workOut(ctx, name, data, e)
		},
		Done: w.done, Say: func(s yard.Saying) { w.say("%s", words.AsWritten(s)) }, Words: words.AsWritten, Step: atStep, Program: programSum(), Settings: w.settings.sum(),
	}
	defer box.Close()
	if w.once {
		return w.runOnce(ctx, box)
	}
	return w.runOn(ctx, box)
}

func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// runOnce looks until nothing is left that another look could take.
func (w *watcher) runOnce(ctx context.Context, box *inbox.Box) (int, error) {
	var all inbox.Looked
	start := time.Now()
	for {
		looked, err := box.Look(ctx, time.Now())
		if err != nil {
			return exitNothing, w.refused(err)
		}
		if ctx.Err() != nil {
			return exitNothing, errors.New("stopped; what was begun is taken up at the next start")
		}
		all.Finished += looked.Finished
		all.Rejected += looked.Rejected
		all.Again += looked.Again
		all.Left, all.Waiting, all.Barred = looked.Left, looked.Waiting+looked.Settling, looked.Barred
		moved := looked.Taken+looked.Finished+looked.Rejected+looked.Again > 0
		if looked.Settling == 0 && (looked.Waiting == 0 || !moved) || !moved && time.Since(start) > box.Patience {
			break
		}
		pause(ctx, box.Settle, nil)
	}
	line := fmt.Sprintf("Done: %s. Rejected: %d. Done before: %d.", count(all.Finished, "workbook"), all.Rejected, all.Again)
	if all.Left > 0 {
		line += fmt.Sprintf(" Could not be ended, and taken up again next time: %d.", all.Left)
	}
	if all.Waiting > 0 {
		line += fmt.Sprintf(" Not ready yet, and left for next time: %d.", all.Waiting)
	}
	w.say("%s", line)
	w.carryMail(ctx)
	switch {
	case all.Rejected > 0 || all.Left > 0 || all.Barred > 0:
		return exitNothing, nil
	case w.noCards > 0:
		return exitNoCard, nil
	}
	return exitDone, nil
}

// runOn looks until it is stopped.
func (w *watcher) runOn(ctx context.Context, box *inbox.Box) (int, error) {
	looked, err := box.Look(ctx, time.Now())
	if err != nil {
		return exitNothing, w.refused(err)
	}
	w.say("Watching %q. Drop workbooks there; stop with Ctrl-C.", w.dir)
	changed, deafen := listen(w.dir)
	defer func() { deafen() }()
	// A slow mail server must hold up no workbook, so the mail goes beside.
	var mail sync.WaitGroup
	defer mail.Wait()
	mail.Go(func() {
		for ctx.Err() == nil {
			w.carryMail(ctx)
			pause(ctx, seconds(w.settings.Watch.LookEverySeconds), nil)
		}
	})
	trouble := ""
	for ctx.Err() == nil {
		wait := seconds(w.settings.Watch.LookEverySeconds)
		bell := changed
		switch {
		case err == nil && looked.Left > 0:
			wait, bell = max(wait, backOff), nil
		case looked.Settling > 0:
			wait = min(wait, box.Settle)
		}
		pause(ctx, wait, bell)
		if ctx.Err() != nil {
			break
		}
		looked, err = box.Look(ctx, time.Now())
		if err != nil {
			if t := w.refused(err).Error(); t != trouble {
				trouble = t
				w.say("%s It is tried again and again.", t)
			}
			continue
		}
		if trouble != "" {
			trouble = ""
			w.say("The folder can be used again.")
			deafen() // a folder that was taken away and put back is another to the system
			changed, deafen = listen(w.dir)
		}
	}
	w.say("Stopped. What lies in the folder is taken up at the next start.")
	return exitDone, nil
}

// debounce is how long a change is left before the folder is looked at: a
// copy reports its own writing many times.
const debounce = 200 * time.Millisecond

// pause waits so long, or until just after bell rings, or until ctx is done.
func pause(ctx context.Context, d time.Duration, bell <-chan struct{}) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-ctx.Done():
	case <-t.C:
	case <-bell:
		pause(ctx, min(d, debounce), nil)
	}
}

// listen rings when the system tells of a change in dir. Where it tells of none,
// as on network folders, the channel stays still and looking every so often is
// all there is.
func listen(dir string) (bell <-chan struct{}, stop func()) {
	events, err := fsnotify.NewWatcher()
	if err != nil {
		return nil, func() {}
	}
	if err := events.Add(dir); err != nil {
		events.Close()
		return nil, func() {}
	}
	ring := make(chan struct{}, 1)
	go func() {
		for {
			select {
			case e, ok := <-events.Events:
				if !ok {
					return
				}
				if e.Op == fsnotify.Chmod {
					continue
				}
			case _, ok := <-events.Errors: // too many to tell: look
				if !ok {
					return
				}
			}
			select {
			case ring <- struct{}{}:
			default:
			}
		}
	}()
	return ring, func() { events.Close() }
}

// refused turns an error of the whole folder into a sentence.
func (w *watcher) refused(err error) error {
	switch {
	case errors.Is(err, inbox.ErrWatched):
		return refuse("Another hardfeed is watching %s already, and one is enough. Stop that one first.", w.dir)
	case errors.Is(err, inbox.ErrMissing):
		return refuse("There is no folder %s. Check the name, and that its drive or share is connected.", w.dir)
	}
	do := " hardfeed must be allowed to read, write and rename in it."
	if info, look := os.Stat(w.dir); look == nil && !info.IsDir() {
		do = " Name the folder into which the workbooks are dropped."
	} else if _, blocked := errors.AsType[inbox.Blocked](err); blocked {
		do = ""
	} else if better := remedy(err); better != "" && !errors.Is(err, fs.ErrPermission) {
		do = better
	}
	return refuse("The folder %s cannot be used: %s.%s", w.dir, reason(err), do)
}

func (w *watcher) read(ctx context.Context, name string, data []byte) (inbox.Reading, error) {
	if ctx.Err() != nil {
		return inbox.Reading{}, ctx.Err()
	}
	week, err := ingest.Read(name, data, w.settings.options())
	return inbox.Reading{Yard: week.Yard, Week: week.Beginning}, err
}

func (w *watcher) workOut(ctx context.Context, name string, data []byte, e inbox.Edition) ([]inbox.File, error) {
	j := job{name: name, read: func() ([]byte, error) { return data, nil }, watch: true,
		edition: e.Number, lastEdition: e.LastEdition, recall: func(week yard.Week) (yard.Week, error) { return ingest.Recall(week, e.Week), nil }}
	if w.settings.Watch.NextWeek {
		j.next = func(err error) { w.say("%s", words.Told(err)) }
	}
	var made report.Shelf
	sheets := func(fill func(report.To) error) error { return fill(made.To) }
	if _, _, err := j.compute(ctx, w.settings, func(string) {}, sheets); err != nil {
		return nil, errors.Join(err, ctx.Err())
	}
	var out []inbox.File
	for _, f := range made.Files() {
		out = append(out, inbox.File{Name: f.Name, Bytes: f.Bytes})
	}
	return out, nil
}

// carryMail hands over what is due in the outbox, once.
func (w *watcher) carryMail(ctx context.Context) {
	say := func(format string, args ...any) {
		line := sprintf(format, args...)
		if !w.mailed[line] {
			w.mailed[line] = true
			w.say("%s", line)
		}
	}
	if err := w.settings.deliverMail(ctx, w.settings.outboxIn(w.dir), say); err != nil && ctx.Err() == nil {
		say("Mail waits in the outbox and is tried again: %v", err)
	}
}

// queue puts the mail of a finished edition into the outbox. An error is one that
// trying again can end; a mail that cannot be made is said and given up, because
// it must not hold up the yard's next cards.
func (w *watcher) queue(f inbox.Finished) error {
	s := w.settings
	if s.Mail.Host == "" {
		return nil
	}
	if _, err := s.mailing(f.Dir, f.Results, f.Edition, time.Now()); err != nil {
		if _, gone := os.Stat(w.dir); gone != nil {
			return gone
		}
		w.say("%v It was not mailed; once that is put right: hardfeed send %q.", err, f.Dir)
		return nil
	}
	return s.queueMail(s.outboxIn(w.dir), f.Dir, f.Results, f.Edition)
}

// done says what a finished edition came to, and hands it to the mail.
func (w *watcher) done(f inbox.Finished) error {
	l, err := post.ReadLetter(f.Results)
	if err != nil {
		return err
	}
	if err := w.queue(f); err != nil {
		return err
	}
	told := ""
	for _, of := range []struct {
		words string
		all   []post.Entry
	}{{"No card", l.NoCard}, {"Ask first", l.Ask}, {"Not as planned", l.Held}} {
		var names []string
		for _, h := range of.all {
			names = append(names, h.Name)
		}
		if names != nil {
			told += fmt.Sprintf(" %s: %s.", of.words, strings.Join(names, ", "))
		}
	}
	if told == "" {
		told = " Every horse has the card that was planned."
	}
	w.counts.Lock()
	w.noCards += len(l.NoCard)
	w.counts.Unlock()
	edition := ""
	if f.Edition > 1 {
		edition = fmt.Sprintf(", edition %d", f.Edition)
	}
	w.say("Finished %q%s: %s.%s To decide: %d. To do this week: %d.", filepath.Base(f.Dir), edition, count(l.Carded+l.NotAsPlanned+len(l.NoCard), "horse"), told, l.Stops, l.Warnings)
	return nil
}

// say writes one line, with the time, for whoever reads the log. Names from
// outside cannot make it two lines, nor steer a terminal.
func (w *watcher) say(format string, args ...any) {
	line := visible(strings.Join(strings.Fields(sprintf(format, args...)), " "))
	w.saying.Lock()
	defer w.saying.Unlock()
	fmt.Fprintf(w.std.err, "%s %s\n", time.Now().Format("2006-01-02 15:04:05"), line)
}
