package inbox

import (
	"cmp"
	"context"
	"errors"
	"io/fs"
	"slices"
	"strings"
	"sync"
	"time"

	"hardfeed/ingest/disk"
	"hardfeed/ration/yard"
)

// Box is one drop folder.
type Box struct {
	Dir      string        // must exist
	Settle   time.Duration // a file counts as settled when two looks this far apart find it unchanged
	Patience time.Duration // after this long unchanged, a file that is not whole is judged as it stands
	AtOnce   int           // workbooks read, and yards worked out, side by side; at least 1
	MaxBytes int64         // the largest workbook taken in; a larger one is rejected
	// Once is for a run that looks a few times and ends: how long a file has been
	// quiet is then taken from its own time of last change, since nobody was there to watch.
	Once bool

	// Program and Settings stand for the program and for those of its settings that
	// count for results. Where either is another than it was, a workbook that was done
	// before is done again.
	Program, Settings string

	// Read takes a workbook in. Its error is for the person who
	// dropped it, and the workbook is rejected, unless it wraps [context.Canceled].
	// Read, Make and Done are called from several goroutines.
	Read func(name string, data []byte) (Reading, error)
	// Make works out the results of one edition of a workbook that was read; one
	// of the files is results.json. Equal editions give equal files. Its error is
	// treated like that of Read.
	Make func(name string, data []byte, e Edition) ([]File, error)
	// Done is told of every edition whose results are in the folder, before the
	// workbook is filed away. It may be told twice of the same one and must then
	// do nothing the second time. After an error it is told again next round.
	Done func(Finished) error
	// Say writes one line for people.
	Say func(yard.Saying)
	// Words is a saying in words, for the notes left in the folder.
	Words func(yard.Saying) string
	// Step, if set, is told the name of each of [Steps] just before it is taken, or
	// just after for one in -ed; tests stop the program there.
	Step func(name string)

	lock   disk.Lock
	open   func() (disk.FS, error) // nil: Dir
	seen   map[string]sighting
	saying sync.Mutex
	said   map[string]bool
	naming sync.Mutex // held from finding a name free to the rename that takes it
}

// Reading is a workbook taken in.
type Reading struct {
	Yard string
	Week time.Time // the week's first day; zero if the workbook does not say
}

// Edition is which edition is to be made, with the records that are before it.
type Edition struct {
	Number      int    // from 1
	LastEdition []byte // results.json of edition Number-1 of the same week; nil if there is none
	LastWeek    []byte // results.json of the latest edition of the week before; nil if there is none
	// Week is the results.json of the latest edition of the week that begins on a
	// day; nil if there is none, empty if it is too large to be one.
	Week func(beginning time.Time) []byte
}

// File is one file of the results.
type File struct {
	Name  string
	Bytes []byte
}

// Finished is an edition whose results are in the folder.
type Finished struct {
	Dir     string // the result folder, as a path
	Results []byte // its results.json
	Edition int
}

// Looked is what one round came to.
type Looked struct {
	Taken    int // workbooks claimed in this round
	Finished int // editions that are now complete
	Rejected int
	Again    int // workbooks done before
	Left     int // jobs that could not be ended: a full disk, a folder that cannot be written
	Settling int // files that changed since the last look, or were not there then
	Waiting  int // files that are not whole yet, are open elsewhere, or wait for another
	Barred   int // of those, files that could not be read or moved
}

// sighting is a file as the last look found it.
type sighting struct {
	size    int64
	changed time.Time // the file's own time
	looked  time.Time
	quiet   time.Duration // for how long looks have found it so
}

// longestLook is what one look can add to a file's quiet time: a clock that
// jumps, or a computer that slept, says nothing about the file.
const longestLook = time.Minute

var workbookEndings = []string{".xlsx", ".xlsm", ".xls", ".xlsb", ".ods"}

// mayBeWorkbook leaves alone what spreadsheet programs, browsers and sync
// programs write on the way: lock files (~$x.xlsx, .~lock.x.xlsx#), hidden and
// temporary files. Old and foreign spreadsheets are taken, to be refused in words.
func mayBeWorkbook(name string) bool {
	_, ext := cutExt(name)
	return ext != "" && !strings.HasPrefix(name, "~") && !strings.HasPrefix(name, ".")
}

// lockNames are the files by which a spreadsheet program says that it has a
// workbook open.
func lockNames(name string) []string { return []string{"~$" + name, ".~lock." + name + "#"} }

// partNames are the files into which a browser loads what will have that name;
// some keep an empty file of that name beside it until they are done.
func partNames(name string) []string {
	return []string{name + ".part", name + ".crdownload", name + ".download"}
}

const (
	ownDir      = ".hardfeed"
	workDir     = ownDir + "/work"
	newDir      = ownDir + "/new"
	scratch     = newDir + "/file-" // of files on their way to their places
	lockFile    = ownDir + "/lock"
	archiveDir  = "archive"
	rejectedDir = "rejected"
)

// ErrWatched means another program holds this folder.
var ErrWatched = yard.Troubled(yard.Say("inbox.watched"))

// ErrMissing means the folder is not there (now).
var ErrMissing = yard.Troubled(yard.Say("inbox.missing"))

// Steps lists the steps of a job that is done, of one that is rejected, and of one
// that was done before.
func Steps() (done, refused, again []string) {
	return []string{"claim", "claimed", "decide", "decided", "mid-write", "written", "publish", "published", "post", "posted", "archive", "archived"},
		[]string{"claim", "claimed", "reject", "rejecting", "rejected"},
		[]string{"claim", "claimed", "again", "clearing"}
}

func (b *Box) step(name string) {
	if b.Step != nil {
		b.Step(name)
	}
}

// sayOnce says a thing once, until forget.
func (b *Box) sayOnce(key string, s yard.Saying) {
	b.saying.Lock()
	first := !b.said[key]
	b.said[key] = true
	b.saying.Unlock()
	if first {
		b.Say(s)
	}
}

// Close gives the folder free for another watcher.
func (b *Box) Close() error {
	if b.lock == nil {
		return nil
	}
	err := b.lock.Close()
	b.lock = nil
	return err
}

// Look does one round: it ends the jobs that lie in work, takes the workbooks
// that have settled by now, and does them. It returns when all of that is done
// or ctx is; what is left then is in work for the next round.
//
// The error is about the folder as a whole ([ErrMissing], [ErrWatched], no
// right to write); nothing was taken then.
func (b *Box) Look(ctx context.Context, now time.Time) (Looked, error) {
	if b.seen == nil {
		b.seen, b.said = map[string]sighting{}, map[string]bool{}
	}
	open := b.open
	if open == nil {
		open = func() (disk.FS, error) { return disk.Open(b.Dir) }
	}
	root, err := open()
	if err != nil {
		clear(b.seen)
		if errors.Is(err, fs.ErrNotExist) {
			err = ErrMissing
		}
		return Looked{}, err
	}
	defer root.Close()
	if err := b.ways(root); err != nil {
		return Looked{}, err
	}
	for _, dir := range []string{workDir, newDir} {
		if err := disk.MakeFolder(root, dir); err != nil {
			return Looked{}, err
		}
	}
	if err := b.hold(root); err != nil {
		return Looked{}, err
	}
	var looked Looked
	if err := b.sweep(root); err != nil {
		return Looked{}, err
	}
	ready, err := b.notice(root, now, &looked)
	if err != nil {
		return Looked{}, err
	}
	for _, name := range ready {
		if ctx.Err() != nil {
			break
		}
		b.claim(root, name, &looked)
	}
	err = b.do(ctx, root, &looked)
	return looked, err
}

// Blocked is an error: a file or a link lies where this program keeps a folder.
type Blocked string

func (b Blocked) Error() string { return b.Told().String() }

// Told is which, and what to do.
func (b Blocked) Told() yard.Saying {
	return yard.Say("inbox.blocked", yard.Named("name", yard.Place, string(b)))
}

// ways sees that the folders into which workbooks are moved can be had, before any
// is moved.
func (b *Box) ways(root disk.FS) error {
	for _, dir := range []string{ownDir, archiveDir, rejectedDir} {
		info, err := root.Stat(dir)
		if err == nil && info.IsDir() {
			continue
		}
		if is, look := disk.There(root, dir); look != nil {
			return look
		} else if is {
			return Blocked(dir)
		}
	}
	return nil
}

// hold takes the lock, again if the folder was taken away and put back: the
// lock then held is on a file that is gone.
func (b *Box) hold(root disk.FS) error {
	if b.lock != nil {
		if b.lock.Holds() {
			return nil
		}
		b.Close()
	}
	lock, err := root.TryLock(lockFile)
	if errors.Is(err, disk.ErrLocked) {
		return ErrWatched
	}
	if err != nil {
		return err
	}
	b.lock = lock
	return nil
}

// swept is the beginning of the name of what is being thrown away.
const swept = ".swept-"

// sweep throws away results that were being written when a program ended. They are
// renamed first: were another program at work on them after all, because the lock is
// not seen by it, it could not put in place what is half gone.
func (b *Box) sweep(root disk.FS) error {
	entries, err := disk.Names(root, newDir)
	if err != nil {
		return err
	}
	for _, e := range entries {
		name := newDir + "/" + e.Name()
		if !strings.HasPrefix(e.Name(), swept) {
			name = newDir + "/" + swept + e.Name()
			err = root.Rename(newDir+"/"+e.Name(), name)
		}
		if err == nil {
			err = disk.RemoveAll(root, name)
		}
		if err != nil { // it is in nobody's way
			b.sayOnce("sweep", yard.Say("inbox.sweep", yard.Named("folder", yard.Place, newDir), yard.Failure("why", disk.Reason(err))))
		}
	}
	return nil
}

// notice lists the workbooks that are ready to be taken, by name.
func (b *Box) notice(root disk.FS, now time.Time, looked *Looked) ([]string, error) {
	entries, err := disk.Names(root, ".")
	if err != nil {
		return nil, err
	}
	names := map[string]bool{}
	for _, e := range entries {
		names[e.Name()] = true
	}
	var ready []string
	for _, e := range entries {
		name := e.Name()
		if !mayBeWorkbook(name) {
			continue
		}
		info, err := root.Lstat(name)
		if err != nil || info.IsDir() {
			continue // gone since it was listed
		}
		if !info.Mode().IsRegular() {
			b.sayOnce("link "+name, yard.Say("inbox.link", fileArg(name)))
			continue
		}
		last, known := b.seen[name]
		if !known || last.size != info.Size() || !last.changed.Equal(info.ModTime()) {
			b.seen[name] = sighting{size: info.Size(), changed: info.ModTime(), looked: now}
			looked.Settling++
			continue
		}
		last.quiet += min(max(now.Sub(last.looked), 0), longestLook)
		last.looked = now
		b.seen[name] = last
		if last.quiet < b.Settle {
			looked.Settling++
			continue
		}
		quiet := last.quiet
		if b.Once {
			quiet = max(quiet, now.Sub(info.ModTime()))
		}
		if why := b.notYet(root, name, names, info.Size()); why != "" && quiet < b.Patience {
			looked.Waiting++
			if why == barred {
				looked.Barred++
			}
			b.sayOnce("wait "+name+why, yard.Say("inbox.wait", fileArg(name), yard.Said("why", yard.Say(why))))
			continue
		}
		ready = append(ready, name)
	}
	for name := range b.seen {
		if !names[name] {
			b.gone(name)
		}
	}
	slices.Sort(ready)
	return ready, nil
}

// gone forgets a file, and what was said of it: another may come by that name.
func (b *Box) gone(name string) {
	delete(b.seen, name)
	b.saying.Lock()
	defer b.saying.Unlock()
	for key := range b.said {
		if strings.HasPrefix(key, "wait "+name) || key == "link "+name || key == "claim "+name {
			delete(b.said, key)
		}
	}
}

const barred = "inbox.wait.barred"

// notYet says why a settled file should still be waited for, as a key; "" if not.
func (b *Box) notYet(root disk.FS, name string, names map[string]bool, size int64) string {
	for _, lock := range lockNames(name) {
		if names[lock] {
			return "inbox.wait.open"
		}
	}
	for _, part := range partNames(name) {
		if names[part] {
			return "inbox.wait.download"
		}
	}
	if size > b.MaxBytes {
		return ""
	}
	_, data, err := disk.Sum(root, name, b.MaxBytes)
	if err != nil {
		return barred
	}
	if !ripe(data) {
		return "inbox.wait.part"
	}
	return ""
}

// claim moves a workbook into work, under the name of its bytes.
func (b *Box) claim(root disk.FS, name string, looked *Looked) {
	fail := func(err error) {
		looked.Waiting++
		if errors.Is(err, fs.ErrNotExist) {
			return // it has been taken away, or another program was quicker
		}
		looked.Barred++
		do := disk.Remedy(err)
		says := yard.Say("inbox.claim", fileArg(name), yard.Failure("why", disk.Reason(err)))
		if do != "" {
			says = remedied(says, do)
		}
		if do == "" || errors.Is(err, fs.ErrPermission) {
			says = remedied(says, "inbox.close")
		}
		b.sayOnce("claim "+name, says)
	}
	sum, _, err := disk.Sum(root, name, 0)
	if err != nil {
		fail(err)
		return
	}
	dir := workDir + "/" + sum
	if entries, err := disk.Names(root, dir); err != nil {
		fail(err)
		return
	} else if len(entries) > 0 {
		looked.Waiting++ // the same bytes are being done: this copy waits for them
		return
	}
	b.step("claim")
	if err := disk.MakeFolder(root, dir); err != nil {
		fail(err)
		return
	}
	if err := disk.Move(root, name, dir+"/"+Fit(name)); err != nil {
		fail(err)
		return
	}
	b.step("claimed")
	b.gone(name)
	looked.Taken++
	b.Say(yard.Say("inbox.taken", fileArg(name)))
}

// remedied is a saying with what to do, by its key.
func remedied(s yard.Saying, do string) yard.Saying {
	return yard.Say("inbox.remedied", yard.Said("what", s), yard.Said("do", yard.Say(do)))
}

func fileArg(name string) yard.Arg { return yard.Named("name", yard.Place, name) }

// isSum says whether a name is that of a job: a SHA-256.
func isSum(name string) bool {
	return len(name) == 64 && strings.Trim(name, "0123456789abcdef") == ""
}

// do ends the jobs in work: all are read, side by side; then each yard's go
// one after the other, week by week, and the yards side by side.
func (b *Box) do(ctx context.Context, root disk.FS, looked *Looked) error {
	entries, err := disk.Names(root, workDir)
	if err != nil || len(entries) == 0 {
		return err
	}
	past, err := readArchive(root)
	if err != nil {
		return err
	}
	var jobs []*job
	for _, e := range entries {
		if !e.IsDir() || !isSum(e.Name()) {
			continue // somebody's, or an operating system's
		}
		jobs = append(jobs, &job{box: b, root: root, past: past, sum: e.Name(), dir: workDir + "/" + e.Name()})
	}
	sideBySide(b.AtOnce, jobs, func(j *job) { j.open(ctx) })
	byYard := map[string][]*job{}
	for _, j := range jobs {
		if j.ready {
			byYard[seriesName(j.journal.Yard)] = append(byYard[seriesName(j.journal.Yard)], j)
			past.takeName(j.journal.Folder)
		}
	}
	var yards [][]*job
	for _, js := range byYard {
		slices.SortFunc(js, func(a, b *job) int {
			return cmp.Or(cmp.Compare(a.journal.Week, b.journal.Week),
				// decided before the end of the last round: first, in that order
				-cmp.Compare(min(a.journal.Edition, 1), min(b.journal.Edition, 1)),
				cmp.Compare(a.journal.Edition, b.journal.Edition),
				a.changed.Compare(b.changed), cmp.Compare(a.name, b.name), cmp.Compare(a.sum, b.sum))
		})
		yards = append(yards, js)
	}
	slices.SortFunc(yards, func(a, b []*job) int { return cmp.Compare(a[0].sum, b[0].sum) })
	sideBySide(b.AtOnce, yards, func(js []*job) {
		for _, j := range js {
			if ctx.Err() != nil {
				return
			}
			if j.finish(); j.ended == unended {
				return // a later edition must not overtake it
			}
		}
	})
	for _, j := range jobs {
		switch j.ended {
		case finished:
			looked.Finished++
		case rejected:
			looked.Rejected++
		case doneBefore:
			looked.Again++
		case putBack:
			looked.Waiting++
		case empty:
		default:
			looked.Left++
		}
	}
	return nil
}

// sideBySide calls do for each, at most n at a time.
func sideBySide[T any](n int, all []T, do func(T)) {
	slots := make(chan struct{}, max(n, 1))
	var wg sync.WaitGroup
	for _, one := range all {
		slots <- struct{}{}
		wg.Go(func() {
			defer func() { <-slots }()
			do(one)
		})
	}
	wg.Wait()
}
