package inbox

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"
)

const (
	journalName = "job.json"
	resultsName = "results.json"
	isoDate     = "2006-01-02"
	undated     = "undated"
)

// journal is job.json: what was decided for one workbook, before anything of
// it can be seen.
type journal struct {
	Schema  int    `json:"schema"`
	SHA256  string `json:"sha256"`
	Name    string `json:"name"` // of the workbook, made fit
	Yard    string `json:"yard"`
	Week    string `json:"week"`    // ISO 8601 date of its first day, or "undated"
	Edition int    `json:"edition"` // from 1; 0: not decided
	Folder  string `json:"folder"`  // of the results
}

// readJournal takes job.json apart. Anything that this program would not have
// written is an error: a wrong name must never become a path.
func readJournal(data []byte) (journal, error) {
	var j journal
	if err := json.Unmarshal(data, &j); err != nil {
		return journal{}, err
	}
	if j.Schema != 1 || len(j.SHA256) != 64 || strings.Trim(j.SHA256, "0123456789abcdef") != "" ||
		j.Edition < 1 || j.Edition > 1e6 || !plainName(j.Folder) || j.Name != Fit(j.Name) {
		return journal{}, errors.New("job.json holds what this program does not write")
	}
	if _, err := time.Parse(isoDate, j.Week); err != nil && j.Week != undated {
		return journal{}, errors.New("job.json holds no week")
	}
	return j, nil
}

// plainName says whether a result folder's name leads nowhere but into the
// folder: [Fit] and a few words around it.
func plainName(name string) bool {
	return name != "" && len(name) <= 2*maxNameBytes && !strings.HasPrefix(name, ".") &&
		!strings.ContainsAny(name, "<>:\"/\\|?*\x00") && strings.TrimRight(name, ". ") == name
}

// seriesName tells yards apart: case and blanks do not count.
func seriesName(yard string) string { return strings.Join(strings.Fields(strings.ToLower(yard)), " ") }

type ending int

const (
	unended ending = iota // left in work
	finished
	rejected
	doneBefore
	putBack
	empty
)

// job is one folder in work.
type job struct {
	box  *Box
	root *os.Root
	past *past
	sum  string // by its folder's name
	dir  string

	name    string // of the workbook in dir
	changed time.Time
	journal journal
	ready   bool // the journal holds
	ended   ending
}

func (j *job) failed(doing string, err error) {
	j.box.sayOnce("job "+j.sum+doing, "%s: %s did not work and is tried again: %v.", j.name, doing, reason(err))
}

// open finds the workbook of the job, sees that it is what was claimed, and
// has it read.
func (j *job) open(ctx context.Context) {
	entries, err := namesIn(j.root, j.dir)
	if err != nil {
		j.failed("looking at it", err)
		return
	}
	for _, e := range entries {
		if _, ext := cutExt(e.Name()); ext != "" && e.Type().IsRegular() {
			j.name = e.Name()
		}
	}
	if j.name == "" {
		// The claim did not happen, or the workbook has left already.
		j.ended = empty
		if err := j.clear(); err != nil {
			j.box.sayOnce("job "+j.sum, "The folder %s holds no workbook and was left as it is.", j.dir)
		}
		return
	}
	info, err := j.root.Lstat(j.dir + "/" + j.name)
	if err != nil {
		j.failed("reading it", err)
		return
	}
	j.changed = info.ModTime()
	sum, data, err := read(j.root, j.dir+"/"+j.name, j.box.MaxBytes)
	if err != nil {
		j.failed("reading it", err)
		return
	}
	if sum != j.sum {
		j.putBack()
		return
	}
	if ctx.Err() != nil {
		return
	}
	if data, err := j.root.ReadFile(j.dir + "/" + journalName); err == nil {
		if old, err := readJournal(data); err == nil && old.SHA256 == j.sum {
			j.journal = old
		}
	}
	if _, done := j.published(); done {
		j.ready = true
		return
	}
	if info.Size() > j.box.MaxBytes {
		j.reject(fmt.Errorf("%s has %d MB, and a workbook may have %d MB at most: take out pictures and old sheets and save it again", j.name, info.Size()>>20, j.box.MaxBytes>>20))
		return
	}
	reading, err := j.box.Read(j.name, data)
	if errors.Is(err, context.Canceled) {
		return
	}
	if err != nil {
		j.reject(err)
		return
	}
	j.ready = true
	if j.journal.Edition > 0 {
		return
	}
	week := undated
	if !reading.Week.IsZero() {
		week = reading.Week.Format(isoDate)
	}
	j.journal = journal{Schema: 1, SHA256: j.sum, Name: j.name, Yard: strings.ToValidUTF8(reading.Yard, "_"), Week: week}
}

// clear removes the job's folder. What this program did not put there stays,
// and the folder with it, as an error.
func (j *job) clear() error {
	for _, name := range []string{journalName, resultsName, journalName + tempEnding, resultsName + tempEnding} {
		if err := j.root.Remove(j.dir + "/" + name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return j.root.Remove(j.dir)
}

// putBack returns a workbook that was still being written when it was taken.
func (j *job) putBack() {
	to, err := freeName(j.name, func(name string) (bool, error) { return there(j.root, name) })
	if err == nil {
		err = move(j.root, j.dir+"/"+j.name, to)
	}
	if err != nil {
		j.failed("putting it back", err)
		return
	}
	j.ended = putBack
	j.box.Say("%s was still being written when it was taken; it was put back.", j.name)
	j.clear() // else the next round finds no workbook in it
}

// finish takes the job from decided to archived; every part of it may have
// been done before.
func (j *job) finish() {
	if j.journal.Edition == 0 {
		if before := j.past.same(j.sum); before != nil {
			j.again(*before)
			return
		}
		if !j.decide() {
			return
		}
	}
	results, ok := j.published()
	if !ok {
		if results, ok = j.publish(); !ok {
			return
		}
	}
	if j.box.Done != nil {
		j.box.step("post")
		err := j.box.Done(Finished{Dir: filepath.Join(j.box.Dir, j.journal.Folder), Results: results, Edition: j.journal.Edition})
		if err != nil {
			j.failed("passing its results on", err)
			return
		}
		j.box.step("posted")
	}
	j.archive()
}

// decide fixes the edition and the result folder's name in job.json.
func (j *job) decide() bool {
	j.box.naming.Lock()
	defer j.box.naming.Unlock()
	j.journal.Edition = j.past.latest(j.journal.Yard, j.journal.Week).Edition + 1
	err := j.nameFolder()
	if err == nil {
		j.box.step("decide")
		err = j.writeJournal()
	}
	if err != nil {
		j.journal.Edition = 0
		j.failed("noting it down", err)
		return false
	}
	j.box.step("decided")
	return true
}

// nameFolder chooses a name under which nothing lies and nothing will.
func (j *job) nameFolder() error {
	name := j.journal.Week + " " + Fit(j.journal.Yard)
	if j.journal.Edition > 1 {
		name += fmt.Sprintf(" edition %d", j.journal.Edition)
	}
	free, err := freeName(name, func(s string) (bool, error) {
		if j.past.names[strings.ToLower(s)] {
			return true, nil
		}
		return there(j.root, s)
	})
	if err != nil {
		return err
	}
	j.journal.Folder = free
	j.past.takeName(free)
	return nil
}

func (j *job) writeJournal() error {
	data, err := json.MarshalIndent(j.journal, "", " ")
	if err != nil {
		return err
	}
	return writeWhole(j.root, j.dir+"/"+journalName, append(data, '\n'))
}

// published says whether the result folder stands: its record is the one kept
// in the job.
func (j *job) published() ([]byte, bool) {
	if j.journal.Edition == 0 {
		return nil, false
	}
	kept, err := j.root.ReadFile(j.dir + "/" + resultsName)
	if err != nil {
		return nil, false
	}
	there, err := j.root.ReadFile(j.journal.Folder + "/" + resultsName)
	return kept, err == nil && bytes.Equal(kept, there)
}

func (j *job) publish() ([]byte, bool) {
	edition := Edition{Number: j.journal.Edition, LastWeek: j.past.record(j.root, j.past.latest(j.journal.Yard, weekBefore(j.journal.Week))),
		Week: func(beginning time.Time) []byte {
			return j.past.record(j.root, j.past.latest(j.journal.Yard, beginning.Format(isoDate)))
		}}
	if edition.Number > 1 {
		edition.LastEdition = j.past.record(j.root, j.past.edition(j.journal.Yard, j.journal.Week, edition.Number-1))
	}
	sum, data, err := read(j.root, j.dir+"/"+j.name, j.box.MaxBytes)
	if err == nil && sum != j.sum {
		err = errors.New("it was changed meanwhile")
	}
	if err != nil {
		j.failed("reading it", err)
		return nil, false
	}
	files, err := j.box.Make(j.name, data, edition)
	if errors.Is(err, context.Canceled) {
		return nil, false
	}
	if err != nil {
		j.reject(err)
		return nil, false
	}
	results, err := j.write(files)
	if err != nil {
		j.failed("writing its results", err)
		return nil, false
	}
	j.box.step("publish")
	for try := 0; ; try++ {
		err := move(j.root, newDir+"/"+j.sum, j.journal.Folder)
		if err == nil {
			break
		}
		// A share can do a thing and answer that it did not.
		if _, done := j.published(); done {
			break
		}
		// Somebody has made a folder of that name since it was chosen.
		if is, _ := there(j.root, j.journal.Folder); !is || try == 10 {
			j.failed("putting its results in place", err)
			return nil, false
		}
		j.box.naming.Lock()
		if err = j.nameFolder(); err == nil {
			err = j.writeJournal()
		}
		j.box.naming.Unlock()
		if err != nil {
			j.failed("noting it down", err)
			return nil, false
		}
	}
	j.box.step("published")
	return results, true
}

// write makes new/<sum>/ complete, and the record of it in the job.
func (j *job) write(files []File) ([]byte, error) {
	dir := newDir + "/" + j.sum // swept clean when the round began
	if err := makeFolder(j.root, dir); err != nil {
		return nil, err
	}
	var results []byte
	for i, f := range files {
		if f.Name != Fit(f.Name) {
			return nil, fmt.Errorf("%q is no name for a file", f.Name)
		}
		if i == 1 {
			j.box.step("mid-write")
		}
		if err := writeSynced(j.root, dir+"/"+f.Name, f.Bytes); err != nil {
			return nil, errors.Join(err, j.root.RemoveAll(dir))
		}
		if f.Name == resultsName {
			results = f.Bytes
		}
	}
	if results == nil {
		return nil, errors.New("the results lack " + resultsName)
	}
	if err := syncFolder(j.root, dir); err != nil {
		return nil, err
	}
	j.box.step("written")
	return results, writeWhole(j.root, j.dir+"/"+resultsName, results)
}

// archive files the job's folder away as it is: workbook, record, journal.
func (j *job) archive() {
	week := archiveDir + "/" + j.journal.Week
	if err := makeFolder(j.root, week); err != nil {
		j.failed("filing it away", err)
		return
	}
	j.box.naming.Lock()
	to, err := freeName(fmt.Sprintf("%s edition %d", Fit(j.journal.Yard), j.journal.Edition), func(s string) (bool, error) { return there(j.root, week+"/"+s) })
	if err == nil {
		j.box.step("archive")
		err = move(j.root, j.dir, week+"/"+to)
	}
	j.box.naming.Unlock()
	if err != nil {
		j.failed("filing it away", err)
		return
	}
	j.box.step("archived")
	j.past.add(week+"/"+to, j.journal)
	j.ended = finished
}

// reject puts the workbook, and beside it why, into rejected. The note is
// written first and is the same each time, so that a crash between the two
// leaves one note, not two.
func (j *job) reject(why error) {
	text := fmt.Appendf(nil, "%s was not done.\r\n\r\n%s\r\n\r\nNo cards were made from it. Put it right and drop it in the folder again.\r\n", j.name, why)
	if err := j.moveToRejected(text); err != nil {
		j.failed("putting it into "+rejectedDir, err)
		return
	}
	j.box.step("rejected")
	j.ended = rejected
	j.box.Say("%s was not done and lies in %s: %v", j.name, rejectedDir, why)
	j.clear() // else the next round finds no workbook in it
}

func (j *job) moveToRejected(note []byte) error {
	j.box.naming.Lock()
	defer j.box.naming.Unlock()
	if err := makeFolder(j.root, rejectedDir); err != nil {
		return err
	}
	name, err := freeName(j.name, func(s string) (bool, error) {
		if is, err := there(j.root, rejectedDir+"/"+s); err != nil {
			return false, err
		} else if is {
			sum, _, err := read(j.root, rejectedDir+"/"+s, 0)
			return sum != j.sum, err // the same bytes may take each other's place
		}
		return otherText(j.root, rejectedDir+"/"+noteName(s), note)
	})
	if err != nil {
		return err
	}
	j.box.step("reject")
	if err := writeWhole(j.root, rejectedDir+"/"+noteName(name), note); err != nil {
		return err
	}
	j.box.step("rejecting")
	return move(j.root, j.dir+"/"+j.name, rejectedDir+"/"+name)
}

// otherText says whether a file is there and holds something else than text.
func otherText(root *os.Root, name string, text []byte) (bool, error) {
	old, err := root.ReadFile(name)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil && !bytes.Equal(old, text), err
}

func noteName(workbook string) string {
	stem, _ := cutExt(workbook)
	return stem + ".txt"
}

// again answers a workbook whose bytes were done before. The second copy goes
// only if the first is really there.
func (j *job) again(before archived) {
	sum, _, err := read(j.root, before.dir+"/"+before.Name, 0)
	if err != nil || sum != j.sum { // somebody has changed the archive: this copy is the only one
		if j.decide() {
			j.finish()
		}
		return
	}
	stem, _ := cutExt(j.name)
	text := fmt.Appendf(nil, "%s was done before: the same workbook, to the last byte, is edition %d for the week %s.\r\n"+
		"Its results were put into %q, and the workbook is in %q. Nothing was made a second time.\r\n"+
		"If you want its sheets again, take the workbook out of there and drag it on hardfeed.\r\n", j.name, before.Edition, before.Week, before.Folder, before.dir)
	note, err := freeName(stem+", done before", func(s string) (bool, error) { return otherText(j.root, s+".txt", text) })
	note += ".txt"
	if err == nil {
		j.box.step("again")
		err = writeWhole(j.root, note, text)
	}
	if err != nil {
		j.failed("saying that it was done before", err)
		return
	}
	j.box.step("clearing")
	if err := errors.Join(j.root.Remove(j.dir+"/"+j.name), j.clear()); err != nil {
		j.failed("clearing up", err)
		return
	}
	j.ended = doneBefore
	j.box.Say("%s was done before, as edition %d for the week %s: nothing was made a second time.", j.name, before.Edition, before.Week)
}

func weekBefore(week string) string {
	day, err := time.Parse(isoDate, week)
	if err != nil {
		return ""
	}
	return day.AddDate(0, 0, -7).Format(isoDate)
}
