package disk

import "syscall"

// Numbers of the Windows documentation, "System Error Codes".
const (
	diskFull       = syscall.Errno(112)  // ERROR_DISK_FULL
	quotaFull      = syscall.Errno(1295) // ERROR_DISK_QUOTA_EXCEEDED
	writeProtected = syscall.Errno(19)   // ERROR_WRITE_PROTECT
	inUse          = syscall.Errno(32)   // ERROR_SHARING_VIOLATION
)
