package yard

import (
	"cmp"
	"slices"
	"strings"
)

// Severity orders findings. Its zero value is invalid on purpose, so that a
// forgotten field fails a test.
type Severity int

const (
	Note Severity = iota + 1 // worth knowing, nothing to do
	Warn                     // the card prints, a person should look
	Stop                     // the card is not what was planned, or there is none
)

func (s Severity) String() string {
	switch s {
	case Note:
		return "note"
	case Warn:
		return "warn"
	case Stop:
		return "stop"
	}
	return "invalid"
}

// Cell is a place in the workbook as the spreadsheet program shows it.
type Cell struct {
	Sheet string // as on the tab
	Ref   string // like "F12"; rows count from 1
	Text  string // what the user sees in the cell
}

// String is "horses!F12", or "" for no cell.
func (c Cell) String() string {
	if c.Ref == "" {
		return c.Sheet
	}
	return c.Sheet + "!" + c.Ref
}

// Finding is anything a person should know: a cell that could not be read, a
// limit passed. One type from the first cell read to the last page printed.
type Finding struct {
	Rule     RuleID   // a row of the [Register]
	Severity Severity // never zero
	Horse    string   // empty: concerns the yard
	Saying   Saying   // what was found or compared
	Message  string   // the same as a finished sentence, of findings that are not data yet: one of the two is empty
	Why      Saying   // why it matters, one line; empty where the message says it
	Next     Saying   // what to do next, one line; empty where the message says it
	Cell     Cell     // zero where no cell is involved
	Source   string   // whose figure; empty where no figure is involved
	Weeks    int      // of a stop or warning: how many weeks running it is told, this one with it; 0 and 1: it is new
}

// Still says whether a warning was told last week too: one line is then enough of it
// (design §5b; acceptance falls with each repeat, evidence AL-02). A stop is told whole
// each week, since each week's card differs from its plan.
func (f Finding) Still() bool { return f.Severity == Warn && f.Weeks > 1 }

// SortFindings puts stops first, then warns, then notes; within each by the rule's
// rank, what it could do to the horse, then by horse, sheet, row-wise cell, rule and what it says, so that equal input gives equal order.
func SortFindings(fs []Finding) {
	slices.SortStableFunc(fs, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(b.Severity, a.Severity),
			cmp.Compare(RankOf(a.Rule), RankOf(b.Rule)),
			cmp.Compare(a.Horse, b.Horse),
			cmp.Compare(a.Cell.Sheet, b.Cell.Sheet),
			compareRefs(a.Cell.Ref, b.Cell.Ref),
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Message, b.Message),
			a.Saying.Compare(b.Saying),
		)
	})
}

// Equal says whether two findings say the same of the same thing.
func (f Finding) Equal(o Finding) bool {
	return f.Rule == o.Rule && f.Severity == o.Severity && f.Horse == o.Horse && f.Message == o.Message &&
		f.Why.Compare(o.Why) == 0 && f.Next.Compare(o.Next) == 0 && f.Cell == o.Cell && f.Source == o.Source && f.Saying.Compare(o.Saying) == 0
}

// Says is what a finding says, whether it is data or a sentence yet.
func (f Finding) Says() Saying {
	if f.Saying.Empty() {
		return Verbatim(f.Message)
	}
	return f.Saying
}

// compareRefs orders "B2" before "A10": by row, then by column.
func compareRefs(a, b string) int {
	ac, ar := splitRef(a)
	bc, br := splitRef(b)
	return cmp.Or(cmp.Compare(ar, br), cmp.Compare(len(ac), len(bc)), strings.Compare(ac, bc))
}

func splitRef(ref string) (col string, row int) {
	i := 0
	for i < len(ref) && (ref[i] < '0' || ref[i] > '9') {
		i++
	}
	for _, c := range ref[i:] {
		if c < '0' || c > '9' {
			break
		}
		row = row*10 + int(c-'0')
	}
	return ref[:i], row
}
