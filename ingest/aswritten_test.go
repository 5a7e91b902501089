package ingest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"reflect"
	"strings"
	"testing"
)

// withChecksum is a record as this program writes it, its checksum at the end.
func withChecksum(t *testing.T, record string) string { return indented(t, record, " ") }

// indented is the same with blanks of one's own before each line.
func indented(t *testing.T, record, by string) string {
	var b bytes.Buffer
	if err := json.Indent(&b, []byte(record), "", by); err != nil {
		t.Fatal(err)
	}
	text := strings.TrimSuffix(b.String(), "\n}")
	return fmt.Sprintf("%s,\n \"crc32\": \"%08x\"\n}\n", text, crc32.ChecksumIEEE([]byte(text)))
}

// A record whose checksum matches is read as one that has none; one that does not match
// is looked through, and counts only if it is whole.
func TestAChecksumChangesNothing(t *testing.T) {
	plain := recordWith("wwwwwww", plainServings)
	want, err := RecallFrom(thisWeek(), folderOf(map[string]string{"a/results.json": plain}))
	if err != nil {
		t.Fatal(err)
	}
	good := withChecksum(t, plain)
	if _, _, ok := asWritten(good); !ok {
		t.Error("the checksum does not match")
	}
	spoilt := strings.Replace(good, "\n \"horses\"", "\n  \"horses\"", 1) // still a whole record
	for name, record := range map[string]string{"matches": good, "spoilt": spoilt, "none": strings.Replace(good, "crc32", "sum", 1), "laid out otherwise": indented(t, plain, "   ")} {
		got, err := RecallFrom(thisWeek(), folderOf(map[string]string{"a/results.json": record}))
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: read otherwise (%v)", name, err)
		}
	}
	for i := range good {
		if _, _, ok := asWritten(good[:i]); ok {
			t.Errorf("the first %d bytes count as whole", i)
		}
		if _, _, ok := asWritten(good[:i] + string(good[i]^1) + good[i+1:]); ok {
			t.Errorf("a change at %d is not seen", i)
		}
	}
	if len(want.Horses[0].Past) == 0 {
		t.Error("nothing was read of the record")
	}
}
