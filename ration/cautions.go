package ration

import (
	"cmp"
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// cautionsRanked are the keys of cautions by what leaving them out could do to the
// horse, the worst first (ours).
var cautionsRanked = []string{"caution.soak", "caution.soak.unknown", "caution.vet", "caution.teeth", "caution.off feed", "caution.short", "caution.short.teeth", "caution.over", "caution.dust", "caution.dust.unknown", "caution.before",
	"caution.frost", "caution.beet", "caution.hay", "caution.events", "caution.events.early", "caution.event", "caution.event.early", "caution.event.untimed", "caution.event.untimed.days", "caution.work"}

// cautionRank is a caution's place; one that stands nowhere goes before all.
func cautionRank(s yard.Saying) int { return slices.Index(cautionsRanked, s.Key) }

// cautions are this horse's own plain words for the card, all of them, the worst
// first; those that are red go before them. found is all that was found of the horse.
func (c *served) cautions(verdict yard.Verdict, found []yard.Finding) (out []yard.Saying) {
	add := func(key string, args ...yard.Arg) { out = append(out, yard.Say(key, args...)) }
	if verdict == yard.StepUnknown {
		add("caution.before")
	}
	out = append(out, c.eventCautions()...)
	if slices.ContainsFunc(c.dish.bucket, func(it item) bool { return it.feed.BeetPulp }) {
		add("caution.beet")
	}
	if c.facts.week.Temperature.Or(0) < 0 && (c.facts.Horse.Kept == yard.InField || c.facts.Horse.Kept == yard.InPaddock) {
		add("caution.frost") // a horse that drinks too little is prone to an impaction: common practice, no source
	}
	for _, f := range found {
		switch f.Rule {
		case "choke", "heaves":
			out = append(out, c.dryCaution(f.Rule))
		case "energy":
			switch f.Saying.Key {
			case "finding.energy.thin", "finding.energy.losing", "finding.energy.thin.keeps", "finding.energy.losing.keeps":
				if guard.Has(c.facts.Horse.Diagnoses, yard.PoorTeeth) {
					add("caution.short.teeth")
				} else {
					add("caution.short")
				}
			case "finding.energy.far over":
				add("caution.over")
			}
		case "D-17":
			if f.Saying.Key == "finding.D-17.teeth" {
				add("caution.teeth")
			}
		case "off-feed":
			add("caution.off feed")
		case "D-05":
			add("caution.hay", yard.Fixed("days", c.facts.rules.Limits.NewHayDaysWarn, yard.Days, 0))
		}
	}
	if named := yard.DiagnosesSaid(c.facts.Horse.Diagnoses); len(named) > 0 {
		add("caution.vet", yard.Names("what", yard.Comma, yard.Term, named))
	}
	if c.facts.WorkAtLeast {
		add("caution.work")
	}
	slices.SortStableFunc(out, func(a, b yard.Saying) int { return cmp.Compare(cautionRank(a), cautionRank(b)) })
	return out
}

// dryCaution is what is fed dry to a horse that is to have it wet or without dust.
func (c *served) dryCaution(rule yard.RuleID) yard.Saying {
	feeds, hay := c.fedDry()
	key := "caution.soak"
	if rule == "heaves" {
		key, feeds = "caution.dust", hay
	}
	if guard.OnlyUnknown(c.facts.Horse.Diagnoses) {
		key += ".unknown"
	}
	return yard.Say(key, yard.Names("feeds", yard.Comma, yard.FeedName, feeds))
}
