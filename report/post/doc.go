// Package post mails a finished folder to the weekend staff: it words the mail
// from results.json ([ReadLetter]), makes it a message of RFC 5322 ([Message]),
// keeps it on disk until it has gone ([Outbox]) and hands it to a mail server
// ([Server]).
//
// A message is never lost, and never goes twice but for one moment: after the
// last line has gone to the server and before its answer is noted here, nobody
// can know whether the server has the message. It then goes again, under the
// same Message-ID and with a notice on top, because a lost card is worse than a
// second one.
package post
