package ingest

import (
	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// log is what one reading has to say. It is handed to every step, and its findings are
// the only thing a step leaves behind that is no value.
type log struct {
	findings []yard.Finding
	noted    map[string]bool   // things said once
	found    map[[2]string]int // findings by rule and horse

	misread   int // entries of horses that could not be taken as they stand
	most      int // reading ends above it
	last      yard.Cell
	inOneCell int            // findings of it
	firstFew  []yard.Finding // of entries misread
}

func newLog() *log { return &log{noted: map[string]bool{}, found: map[[2]string]int{}} }

func (l *log) find(rule string, sev yard.Severity, horse string, c yard.Cell, says yard.Saying) {
	l.add(yard.Finding{Rule: yard.RuleID(rule), Severity: sev, Horse: horse, Cell: c, Saying: says})
}

func (l *log) add(f yard.Finding) {
	rule, c := string(f.Rule), f.Cell
	misread := f.Horse != "" && meanwhile[rule] != ""
	if misread {
		if c.Ref != l.last.Ref || c.Sheet != l.last.Sheet {
			l.last, l.inOneCell = c, 0
		}
		// A few words of one cell are one thing that could not be understood.
		if l.inOneCell++; l.inOneCell == 1 || l.inOneCell > 4 {
			l.misread++
		}
	}
	kind := [2]string{rule, f.Horse}
	if l.found[kind]++; l.found[kind] > mostFindings {
		return // all says how many
	}
	l.findings = append(l.findings, f)
	if misread && len(l.firstFew) < 3 {
		l.firstFew = append(l.firstFew, f)
	}
}

// once reports a thing only the first time it is met.
func (l *log) once(key, rule string, sev yard.Severity, c yard.Cell, says yard.Saying) {
	if !l.noted[key] {
		l.noted[key] = true
		l.find(rule, sev, "", c, says)
	}
}

// tooManyStrange says that no more horses are named that are not on the horses sheet: they
// are counted only, since finding the likeliest name takes long.
func (l *log) tooManyStrange() bool { return l.found[[2]string{"horse-unknown", ""}] > mostFindings }

// givenUp says that too many entries could not be understood to go on.
func (l *log) givenUp() bool { return l.misread > l.most }

// refusal is the refusal where too many entries could not be understood; nil where they
// could.
func (l *log) refusal(file string) error {
	if !l.givenUp() {
		return nil
	}
	return refuseStrange(file, l.misread, l.firstFew)
}

// refuseStrange is the refusal of a workbook of which n entries could not be understood,
// the first of them these.
func refuseStrange(file string, n int, first []yard.Finding) error {
	var few []yard.Saying
	for _, f := range first {
		few = append(few, yard.Say("part.given up", yard.Named("cell", yard.Place, f.Cell.String()), yard.Said("what", f.Saying)))
	}
	return xlsx.Refuse(nil, yard.Say("refused.given up", yard.Named("file", yard.Place, file), yard.Count("n", n), yard.SayingList("first", yard.Semicolon, few)))
}

// all are the findings in their order, with how many of a kind there are beyond those
// kept.
func (l *log) all() []yard.Finding {
	for kind, n := range l.found { // sorted below
		if n > mostFindings {
			l.findings = append(l.findings, yard.Finding{Rule: yard.RuleID(kind[0]), Severity: yard.Warn, Horse: kind[1],
				Saying: yard.Say("finding.more", yard.Count("n", n-mostFindings), yard.Named("rule", yard.RuleName, kind[0]))})
		}
	}
	yard.SortFindings(l.findings)
	return l.findings
}
