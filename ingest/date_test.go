package ingest

import (
	"testing"
	"time"

	"pgregory.net/rapid"
)

func TestParseDate(t *testing.T) {
	want := time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)
	for _, text := range []string{"2026-11-30", "30 November 2026", "30 Nov 2026", "30th November 2026", "Mon 30 Nov 2026", "Monday, 30 November 2026",
		"November 30, 2026", "30/11/2026", "30.11.2026", "11/30/2026", " 2026-11-30T00:00:00 ", "30-Nov-2026", "30\u00a0November\u00a02026"} {
		if got, err := ParseDate(text); err != nil || !got.Equal(want) {
			t.Errorf("%q is %v (%v), want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"06/09/26", "06/09/2026", "30/11/26", "31 November 2026", "2026-13-01", "30 Nov", "30 Nov 26", "yesterday", "", "46356", "1026-11-30", "2026-02-29"} {
		if got, err := ParseDate(text); err == nil {
			t.Errorf("%q is %v, want it refused", text, got)
		}
	}
}

func TestDatesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC).AddDate(0, 0, rapid.IntRange(0, 30000).Draw(t, "days"))
		layout := rapid.SampledFrom([]string{"2006-01-02", "2 January 2006", "Mon 2 Jan 2006", "January 2, 2006", "Monday 2 January 2006"}).Draw(t, "layout")
		if got, err := ParseDate(d.Format(layout)); err != nil || !got.Equal(d) {
			t.Fatalf("%q is %v (%v)", d.Format(layout), got, err)
		}
	})
}

func TestParseClock(t *testing.T) {
	for text, want := range map[string]int{"07:00": 420, "7.30": 450, "5pm": 1020, "5.30 pm": 1050, "12am": 0, "12 pm": 720, "23:59": 1439, "07:00:00": 420} {
		if got, err := ParseClock(text); err != nil || got != want {
			t.Errorf("%q is minute %d (%v), want %d", text, got, err, want)
		}
	}
	for _, text := range []string{"", "25:00", "7", "13pm", "7:60", "noon"} {
		if got, err := ParseClock(text); err == nil {
			t.Errorf("%q is minute %d, want it refused", text, got)
		}
	}
}
