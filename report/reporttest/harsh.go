package reporttest

import (
	"hardfeed/ration/yard"
)

// Harsh is the fixture's yard with the most a card has to carry, in the engine's
// own sentences: the longest name, eight feeds at five meals, held for two
// reasons, two event days that start at other times, and horses without a card.
func Harsh() yard.Plan {
	p := Fixture()
	for i := range p.Horses {
		h := &p.Horses[i]
		switch h.Status {
		case yard.Held:
			h.HeldWhy = Sayings("planned hard feed of 4.20 kg a day is 2.30 kg over what is fed now; the top limit is 1.36 kg a week. The card prints 2.30 kg of hard feed a day, 0.40 kg more than now, and 10.00 kg of forage")
		case yard.NoCard:
			h.NoCardWhy = Sayings("its body weight is not known: weigh it, or measure girth and length", "its condition score is 2.5 of 9; under 3 no ration is computed: a vet sets it")
		}
		if h.Horse.Name != longName {
			continue
		}
		h.Status = yard.Held
		h.Days[3].Kind, h.Days[3].Work = yard.EventDay, "show 05:30"
		h.Days[6].Kind, h.Days[6].Work = yard.EventDay, "XC 14:30"
		h.HeldWhy = Sayings("Micronised linseed is new, and this week's days of work leave no room for all of its quarters in at least 8 days (D-04): three quarters this week, the rest from the next",
			"Tea brings 2.31 g of starch per kg body weight; the top limit is 2.0 g a meal. The card prints 5.10 kg of hard feed a day, 0.70 kg more than now, and forage ad lib")
		h.Findings = append(h.Findings, yard.Finding{Rule: "D-11", Severity: yard.Stop, Horse: h.Horse.Name, Message: "Tea brings 2.31 g of starch per kg body weight; the top limit is 2.0 g a meal"})
		h.Cautions = Sayings("Days over which a new hard feed is blended in: a quarter at a time, each for at least two days, ten days in all; watch for fourteen.",
			"Thu event at 09:30: last hard feed by 05:30; small hay kept; water always; no hard feed for an hour after.",
			"Sun event at 14:30: last hard feed by 10:30; small hay kept; water always; no hard feed for an hour after.")
	}
	return p
}
