// Package ingest reads a yard's workbook and says what it could not take.
//
// [Read] turns the bytes of one .xlsx or .xlsm file into a [yard.Week], and
// [ReadFile] does the same for a path. A file from which nothing can be taken
// gives a [*xlsx.Refused] with one plain sentence; everything less is a finding of
// the week, on the cell it concerns. [ParseWork], [ParseNumber],
// [ParseQuantity], [ParseDate] and [ParseClock] read single cells.
//
// The package writes nothing, has no clock and keeps no state: equal bytes give
// equal weeks.
//
// # Whole or refused
//
// A damaged workbook is refused, never read short: see package xlsx, which turns
// bytes into cells.
//
// # Sheets and columns
//
// A sheet is known by its header row, searched in its first thirty rows, and a
// column by its header's words; the order of either does not matter. The words
// stand in columnWords (sheets.go), and [Options.Synonyms] adds to them. A unit
// or a basis may stand in the header: "Weight (lb)", "Protein % (as fed)".
//
// # Unknown is not zero
//
// An empty cell is unknown. A cell that holds something that cannot be read is
// unknown too, and a finding. "1,5" is one and a half; "1,250" could be two
// numbers and is refused, like the date 06/09/26, unless only one of the two is
// a number the column believes: no horse weighs 1.150 lb.
//
// # Too much
//
// What no yard has is refused before anything is worked out from it: more horses,
// feeds, meals, measures, sessions, tables or cells than the largest has, or more
// cells of horses than five each (and 10,000 in all) that could not be understood.
// Findings of one kind end at 500 with the number of those left out.
//
// # Rules of the findings
//
//	amount-twice     a feed has a day's amount and amounts by meal
//	cell-date        a date that could not be read, or can be read in two ways
//	cell-error       an error value, or a formula whose result was not saved
//	cell-number      text where a number belongs, or a number with two readings
//	cell-range       a number outside what can be right
//	cell-unit        a unit that does not fit, or none where one is needed
//	cell-word        a word that is not one of those a column knows
//	column-twice     two columns stand for the same thing; the first is read
//	column-unknown   no column was read as the weight, and some headings were not known
//	diagnosis-word   a diagnosis there are no rules for, shown as written; or one that is not under Diagnoses
//	feed-basis       an analysis figure that is neither as fed nor dry matter, or lacks the dry matter
//	feed-twice       a feed is listed twice; the first is used
//	horse-twice      a horse is listed twice; it gets no card
//	horse-unknown    a row for a horse that is not on the horses sheet
//	meal-twice       a meal is named twice
//	meal-unknown     a meal the yard sheet does not name; it is added
//	last-week        what is fed now, taken from last week's record ([LastWeek])
//	last-week-work   last week's work, taken from there
//	measure-twice    a measure is named twice
//	measure-unknown  a measure the yard sheet does not name
//	measure-volume   a measure without a volume
//	name-above       rows without a name, read as belonging to the horse above
//	name-missing     a row without a name; not used
//	override         an override without a name or a reason; it does not count
//	ration-ahead     rations of weeks after the one that is planned
//	ration-left-out  a feed of an earlier week that is not among those fed last
//	ration-undated   a row of a rations sheet by weeks that has no week
//	row-skipped      a row taken for a heading or a remark
//	session-twice    a session is listed twice; the first is used
//	session-unused   a session whose minutes could not be read
//	setting-unknown  a setting that is not known
//	sheet-hidden     a hidden sheet that was not read because there is a shown one
//	sheet-missing    a sheet that was looked for and not found
//	unit-assumed     numbers without a unit, and what they were taken for
//	week-epoch       all dates are four years off: the workbook may say the wrong first year
//	week-unknown     the week's beginning is missing or could not be read
//	work-blank       days left blank, read as no work
//	work-date        work outside the week, or without a day
//	work-ahead       work of a week to come: read so, or too little of it
//	work-minutes     minutes missing, left over, or more than a day holds
//	work-missing     a horse without a row on the work sheet
//	work-time        a figure that may be a time or minutes
//	work-twice       a day's work stands in two places; it counts as unknown
//	work-word        a word in a work cell that was not understood
//	yard-default     something the yard sheet does not say, and what was taken
package ingest
