package draw

import "testing"

// The zero of a week is beside the line of an event and not across it.
func TestANoughtStandsBesideAnEvent(t *testing.T) {
	for _, flags := range [][]float64{nil, {1.5}, {1.45, 1.5}, {1.5, 1.55, 1.6}, {1.4, 1.5, 1.6}} {
		p := WeekPanel{Weeks: 4, Flags: flags}
		const pitch, w = 30.0, 2.0
		left := scaleW + 1.5*pitch - w/2
		at := p.besideFlags(left, w, pitch)
		if len(flags) == 0 && at != left {
			t.Errorf("without an event: %g, want %g", at, left)
		}
		for _, f := range flags {
			if x := scaleW + f*pitch; x > at-0.2 && x < at+w+0.2 {
				t.Errorf("events at %v: the figure from %.1f to %.1f stands across the line at %.1f", flags, at, at+w, x)
			}
		}
		if at < left-pitch/2 || at > left+pitch/2 {
			t.Errorf("events at %v: the figure is out of its week", flags)
		}
	}
}
