package ingest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"io"
	"reflect"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"hardfeed/ration/yard"
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

// recordForLater is a record with the list for later weeks, which says of Gannet's hard
// feed what is given; its horses say 1.5 kg.
func recordForLater(t *testing.T, kg string) string {
	plain := withChecksum(t, `{"schema":1,"program":"hardfeed","yard":"Cold Brook","week":"2026-11-16","horses":[{"name":"Gannet","status":"carded","hard_feed_kg":{"card":1.5}}],"findings":[]}`)
	text, _, _ := strings.Cut(plain, ",\n \"crc32\"")
	list := "\n \"for_later_weeks\": [\n  {\"name\":\"Otter\",\"status\":\"no_card\"},\n  {\"name\":\"Gannet\",\"status\":\"carded\",\"hard_feed_kg\":{\"card\":" + kg + "},\"week_minutes\":{\"walk\":70.5,\"trot\":0,\"canter\":0,\"gallop\":0,\"jump\":0},\"events\":[{\"day\":5,\"work\":\"show\"}]}\n ],"
	text = strings.Replace(text, "\n \"horses\"", list+"\n \"horses\"", 1)
	return fmt.Sprintf("%s,\n \"crc32\": \"%08x\"\n}\n", text, crc32.ChecksumIEEE([]byte(text)))
}

// gannetOf is what a folder with one record tells of the horse's weeks, and what is said
// of the record; a drop folder's archive tells the same.
func gannetOf(t *testing.T, record string) (past []yard.PastWeek, said []string) {
	t.Helper()
	w, err := RecallFrom(thisWeek(), folderOf(map[string]string{"a/results.json": record}))
	if err != nil {
		t.Fatal(err)
	}
	archived := PastWeeks(thisWeek(), func(beginning time.Time) []byte {
		if beginning.Equal(time.Date(2026, 11, 16, 0, 0, 0, 0, time.UTC)) {
			return []byte(record)
		}
		return nil
	})
	if len(w.Horses[0].Past) > 0 && !reflect.DeepEqual(archived.Horses[0].Past, w.Horses[0].Past) { // a folder asks whose record it is, too
		t.Errorf("of a folder: %+v, of an archive: %+v", w.Horses[0].Past, archived.Horses[0].Past)
	}
	return w.Horses[0].Past, append(saidOf(w, "past-week"), saidOf(w, "history")...)
}

// The list for later weeks counts where the checksum says that all of the record is as it
// was written. In one that somebody changed, the horses count.
func TestTheListForLaterWeeksCountsInAWholeRecord(t *testing.T) {
	for name, c := range map[string]struct {
		record string
		kg     yard.Num
	}{
		"as written":              {recordForLater(t, "0.75"), yard.Known(0.75)},
		"an amount changed later": {strings.Replace(recordForLater(t, "0.75"), "1.5", "2.5", 1), yard.Known(2.5)},
		"an amount of the list":   {strings.Replace(recordForLater(t, "0.75"), "0.75", "0.25", 1), yard.Known(1.5)},
		"a horse out of the list": {strings.Replace(recordForLater(t, "0.75"), "\"name\":\"Gannet\"", "\"name\":\"Heron\"", 1), yard.Known(1.5)},
		"saved by an editor":      {strings.ReplaceAll(recordForLater(t, "0.75"), "\n", "\r\n"), yard.Known(1.5)},
		"no checksum":             {strings.Replace(recordForLater(t, "0.75"), "crc32", "sum", 1), yard.Known(1.5)},
	} {
		past, said := gannetOf(t, c.record)
		if len(past) != 1 || past[0].HardKg != c.kg {
			t.Errorf("%s: read as %+v\n%s", name, past, strings.Join(said, "\n"))
		}
	}
	past, _ := gannetOf(t, recordForLater(t, "0.75"))
	if want := time.Date(2026, 11, 21, 0, 0, 0, 0, time.UTC); past[0].WorkMinutes() != yard.Known(70.5) || len(past[0].Events) != 1 || past[0].Events[0] != (yard.PastEvent{Date: want, Text: "show"}) {
		t.Errorf("read as %+v", past[0])
	}
}

// Of a record that is cut short nothing counts, wherever it is cut, and that is said.
func TestARecordCutShortIsSkipped(t *testing.T) {
	record := recordForLater(t, "0.75")
	for i := range record[:len(record)-2] { // the last new line is the file's, not the record's
		if past, said := gannetOf(t, record[:i]); len(past) != 0 || len(said) < 2 {
			t.Fatalf("of the first %d bytes of %d: %+v\n%s", i, len(record), past, strings.Join(said, "\n"))
		}
	}
}

// One byte that is not as it was, anywhere in the record, and the list does not count:
// what is read then is what the horses say, or nothing.
func TestAListInADamagedRecordDoesNotCount(t *testing.T) {
	record := recordForLater(t, "0.75")
	for i := range record {
		damaged := record[:i] + string(record[i]^1) + record[i+1:]
		if past, _ := gannetOf(t, damaged); len(past) != 0 && (past[0].HardKg == yard.Known(0.75) || past[0].WorkMinutes().IsKnown()) {
			t.Fatalf("with %q in place of %q at %d: %+v", damaged[i], record[i], i, past)
		}
	}
}

// A front read bit by bit, however the disk gives it, is the front of the whole.
func TestTheFrontOfARecordReadBitByBit(t *testing.T) {
	record := recordForLater(t, "0.75")
	want, _, ok := asWritten(record)
	if !ok {
		t.Fatal("not as written")
	}
	for name, file := range map[string]func(string) io.Reader{
		"whole":        func(s string) io.Reader { return strings.NewReader(s) },
		"byte by byte": func(s string) io.Reader { return iotest.OneByteReader(strings.NewReader(s)) },
		"by halves":    func(s string) io.Reader { return iotest.HalfReader(strings.NewReader(s)) },
		"end with it":  func(s string) io.Reader { return iotest.DataErrReader(strings.NewReader(s)) },
	} {
		for _, chunk := range []int{lengthOfEnd + 1, 40, 64, 1 << 20} {
			if front, ok := frontOf(file(record), []byte("left over"), make([]byte, chunk)); !ok || string(front) != want {
				t.Errorf("%s, in chunks of %d: %v, %q", name, chunk, ok, front)
			}
		}
		if _, ok := frontOf(iotest.TimeoutReader(iotest.OneByteReader(strings.NewReader(record))), nil, make([]byte, 64)); ok {
			t.Errorf("%s: a disk that fails has given a whole record", name)
		}
	}
	for name, s := range map[string]string{"nothing": "", "another record behind it": record + record, "blanks behind it": record + " ", "no list": withChecksum(t, `{"schema":1,"horses":[{"name":"Gannet"}]}`)} {
		if _, ok := frontOf(strings.NewReader(s), nil, make([]byte, 64)); ok {
			t.Errorf("%s counts as whole", name)
		}
	}
}
