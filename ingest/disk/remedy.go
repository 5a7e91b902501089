package disk

import (
	"errors"
	"io/fs"
	"os"
	"strings"
	"syscall"
)

// Reason is the part of a file system's error that people can use: the path is
// already in the sentence around it.
func Reason(err error) error {
	if p, ok := errors.AsType[*fs.PathError](err); ok {
		return endless{p.Err}
	}
	if l, ok := errors.AsType[*os.LinkError](err); ok {
		return endless{l.Err}
	}
	return err
}

// endless is an error without the full stop that Windows puts behind its own: it stands
// inside our sentences.
type endless struct{ error }

func (e endless) Error() string { return strings.TrimRight(e.error.Error(), ". ") }

func (e endless) Unwrap() error { return e.error }

// Remedy is what to do about an error of the file system, as the key of its words; ""
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
	{[]error{syscall.ENOSPC, diskFull}, "remedy.full"},
	{[]error{syscall.EDQUOT, quotaFull}, "remedy.share"},
	{[]error{syscall.EROFS, writeProtected}, "remedy.protected"},
	{[]error{inUse, syscall.ETXTBSY, syscall.EBUSY}, "remedy.open"},
	{[]error{syscall.ENAMETOOLONG}, "remedy.name"},
	{[]error{syscall.EFBIG}, "remedy.large"},
	{[]error{syscall.EIO}, "remedy.failed"},
	{[]error{syscall.ESTALE, syscall.ENOTCONN, syscall.EHOSTDOWN, syscall.ETIMEDOUT}, "remedy.network"},
	{[]error{fs.ErrPermission}, "remedy.rights"},
}
