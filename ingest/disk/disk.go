package disk

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"github.com/gofrs/flock"
)

// Rights of what is made; the umask takes away from them.
const (
	FileMode   fs.FileMode = 0o640
	FolderMode fs.FileMode = 0o750
)

// FS is a folder and all that lies in it. Names are relative to it, with forward
// slashes; "." is the folder. A name or link that leads out of it is an error.
type FS interface {
	Open(name string) (File, error)
	Create(name string) (File, error) // fails if anything of that name is there
	Lstat(name string) (fs.FileInfo, error)
	Stat(name string) (fs.FileInfo, error)
	ReadDir(name string) ([]fs.DirEntry, error) // in order of names
	Mkdir(name string) error
	Rename(from, to string) error
	Remove(name string) error  // a file, or an empty folder
	SyncDir(name string) error // makes the names in a folder last
	TryLock(name string) (Lock, error)
	Close() error
}

// File is an open file.
type File interface {
	io.Reader
	io.Writer
	Sync() error // makes what was written last
	Close() error
}

// Lock is a lock that is held.
type Lock interface {
	// Holds says whether the lock is still on the file of its name: a folder can be
	// taken away and another put in its place.
	Holds() bool
	Close() error
}

// ErrLocked means that another process has the lock.
var ErrLocked = errors.New("another program has it")

// Open gives a folder of this machine.
func Open(dir string) (FS, error) {
	// A FIFO or a device would be waited for.
	if info, err := os.Stat(dir); err != nil {
		return nil, err
	} else if !info.IsDir() {
		return nil, &fs.PathError{Op: "open", Path: dir, Err: errNoFolder}
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		return nil, err
	}
	return Steady(host{root}), nil
}

var errNoFolder = errors.New("not a folder")

// OpenMade is Open; a folder that is not there is made first, with those above it.
func OpenMade(dir string) (FS, error) {
	if err := os.MkdirAll(dir, FolderMode); err != nil {
		return nil, err
	}
	return Open(dir)
}

type host struct{ root *os.Root }

func (h host) Open(name string) (File, error) { return opened(h.root.Open(name)) }
func (h host) Create(name string) (File, error) {
	return opened(h.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, FileMode))
}

// opened keeps a nil *os.File from becoming a File that is not nil.
func opened(f *os.File, err error) (File, error) {
	if err != nil {
		return nil, err
	}
	return f, nil
}

func (h host) Lstat(name string) (fs.FileInfo, error) { return h.root.Lstat(name) }
func (h host) Stat(name string) (fs.FileInfo, error)  { return h.root.Stat(name) }
func (h host) Mkdir(name string) error                { return h.root.Mkdir(name, FolderMode) }
func (h host) Rename(from, to string) error           { return h.root.Rename(from, to) }
func (h host) Remove(name string) error               { return h.root.Remove(name) }
func (h host) Close() error                           { return h.root.Close() }

func (h host) ReadDir(name string) ([]fs.DirEntry, error) {
	d, err := h.root.Open(name)
	if err != nil {
		return nil, err
	}
	defer d.Close()
	entries, err := d.ReadDir(-1)
	slices.SortFunc(entries, func(a, b fs.DirEntry) int { return strings.Compare(a.Name(), b.Name()) })
	return entries, err
}

// SyncDir: Windows has no such call, and some network shares refuse it.
func (h host) SyncDir(name string) error {
	if runtime.GOOS == "windows" {
		return nil
	}
	d, err := h.root.Open(name)
	if err != nil {
		return err
	}
	err = d.Sync()
	if errors.Is(err, errors.ErrUnsupported) || notSyncable(err) {
		err = nil
	}
	return errors.Join(err, d.Close())
}

type hostLock struct {
	*flock.Flock
	root *os.Root
	name string
}

func (h host) TryLock(name string) (Lock, error) {
	// flock opens by path; Lstat first, so that it is not led out of the folder.
	if info, err := h.root.Lstat(name); err == nil && !info.Mode().IsRegular() {
		return nil, &fs.PathError{Op: "lock", Path: name, Err: errors.New("not a plain file")}
	}
	lock := flock.New(filepath.Join(h.root.Name(), filepath.FromSlash(name)), flock.SetPermissions(FileMode))
	ok, err := lock.TryLock()
	if err == nil && !ok {
		err = ErrLocked
	}
	if err != nil {
		lock.Close()
		return nil, err
	}
	return hostLock{lock, h.root, name}, nil
}

func (l hostLock) Holds() bool {
	held, err := l.Stat()
	now, err2 := os.Lstat(l.Path())
	return err == nil && err2 == nil && os.SameFile(held, now)
}
