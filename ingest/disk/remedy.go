package disk

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// Reason is the part of a file system's error that people can use: the path is
// already in the sentence around it.
func Reason(err error) error {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return p.Err
	}
	if l, ok := errors.AsType[*os.LinkError](err); ok {
		return l.Err
	}
	return err
}

// Remedy is a sentence that says what to do about an error of the file system; ""
// where nothing better is known than to look at what it says.
func Remedy(err error) string {
	for _, r := range remedies {
		for _, e := range r.errs {
			if errors.Is(err, e) {
				return r.do
			}
		}
	}
	return ""
}

// remedies: the first that fits counts.
var remedies = []struct {
	errs []error
	do   string
}{
	{[]error{syscall.ENOSPC, diskFull}, "The disk is full: make room on it, then try again."},
	{[]error{syscall.EDQUOT, quotaFull}, "Your share of this disk is used up: make room, or ask whoever looks after it, then try again."},
	{[]error{syscall.EROFS, writeProtected}, "The disk takes no writing: take the write protection off, or choose a folder on another disk."},
	{[]error{inUse, syscall.ETXTBSY, syscall.EBUSY}, "A file in it is open in another program: close it there, then try again."},
	{[]error{syscall.ENAMETOOLONG}, "The name is too long for this disk: choose a shorter one, or a folder higher up."},
	{[]error{syscall.EFBIG}, "A file would be larger than is allowed here: ask whoever looks after this computer, or choose a folder on another disk."},
	{[]error{syscall.EIO}, "The disk or the line to it has failed: check the cable or the network, and keep a copy of the workbook elsewhere."},
	{[]error{syscall.ESTALE, syscall.ENOTCONN, syscall.EHOSTDOWN, syscall.ETIMEDOUT}, "The network folder is not connected: connect it again."},
	{[]error{fs.ErrPermission}, "You are not allowed to write there: ask whoever looks after this computer, or choose a folder of your own."},
}
