package inbox

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"hardfeed/ingest/disk"
	"hardfeed/ration/yard"
)

const (
	journalName = "job.json"
	resultsName = "results.json"
	isoDate     = "2006-01-02"
	undated     = "undated"
)

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
	root disk.FS
	past *past
	sum  string // by its folder's name
	dir  string

	name    string // of the workbook in dir
	changed time.Time
	journal journal
	ready   bool   // the journal holds
	made    string // the folder in new, once the results are complete there
	ended   ending
}

// failed says what did not work, by its key.
func (j *job) failed(doing string, err error) {
	says := yard.Say("inbox.failed", fileArg(j.name), yard.Said("doing", yard.Say(doing)), yard.Failure("why", disk.Reason(err)))
	if do := disk.Remedy(err); do != "" {
		says = remedied(says, do)
	}
	j.box.sayOnce("job "+j.sum+doing, says)
}

// open finds the workbook of the job, sees that it is what was claimed, and
// has it read.
func (j *job) open(ctx context.Context) {
	entries, err := disk.Names(j.root, j.dir)
	if err != nil {
		j.failed("inbox.doing.look", err)
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
			j.box.sayOnce("job "+j.sum, yard.Say("inbox.nothing", yard.Named("folder", yard.Place, j.dir)))
		}
		return
	}
	info, err := j.root.Lstat(j.dir + "/" + j.name)
	if err != nil {
		j.failed("inbox.doing.read", err)
		return
	}
	j.changed = info.ModTime()
	sum, data, err := disk.Sum(j.root, j.dir+"/"+j.name, j.box.MaxBytes)
	if err != nil {
		j.failed("inbox.doing.read", err)
		return
	}
	if sum != j.sum {
		j.putBack()
		return
	}
	if ctx.Err() != nil {
		return
	}
	if data, err := disk.ReadFile(j.root, j.dir+"/"+journalName); err == nil {
		if old, err := readJournal(data); err == nil && old.SHA256 == j.sum {
			j.journal = old
		}
	}
	if _, done := j.published(); done {
		j.ready = true
		return
	}
	if info.Size() > j.box.MaxBytes {
		j.reject(yard.Troubled(yard.Say("refused.large", yard.Named("file", yard.Place, j.name), yard.Count("mb", int(info.Size()>>20)), yard.Count("most", int(j.box.MaxBytes>>20)))))
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
	for _, name := range []string{journalName, resultsName} {
		if err := j.root.Remove(j.dir + "/" + name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	if entries, err := disk.Names(j.root, j.dir); err == nil {
		for _, e := range entries {
			if disk.IsLitter(e) {
				disk.RemoveAll(j.root, j.dir+"/"+e.Name())
			}
		}
	}
	return j.root.Remove(j.dir)
}

// putBack returns a workbook that was still being written when it was taken.
func (j *job) putBack() {
	to, err := freeName(j.name, func(name string) (bool, error) { return disk.There(j.root, name) })
	if err == nil {
		err = disk.Move(j.root, j.dir+"/"+j.name, to)
	}
	if err != nil {
		j.failed("inbox.doing.put back", err)
		return
	}
	j.ended = putBack
	j.box.Say(yard.Say("inbox.put back", fileArg(j.name)))
	j.clear() // else the next round finds no workbook in it
}

// finish takes the job from decided to archived; every part of it may have
// been done before.
func (j *job) finish() {
	if j.journal.Edition == 0 {
		before := j.past.same(j.sum)
		if before != nil {
			why, err := j.reopened(*before)
			if err != nil {
				j.failed("inbox.doing.before", err)
				return
			}
			if j.journal.Why = why; why == "" {
				j.again(*before)
				return
			}
			j.box.Say(yard.Say("inbox.again", fileArg(j.name), yard.Count("edition", before.Edition), weekArg(before.Week), yard.Said("why", again(j.journal.Why))))
		}
		if !j.decide(before) {
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
			j.failed("inbox.doing.pass on", err)
			return
		}
		j.box.step("posted")
	}
	j.archive()
}

// again says why a workbook is done again, by what job.json has.
func again(why string) yard.Saying {
	if week, ok := strings.CutPrefix(why, recordChanged); ok {
		return yard.Say("inbox.why.record", weekArg(week))
	}
	if key := map[string]string{resultsGone: "inbox.why.gone", settingsChanged: "inbox.why.settings", programChanged: "inbox.why.program", archiveChanged: "inbox.why.archive"}[why]; key != "" {
		return yard.Say(key)
	}
	return yard.Verbatim(why) // of an earlier version
}

// reopened says why a workbook that was done before is done again; "" if it is not.
func (j *job) reopened(before archived) (string, error) {
	if stands, err := j.stands(before); err != nil || !stands {
		return resultsGone, err
	}
	return j.outdated(before)
}

// stands says whether the results of an edition are all there. What a person has
// changed in them since is theirs.
func (j *job) stands(a archived) (bool, error) {
	kept, is, err := disk.ReadIfThere(j.root, a.dir+"/"+resultsName)
	if err != nil || !is {
		return false, err
	}
	record, is, err := disk.ReadIfThere(j.root, a.Folder+"/"+resultsName)
	if err != nil || !is || !bytes.Equal(kept, record) {
		return false, err
	}
	for name := range a.Files {
		if is, err := disk.There(j.root, a.Folder+"/"+name); err != nil || !is {
			return false, err
		}
	}
	return true, nil
}

// outdated says what has changed of that from which an edition was made; "" if nothing.
func (j *job) outdated(a archived) (string, error) {
	switch {
	case a.Settings != j.box.Settings:
		return settingsChanged, nil
	case a.Program != j.box.Program:
		return programChanged, nil
	}
	for _, week := range slices.Sorted(maps.Keys(a.Records)) {
		record, err := j.past.record(j.root, j.past.latest(a.Yard, week))
		if err != nil {
			return "", err
		}
		if sumOf(record) != a.Records[week] {
			return recordChanged + week, nil
		}
	}
	return "", nil
}

// decide fixes the edition and the result folder's name in job.json. Results that
// are gone are made again as the edition they were, if that is the last and would
// come out as it was.
func (j *job) decide(before *archived) bool {
	j.box.naming.Lock()
	defer j.box.naming.Unlock()
	latest := j.past.latest(j.journal.Yard, j.journal.Week)
	j.journal.Edition = latest.Edition + 1
	var err error
	if before != nil && before.dir == latest.dir && j.journal.Why == resultsGone {
		var why string
		if why, err = j.outdated(*before); why == "" {
			j.journal.Edition = latest.Edition
		}
	}
	if err == nil {
		err = j.nameFolder()
	}
	if err == nil {
		j.box.step("decide")
		err = j.writeJournal()
	}
	if err != nil {
		j.journal.Edition = 0
		j.failed("inbox.doing.note", err)
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
		return disk.There(j.root, s)
	})
	if err != nil {
		return err
	}
	j.journal.Folder = free
	j.past.takeName(free)
	return nil
}

// published says whether the result folder stands: its record is the one kept
// in the job.
func (j *job) published() ([]byte, bool) {
	if j.journal.Edition == 0 {
		return nil, false
	}
	kept, err := disk.ReadFile(j.root, j.dir+"/"+resultsName)
	if err != nil {
		return nil, false
	}
	there, err := disk.ReadFile(j.root, j.journal.Folder+"/"+resultsName)
	return kept, err == nil && bytes.Equal(kept, there)
}

func (j *job) publish() ([]byte, bool) {
	j.journal.Program, j.journal.Settings, j.journal.Records = j.box.Program, j.box.Settings, map[string]string{}
	var unread error
	lookUp := func(week string) []byte {
		record, err := j.past.record(j.root, j.past.latest(j.journal.Yard, week))
		unread = errors.Join(unread, err)
		if week != "" {
			j.journal.Records[week] = sumOf(record)
		}
		return record
	}
	edition := Edition{Number: j.journal.Edition, LastWeek: lookUp(weekBefore(j.journal.Week)),
		Week: func(beginning time.Time) []byte { return lookUp(beginning.Format(isoDate)) }}
	if edition.Number > 1 {
		last, err := j.past.record(j.root, j.past.edition(j.journal.Yard, j.journal.Week, edition.Number-1))
		edition.LastEdition, unread = last, errors.Join(unread, err)
	}
	sum, data, err := disk.Sum(j.root, j.dir+"/"+j.name, j.box.MaxBytes)
	if err == nil && sum != j.sum {
		err = yard.Troubled(yard.Say("inbox.changed"))
	}
	if err != nil {
		j.failed("inbox.doing.read", err)
		return nil, false
	}
	files, err := j.box.Make(j.name, data, edition)
	if errors.Is(err, context.Canceled) {
		return nil, false
	}
	if unread != nil { // what was made without a record is not what should be made
		j.failed("inbox.doing.records", unread)
		return nil, false
	}
	if err != nil {
		j.reject(err)
		return nil, false
	}
	results, err := j.write(files)
	if err != nil {
		j.failed("inbox.doing.write", err)
		return nil, false
	}
	j.box.step("publish")
	for try := 0; ; try++ {
		err := disk.Move(j.root, j.made, j.journal.Folder)
		if err == nil {
			break
		}
		// A share can do a thing and answer that it did not.
		if _, done := j.published(); done {
			break
		}
		// Somebody has made a folder of that name since it was chosen.
		if is, _ := disk.There(j.root, j.journal.Folder); !is || try == 10 {
			j.failed("inbox.doing.publish", err)
			return nil, false
		}
		j.box.naming.Lock()
		if err = j.nameFolder(); err == nil {
			err = j.writeJournal()
		}
		j.box.naming.Unlock()
		if err != nil {
			j.failed("inbox.doing.note", err)
			return nil, false
		}
	}
	j.box.step("published")
	return results, true
}

// write makes the results complete in a folder of new that is this process's own,
// and in the job what they are and then the record of them.
func (j *job) write(files []File) (results []byte, err error) {
	dir, err := disk.MakeTemp(j.root, newDir+"/"+j.sum+".")
	if err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			disk.RemoveAll(j.root, dir)
		}
	}()
	j.journal.Files = map[string]string{}
	for i, f := range files {
		if f.Name != Fit(f.Name) {
			return nil, yard.Troubled(yard.Say("inbox.file name", yard.Named("name", yard.Place, f.Name)))
		}
		if i == 1 {
			j.box.step("mid-write")
		}
		if err := disk.WriteSynced(j.root, dir+"/"+f.Name, f.Bytes); err != nil {
			return nil, err
		}
		j.journal.Files[f.Name] = sumOf(f.Bytes)
		if f.Name == resultsName {
			results = f.Bytes
		}
	}
	if results == nil {
		return nil, errors.New("the results lack " + resultsName)
	}
	if err := errors.Join(j.root.SyncDir(dir), j.root.SyncDir(newDir)); err != nil {
		return nil, err
	}
	j.box.step("written")
	if err := j.writeJournal(); err != nil {
		return nil, err
	}
	j.made = dir
	return results, disk.WriteWhole(j.root, scratch, j.dir+"/"+resultsName, results)
}

// archive files the job's folder away as it is: workbook, record, journal.
func (j *job) archive() {
	if old := j.past.edition(j.journal.Yard, j.journal.Week, j.journal.Edition); old.SHA256 == j.sum && j.archivedAgain(old) {
		return
	}
	week := archiveDir + "/" + j.journal.Week
	if err := disk.MakeFolder(j.root, week); err != nil {
		j.failed("inbox.doing.archive", err)
		return
	}
	j.box.naming.Lock()
	to, err := freeName(fmt.Sprintf("%s edition %d", Fit(j.journal.Yard), j.journal.Edition), func(s string) (bool, error) { return disk.There(j.root, week+"/"+s) })
	if err == nil {
		j.box.step("archive")
		err = disk.Move(j.root, j.dir, week+"/"+to)
	}
	j.box.naming.Unlock()
	if err != nil {
		j.failed("inbox.doing.archive", err)
		return
	}
	j.box.step("archived")
	j.past.add(week+"/"+to, j.journal)
	j.ended = finished
}

// isArchived says whether the archive has the very bytes of the workbook.
func (j *job) isArchived(a archived) (bool, error) {
	name := a.dir + "/" + a.Name
	if info, err := j.root.Lstat(name); errors.Is(err, fs.ErrNotExist) || err == nil && !info.Mode().IsRegular() {
		return false, nil
	}
	sum, _, err := disk.Sum(j.root, name, 0)
	if errors.Is(err, fs.ErrPermission) {
		return false, nil
	}
	return sum == j.sum, err
}

// archivedAgain ends a job whose edition the archive has already, because its
// results were gone: what it notes takes the place of what was noted. It is false
// where the archive's copy is not the workbook any more.
func (j *job) archivedAgain(old archived) bool {
	same, err := j.isArchived(old)
	if err != nil {
		j.failed("inbox.doing.before", err)
		return true
	}
	if !same {
		return false
	}
	noted := j.journal
	noted.Name = old.Name // of the copy that stays
	data, err := json.MarshalIndent(noted, "", " ")
	if err == nil {
		j.box.step("archive")
		err = disk.WriteWhole(j.root, scratch, old.dir+"/"+journalName, append(data, '\n'))
	}
	if err == nil {
		err = errors.Join(j.root.Remove(j.dir+"/"+j.name), j.clear())
	}
	if err != nil {
		j.failed("inbox.doing.archive", err)
		return true
	}
	j.box.step("archived")
	j.ended = finished
	return true
}

// again answers a workbook whose bytes were done before. The second copy goes
// only if the first is really there.
func (j *job) again(before archived) {
	same, err := j.isArchived(before)
	if err != nil {
		j.failed("inbox.doing.before", err)
		return
	}
	if !same { // somebody has changed the archive: this copy is the only one
		j.journal.Why = archiveChanged
		if j.decide(nil) {
			j.finish()
		}
		return
	}
	stem, _ := cutExt(j.name)
	text := j.note(yard.Say("inbox.before.note", fileArg(j.name), yard.Count("edition", before.Edition), weekArg(before.Week)),
		yard.Say("inbox.before.where", yard.Named("results", yard.Place, before.Folder), yard.Named("workbook", yard.Place, before.dir)),
		yard.Say("inbox.before.again", yard.Named("workbook", yard.Place, before.dir)))
	note, err := freeName(stem+", done before", func(s string) (bool, error) { return otherText(j.root, s+".txt", text) })
	note += ".txt"
	if err == nil {
		j.box.step("again")
		err = disk.WriteWhole(j.root, scratch, note, text)
	}
	if err != nil {
		j.failed("inbox.doing.say", err)
		return
	}
	j.box.step("clearing")
	if err := errors.Join(j.root.Remove(j.dir+"/"+j.name), j.clear()); err != nil {
		j.failed("inbox.doing.clear", err)
		return
	}
	j.ended = doneBefore
	j.box.Say(yard.Say("inbox.before", fileArg(j.name), yard.Count("edition", before.Edition), weekArg(before.Week)))
}
