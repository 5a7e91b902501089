package words

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"hardfeed/ration/yard"
)

// A yard in pounds has its volumes in US liquid quarts of 0.946352946 l (NIST Handbook 44,
// appendix C), in sentences too, and any other in litres.
func TestVolumesInTheYardsUnits(t *testing.T) {
	t.Parallel()
	metric := English()
	pounds := metric.In(true)
	for _, c := range []struct {
		in   Language
		l    float64
		want string
	}{{metric, 2, "2 l"}, {metric, 1.25, "1.25 l"}, {pounds, 1.892705892, "2 qt"}, {pounds, 2.8, "3 qt"}, {pounds, 2, "2.1 qt"}} {
		if got := strings.ReplaceAll(c.in.Litres(c.l), NoBreak, " "); got != c.want {
			t.Errorf("%g l: %q, want %q", c.l, got, c.want)
		}
	}
	for l := 0.5; l < 90; l += 0.7 {
		n, _ := strconv.ParseFloat(strings.TrimSuffix(pounds.Litres(l), NoBreak+"qt"), 64)
		if math.Abs(n*0.946352946-l) > 0.05*0.9464 {
			t.Errorf("%g l: %q", l, pounds.Litres(l))
		}
	}
	// How much a horse in heavy work drinks at most is not known.
	for want, r := range map[string]yard.Range{"23–50 l": {Low: yard.Known(23), High: yard.Known(50.2)}, "at least 28 l": {Low: yard.Known(27.6)}} {
		if got := strings.ReplaceAll(metric.LitresBetween(r), NoBreak, " "); got != want {
			t.Errorf("%v: %q, want %q", r, got, want)
		}
	}
	says := yard.Say("finding.measure-density", yard.Named("measure", yard.Term, "scoop"), yard.FeedArg("feed", "Oats"), yard.Figures("kg", 3, yard.Kilograms, 4),
		yard.Figures("litres", 2, yard.Litres, 4), yard.Figures("least", 0.2, yard.Kilograms, 2), yard.Figures("most", 3, yard.Kilograms, 2))
	if got := pounds.say(says); !strings.Contains(got, "2.1 qt") || strings.Contains(got, " l ") || strings.Contains(got, "kg ") {
		t.Errorf("in pounds: %q", got)
	}
	if got := metric.say(says); !strings.Contains(got, "2 l") {
		t.Errorf("metric: %q", got)
	}
}
