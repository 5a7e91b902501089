//go:build unix

package inbox

import (
	"errors"
	"syscall"
)

// notSyncable are the answers of file systems that cannot sync a folder.
func notSyncable(err error) bool { return errors.Is(err, syscall.EINVAL) }
