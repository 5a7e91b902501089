package ration

import (
	"slices"

	"hardfeed/ration/guard"
	"hardfeed/ration/yard"
)

// onlyWhereTheCardDiffers puts right how severe a horse's findings are: a stop says
// that the card is not what was planned, or that there is none (design §5b). A mark
// that no other ration clears, such as hours at grass, is for a person to act on and
// does not change the card.
func onlyWhereTheCardDiffers(hp *yard.HorsePlan) {
	for i := range hp.Findings {
		f := &hp.Findings[i]
		// Hours without forage are the rule in most yards (evidence EA-14, EA-15: 8 h 50
		// min, 74 % over the first mark): over the second mark somebody should act, over
		// the first it is worth knowing.
		if f.Rule == "D-18" {
			f.Severity = max(yard.Note, f.Severity-1)
			continue
		}
		if f.Severity == yard.Stop && (hp.Status == yard.Carded || hp.Status == yard.Held && guard.IsOfTheWeek(f.Rule) && !changesCard[f.Rule]) {
			f.Severity = yard.Warn
		}
	}
}

// changesCard are the rules on a week that a card is reduced for: new feed, new hay,
// and changes on top of each other.
var changesCard = map[yard.RuleID]bool{"D-04": true, "D-05": true, "D-08": true}

// oneCauseOnce leaves out what another finding on the same horse speaks for, unless
// it is the more severe of the two, and the older of two marks on
// hard feed.
func oneCauseOnce(found []yard.Finding) []yard.Finding {
	worst := map[yard.RuleID]yard.Severity{}
	for _, f := range found {
		worst[f.Rule] = max(worst[f.Rule], f.Severity)
	}
	spokenFor := map[yard.RuleID]yard.Severity{}
	for id, sev := range worst {
		row, _ := yard.RuleOf(id)
		for _, other := range row.SpeaksFor {
			spokenFor[other] = max(spokenFor[other], sev)
		}
	}
	return slices.DeleteFunc(found, func(f yard.Finding) bool {
		if f.Rule == "D-13" && f.Saying.Key == "finding.D-13.old" { // an older mark on the same hard feed
			return slices.ContainsFunc(found, func(o yard.Finding) bool { return o.Rule == f.Rule && o.Saying.Key == "finding.D-13" })
		}
		return f.Severity <= spokenFor[f.Rule]
	})
}

// reducedFor are the findings that are a note where the card is reduced for what they say:
// what to decide says so already.
var reducedFor = map[string]string{"reason.now unknown": "finding.D-01.unknown", "reason.steps": "finding.D-01"}

// saidByTheCard makes notes of what is told as the reason why the card is reduced.
func saidByTheCard(hp *yard.HorsePlan) {
	for _, why := range hp.HeldWhy {
		for i := range hp.Findings {
			if f := &hp.Findings[i]; f.Saying.Key != "" && f.Saying.Key == reducedFor[why.Key] {
				f.Severity = yard.Note
			}
		}
	}
}

// noSource says of a rule that it is a habit of the trade.
const noSource = "common practice, no source"

// ofTheYard are the rules whose findings come from how a yard is run, the same for
// many of its horses.
var ofTheYard = map[yard.RuleID]bool{"D-18": true, "D-30": true, "heat": true, "ready": true, "rider-unknown": true}

// yardLines tells once, with the horses' names, what is found on two or more horses
// by a rule on how the yard is run. On the horses' own pages it is then a note.
func yardLines(horses []yard.HorsePlan) (lines []yard.Finding) {
	type group struct {
		worst yard.Finding
		names []string
	}
	groups := map[yard.RuleID]*group{}
	var order []yard.RuleID
	for _, hp := range horses {
		for _, f := range hp.Findings {
			if !ofTheYard[f.Rule] {
				continue
			}
			g := groups[f.Rule]
			if g == nil {
				g = &group{}
				groups[f.Rule] = g
				order = append(order, f.Rule)
			}
			if !slices.Contains(g.names, hp.Horse.Name) {
				g.names = append(g.names, hp.Horse.Name)
			}
			if f.Severity > g.worst.Severity {
				g.worst = f
			}
		}
	}
	for _, id := range order {
		g := groups[id]
		if len(g.names) < 2 {
			continue
		}
		w := g.worst
		w.Saying = yard.Say("finding.shared", yard.Count("n", len(g.names)), yard.Names("horses", yard.Comma, yard.HorseName, g.names), yard.Named("horse", yard.HorseName, w.Horse), yard.Said("what", w.Says()))
		w.Message, w.Horse, w.Cell = "", "", yard.Cell{}
		lines = append(lines, w)
		for h := range horses {
			for i := range horses[h].Findings {
				if f := &horses[h].Findings[i]; f.Rule == id {
					f.Severity = yard.Note
				}
			}
		}
	}
	return lines
}

// tellSince puts on stops and warnings how many weeks running they are told: by the same
// rule, of the same horse or of the yard, as gravely as in the week before.
func tellSince(found []yard.Finding, before []yard.Told) {
	type matter struct {
		horse    string
		rule     yard.RuleID
		severity yard.Severity
	}
	weeks := map[matter]int{}
	for _, t := range before {
		m := matter{fold(t.Horse), t.Rule, t.Severity}
		weeks[m] = max(weeks[m], t.Weeks)
	}
	for i := range found {
		if f := &found[i]; f.Severity != yard.Note {
			f.Weeks = weeks[matter{fold(f.Horse), f.Rule, f.Severity}] + 1
		}
	}
}

// ofHorses are the horses' findings for the yard's list, those aside that a line on
// the yard tells.
func ofHorses(horses []yard.HorsePlan, lines []yard.Finding) (out []yard.Finding) {
	for _, hp := range horses {
		for _, f := range hp.Findings {
			if !slices.ContainsFunc(lines, func(l yard.Finding) bool { return l.Rule == f.Rule }) {
				out = append(out, f)
			}
		}
	}
	return out
}
