package board

// bareFigures are what the legends say of figures that stand alone.
type bareFigures struct {
	amount     string  // unit of amounts
	feed       string  // amounts are of
	perFeed    int     // amounts are for each of so many feeds a day
	work       string  // unit of work
	sessionMin float64 // minutes of one session
}
