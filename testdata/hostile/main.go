// Command hostile writes workbooks that are made to cost time or memory, each as
// large as the reader lets pass, to measure with:
//
//	go run ./testdata/hostile FOLDER
//
// All are small yards with one sheet gone wild; bad-column.xlsx and diary.xlsx
// could be real ones and must be read.
package main

import (
	"archive/zip"
	"bytes"
	"fmt"
	"log"
	"os"
	"path/filepath"
	"strings"
)

func main() {
	if len(os.Args) != 2 {
		log.Fatal("usage: hostile FOLDER")
	}
	if err := os.MkdirAll(os.Args[1], 0o750); err != nil {
		log.Fatal(err)
	}
	for _, b := range books {
		data, err := b.make()
		if err == nil {
			err = os.WriteFile(filepath.Join(os.Args[1], b.name+".xlsx"), data, 0o640)
		}
		if err != nil {
			log.Fatal(b.name, ": ", err)
		}
	}
}

// book is the yard of [plain] with more rows on some of its sheets.
type book struct {
	name  string
	rows  int
	row   map[string]func(i int) []string     // by sheet, from 1 on
	extra string                              // behind the rows of the sheet "horses"
	style map[string]int                      // of the numbers of a sheet
	parts func(parts [][2]string) [][2]string // changes names and contents of the parts
}

// plain is the yard all of them start from.
var plain = []struct {
	sheet string
	rows  [][]string
}{
	{"horses", [][]string{{"Name", "Weight (kg)", "How weighed", "Date weighed", "Girth (cm)", "Height (hh)", "Age", "Type", "Score", "Fitness", "Keeper", "Rider + tack (kg)", "Diagnoses"}, {"Bramble", "520 kg", "scale", "2026-11-23", "190", "16.1", "9", "horse", "5", "hard", "normal", "80", "ulcers"}}},
	{"work", [][]string{{"Horse", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}, {"Bramble", "rest", "hack 60", "schooling 45", "hack 60", "hack 60", "show 10:00", "rest"}}},
	{"rations", [][]string{{"Horse", "Feed", "Meal", "Now", "Planned"}, {"Bramble", "Meadow hay", "Breakfast", "9 kg", "9 kg"}, {"Bramble", "Oats", "Tea", "1 kg", "1 kg"}}},
	{"feeds", [][]string{{"Feed", "Kind", "What it is", "One measure (kg)", "DM %", "DE (MJ/kg)", "Basis"}, {"Meadow hay", "forage", "meadow hay", "", "86", "8", "as fed"}, {"Oats", "hard feed", "oats", "1.1", "88", "12", "as fed"}}},
	{"yard", [][]string{{"Setting", "Value"}, {"Yard", "Fir Tree Yard"}, {"Week beginning", "2026-11-30"}, {"Meals", "Breakfast 07:00, Tea 17:00"}, {"Measures", "scoop 2 l"}}},
}

// wide is a row of n texts, no two the same in a workbook.
func wide(n int, text string) func(int) []string {
	return func(i int) []string {
		cells := make([]string, n)
		for c := range cells {
			cells[c] = fmt.Sprintf("%s %dx%d", text, i, c+1)
		}
		return cells
	}
}

// again is the same row over and over.
func again(cells ...string) func(int) []string { return func(int) []string { return cells } }

func on(sheet string, row func(int) []string) map[string]func(int) []string {
	return map[string]func(int) []string{sheet: row}
}

// ownSheet is a workbook of one sheet, with nothing of [plain].
func ownSheet(row func(int) []string) map[string]func(int) []string {
	return map[string]func(int) []string{"-": nil, "horses": row}
}

// letters are three letters, other ones for each number below 26³.
func letters(i int) string {
	return string([]byte{'a' + byte(i%26), 'a' + byte(i/26%26), 'a' + byte(i/676%26)})
}

func ash(i int) string { return "Ash" + letters(i) }

// joinedPairs joins, for each of n pairs of rows below the first, the cells of the name
// and those of every two days.
func joinedPairs(n int) string {
	var s strings.Builder
	s.WriteString("<mergeCells>")
	for i := range n {
		a, b := 2*i+2, 2*i+3
		for _, pair := range []string{"AA", "BC", "DE", "FG"} {
			fmt.Fprintf(&s, `<mergeCell ref="%c%d:%c%d"/>`, pair[0], a, pair[1], b)
		}
	}
	s.WriteString("</mergeCells>")
	return s.String()
}

const (
	most = 3_500 // rows of 125 cells
	tall = 79_000
)

var headings = strings.Split("Horse,Weight,How,Weighed,Girth,Length,Height,Age,Type,Score,Fitness,Keeper,Feed,Now,Planned,Meal,Breakfast,Tea,Mon,Tue,Wed,Date,Day,Work,Session,Walk,Trot,Setting,Value,Oats,Kind,Starch,Sugar,wieght,hoarse,feeed,Monnday,body wieght,condittion score", ",")

func words(i int) []string {
	cells := make([]string, 125)
	for c := range cells {
		cells[c] = headings[(i*7+c*11+i*c)%len(headings)]
	}
	return cells
}

// long are n texts of as many characters as a cell can hold.
func long(i, n int) []string {
	cells := make([]string, n)
	for c := range cells {
		var s strings.Builder
		for k := 0; s.Len() < 32_700; k++ {
			fmt.Fprintf(&s, "hak%d,", i+k*n+c)
		}
		cells[c] = s.String()
	}
	return cells
}

func gaps(i int) []string {
	cells := make([]string, 188)
	for c := 0; c < len(cells); c += 3 {
		cells[c], cells[c+1] = "Setting", "Value"
	}
	return cells
}

var books = []book{
	{name: "horses", rows: most, row: on("horses", wide(125, "hoarse"))},
	{name: "work", rows: most, row: on("work", wide(125, "hoarse"))},
	{name: "rations", rows: most, row: on("rations", wide(125, "hoarse"))},
	{name: "feeds", rows: most, row: on("feeds", wide(125, "hoarse"))},
	{name: "yard", rows: most, row: on("yard", wide(125, "hoarse"))},
	{name: "other-sheet", rows: most, row: on("more", wide(125, "hoarse"))},
	{name: "horse-words", rows: most, row: on("more", wide(125, "horse"))},
	{name: "accents", rows: most, row: on("more", wide(125, "cheval né"))},
	{name: "near-headings", rows: most, row: on("more", wide(125, "condittion scoore hieght"))},
	{name: "only-near-headings", rows: most, row: map[string]func(int) []string{"horses": wide(125, "condittion scoore hieght"), "-": nil}},
	{name: "heading-words", rows: most, row: on("more", words)},
	{name: "heading-words-on-horses", rows: most, row: on("horses", words)},
	{name: "many-tables-in-a-row", rows: 3_000, row: on("more", gaps)},
	{name: "turned", rows: 255, row: on("more", func(i int) []string {
		return append([]string{headings[i%len(headings)]}, wide(255, "hoarse")(i)...)
	})},
	{name: "turned-headings", rows: most, row: map[string]func(int) []string{"horses": words, "-": nil}},
	{name: "tall", rows: tall, row: on("more", wide(1, "horse"))},
	{name: "tall-horses", rows: tall, row: on("horses", wide(1, "hoarse"))},
	{name: "days-without-names", rows: tall, row: on("more", again("", "Mon", "Tue", "Wed"))},
	{name: "weeks-and-headers", rows: tall, row: on("work", func(i int) []string {
		if i%2 == 0 {
			return []string{"Horse", "Mon", "Tue", "Wed", "Thu"}
		}
		return []string{fmt.Sprintf("Week beginning %d December 2026", 7+i/2%20)}
	})},
	{name: "only-weeks-and-headers", rows: tall, row: map[string]func(int) []string{"-work": nil, "more": func(i int) []string {
		if i%2 == 0 {
			return []string{"Horse", "Mon", "Tue", "Wed", "Thu"}
		}
		return []string{fmt.Sprintf("Week beginning %d December 2026", 7+i/2%20)}
	}}},
	{name: "prose-diary", rows: tall, row: on("diary", func(i int) []string {
		if i == 1 {
			return []string{"Date", "Horse", "Work"}
		}
		return []string{fmt.Sprintf("2026-12-%02d", 1+i%31), "Bramble", fmt.Sprintf("hackk %d minnutes and trott", i)}
	})},
	{name: "joined-cells", rows: most, row: on("horses", wide(125, "hoarse")), extra: `<mergeCells>` + strings.Repeat(`<mergeCell ref="IU1:IV9000"/>`, 2000) + `</mergeCells>`},
	{name: "number-formats", rows: most, row: on("rations", func(i int) []string {
		cells := make([]string, 125)
		for c := range cells {
			cells[c] = fmt.Sprint(i + c)
		}
		return cells
	}), style: map[string]int{"rations": 1}},
	{name: "long-work", rows: 400, row: on("work", func(i int) []string { return append([]string{"Bramble"}, long(i, 7)...) })},
	{name: "long-work-of-many", rows: 600, row: map[string]func(int) []string{
		"horses": func(i int) []string { return []string{fmt.Sprintf("Ash %d", i), "500 kg"} },
		"work":   func(i int) []string { return append([]string{fmt.Sprintf("Ash %d", i)}, long(i, 2)...) }}},
	{name: "much-work-of-many", rows: 6_000, row: map[string]func(int) []string{
		"horses": func(i int) []string { return []string{fmt.Sprintf("Ash %d", i), "500 kg"} },
		"work": func(i int) []string {
			cells := []string{fmt.Sprintf("Ash %d", i)}
			for c := range 7 {
				cells = append(cells, fmt.Sprintf("rest %sno %d", strings.Repeat("on the ", 120), i*7+c))
			}
			return cells
		}}},
	{name: "long-diagnoses", rows: 1_400, row: on("horses", func(i int) []string {
		return []string{fmt.Sprintf("Ash %d", i), "500 kg", "", "", "", "", "", "", "", "", "", "", long(i, 1)[0]}
	})},
	{name: "long-notes", rows: 1_400, row: on("horses", func(i int) []string {
		if i == 1 {
			return []string{"Name", "Weight", "Notes", "Housing", "Breed"}
		}
		return []string{fmt.Sprintf("Ash %d", i), "500 kg", long(i, 1)[0]}
	})},
	{name: "many-diagnoses", rows: 9_000, row: on("horses", func(i int) []string {
		return []string{fmt.Sprintf("Ash %d", i), "500 kg", "", "", "", "", "", "", "", "", "", "", long(i, 1)[0][:900]}
	})},
	{name: "unknown-names", rows: 9_000, row: map[string]func(int) []string{
		"horses":  func(i int) []string { return []string{fmt.Sprintf("Ash %d", i), "500 kg"} },
		"rations": func(i int) []string { return []string{fmt.Sprintf("Aish %dx", i), "Oats", "", "1 kg", "1 kg"} },
		"more": func(i int) []string {
			if i == 1 {
				return []string{"Horse", "Mon", "Tue", "Wed"}
			}
			return []string{fmt.Sprintf("Esh %dy", i), "rest", "rest", "rest"}
		}}},
	{name: "bad-column", rows: 9_990, row: on("horses", func(i int) []string {
		return []string{fmt.Sprintf("Ash %d", i), "tape 500?", "tape", "2026-11-23", "190", "16.1", "9", "horse", "5", "hard", "normal", "80"}
	})},
	{name: "three-bad-columns", rows: 2_000, row: on("horses", func(i int) []string {
		return []string{fmt.Sprintf("Ash %d", i), "tape 500?", "tapped", "2026-11-23", "190", "16.1", "9", "horse", "5", "hardish", "normal", "80"}
	})},
	{name: "known-words", rows: most, row: on("more", func(i int) []string {
		known := strings.Fields("body heart girth condition target how date horse type score rider tack vet saddle teeth worm in hours at grass last")
		cells := make([]string, 125)
		for c := range cells {
			for n := i*125 + c + 1; n > 0; n /= len(known) {
				cells[c] += known[n%len(known)] + " "
			}
		}
		return cells
	})},
	{name: "near-dates", rows: most, row: on("more", wide(125, "a day in 2026 2026"))},
	{name: "many-meals", rows: 60_000, row: on("rations", func(i int) []string { return []string{"Bramble", "Oats", fmt.Sprintf("meal no %d", i), "1 kg"} })},
	{name: "many-measures", rows: 30_000, row: map[string]func(int) []string{
		"-yard": nil,
		"setup": func(i int) []string {
			if i == 1 {
				return []string{"Setting", "Value"}
			} else if i > 2 {
				return nil
			}
			var all strings.Builder
			for n := range 1_900 {
				fmt.Fprintf(&all, "jug %c%c%c 2 l, ", 'a'+n/676, 'a'+n/26%26, 'a'+n%26)
			}
			return []string{"Measures", all.String()}
		},
		"rations": func(i int) []string { return []string{"Bramble", "Oats", "Tea", fmt.Sprintf("%d joog", i)} }}},
	{name: "many-sessions", rows: 20_000, row: map[string]func(int) []string{
		"sessions": func(i int) []string {
			if i == 1 {
				return []string{"Session", "Walk", "Trot"}
			}
			return []string{fmt.Sprintf("round no %d", i), "10", "10"}
		},
		"work": func(i int) []string { return []string{"Bramble", fmt.Sprintf("rownd %d", i)} }}},
	{name: "unknown-names-again", rows: 9_000, row: map[string]func(int) []string{
		"horses":  func(i int) []string { return []string{fmt.Sprintf("Ash %d", i), "500 kg"} },
		"rations": func(i int) []string { return []string{fmt.Sprintf("Aish %dx", i%3), "Oats", "", "1 kg", "1 kg"} }}},
	{name: "unknown-feeds", rows: 39_000, row: map[string]func(int) []string{
		"feeds":   func(i int) []string { return []string{fmt.Sprintf("feed no %d", i), "hard feed"} },
		"rations": func(i int) []string { return []string{"Bramble", fmt.Sprintf("fed no %d", i), "", "1 kg"} }}},
	{name: "diary", rows: 50 * 182, row: map[string]func(int) []string{
		"horses": func(i int) []string {
			if i > 50 {
				return nil
			}
			return []string{fmt.Sprintf("Ash %d", i), "500 kg", "tape", "2026-11-23", "190", "16.1", "9", "horse", "5", "hard", "normal", "80"}
		},
		"diary": func(i int) []string {
			if i == 1 {
				return []string{"Date", "Horse", "Work"}
			}
			return []string{fmt.Sprintf("2026-%02d-%02d", 12, 1+i/50%28), fmt.Sprintf("Ash %d", 1+i%50), fmt.Sprintf("took it to the beech number %d", i)}
		}}},
	// Yards that keep all on one sheet of their own.
	{name: "many-legends", rows: 20_200, row: ownSheet(func(i int) []string {
		switch {
		case i == 1:
			return []string{"Horse", "Mon", "Tue", "Wed", "AM", "PM"}
		case i <= 200:
			return []string{ash(i), "W30", "T20", "off", "1 sc nuts", "1 sc nuts"}
		}
		return []string{fmt.Sprintf("zq%d = hack %d min, %d scoop k%d", i, i%90, i%7, i)}
	})},
	{name: "names-in-names", rows: 9_000, row: map[string]func(int) []string{"-": nil,
		"horses": func(i int) []string {
			if i == 1 {
				return []string{"Horse", "Mon", "Tue", "Now"}
			}
			return []string{strings.Repeat("Ash ", 1+i%5) + letters(i), "hack 30", "as Ash " + letters(i)[:1], "1 scoop nuts"}
		},
		"notes": func(i int) []string {
			if i > 4_000 {
				return nil
			}
			var team []string
			for k := range 8 {
				team = append(team, "Ash "+letters(i + k + 26*i*k)[:2]+"a")
			}
			return []string{strings.Join(team, " + ")}
		}}},
	{name: "a-question-a-cell", rows: 9_000, row: ownSheet(func(i int) []string {
		if i == 1 {
			return []string{"Horse", "Mon", "Tue", "Wed", "AM", "PM", "New AM"}
		}
		return []string{ash(i), fmt.Sprintf("gzork%d 30", i), fmt.Sprintf("blip%d", i), fmt.Sprintf("fnord %d", i), fmt.Sprintf("1 zub%d", i), fmt.Sprintf("2 wob%d of quux%d", i, i), fmt.Sprintf("+%d plonk", i%3)}
	})},
	{name: "dates-everywhere", rows: 2_500, row: ownSheet(func(i int) []string {
		cells := []string{fmt.Sprintf("Ash %d", i)}
		for c := 1; c < 100; c++ {
			cells = append(cells, fmt.Sprintf("%d/%d/%d", 1+(i+c)%28, 1+i*c%12, 26+c%3))
		}
		return cells
	})},
	{name: "merged-blocks", rows: 30_001, row: ownSheet(func(i int) []string {
		switch {
		case i == 1:
			return []string{"Horse", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun", "AM", "PM"}
		case i%2 == 0:
			return []string{ash(i / 2), "hack 30", "", "hack 30", "", "hack 30", "", "", "1 scoop nuts"}
		}
		return []string{"", "", "", "", "", "", "", "", "1 scoop chaff"}
	}), extra: joinedPairs(15_000)},
	{name: "a-form-a-horse", rows: 30_000, row: ownSheet(func(i int) []string {
		switch i % 5 {
		case 1:
			return []string{"Name", ash(i / 5), "Weight", "500 kg"}
		case 2:
			return []string{"Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"}
		case 3:
			return []string{"hack 30", "off", "school 40", "off", "hack 30", "off", "off"}
		case 4:
			return []string{"AM", "1 scoop nuts", "PM", "1 scoop nuts"}
		}
		return nil
	})},
	// What is not the rows of a sheet.
	{name: "doubtful-links", rows: 1, row: on("horses", doubtful), extra: "", parts: inSheet("horses", `</sheetData>`, func() string {
		return rowsOf(3, 30_000, func(ref string) string { return `<c r="` + ref + `"><f>[1]Prices!A1+cmd|'/c calc'!A0</f><v>7</v></c>` })
	})},
	{name: "doubtful-shared-links", rows: 1, row: on("horses", doubtful), parts: inSheet("horses", `</sheetData>`, func() string {
		return rowsOf(3, 30_000, func(ref string) string {
			if strings.HasSuffix(ref, "3") && len(ref) == 2 {
				return `<c r="` + ref + `"><f t="shared" ref="A3:A30003" si="0">[1]Prices!A1</f><v>7</v></c>`
			}
			return `<c r="` + ref + `"><f t="shared" si="0"/><v>7</v></c>`
		})
	})},
	{name: "doubtful-comments", rows: 1, row: on("horses", doubtful), parts: withComments(40_000)},
	{name: "backslashes", rows: tall, row: on("more", wide(1, "horse")), parts: renamed(func(n string) string { return strings.ReplaceAll(n, "/", `\`) })},
	{name: "another-folder", rows: most, row: on("horses", wide(125, "hoarse")), parts: func(parts [][2]string) [][2]string {
		for i := range parts {
			parts[i][0] = strings.Replace(parts[i][0], "xl/", "a/very/deep/folder/", 1)
			if strings.HasSuffix(parts[i][0], ".rels") || strings.HasPrefix(parts[i][0], "[") {
				parts[i][1] = strings.NewReplacer("/xl/", "/a/very/deep/folder/", `"xl/`, `"a/very/deep/folder/`).Replace(parts[i][1])
			}
		}
		return parts
	}},
	{name: "backslashes-in-thousands", rows: 1, row: on("more", wide(1, "horse")), parts: func(parts [][2]string) [][2]string {
		for i := range 3_900 {
			parts = append(parts, [2]string{fmt.Sprintf(`xl\media\picture%d.xml`, i), strings.Repeat("<a/>", 5_000)})
		}
		return parts
	}},
	{name: "defined-names", rows: 1, row: on("horses", doubtful), parts: inPart("xl/workbook.xml", "</sheets>", "</sheets><definedNames>"+strings.Repeat(`<definedName name="Prices">[1]Prices!$A$1</definedName>`, 200_000)+"</definedNames>")},
	{name: "deep-xml", rows: 1, row: on("horses", doubtful), extra: strings.Repeat("<extLst>", 300_000) + strings.Repeat("</extLst>", 300_000)},
	{name: "one-long-attribute", rows: 1, row: on("horses", doubtful), extra: `<pageSetup r="` + strings.Repeat("A1:B2 ", 4_000_000) + `"/>`},
	{name: "many-relations", rows: 1, row: on("horses", doubtful), parts: func(parts [][2]string) [][2]string {
		return append(parts, [2]string{"xl/worksheets/_rels/sheet1.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
			strings.Repeat(`<Relationship Id="c" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/comments" Target="/xl/comments/none.xml"/>`, 150_000) + `</Relationships>`})
	}},
	{name: "many-conditions", rows: 1, row: on("horses", doubtful), extra: strings.Repeat(`<conditionalFormatting sqref="A1:IV9000"><cfRule type="expression" priority="1"><formula>[1]Prices!A1</formula></cfRule></conditionalFormatting>`, 60_000)},
	{name: "many-sheets", rows: 1, row: on("horses", doubtful), parts: func(parts [][2]string) [][2]string {
		var list, rels, types strings.Builder
		for i := range 1_900 {
			fmt.Fprintf(&list, `<sheet name="old %d" sheetId="%d" r:id="o%d"/>`, i, 100+i, i)
			fmt.Fprintf(&rels, `<Relationship Id="o%d" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/old%d.xml"/>`, i, i)
			fmt.Fprintf(&types, `<Override PartName="/xl/worksheets/old%d.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/>`, i)
			parts = append(parts, [2]string{fmt.Sprintf("xl/worksheets/old%d.xml", i), `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>` + rowsOf(1, 20, func(ref string) string {
				return `<c r="` + ref + `" t="inlineStr"><is><t>horse</t></is></c>`
			}) + `</sheetData></worksheet>`})
		}
		for i := range parts {
			parts[i][1] = strings.NewReplacer("</sheets>", list.String()+"</sheets>", "</Types>", types.String()+"</Types>").Replace(parts[i][1])
			if parts[i][0] == "xl/_rels/workbook.xml.rels" {
				parts[i][1] = strings.Replace(parts[i][1], "</Relationships>", rels.String()+"</Relationships>", 1)
			}
		}
		return parts
	}},
}

// doubtful is a row with something in it that a copy of the workbook has to mark.
func doubtful(int) []string { return []string{"Ash", "five hundred and something", "scale"} }

// rowsOf are n rows from one on, of one cell in column A.
func rowsOf(first, n int, cell func(ref string) string) string {
	var s strings.Builder
	for i := range n {
		fmt.Fprintf(&s, `<row r="%d">%s</row>`, first+i+2, cell(fmt.Sprintf("A%d", first+i+2)))
	}
	return s.String()
}

func renamed(to func(string) string) func([][2]string) [][2]string {
	return func(parts [][2]string) [][2]string {
		for i := range parts {
			parts[i][0] = to(parts[i][0])
		}
		return parts
	}
}

// inPart puts a text in the place of the first old in a part.
func inPart(part, old, text string) func([][2]string) [][2]string {
	return func(parts [][2]string) [][2]string {
		for i := range parts {
			if parts[i][0] == part {
				parts[i][1] = strings.Replace(parts[i][1], old, text, 1)
			}
		}
		return parts
	}
}

// inSheet puts rows at the end of the first sheet, which is that of the horses.
func inSheet(_, end string, rows func() string) func([][2]string) [][2]string {
	return func(parts [][2]string) [][2]string {
		return inPart("xl/worksheets/sheet1.xml", end, rows()+end)(parts)
	}
}

// withComments hangs n comments on the first sheet, in the way of openpyxl.
func withComments(n int) func([][2]string) [][2]string {
	return func(parts [][2]string) [][2]string {
		var list, shapes strings.Builder
		for i := range n {
			fmt.Fprintf(&list, `<comment ref="Z%d" authorId="0"><text><t>note %d</t></text></comment>`, i+1, i)
			fmt.Fprintf(&shapes, `<v:shape id="shape_%d" type="#_x0000_t202"><x:ClientData ObjectType="Note"><x:Row>%d</x:Row><x:Column>25</x:Column></x:ClientData></v:shape>`, i, i)
		}
		const rel = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		parts = inPart("xl/worksheets/sheet1.xml", "</worksheet>", `<legacyDrawing xmlns:r="`+rel+`" r:id="v"/></worksheet>`)(parts)
		return append(parts,
			[2]string{"xl/comments/comment1.xml", `<comments xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><authors><author>x</author></authors><commentList>` + list.String() + `</commentList></comments>`},
			[2]string{"xl/drawings/commentsDrawing1.vml", `<xml xmlns:v="urn:schemas-microsoft-com:vml" xmlns:x="urn:schemas-microsoft-com:office:excel">` + shapes.String() + `</xml>`},
			[2]string{"xl/worksheets/_rels/sheet1.xml.rels", `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="c" Type="` + rel + `/comments" Target="/xl/comments/comment1.xml"/><Relationship Id="v" Type="` + rel + `/vmlDrawing" Target="/xl/drawings/commentsDrawing1.vml"/></Relationships>`})
	}
}

// make writes the workbook. A sheet named "-x" takes the sheet x out of it, "-"
// all but those with rows of their own.
func (b book) make() ([]byte, error) {
	type sheet struct{ name, rows string }
	var sheets []sheet
	known := map[string]bool{}
	for _, p := range plain {
		known[p.sheet] = true
		_, none := b.row["-"]
		_, out := b.row["-"+p.sheet]
		if more := b.row[p.sheet]; out || none && more == nil {
			continue
		} else if none {
			sheets = append(sheets, sheet{p.sheet, b.lines(p.sheet, nil)})
		} else {
			sheets = append(sheets, sheet{p.sheet, b.lines(p.sheet, p.rows)})
		}
	}
	for name := range b.row { // at most one that is new
		if !known[name] && !strings.HasPrefix(name, "-") {
			sheets = append(sheets, sheet{name, b.lines(name, nil)})
		}
	}
	const (
		open = `<?xml version="1.0" encoding="UTF-8" standalone="yes"?>`
		ns   = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
		rel  = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
		ct   = "application/vnd.openxmlformats-officedocument.spreadsheetml."
	)
	types := open + `<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" ContentType="` + ct + `sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="` + ct + `styles+xml"/>`
	list := open + `<workbook ` + ns + ` xmlns:r="` + rel + `"><sheets>`
	rels := open + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="styles" Type="` + rel + `/styles" Target="styles.xml"/>`
	parts := [][2]string{{"_rels/.rels", open + `<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="a" Type="` + rel + `/officeDocument" Target="xl/workbook.xml"/></Relationships>`},
		{"xl/styles.xml", open + `<styleSheet ` + ns + `><numFmts count="1"><numFmt numFmtId="164" formatCode="0.0&quot; kg&quot;"/></numFmts><fonts count="1"><font><sz val="11"/></font></fonts><fills count="1"><fill><patternFill patternType="none"/></fill></fills><borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="164"/></cellXfs></styleSheet>`}}
	for i, s := range sheets {
		extra := ""
		if s.name == "horses" {
			extra = b.extra
		}
		part := fmt.Sprintf("worksheets/sheet%d.xml", i+1)
		types += `<Override PartName="/xl/` + part + `" ContentType="` + ct + `worksheet+xml"/>`
		list += fmt.Sprintf(`<sheet name="%s" sheetId="%d" r:id="r%d"/>`, s.name, i+1, i+1)
		rels += fmt.Sprintf(`<Relationship Id="r%d" Type="%s/worksheet" Target="%s"/>`, i+1, rel, part)
		parts = append(parts, [2]string{"xl/" + part, open + `<worksheet ` + ns + `><sheetData>` + s.rows + `</sheetData>` + extra + `</worksheet>`})
	}
	parts = append(parts, [2]string{"[Content_Types].xml", types + `</Types>`}, [2]string{"xl/workbook.xml", list + `</sheets></workbook>`}, [2]string{"xl/_rels/workbook.xml.rels", rels + `</Relationships>`})
	if b.parts != nil {
		parts = b.parts(parts)
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	for _, p := range parts {
		w, err := z.Create(p[0])
		if err != nil {
			return nil, err
		}
		if _, err := w.Write([]byte(p[1])); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return out.Bytes(), err
}

// lines are the rows of a sheet as XML: those given and the book's own.
func (b book) lines(name string, rows [][]string) string {
	var s strings.Builder
	n := 0
	line := func(cells []string) {
		n++
		fmt.Fprintf(&s, `<row r="%d">`, n)
		for c, text := range cells {
			ref := fmt.Sprintf("%s%d", column(c), n)
			switch {
			case text == "":
			case strings.Trim(text, "0123456789.") == "":
				fmt.Fprintf(&s, `<c r="%s" s="%d"><v>%s</v></c>`, ref, b.style[name], text)
			default:
				fmt.Fprintf(&s, `<c r="%s" t="inlineStr"><is><t>%s</t></is></c>`, ref, text)
			}
		}
		s.WriteString(`</row>`)
	}
	for _, cells := range rows {
		line(cells)
	}
	if more := b.row[name]; more != nil {
		for i := range b.rows {
			line(more(i + 1))
		}
	}
	return s.String()
}

func column(c int) string {
	if c < 26 {
		return string(rune('A' + c))
	}
	return string(rune('A'+c/26-1)) + string(rune('A'+c%26))
}
