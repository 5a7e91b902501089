package board

// mostLooks is how often cells are looked at to find where tables begin and end: some thirty
// times each cell of the largest yard. Where headings stand in most cells, a table could
// begin in any, and each would be followed to the foot of the sheet.
const (
	mostLooks  = 10_000_000
	tableLooks = 16 // tables that are as quickly looked at as a cell
)

// effort is how much has been done to find the tables of a workbook.
type effort struct {
	looks   int // at cells
	tooMany bool
}

// look counts, and says that it is enough.
func (e *effort) look(n int) bool {
	e.looks += n
	e.tooMany = e.tooMany || e.looks > mostLooks
	return e.tooMany
}
