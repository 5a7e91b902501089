// Package inbox is the drop folder: it notices a workbook, waits until it is
// whole, takes it, has it worked out, puts the results beside it and files the
// workbook away. [Box.Look] is one round of that; whoever calls it decides when.
//
// # What lies where
//
//	FOLDER/week48.xlsx                        dropped by a person
//	FOLDER/2026-11-30 Cold Brook Yard/        results, there whole or not at all
//	FOLDER/archive/2026-11-30/<yard> edition 1/   the workbook, results.json, job.json
//	FOLDER/rejected/week48.xlsx, week48.txt   could not be read, and why
//	FOLDER/.hardfeed/lock                     held by the one watcher
//	FOLDER/.hardfeed/work/<SHA-256>/          a workbook being worked on: one job
//	FOLDER/.hardfeed/new/<SHA-256>.<chance>/  results being written
//
// # The states of a job
//
// There is no ledger beside the files: where the files lie is the state, and
// every change of state is one rename, synced together with its folders.
//
//	dropped    in FOLDER
//	claimed    renamed into work/<SHA-256>/
//	decided    work/<SHA-256>/job.json names yard, week, edition and result folder
//	written    new/<SHA-256>.<chance>/ is complete; job.json says what is in it and what
//	           it was made from; work/<SHA-256>/results.json is its record
//	published  new/<SHA-256>.<chance>/ renamed to FOLDER/<result folder>
//	posted     the caller's Done has returned: the mail lies in its queue
//	archived   work/<SHA-256>/ renamed to archive/<week>/<yard> edition N/
//
// Coming back after a crash is not a special case: a round first carries on
// with whatever is in work, then takes what is new. Killed
//
//   - before the claim: the workbook lies in FOLDER and is taken again;
//   - claimed: work holds it; it is decided now. An empty work/<SHA-256>/ (the
//     rename had not happened) is removed;
//   - decided: the edition is read from job.json, so that it is not counted twice;
//   - while writing: what lies in new is thrown away and written again;
//   - published: the result folder's results.json equals the one kept in work, so
//     nothing is written again;
//   - posted: Done is called again and must do nothing the second time;
//   - archived: nothing is left to do.
//
// The archive answers what was done before. The same bytes again are found there by
// their SHA-256, and are not done again while all that job.json names is as it was:
// the results stand, and the settings, the program and the records that were looked up
// are the same. Results that are gone, and nothing else, are made again as the edition
// they were; else the workbook makes the next edition of its week, one more than the
// highest there, and job.json says why.
//
// Two jobs of one yard never run side by side and go in the order of their weeks, so
// that each finds the edition and the week before it. Different yards run side by
// side, and so does all reading.
//
// # One folder, two programs
//
// The lock keeps a second program off. Some network shares do not pass locks on from
// one machine to another; then two may work side by side. Every change of state is a
// rename that only one of them can win, and nothing that is being thrown away can be
// put in place, so no workbook is lost and no result is there in part. What can happen
// is that results are there twice, the second under a name with a number, and that a mail
// goes twice and says so.
//
// # What is never done
//
// A person's workbook is never deleted, but for a second copy whose bytes stand
// in the archive, checked there and then. No name from inside a workbook is used
// as a path before [Fit] has made it harmless, and all work goes through
// [os.Root]: a link that leads out of the folder is an error, not a way out.
package inbox
