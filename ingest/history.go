package ingest

import (
	"bytes"
	"io"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"
	"time"

	"hardfeed/ration/yard"
)

// recordName is what a record is called wherever it lies.
const recordName = "results.json"

// mostRecordBytes is more than ten thousand horses take.
const mostRecordBytes = 512 << 20

// recordAt is one record in a folder of past results.
type recordAt struct {
	recordHead
	path string // with slashes, from the folder
}

// RecallFrom is [Recall] from a folder of past results: every results.json in it and in
// the folders below, a drop folder's archive or finished folders. Of a week's several
// editions the newest counts. What is not a record, is another yard's, has no week, or
// cannot be told from another of its week is skipped, each with a finding. The error
// is one of the folder itself.
func RecallFrom(w yard.Week, folder fs.FS) (yard.Week, error) {
	f := &recordFolder{folder: folder, series: fold(w.Yard), byWeek: map[string][]recordAt{}, strangers: map[string]int{}}
	if err := fs.WalkDir(folder, ".", f.look); err != nil {
		return w, err
	}
	if w.Beginning.IsZero() {
		f.find(yard.Warn, "finding.history.undated-week")
		return f.told(w), nil
	}
	w = recall(w, f.record, f.earlier)
	var read []time.Time
	for _, h := range w.Horses {
		for _, p := range h.Past {
			if !slices.ContainsFunc(read, p.Beginning.Equal) {
				read = append(read, p.Beginning)
			}
		}
	}
	if len(read) == 0 {
		f.find(yard.Warn, "finding.history.none", yard.Arg{Name: "week", Value: yard.Date{Date: w.Beginning, Year: true}})
		return f.told(w), nil
	}
	slices.SortFunc(read, time.Time.Compare)
	f.find(yard.Note, "finding.history.read", yard.Count("n", len(read)),
		yard.Arg{Name: "first", Value: yard.Date{Date: read[0], Year: true}}, yard.Arg{Name: "last", Value: yard.Date{Date: read[len(read)-1], Year: true}})
	return f.told(w), nil
}

// recordFolder is a folder of past results being looked through.
type recordFolder struct {
	folder    fs.FS
	series    string // the yard's name, to compare; "": not given
	byWeek    map[string][]recordAt
	strangers map[string]int // records of other yards, by the yard's name
	ambiguous []string       // weeks of which that was said
	findings  []yard.Finding

	// Half a year of records of a large yard is half a gigabyte: each is read into the
	// room of one that is done with.
	mu    sync.Mutex
	room  [][]byte
	chunk []byte // of a record that is read bit by bit
}

// done takes back the room of a record.
func (f *recordFolder) done(data []byte) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.room = append(f.room, data)
}

// roomFor is room for so many bytes.
func (f *recordFolder) roomFor(n int) []byte {
	f.mu.Lock()
	defer f.mu.Unlock()
	for i, b := range f.room {
		if cap(b) >= n {
			f.room = slices.Delete(f.room, i, i+1)
			return b[:0]
		}
	}
	f.room = nil // too small for this week, and so for others
	return make([]byte, 0, n+n/8+1)
}

func (f *recordFolder) find(s yard.Severity, key string, args ...yard.Arg) {
	f.findings = append(f.findings, yard.Finding{Rule: "history", Severity: s, Saying: yard.Say(key, args...)})
}

// told puts on the week what is to be said of the folder.
func (f *recordFolder) told(w yard.Week) yard.Week {
	var names []string
	for name := range f.strangers {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		f.find(yard.Note, "finding.history.yard", yard.Count("n", f.strangers[name]), yard.Named("yard", yard.HerWords, name))
	}
	w.Findings = append(slices.Clone(w.Findings), f.findings...)
	yard.SortFindings(w.Findings)
	return w
}

// look is an [fs.WalkDirFunc]. Hidden folders hold what is being written.
func (f *recordFolder) look(name string, e fs.DirEntry, err error) error {
	file := yard.Named("file", yard.HerWords, name)
	switch {
	case err != nil && name == ".":
		return err
	case err != nil:
		f.find(yard.Note, "finding.history.unread", file)
		return nil
	case e.IsDir() && name != "." && strings.HasPrefix(path.Base(name), "."):
		return fs.SkipDir
	case !strings.EqualFold(e.Name(), recordName) || !e.Type().IsRegular():
		return nil
	}
	head, err := f.head(name)
	switch _, dated := time.Parse(time.DateOnly, head.week); {
	case err != nil || !head.ours():
		f.find(yard.Note, "finding.history.unread", file)
	case f.series != "" && fold(head.yard) != "" && fold(head.yard) != f.series:
		f.strangers[head.yard]++
	case dated != nil:
		f.find(yard.Note, "finding.history.undated", file)
	default:
		f.byWeek[head.week] = append(f.byWeek[head.week], recordAt{head, name})
	}
	return nil
}

// head reads what a record says about itself.
func (f *recordFolder) head(name string) (recordHead, error) {
	file, err := f.folder.Open(name)
	if err != nil {
		return recordHead{}, err
	}
	defer file.Close()
	start, err := io.ReadAll(io.LimitReader(file, 4096))
	if h := headOf(string(start)); err != nil || h.ours() && h.week != "" {
		return h, err
	}
	whole := f.read(name) // in another order
	defer f.done(whole)
	return headOf(string(whole)), nil
}

// earlier is the record of a week of which not all is wanted.
func (f *recordFolder) earlier(beginning time.Time) heldRecord {
	all := f.byWeek[beginning.Format(time.DateOnly)]
	if len(all) == 1 {
		if front, ok := f.front(all[0].path); ok {
			return heldRecord{front, true, func() { f.done(front) }}
		}
	}
	data := f.record(beginning)
	return heldRecord{data: data, done: func() { f.done(data) }}
}

// front is that of a record as this program writes it.
func (f *recordFolder) front(name string) ([]byte, bool) {
	file, err := f.folder.Open(name)
	if err != nil {
		return nil, false
	}
	defer file.Close()
	if f.chunk == nil {
		f.chunk = make([]byte, 256<<10)
	}
	front, ok := frontOf(io.LimitReader(file, mostRecordBytes), f.roomFor(0), f.chunk)
	if !ok {
		f.done(front)
	}
	return front, ok
}

// record is the newest edition of a week; nil where there is none, or where two
// differ and neither says that it is the newer.
func (f *recordFolder) record(beginning time.Time) []byte {
	all := f.byWeek[beginning.Format(time.DateOnly)]
	if len(all) == 0 {
		return nil
	}
	newest := slices.MaxFunc(all, func(a, b recordAt) int { return a.edition - b.edition })
	data := f.read(newest.path)
	for _, r := range all {
		if r.edition != newest.edition || r.path == newest.path {
			continue
		}
		other := f.read(r.path)
		same := bytes.Equal(other, data)
		f.done(other)
		if !same {
			f.done(data)
			f.differ(beginning, newest, r)
			return nil
		}
	}
	return data
}

func (f *recordFolder) differ(beginning time.Time, a, b recordAt) {
	if slices.Contains(f.ambiguous, a.week) {
		return
	}
	f.ambiguous = append(f.ambiguous, a.week)
	f.find(yard.Warn, "finding.history.differ", yard.Arg{Name: "week", Value: yard.Date{Date: beginning, Year: true}},
		yard.Names("files", yard.And, yard.HerWords, []string{a.path, b.path}))
}

// read is a record's bytes; none at all, which is not a record, where they cannot be read.
func (f *recordFolder) read(name string) []byte {
	file, err := f.folder.Open(name)
	if err != nil {
		return []byte{}
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil || info.Size() > mostRecordBytes {
		return []byte{}
	}
	b := bytes.NewBuffer(f.roomFor(int(info.Size()) + bytes.MinRead))
	if _, err := b.ReadFrom(io.LimitReader(file, mostRecordBytes)); err != nil {
		return []byte{}
	}
	return b.Bytes()
}
