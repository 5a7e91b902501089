package board

import "hardfeed/templates/words"

// Headings is every heading word of a language that is known over a table, by what it says.
func Headings(language string) map[string][]string {
	all := map[string][]string{}
	for phrase, senses := range loadHeads().keys {
		for _, s := range senses {
			if s.language == language {
				all[s.key] = append(all[s.key], phrase)
			}
		}
	}
	return all
}

// HeadingSays is what a heading says over a table of a workbook in a language, by the keys of
// [Headings]; whole is false where a part of it is not understood.
func HeadingSays(language, text string) (keys []string, whole bool) {
	v := newVocabulary()
	order := append([]string{language}, words.Languages()...)
	v.language, v.lang = language, newLanguage(nil, order, v.memo)
	l := v.readText(text)
	return l.order, l.full()
}
