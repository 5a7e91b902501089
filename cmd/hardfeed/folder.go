package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"hardfeed/ingest/disk"
	"hardfeed/report"
)

const (
	resultsName     = "results.json"
	correctionsName = "corrections.xlsx" // only if something in the workbook was wrong or doubtful
	madeName        = ".hardfeed.json"   // what this program made in a folder, see [made]
)

// ourFiles are all names this program gives to files of a finished folder. A
// folder with anything else in it is somebody's, and is never replaced.
var ourFiles = append(report.Names(), append([]string{correctionsName}, nextNames...)...)

// nextNames are the names of next week's workbook beside the cards, without macros and
// with. Only watch writes it.
var nextNames = []string{"next week.xlsx", "next week.xlsm"}

// notAlways says whether a finished folder is whole without a file.
func notAlways(name string) bool {
	return name == correctionsName || name == report.SeasonName || slices.Contains(nextNames, name)
}

// made is the hidden file of a finished folder: of which workbook it was made, and
// the SHA-256 of each file. By it a file is known that a person has changed.
type made struct {
	Schema   int               `json:"schema"`
	Program  string            `json:"program"`
	Workbook string            `json:"workbook"` // without its folder
	Files    map[string]string `json:"files"`
}

// result is a folder that is, or is to be, the result of a run.
type result struct {
	disk disk.FS // the folder in which it stands
	name string  // its name there
	path string  // as a person would write it
}

// openResult looks up where a result folder stands; whoever asks closes its disk. A
// link is followed, so that the folder it points to is replaced, not the link.
func openResult(dir string) (result, error) {
	full, err := filepath.Abs(dir)
	if err != nil {
		return result{}, refuse("%s could not be looked at: %v.", dir, reason(err))
	}
	if target, err := filepath.EvalSymlinks(full); err == nil {
		full = target
	}
	parent := filepath.Dir(full)
	if info, err := os.Stat(parent); err != nil || !info.IsDir() {
		return result{}, refuse("There is no folder %s to write %s in. Make it first, or name another with -o.", filepath.Dir(filepath.Clean(dir)), show(dir))
	}
	d, err := disk.Open(parent)
	if err != nil {
		return result{}, refuse("%s could not be looked at: %v.%s", parent, reason(err), remedy(err))
	}
	return result{d, filepath.Base(full), dir}, nil
}

// mayWrite says in a sentence why dir must not be written, before any work is
// done for it.
func mayWrite(dir string) error {
	r, err := openResult(dir)
	if err != nil {
		return err
	}
	defer r.disk.Close()
	return r.mayWrite()
}

func (r result) mayWrite() error {
	info, err := r.disk.Stat(r.name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return refuse("%s could not be looked at: %v.", r.path, reason(err))
	}
	if !info.IsDir() {
		return refuse("%s is a file, and a folder is to be written there. Name another with -o.", r.path)
	}
	entries, err := r.disk.ReadDir(r.name)
	if err != nil {
		return refuse("%s could not be looked at: %v.", r.path, reason(err))
	}
	entries = slices.DeleteFunc(entries, disk.IsLitter)
	for _, e := range entries {
		if !isOurs(e.Name()) || !e.Type().IsRegular() {
			return refuse("The folder %s has something else in it (%s) and was left as it is. Name another with -o.", r.path, e.Name())
		}
	}
	if len(entries) > 0 && r.made().Files == nil && !r.recordIsOurs() {
		return refuse("The folder %s has files in it that are not from this program, and was left as it is. Name another with -o.", r.path)
	}
	return nil
}

func isOurs(name string) bool {
	return name == madeName || slices.Contains(ourFiles, name) || keptFile().MatchString(name)
}

// made is what the folder says was made in it; empty if it does not say.
func (r result) made() made {
	var m made
	data, err := disk.ReadFile(r.disk, r.name+"/"+madeName)
	if err != nil || json.Unmarshal(data, &m) != nil || m.Schema != 1 || m.Program != "hardfeed" {
		return made{}
	}
	return m
}

// recordIsOurs reads the record only as far as the name of the program, which stands
// near its beginning.
func (r result) recordIsOurs() bool {
	f, err := r.disk.Open(r.name + "/" + resultsName)
	if err != nil {
		return false
	}
	defer f.Close()
	d := json.NewDecoder(f)
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return false
	}
	for d.More() {
		name, err := d.Token()
		var value any
		if err != nil || d.Decode(&value) != nil {
			return false
		}
		if name == "program" {
			return value == "hardfeed"
		}
	}
	return false
}

// defaultFolder is where the sheets of a workbook go unless -o names a place: a
// folder beside it, named as it is without its ending. The sheets of a corrected copy
// go beside the folder it lies in. Where the folder holds the sheets of another
// workbook of that stem (week.xlsx and week.xlsm), the ending is behind the name.
func defaultFolder(workbook string) string {
	ext := filepath.Ext(workbook)
	dir := strings.TrimSuffix(workbook, ext)
	if dir == workbook {
		return dir + "-cards"
	}
	if in := filepath.Dir(workbook); isCorrections(filepath.Base(workbook)) {
		if full, err := filepath.Abs(in); err == nil && filepath.Dir(full) != full {
			if r, err := openResult(full); err == nil {
				defer r.disk.Close()
				if r.made().Files != nil || r.recordIsOurs() {
					return filepath.Join(in, "..", filepath.Base(full)+" corrected")
				}
			}
		}
	}
	if other := madeOf(dir); other != "" && anotherWorkbook(workbook, other) {
		return dir + " (" + strings.TrimPrefix(ext, ".") + ")"
	}
	return dir
}

// madeOf is the workbook of which the sheets in a folder were made; "" if unknown.
func madeOf(dir string) string {
	r, err := openResult(dir)
	if err != nil {
		return ""
	}
	defer r.disk.Close()
	return r.made().Workbook
}

// anotherWorkbook says whether a file of that name lies beside the workbook and is
// not the workbook itself, under a name in other capitals.
func anotherWorkbook(workbook, name string) bool {
	if filepath.Base(workbook) == name || filepath.Base(name) != name {
		return false
	}
	one, err := os.Stat(workbook)
	two, err2 := os.Stat(filepath.Join(filepath.Dir(workbook), name))
	return err == nil && err2 == nil && !os.SameFile(one, two)
}

// writeFolder makes dir appear whole or not at all: all files are written and
// synced in a hidden folder beside it, which then takes its name. An error of
// fill's own is returned as it is. Files that a person had changed in a folder that
// was there are kept in the new one, under the names that are returned.
func writeFolder(ctx context.Context, dir, workbook string, fill func(report.To) error) (kept []string, err error) {
	r, err := openResult(dir)
	if err != nil {
		return nil, err
	}
	defer r.disk.Close()
	return r.write(ctx, workbook, fill)
}

const (
	newBeginning = ".hardfeed-new-" // a folder that is being written
	oldBeginning = ".hardfeed-old-" // what a folder that is being replaced lies in
	lockEnding   = ".lock"
)

func (r result) write(ctx context.Context, workbook string, fill func(report.To) error) (kept []string, err error) {
	r.clearDead()
	if err := r.mayWrite(); err != nil {
		return nil, err
	}
	failed := func(err error) error {
		do := remedy(err)
		if do == "" || runtime.GOOS == "windows" && errors.Is(err, fs.ErrPermission) {
			do = " If a sheet of an earlier run is open in another program, close it and run again."
		}
		return refuse("%s could not be written: %v.%s", r.path, reason(err), do)
	}
	temp, err := disk.MakeTemp(r.disk, newBeginning)
	if err != nil {
		return nil, failed(err)
	}
	aside := oldBeginning + strings.TrimPrefix(temp, newBeginning)
	// A share that knows no locks does without: the age of what is left counts too.
	if lock, err := r.disk.TryLock(temp + lockEnding); err == nil {
		defer func() {
			lock.Close()
			r.disk.Remove(temp + lockEnding)
		}()
	}
	defer disk.RemoveAll(r.disk, temp) // what is left after any failure; nothing once renamed
	w := &writing{ctx: ctx, disk: r.disk, dir: temp, sums: map[string]string{}}
	if err := fill(w.file); err != nil && w.err == nil {
		return nil, err
	}
	if ctx.Err() != nil {
		return nil, errStopped
	}
	if err := w.err; err != nil {
		return nil, failed(err)
	}
	if kept, err = r.finish(w, temp, aside, workbook); err != nil {
		return nil, failed(err)
	}
	return kept, nil
}

// finish puts the folder that is written in its place.
func (r result) finish(w *writing, temp, aside, workbook string) (kept []string, err error) {
	note, err := json.MarshalIndent(made{1, "hardfeed", filepath.Base(workbook), w.sums}, "", " ")
	if err == nil {
		err = disk.WriteSynced(r.disk, temp+"/"+madeName, append(note, '\n'))
	}
	if err == nil {
		kept, err = r.keep(r.name, temp)
	}
	if err == nil {
		err = r.disk.SyncDir(temp)
	}
	if err == nil {
		err = r.swap(temp, aside)
	}
	if err != nil {
		return nil, err
	}
	// The new folder is in place. What was saved into the old one meanwhile is kept; an
	// old one that will not go away (a sheet is open somewhere) is left for another run.
	late, err := r.keep(aside+"/"+r.name, r.name)
	if err == nil {
		disk.RemoveAll(r.disk, aside)
	}
	return append(kept, late...), nil
}

// swap puts temp in the place of the folder, which goes aside. If that fails, the
// old one is back.
func (r result) swap(temp, aside string) error {
	if is, err := disk.There(r.disk, r.name); err != nil {
		return err
	} else if !is {
		return disk.Move(r.disk, temp, r.name)
	}
	if err := r.disk.Mkdir(aside); err != nil {
		return err
	}
	defer r.disk.Remove(aside) // only while empty: never an old folder that could not be put back
	old := aside + "/" + r.name
	if err := r.disk.SyncDir("."); err != nil {
		return err
	}
	if err := r.disk.Rename(r.name, old); err != nil {
		return err
	}
	if err := errors.Join(r.disk.SyncDir(aside), r.disk.Rename(temp, r.name)); err != nil {
		return errors.Join(err, r.disk.Rename(old, r.name))
	}
	return r.disk.SyncDir(".")
}

// keptFile is the name under which a file of ours is kept that a person has changed.
var keptFile = sync.OnceValue(func() *regexp.Regexp {
	var names []string
	for _, name := range ourFiles {
		ext := filepath.Ext(name)
		names = append(names, regexp.QuoteMeta(strings.TrimSuffix(name, ext))+`, changed by hand( \([0-9]+\))?`+regexp.QuoteMeta(ext))
	}
	return regexp.MustCompile("^(" + strings.Join(names, "|") + ")$")
})

func isCorrections(name string) bool {
	return name == correctionsName || strings.HasPrefix(name, "corrections, changed by hand") && keptFile().MatchString(name)
}

func keptName(name string, n int) string {
	ext := filepath.Ext(name)
	name = strings.TrimSuffix(name, ext) + ", changed by hand"
	if n > 1 {
		name += fmt.Sprintf(" (%d)", n)
	}
	return name + ext
}

// keep copies what a person has changed in one result folder into another, and what
// was kept there before. A file counts as changed if it is not what was made there; in
// a folder that does not say what was made, every file does. What the other folder has
// already, to the last byte, is not copied again.
func (r result) keep(from, to string) (kept []string, err error) {
	entries, err := disk.Names(r.disk, from)
	if err != nil {
		return nil, err
	}
	was := result{r.disk, from, ""}.made().Files
	var has map[string]bool // what the other folder has, once it is asked for
	for _, e := range entries {
		name := e.Name()
		before := keptFile().MatchString(name)
		if !e.Type().IsRegular() || !before && !slices.Contains(ourFiles, name) {
			continue
		}
		sum, data, err := disk.Sum(r.disk, from+"/"+name, 0)
		if err != nil {
			return nil, err
		}
		if len(data) == 0 || !before && was[name] == sum {
			continue
		}
		if has == nil {
			if has, err = r.sums(to); err != nil {
				return nil, err
			}
		}
		if has[sum] {
			continue
		}
		// Only what is kept is held in memory: the sheets of a large yard are not small.
		if sum, data, err = disk.Sum(r.disk, from+"/"+name, mostKept); err != nil {
			return nil, err
		}
		if int64(len(data)) > mostKept {
			return nil, fmt.Errorf("%s in it has been changed and is too large to be kept: move it somewhere else first", name)
		}
		place := name
		for n := 1; ; n++ {
			if !before {
				place = keptName(name, n)
			} else if n > 1 {
				place = keptName(keptFile().ReplaceAllString(name, "$1.$3"), n)
			}
			if is, err := disk.There(r.disk, to+"/"+place); err != nil {
				return nil, err
			} else if !is {
				break
			}
		}
		if err := disk.WriteSynced(r.disk, to+"/"+place, data); err != nil {
			return nil, err
		}
		has[sum] = true
		if !before {
			kept = append(kept, place)
		}
	}
	return kept, nil
}

// mostKept is far more than any sheet has (ours).
const mostKept = 256 << 20

// sums are the SHA-256 of all files in a folder.
func (r result) sums(dir string) (map[string]bool, error) {
	entries, err := disk.Names(r.disk, dir)
	if err != nil {
		return nil, err
	}
	all := map[string]bool{}
	for _, e := range entries {
		if e.Type().IsRegular() && e.Name() != madeName {
			sum, _, err := disk.Sum(r.disk, dir+"/"+e.Name(), 0)
			if err != nil {
				return nil, err
			}
			all[sum] = true
		}
	}
	return all, nil
}

// deadAfter is how long nothing has happened to a folder in hand before it counts as
// left by a run that died. A run writes every few seconds. Ours.
const deadAfter = 10 * time.Minute

// clearDead takes away what runs that died have left beside the folder, and puts back
// a folder that one of them was just replacing. What cannot be cleared is in nobody's
// way.
func (r result) clearDead() {
	entries, err := r.disk.ReadDir(".")
	if err != nil {
		return
	}
	for _, e := range entries {
		name := e.Name()
		chance, isNew := strings.CutPrefix(name, newBeginning)
		if !isNew {
			if chance, isNew = strings.CutPrefix(name, oldBeginning); !isNew {
				continue
			}
		}
		if age, err := disk.Age(r.disk, name, ".hardfeed-clock-"); err != nil || age < deadAfter {
			continue
		}
		lockName := newBeginning + strings.TrimSuffix(chance, lockEnding) + lockEnding
		lock, err := r.disk.TryLock(lockName)
		if err != nil {
			continue // it lives
		}
		r.clearOne(name)
		lock.Close()
		r.disk.Remove(lockName)
	}
}

func (r result) clearOne(name string) {
	if strings.HasPrefix(name, oldBeginning) {
		entries, err := disk.Names(r.disk, name)
		if err != nil {
			return
		}
		for _, e := range entries {
			if is, err := disk.There(r.disk, e.Name()); err != nil {
				return
			} else if !is {
				if disk.Move(r.disk, name+"/"+e.Name(), e.Name()) != nil {
					return
				}
			} else if _, err := r.keep(name+"/"+e.Name(), e.Name()); err != nil {
				return
			}
		}
	}
	disk.RemoveAll(r.disk, name)
}

// writing is a folder that is being written, several files at once.
type writing struct {
	ctx  context.Context
	disk disk.FS
	dir  string
	mu   sync.Mutex
	err  error // the first there was
	sums map[string]string
}

func (w *writing) failed(err error) error {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.err == nil {
		w.err = err
	}
	return err
}

// file is a [report.To].
func (w *writing) file(name string) (io.WriteCloser, error) {
	if !slices.Contains(ourFiles, name) {
		panic("folder: " + name + " is not one of ourFiles: the next run would refuse to replace the folder")
	}
	f, err := w.disk.Create(w.dir + "/" + name)
	if err != nil {
		return nil, w.failed(err)
	}
	return writtenFile{f, w, name, sha256.New()}, nil
}

// writtenFile is synced when it is closed.
type writtenFile struct {
	f    disk.File
	w    *writing
	name string
	sum  hash.Hash
}

// Write fails once the run is stopped: what is being drawn then ends soon.
func (f writtenFile) Write(b []byte) (int, error) {
	if f.w.ctx.Err() != nil {
		return 0, f.w.failed(errStopped)
	}
	n, err := f.f.Write(b)
	f.sum.Write(b[:n])
	return n, f.w.failed(err)
}

func (f writtenFile) Close() error {
	err := f.w.failed(errors.Join(f.f.Sync(), f.f.Close()))
	f.w.mu.Lock()
	defer f.w.mu.Unlock()
	f.w.sums[f.name] = hex.EncodeToString(f.sum.Sum(nil))
	return err
}
