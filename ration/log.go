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

// work takes down one number as it is worked out, for whoever asks why.
func (l *log) work(what, formula string, result yard.Num, unit, source string, inputs ...yard.Input) {
	if l.keepsWorkings() {
		l.worked = append(l.worked, yard.Working{What: what, Formula: formula, Inputs: inputs, Result: result, Unit: unit, Source: source})
	}
}

// in is an input of a working. from says where its value stands (a cell, the
// settings, a table); empty: it was worked out before.
func in(name string, value float64, unit, from string) yard.Input {
	return yard.Input{Name: name, Value: yard.Known(value), Unit: unit, From: from}
}
