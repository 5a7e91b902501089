package report

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"hardfeed/ration/yard"
)

// harsh is the fixture's yard with the most a card has to carry, in the engine's
// own sentences: the longest name, eight feeds at five meals, held for two
// reasons, two event days that start at other times, and horses without a card.
func harsh() yard.Plan {
	p := fixture()
	for i := range p.Horses {
		h := &p.Horses[i]
		switch h.Status {
		case yard.Held:
			h.HeldWhy = []string{"planned hard feed of 4.20 kg a day is 2.30 kg over what is fed now; the stop mark is 1.36 kg a week. The card prints 2.30 kg of hard feed a day, 0.40 kg more than now, and 10.00 kg of forage"}
		case yard.NoCard:
			h.NoCardWhy = []string{"its body weight is not known: weigh it, or measure girth and length", "its condition score is 2.5 of 9; under 3 no ration is computed: a vet sets it"}
		}
		if h.Horse.Name != longName {
			continue
		}
		h.Status = yard.Held
		h.Days[3].Kind, h.Days[3].Work = yard.EventDay, "show 05:30"
		h.Days[6].Kind, h.Days[6].Work = yard.EventDay, "XC 14:30"
		h.HeldWhy = []string{"Micronised linseed is new, and this week's days of work leave no room for all of its quarters in at least 8 days (D-04): three quarters this week, the rest from the next",
			"Tea brings 2.31 g of starch per kg body weight; the stop mark is 2.0 g a meal. The card prints 5.10 kg of hard feed a day, 0.70 kg more than now, and forage ad lib"}
		h.Findings = append(h.Findings, yard.Finding{Rule: "D-11", Severity: yard.Stop, Horse: h.Horse.Name, Message: "Tea brings 2.31 g of starch per kg body weight; the stop mark is 2.0 g a meal"})
		h.Cautions = []string{"Days over which a new hard feed is blended in: a quarter at a time, each for at least two days, ten days in all; watch for fourteen.",
			"Thu event at 09:30: last hard feed by 05:30; small hay kept; water always; no hard feed for an hour after.",
			"Sun event at 14:30: last hard feed by 10:30; small hay kept; water always; no hard feed for an hour after."}
	}
	return p
}

// TestLook writes the files of a harsh yard into the folder named by the variable
// REPORT_LOOK, for people to look at; it checks that they can be made in every
// paper and number of cards a page, and with a folder also in every language.
func TestLook(t *testing.T) {
	dir := os.Getenv("REPORT_LOOK")
	in := [][]string{nil}
	if dir != "" {
		in = [][]string{{"en"}, {"de"}, {"fr"}, {"es"}, {"pl"}, {"pt"}, {"en", "pl"}, {"de", "fr"}}
	}
	for _, paper := range []string{"A4", "Letter"} {
		for per, name := range map[int]string{1: "full", 2: "half", 4: "quarter"} {
			for _, languages := range in {
				files, err := Files(harsh(), Meta{Version: "test", CardsPerPage: per, Paper: paper, Languages: languages})
				if err != nil {
					t.Fatalf("%s, %d a page, %v: %v", paper, per, languages, err)
				}
				if dir == "" {
					continue
				}
				for _, f := range files {
					if err := os.WriteFile(filepath.Join(dir, strings.Join([]string{paper, name, strings.Join(languages, "+"), f.Name}, "-")), f.Bytes, 0o644); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
}
