package ingest

import (
	"archive/zip"
	"bytes"
	"cmp"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"hardfeed/ingest/xlsx"
	"hardfeed/ration/yard"
)

// outside is a formula of hers that takes its value from another file, program or
// machine. In the copy its last value is in its place: whoever opens the copy should
// not be asked to start a program or to fetch something.
type outside struct {
	cell    yard.Cell
	formula string
}

var (
	quotedText = lazily(`"(?:[^"]|"")*"`)
	// [1]Sheet!A1, '[Prices.xlsx]May'!A1, [1]!Name; and not Table[Column]+Sheet!A1.
	otherBook = lazily(`\[[^\]]+\](?:[\pL\pN_.]*|[^'!\[\]]*')!`)
	// program|topic!item, program|'topic'!item
	otherProgram = lazily(`[\pL_][\pL\pN_.]*\|(?:'[^']*'|[^!'"(),]+)!`)
	// Functions that fetch, or call something outside the workbook.
	otherMachine = lazily(`(?i)(?:^|[^\pL\pN_.])(?:_xlfn\.)?(?:WEBSERVICE|RTD|DDE|CALL|REGISTER(?:\.ID)?|IMAGE|STOCKHISTORY|IMPORTDATA|SQL\.REQUEST)\s*\(`)
)

// reachesOut says whether a formula takes its value from outside the workbook.
func reachesOut(formula string) bool {
	bare := quotedText().ReplaceAllString(formula, `""`)
	return otherBook().MatchString(bare) || otherProgram().MatchString(bare) || otherMachine().MatchString(bare)
}

// takeIn puts its last value in the place of every formula of f that reaches out, and
// lists those formulas. formulas are the workbook's own.
func takeIn(f *excelize.File, formulas []xlsx.Formula) ([]outside, error) {
	var all []outside
	shared := "" // the sheet where a formula that reaches out stands: one that cells share is written in the first only
	for _, c := range formulas {
		if c.Text != "" && c.Whole && !reachesOut(c.Text) || c.Text == "" && shared != c.Sheet {
			continue
		}
		ref := xlsx.RefOf(c.Col, c.Row)
		formula, err := f.GetCellFormula(c.Sheet, ref)
		if err != nil {
			return nil, err
		}
		if formula == "" {
			formula = c.Text
		}
		if !reachesOut(formula) {
			continue
		}
		shared = c.Sheet
		all = append(all, outside{yard.Cell{Sheet: c.Sheet, Ref: ref, Text: c.Value}, formula})
	}
	for _, o := range all {
		if err := f.SetCellFormula(o.cell.Sheet, o.cell.Ref, ""); err != nil {
			return nil, err
		}
	}
	slices.SortStableFunc(all, func(a, b outside) int { return cmp.Compare(a.cell.Sheet, b.cell.Sheet) })
	return all, nil
}

var (
	definedName = lazily(`(<(?:\w+:)?definedName\b[^>]*>)([^<]*)(</(?:\w+:)?definedName>)`)
	ruleFormula = lazily(`(<(?:\w+:)?(?:formula|formula1|formula2|f)>)([^<]*)(</(?:\w+:)?(?:formula|formula1|formula2|f)>)`)
	linkList    = lazily(`<(?:\w+:)?externalReferences\b.*?(?:</(?:\w+:)?externalReferences>|/>)`)
	linkEntry   = lazily(`<(?:Relationship|Override)\b[^>]*(?:/externalLink|/connections|externalLink\d*\.xml|connections\.xml)[^>]*(?:/>|></(?:Relationship|Override)>)`)
)

// withoutLinks takes the workbook's links to others out of a copy whose formulas need
// them no more. Names and rules that used them say #REF!, as a spreadsheet program
// writes of what is gone.
func withoutLinks(data []byte) ([]byte, error) {
	cut := func(b []byte, pattern func() *regexp.Regexp) []byte {
		return pattern().ReplaceAllFunc(b, func(m []byte) []byte {
			part := pattern().FindSubmatch(m)
			text := strings.NewReplacer("&quot;", `"`, "&apos;", "'", "&amp;", "&", "&lt;", "<", "&gt;", ">").Replace(string(part[2]))
			if !reachesOut(text) {
				return m
			}
			return []byte(string(part[1]) + "#REF!" + string(part[3]))
		})
	}
	return xlsx.Repack(data, func(name string, b []byte) ([]byte, bool) {
		low := strings.ToLower(name)
		switch {
		case strings.HasPrefix(low, "xl/externallinks/") || low == "xl/connections.xml":
			return nil, false
		case name == xlsx.TypesPart || name == xlsx.RelsPart:
			b = linkEntry().ReplaceAll(b, nil)
		case low == "xl/workbook.xml":
			b = cut(linkList().ReplaceAll(b, nil), definedName)
		case strings.HasPrefix(low, "xl/worksheets/") && strings.HasSuffix(low, ".xml"):
			b = cut(b, ruleFormula)
		}
		return b, true
	})
}

// hasLinks says whether the workbook names another, or a source of data.
func hasLinks(data []byte) bool {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	return err == nil && slices.ContainsFunc(z.File, func(f *zip.File) bool {
		low := strings.ToLower(f.Name)
		return strings.HasPrefix(low, "xl/externallinks/") || low == "xl/connections.xml"
	})
}

// told is what the list says of a formula that reaches out.
func (o outside) told() yard.Saying {
	return yard.Say("corrections.outside", yard.Words("formula", shortened(o.formula, 400)), wrote("value", o.cell.Text))
}
