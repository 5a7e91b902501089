//go:build !windows

package disk

import "syscall"

// What Windows says by numbers of its own is said by these elsewhere.
const (
	diskFull       = syscall.ENOSPC
	quotaFull      = syscall.EDQUOT
	writeProtected = syscall.EROFS
	inUse          = syscall.EBUSY
)
