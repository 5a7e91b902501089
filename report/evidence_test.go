package report

import (
	"strings"
	"testing"

	"hardfeed/ration/yard"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
)

// What is learnt of a horse is on its page of the office sheet: the need with its
// range beside the tables', the trend with its error, and the weighings with what is
// to be expected on this card.
func TestTheHorsesPageTellsWhatIsLearntOfIt(t *testing.T) {
	p := reporttest.Fixture()
	page := func() string {
		for _, text := range reporttest.Pages(t, named(t, files(t, p, words.Meta{}), "office.pdf")) {
			if strings.HasPrefix(text, "Bramble") && strings.Contains(text, reporttest.Bare("Energy, Mcal of digestible energy")) {
				return text
			}
		}
		t.Fatal("no page of Bramble")
		return ""
	}
	text := page()
	for _, want := range []string{
		"keeps its weight on 21.6 Mcal a day (20.3 to 22.9), by 13 weighings in 13 weeks. The tables say 20.4",
		"It keeps its weight: 0.6 kg a week (0.2 kg to 1 kg), by 11 weighings since 12 Sep",
		"On this card it will weigh about 522 kg on 28 Dec, most likely 510 kg to 534 kg",
		"After 6 more weekly weighings we would know its need to within 5 %",
		"Body weight over time, and as expected on this card", "520 kg 28 Nov", "522 kg 28 Dec", "511 kg 29 Aug",
		"This horse's own", "+1.2", "This horse needs 20.3–22.9 Mcal a day, by its own weighings",
	} {
		if !strings.Contains(text, reporttest.Bare(want)) {
			t.Errorf("the page does not say %q", want)
		}
	}
	p.Week.Imperial = true
	text = page()
	for _, want := range []string{"it will weigh about 1,151 lb on 28 Dec, most likely 1,124 lb to 1,177 lb", "1.3 lb a week (0.4 lb to 2.2 lb)", "1,151 lb 28 Dec"} {
		if !strings.Contains(text, reporttest.Bare(want)) {
			t.Errorf("a yard of pounds is not told %q", want)
		}
	}
	p.Week.Imperial = false
	p.Horses[0].Evidence = nil
	p.Horses[0].Energy.Own = yard.Num{}
	if text := page(); strings.Contains(text, reporttest.Bare("as expected on this card")) || strings.Contains(text, reporttest.Bare("This horse needs")) {
		t.Error("a horse of which nothing is learnt is said to be expected to weigh something")
	}
}
