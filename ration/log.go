package ration

import "hardfeed/ration/yard"

// log takes down what the steps of one horse say and how they came to their
// numbers. It is handed in; no step reads it. A nil log takes nothing down.
type log struct {
	horse    string
	workings bool // keep them
	findings []yard.Finding
	worked   []yard.Working
}

// find adds a finding on the horse.
func (l *log) find(rule yard.RuleID, sev yard.Severity, cell yard.Cell, source string, says yard.Saying) {
	if l != nil {
		l.add(yard.Finding{Rule: rule, Severity: sev, Horse: l.horse, Saying: says, Cell: cell, Source: source})
	}
}

func (l *log) add(found ...yard.Finding) {
	if l != nil {
		l.findings = append(l.findings, found...)
	}
}

// keepsWorkings says whether a working would be taken down: putting one together
// costs time.
func (l *log) keepsWorkings() bool { return l != nil && l.workings }

// work takes down one number as it is worked out, for whoever asks why. It is put
// together only where somebody does.
func (l *log) work(working func() yard.Working) {
	if l.keepsWorkings() {
		l.worked = append(l.worked, working())
	}
}
