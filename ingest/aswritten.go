package ingest

import (
	"bytes"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"strings"
	"unsafe"

	"github.com/tidwall/gjson"
)

// How a record looks as this program writes it. No text of JSON has a new line in it, so
// that a line that begins so is what it seems to be.
const (
	beginHorses  = "\n \"horses\": ["
	beginLater   = "\n \"for_later_weeks\": ["
	beginHorse   = "\n  {"
	beginSum     = ",\n \"crc32\": \""
	lengthOfEnd  = len(beginSum + "01234567\"\n}\n")
	mostOfAFront = 64 << 20 // bytes; ten thousand horses take a tenth
)

// endOf is the end of a record: the checksum of all before it.
func endOf(sum uint32) string { return fmt.Sprintf("%s%08x\"\n}\n", beginSum, sum) }

// asWritten is a record's front, which is all before its horses, and the rest from their
// list on, where its CRC-32 says that it is to the last byte as this program has written
// it: of half a gigabyte most can then be skipped, and none need be looked through for
// faults.
func asWritten(text string) (front, horses string, ok bool) {
	end := len(text) - lengthOfEnd
	if end < 0 || !strings.HasPrefix(text[end:], beginSum) {
		return "", "", false
	}
	at := strings.Index(text, beginHorses)
	if at < 0 || !strings.HasPrefix(text[at+len(beginHorses):], beginHorse) ||
		text[end:] != endOf(crc32.ChecksumIEEE(unsafe.Slice(unsafe.StringData(text), end))) {
		return "", "", false
	}
	return text[:at], text[at+len(beginHorses):], true
}

// frontOf reads a record to its end, and keeps no more than its front: false where that
// has no list for later weeks, or the record is not as this program writes it. The front
// is put in keep's room, and read by chunks.
func frontOf(record io.Reader, keep, chunk []byte) (front []byte, ok bool) {
	front = keep[:0]
	n, sum, whole := 0, uint32(0), false // of the chunk; of all before it; the front is
	for {
		read, err := record.Read(chunk[n:])
		n += read
		if before := n - lengthOfEnd; before > 0 { // which is not the end, however much is to come
			sum = crc32.Update(sum, crc32.IEEETable, chunk[:before])
			if !whole {
				from := max(0, len(front)-len(beginHorses))
				front = append(front, chunk[:before]...)
				at := bytes.Index(front[from:], []byte(beginHorses))
				if whole = at >= 0; whole {
					front = front[:from+at]
				}
				if whole && !bytes.Contains(front, []byte(beginLater)) || len(front) > mostOfAFront {
					return front, false
				}
			}
			n = copy(chunk, chunk[before:n])
		}
		switch {
		case errors.Is(err, io.EOF):
			return front, whole && string(chunk[:n]) == endOf(sum)
		case err != nil:
			return front, false
		}
	}
}

// forLaterWeeks is the list of what later weeks read of each horse, in a record's front.
func forLaterWeeks(front string) (list string, ok bool) {
	_, list, ok = strings.Cut(front, beginLater)
	return list, ok
}

// writtenHorses are the horses of a list as this program writes it: a horse's own brace is
// the only one after two blanks.
func writtenHorses(list string) func(take func(gjson.Result) bool) {
	const end = "\n  }"
	return func(take func(gjson.Result) bool) {
		for more := true; more && strings.HasPrefix(list, beginHorse); {
			n := strings.Index(list, end)
			if n < 0 {
				return
			}
			n += len(end)
			if !take(gjson.Result{Type: gjson.JSON, Raw: list[1:n]}) {
				return
			}
			list, more = strings.CutPrefix(list[n:], ",")
		}
	}
}

// writtenLines are those of a list of which each has a line.
func writtenLines(list string) func(take func(gjson.Result) bool) {
	return func(take func(gjson.Result) bool) {
		for more := true; more && strings.HasPrefix(list, beginHorse); {
			n := strings.IndexByte(list[1:], '\n') + 1
			if n == 0 {
				return
			}
			var line string
			line, more = strings.CutSuffix(list[1:n], ",")
			if !take(gjson.Result{Type: gjson.JSON, Raw: line}) {
				return
			}
			list = list[n:]
		}
	}
}
