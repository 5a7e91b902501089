package disktest

import (
	"io/fs"

	"hardfeed/ingest/disk"
)

// Faults is a file system that does what another does, except where it is told to fail.
type Faults struct {
	disk.FS
	// Before is told of every call, its kind (open, create, read, write, sync, close,
	// lstat, stat, readdir, mkdir, rename, remove, syncdir, lock) and name, before it is
	// made. With an error the call is not made; a write is then made half.
	Before func(call, name string) error
	// After is told after a call that went well; with an error the call was made, and
	// fails all the same, as on a share whose answer is lost. nil: never.
	After func(call, name string) error
}

func (f Faults) before(call, name string) error {
	if err := f.Before(call, name); err != nil {
		return &fs.PathError{Op: call, Path: name, Err: err}
	}
	return nil
}

func (f Faults) after(call, name string, err error) error {
	if err == nil && f.After != nil {
		if err := f.After(call, name); err != nil {
			return &fs.PathError{Op: call, Path: name, Err: err}
		}
	}
	return err
}

func call[T any](f Faults, call, name string, do func() (T, error)) (out T, err error) {
	if err := f.before(call, name); err != nil {
		return out, err
	}
	out, err = do()
	return out, f.after(call, name, err)
}

func call0(f Faults, what, name string, do func() error) error {
	_, err := call(f, what, name, func() (struct{}, error) { return struct{}{}, do() })
	return err
}

// Open implements [disk.FS].
func (f Faults) Open(name string) (disk.File, error) {
	return f.file(name, "open", func() (disk.File, error) { return f.FS.Open(name) })
}

// Create implements [disk.FS].
func (f Faults) Create(name string) (disk.File, error) {
	return f.file(name, "create", func() (disk.File, error) { return f.FS.Create(name) })
}

func (f Faults) file(name, what string, do func() (disk.File, error)) (disk.File, error) {
	in, err := call(f, what, name, do)
	if err != nil {
		return nil, err
	}
	return faultyFile{in, f, name}, nil
}

// Lstat implements [disk.FS].
func (f Faults) Lstat(name string) (fs.FileInfo, error) {
	return call(f, "lstat", name, func() (fs.FileInfo, error) { return f.FS.Lstat(name) })
}

// Stat implements [disk.FS].
func (f Faults) Stat(name string) (fs.FileInfo, error) {
	return call(f, "stat", name, func() (fs.FileInfo, error) { return f.FS.Stat(name) })
}

// ReadDir implements [disk.FS].
func (f Faults) ReadDir(name string) ([]fs.DirEntry, error) {
	return call(f, "readdir", name, func() ([]fs.DirEntry, error) { return f.FS.ReadDir(name) })
}

// Mkdir implements [disk.FS].
func (f Faults) Mkdir(name string) error {
	return call0(f, "mkdir", name, func() error { return f.FS.Mkdir(name) })
}

// Rename implements [disk.FS].
func (f Faults) Rename(from, to string) error {
	return call0(f, "rename", from, func() error { return f.FS.Rename(from, to) })
}

// Remove implements [disk.FS].
func (f Faults) Remove(name string) error {
	return call0(f, "remove", name, func() error { return f.FS.Remove(name) })
}

// SyncDir implements [disk.FS].
func (f Faults) SyncDir(name string) error {
	return call0(f, "syncdir", name, func() error { return f.FS.SyncDir(name) })
}

// TryLock implements [disk.FS].
func (f Faults) TryLock(name string) (disk.Lock, error) {
	lock, err := call(f, "lock", name, func() (disk.Lock, error) { return f.FS.TryLock(name) })
	if err != nil && lock != nil {
		lock.Close() // a lock goes with the file that was not opened
		lock = nil
	}
	return lock, err
}

type faultyFile struct {
	disk.File
	f    Faults
	name string
}

func (f faultyFile) Read(b []byte) (int, error) {
	return call(f.f, "read", f.name, func() (int, error) { return f.File.Read(b) })
}

func (f faultyFile) Write(b []byte) (int, error) {
	if err := f.f.before("write", f.name); err != nil {
		n, _ := f.File.Write(b[:len(b)/2])
		return n, err
	}
	n, err := f.File.Write(b)
	return n, f.f.after("write", f.name, err)
}

func (f faultyFile) Sync() error { return call0(f.f, "sync", f.name, f.File.Sync) }

func (f faultyFile) Close() error {
	err := f.f.before("close", f.name)
	if done := f.File.Close(); err == nil {
		err = done
	}
	return err
}
