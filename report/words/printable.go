package words

import (
	"slices"

	"hardfeed/ration/yard"
	"hardfeed/report/draw"
)

// Proof returns p with a finding for every name that the printed sheets cannot
// spell; p itself is not touched. Doing it twice adds nothing. [Press.Write] and
// [JSON] do it themselves; callers that print findings want it too.
func Proof(p yard.Plan) yard.Plan {
	var extra []yard.Finding
	check := func(what, name, horse string, c yard.Cell) *yard.Finding {
		shown, whole := draw.Printable(name)
		if whole {
			return nil
		}
		f := yard.Finding{
			Rule: "name-print", Severity: yard.Warn, Horse: horse, Cell: c,
			Saying: yard.Say("finding.name-print", yard.Named("what", yard.Term, what), yard.Words("shown", shown)),
		}
		if slices.ContainsFunc(p.Findings, f.Equal) {
			return nil
		}
		extra = append(extra, f)
		return &f
	}
	horses := p.Horses
	for i := range p.Horses {
		h := &p.Horses[i]
		if f := check("horse", h.Horse.Name, h.Horse.Name, h.Horse.Cell); f != nil {
			if len(extra) == 1 {
				horses = slices.Clone(p.Horses)
			}
			horses[i].Findings = append(slices.Clone(h.Findings), *f)
			yard.SortFindings(horses[i].Findings)
		}
	}
	for _, f := range p.Feeds {
		check("feed", f.Feed.Name, "", f.Feed.Cell)
	}
	for _, m := range p.Week.Meals {
		check("meal", m.Name, "", yard.Cell{})
	}
	if len(extra) == 0 {
		return p
	}
	p.Horses = horses
	p.Findings = append(slices.Clone(p.Findings), extra...)
	yard.SortFindings(p.Findings)
	return p
}
