//go:build unix

package disk

import (
	"errors"
	"syscall"
)

// notSyncable says whether a file system answered that it cannot sync a folder,
// as some network shares do, each in its own way.
func notSyncable(err error) bool {
	for _, no := range []error{syscall.EINVAL, syscall.EBADF, syscall.EACCES, syscall.EPERM, syscall.EISDIR} {
		if errors.Is(err, no) {
			return true
		}
	}
	return false
}
