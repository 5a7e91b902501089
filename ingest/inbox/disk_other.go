//go:build !unix

package inbox

func notSyncable(error) bool { return false }
