//go:build !unix

package disk

func notSyncable(error) bool { return false }
