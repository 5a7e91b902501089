package ingest

import (
	"strings"
	"unicode"

	"hardfeed/ration/yard"
)

// What the reader says is data, like all that is said: a key of the tables of words
// and what fills the places of its text.

// wrote is what is in a cell, cut where it is long.
func wrote(name, text string) yard.Arg { return yard.Words(name, strings.Map(oneLine, short(text))) }

func oneLine(r rune) rune {
	if unicode.IsControl(r) {
		return ' '
	}
	return r
}

func short(s string) string { return shortened(s, 60) }

func shortened(s string, most int) string {
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}

// sheetArg is a kind of sheet, such as the feeds sheet.
func sheetArg(name string, k sheetKind) yard.Arg {
	return yard.Said(name, yard.Say("part.sheet."+string(k)))
}

// mostNames is how many of a list are named.
const mostNames = 12

// someNames are the first of a list, and how many more there are.
func someNames(name string, list []string) yard.Arg {
	return yard.Said(name, someOf(list))
}

func someOf(list []string) yard.Saying {
	all := make([]yard.Value, 0, len(list))
	for _, s := range list {
		all = append(all, yard.Text{Kind: yard.HerWords, Text: s})
	}
	return someValues(all)
}

func someValues(list []yard.Value) yard.Saying {
	if n := len(list) - mostNames; n > 0 {
		return yard.Say("part.some", yard.Listed("names", yard.Comma, list[:mostNames]...), yard.Count("n", n))
	}
	return yard.Say("part.all", yard.Listed("names", yard.Comma, list...))
}

// unread is why something could not be read.
func unread(s yard.Saying) error { return yard.Troubled(s) }

// ofFeed is a figure of a feed, such as the dry matter of oats.
func ofFeed(key, feed string) yard.Saying {
	return yard.Say("field.of", yard.Said("what", yard.Say(key)), yard.FeedArg("feed", feed))
}

// orNear is a saying about a word, and the known one it may be meant for: the key
// with .near behind it where there is one.
func orNear(key, near string, args ...yard.Arg) yard.Saying {
	if near == "" {
		return yard.Say(key, args...)
	}
	return yard.Say(key+".near", append(args, yard.Words("near", near))...)
}
