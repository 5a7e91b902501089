package main

import (
	"encoding/json"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"sync"
	"time"

	"hardfeed/report"
)

const (
	resultsName     = "results.json"
	correctionsName = "corrections.xlsx" // only if something in the workbook was wrong or doubtful
)

// ourFiles are all names this program gives to files of a finished folder. A
// folder with anything else in it is somebody's, and is never replaced.
var ourFiles = append(report.Names(), correctionsName)

// mayWrite says in a sentence why dir must not be written, before any work is
// done for it.
func mayWrite(dir string) error {
	parent := filepath.Dir(filepath.Clean(dir))
	if info, err := os.Stat(parent); err != nil || !info.IsDir() {
		return refuse("The folder %s, in which %s should be written, is not there. Make it first, or name another with -o.", parent, show(dir))
	}
	info, err := os.Stat(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return refuse("%s could not be looked at: %v.", dir, reason(err))
	}
	if !info.IsDir() {
		return refuse("%s is a file, and a folder is to be written there. Name another with -o.", dir)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return refuse("%s could not be looked at: %v.", dir, reason(err))
	}
	if len(entries) == 0 {
		return nil
	}
	for _, e := range entries {
		if !slices.Contains(ourFiles, e.Name()) || !e.Type().IsRegular() {
			return refuse("The folder %s has something else in it (%s) and was left as it is. Name another with -o.", dir, e.Name())
		}
	}
	if !writtenByUs(filepath.Join(dir, resultsName)) {
		return refuse("The folder %s has files in it that are not from this program, and was left as it is. Name another with -o.", dir)
	}
	if correctedByHand(dir) {
		return refuse("%s in the folder %s was changed since it was written, and would be lost: run that copy, or move it somewhere else first.", correctionsName, dir)
	}
	return nil
}

// correctedByHand says whether somebody has worked on the copy of the workbook
// since the folder was written. A folder copied from elsewhere may have its files'
// times some seconds apart.
func correctedByHand(dir string) bool {
	copied, err := os.Stat(filepath.Join(dir, correctionsName))
	if err != nil {
		return false
	}
	results, err := os.Stat(filepath.Join(dir, resultsName))
	return err == nil && copied.ModTime().After(results.ModTime().Add(time.Minute))
}

// writtenByUs reads a record only as far as the name of the program, which stands
// near its beginning.
func writtenByUs(results string) bool {
	f, err := os.Open(results)
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

// writeFolder makes dir appear whole or not at all: all files are written and
// synced in a hidden folder beside it, which then takes its name. An error of
// fill's own is returned as it is.
func writeFolder(dir string, fill func(report.To) error) error {
	if err := mayWrite(dir); err != nil {
		return err
	}
	// A link is followed, so that the folder it points to is replaced, not the link.
	if target, err := filepath.EvalSymlinks(dir); err == nil {
		dir = target
	}
	dir, err := filepath.Abs(dir)
	if err != nil {
		return refuse("%s could not be written: %v.", dir, reason(err))
	}
	temp, err := os.MkdirTemp(filepath.Dir(dir), ".hardfeed-new-*")
	if err != nil {
		return refuse("%s could not be written: %v.", dir, reason(err))
	}
	defer os.RemoveAll(temp) // what is left after any failure; nothing once renamed
	unwritten := writing{dir: temp}
	err = os.Chmod(temp, 0o750)
	if err == nil {
		if err := fill(unwritten.file); err != nil && unwritten.err == nil {
			return err
		}
		err = unwritten.err
	}
	if err == nil {
		err = syncFolder(temp)
	}
	if err == nil {
		err = swap(temp, dir, os.Rename)
	}
	if err == nil {
		err = syncFolder(filepath.Dir(dir))
	}
	if err != nil {
		return refuse("%s could not be written: %v. If a sheet of an earlier run is open in another program, close it and run again.", dir, reason(err))
	}
	return nil
}

// writing is a folder that is being written, several files at once.
type writing struct {
	dir string
	mu  sync.Mutex
	err error // the first there was
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
	f, err := os.OpenFile(filepath.Join(w.dir, name), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o640)
	if err != nil {
		return nil, w.failed(err)
	}
	return writtenFile{f, w}, nil
}

// writtenFile is synced when it is closed.
type writtenFile struct {
	f *os.File
	w *writing
}

func (f writtenFile) Write(b []byte) (int, error) {
	n, err := f.f.Write(b)
	return n, f.w.failed(err)
}

func (f writtenFile) Close() error { return f.w.failed(errors.Join(f.f.Sync(), f.f.Close())) }

// swap puts temp in the place of dir. If that fails, the old dir is back.
func swap(temp, dir string, rename func(from, to string) error) error {
	if _, err := os.Lstat(dir); errors.Is(err, fs.ErrNotExist) {
		return rename(temp, dir)
	}
	aside, err := os.MkdirTemp(filepath.Dir(dir), ".hardfeed-old-*")
	if err != nil {
		return err
	}
	defer os.Remove(aside) // only while empty: never an old folder that could not be put back
	old := filepath.Join(aside, filepath.Base(dir))
	if err := rename(dir, old); err != nil {
		return err
	}
	if err := rename(temp, dir); err != nil {
		return errors.Join(err, rename(old, dir))
	}
	// The new folder is in place; an old one that will not go away (a sheet is
	// open somewhere) is litter, not a failure.
	os.RemoveAll(aside)
	return nil
}

// syncFolder makes renames last through a power cut. Windows has no such call
// for folders.
func syncFolder(dir string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	return errors.Join(d.Sync(), d.Close())
}
