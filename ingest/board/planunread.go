package board

import "hardfeed/ration/yard"

// plansUnread tells of each horse on its own account that what is planned for it is not
// known: a question about a word or a column speaks for many, and a horse whose plan was not
// read is not one without a plan.
func (ck *checks) plansUnread() {
	blank, missing, alone := map[int]*ask{}, map[int]*ask{}, map[int]bool{}
	for i := range ck.asks.asked {
		a := &ck.asks.asked[i]
		for _, h := range a.horses {
			switch {
			case a.rule == "amount-blank" && a.why == "":
				blank[h] = a
			case a.rule == "amount-missing" && a.why == "planned":
				missing[h] = a
				alone[h] = len(a.horses) == 1
			}
		}
	}
	for i, h := range ck.herd.horses {
		if h.fate != "" || h.struck {
			continue
		}
		why, at := "", yard.Cell{}
		switch {
		case h.plan.unknown:
			why, h.planUnread = "unread", yard.Say("why.board.plan-unread")
			at = place(h.sheet, h.cell)
			if o := h.plan.first; o != nil {
				at = place(o.sheet, o.cell)
			}
		case blank[i] != nil:
			why, h.planUnread, at = "blank", yard.Say("why.board.plan-blank"), place(blank[i].sheet, blank[i].cell)
		case missing[i] != nil && h.now.said:
			why, h.planUnread, at = "blank", yard.Say("why.board.plan-blank"), place(missing[i].sheet, missing[i].cell)
		default:
			continue
		}
		if alone[i] || h.now.unknown { // it is told already, or gets no card for it
			continue
		}
		ck.asks.say(yard.Finding{Rule: "amount-missing", Severity: yard.Warn, Horse: h.name, Cell: at, Saying: yard.Say("finding.board.amount-missing." + why)})
	}
}
