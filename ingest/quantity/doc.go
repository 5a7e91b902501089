// Package quantity reads the amounts people write: numbers in all spellings,
// units, weights of horses with how and when they were weighed, lengths of
// time, dates, and the titles of weeks.
//
// Every function is pure and says which part of the text it understood. A
// range or a question mark is told and never taken for a value alone; two
// readings that both fit are both given back.
package quantity
