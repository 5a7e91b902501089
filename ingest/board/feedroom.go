package board

// feedRoom is what the book says of its feeds: which there are, and what a measure of each
// weighs.
type feedRoom struct {
	lang        *language
	feeds       map[string]*feedInfo // by their folded names
	order       []string             // as they came up
	anyFeed     map[string]float64   // kg of one measure of any feed
	measures    []string             // that a legend weighs
	legend      *Cell                // the first that does
	legendSheet *sheetData
}

func newFeedRoom() *feedRoom {
	return &feedRoom{feeds: map[string]*feedInfo{}, anyFeed: map[string]float64{}}
}
