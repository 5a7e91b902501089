package ingest

import "testing"

// A feeds sheet with three columns of dates is not a table of work: its feeds are kept.
func TestThreeDatesOfAFeedAreNoWork(t *testing.T) {
	for _, heads := range []string{
		"Feed | Kind | Weighed on | Batch since | Analysed on",
		"Feed | Kind | One measure (kg) | Weighed on | Batch since | Opened on | Best before | Analysed on",
	} {
		row := "Oats | cereal | 2026-11-02 | 2026-11-03 | 2026-11-04"
		if heads[len("Feed | Kind | ")] == 'O' {
			row = "Oats | cereal | 0.9 | 2026-11-02 | 2026-11-03 | 2026-11-04 | 2027-03-01 | 2026-11-05"
		}
		w := read(t, tab{"Horses", "Name | Weight (kg)\nAsh | 500"}, tab{"Feeds", heads + "\n" + row + "\nHay | hay"},
			tab{"Work", "Horse | Mon | Tue | Wed | Thu | Fri | Sat | Sun\nAsh | hack 60 | rest | rest | rest | rest | rest | rest"},
			tab{"Rations", "Horse | Feed | Now | Planned\nAsh | Oats | 1 kg | 1 kg\nAsh | Hay | 8 | 8"})
		if len(w.Feeds) != 2 || w.Feeds[0].MeasureWeighed.IsZero() || w.Feeds[0].BatchSince.IsZero() || w.Feeds[0].AnalysedOn.IsZero() {
			t.Errorf("%s: the feeds are %+v", heads, w.Feeds)
		}
		if fs := findings(w, "feed-unlisted"); len(fs) > 0 {
			t.Errorf("%s: %v", heads, fs)
		}
	}
}
