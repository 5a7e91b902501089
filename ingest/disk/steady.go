package disk

import (
	"errors"
	"io/fs"
	"runtime"
	"syscall"
)

// mostInterrupts is how often one call is made again; network and user-space file
// systems hand on that a signal came, and it never comes without end.
const mostInterrupts = 100

// Steady makes a call again that a signal interrupted. On a share the interrupted
// call may have been done all the same; what the second finds then is no error.
func Steady(under FS) FS { return steady{under} }

type steady struct{ FS }

func interrupted(err error) bool {
	for err != nil {
		if err == syscall.EINTR {
			return true
		}
		u, ok := err.(interface{ Unwrap() error })
		if !ok {
			return false
		}
		err = u.Unwrap()
	}
	return false
}

func again[T any](do func() (T, error)) (out T, err error) {
	for range mostInterrupts {
		if out, err = do(); !interrupted(err) {
			break
		}
		runtime.Gosched()
	}
	return out, err
}

func again0(do func() error) error {
	_, err := again(func() (struct{}, error) { return struct{}{}, do() })
	return err
}

func (s steady) Open(name string) (File, error) {
	return steadily(again(func() (File, error) { return s.FS.Open(name) }))
}

func (s steady) Create(name string) (File, error) {
	return steadily(again(func() (File, error) { return s.FS.Create(name) }))
}

func (s steady) Lstat(name string) (fs.FileInfo, error) {
	return again(func() (fs.FileInfo, error) { return s.FS.Lstat(name) })
}

func (s steady) Stat(name string) (fs.FileInfo, error) {
	return again(func() (fs.FileInfo, error) { return s.FS.Stat(name) })
}

func (s steady) ReadDir(name string) ([]fs.DirEntry, error) {
	return again(func() ([]fs.DirEntry, error) { return s.FS.ReadDir(name) })
}

func (s steady) SyncDir(name string) error { return again0(func() error { return s.FS.SyncDir(name) }) }

// change makes a call that changes a folder. done says whether an error of a later
// call means that an interrupted one had done it.
func change(do func() error, done func(err error) bool) error {
	err := do()
	if !interrupted(err) {
		return err
	}
	if err = again0(do); err != nil && done(err) {
		return nil
	}
	return err
}

func (s steady) Mkdir(name string) error {
	return change(func() error { return s.FS.Mkdir(name) }, func(err error) bool { return errors.Is(err, fs.ErrExist) })
}

func (s steady) Remove(name string) error {
	return change(func() error { return s.FS.Remove(name) }, func(err error) bool { return errors.Is(err, fs.ErrNotExist) })
}

func (s steady) Rename(from, to string) error {
	return change(func() error { return s.FS.Rename(from, to) }, func(err error) bool {
		_, there := s.Lstat(to)
		return errors.Is(err, fs.ErrNotExist) && there == nil
	})
}

func (s steady) TryLock(name string) (Lock, error) {
	return again(func() (Lock, error) { return s.FS.TryLock(name) })
}

type steadyFile struct{ File }

func steadily(f File, err error) (File, error) {
	if err != nil {
		return nil, err
	}
	return steadyFile{f}, nil
}

func (f steadyFile) Read(b []byte) (n int, err error) {
	return again(func() (int, error) { return f.File.Read(b) })
}

// Write goes on where an interrupted write ended.
func (f steadyFile) Write(b []byte) (int, error) {
	done := 0
	for range mostInterrupts {
		n, err := f.File.Write(b[done:])
		done += n
		if !interrupted(err) {
			return done, err
		}
	}
	return done, syscall.EINTR
}

func (f steadyFile) Sync() error { return again0(f.File.Sync) }

// Close is not called again: on most systems the file is closed all the same, and its
// number may be another's by now.
func (f steadyFile) Close() error {
	if err := f.File.Close(); err != nil && !interrupted(err) {
		return err
	}
	return nil
}
