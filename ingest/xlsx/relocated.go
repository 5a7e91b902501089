package xlsx

import (
	"archive/zip"
	"bytes"
	"path"
	"strings"
)

// InUsualPlaces gives a workbook whose parts are named or placed in an unusual way as
// one with the usual names, its parts byte for byte as they are: names with backslashes,
// in other capitals, or a workbook part elsewhere than xl/workbook.xml, as the package
// says by its relations (ECMA-376 part 2, §9.3); or parts in other letters than UTF-8,
// which are then not byte for byte the same. All later looks, and the proof that
// nothing is read short, are at what it returns. Where there is nothing to do, or no
// workbook is to be found, the data comes back as it is.
func InUsualPlaces(data []byte) []byte {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil || len(data) > MaxFileBytes || len(z.File) > MaxParts {
		return data
	}
	usual, odd, total := false, false, uint64(0)
	for _, f := range z.File {
		usual = usual || f.Name == "xl/workbook.xml"
		odd = odd || strings.Contains(f.Name, `\`) || otherLetters(f)
		total += f.UncompressedSize64
	}
	if usual && !odd || total > MaxUnzipped {
		return data
	}
	var parts []Part
	at := map[string]int{} // by name in small letters
	for _, f := range z.File {
		name := strings.TrimPrefix(strings.ReplaceAll(f.Name, `\`, "/"), "/")
		text, err := readPart(f, maxPart)
		if _, twice := at[strings.ToLower(name)]; err != nil || twice {
			return data // the later look says what is wrong with it
		}
		if strings.HasSuffix(name, "/") && text == "" {
			continue
		}
		at[strings.ToLower(name)] = len(parts)
		parts = append(parts, Part{name, []byte(inUTF8(text))})
	}
	workbook := rootTarget(parts, at)
	if workbook == "" {
		return data
	}
	if strings.ToLower(workbook) != "xl/workbook.xml" {
		if !relocate(parts, at, workbook) {
			return data
		}
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, p := range parts {
		switch strings.ToLower(p.Name) { // the names the spreadsheet library looks for
		case "xl/workbook.xml", "_rels/.rels", "xl/_rels/workbook.xml.rels":
			p.Name = strings.ToLower(p.Name)
		case "[content_types].xml":
			p.Name = TypesPart
		}
		to, err := w.CreateHeader(&zip.FileHeader{Name: p.Name, Method: zip.Deflate})
		if err == nil {
			_, err = to.Write(p.Data)
		}
		if err != nil {
			return data
		}
	}
	if w.Close() != nil {
		return data
	}
	return out.Bytes()
}

// rootTarget is the part that the package says is its workbook; xl/workbook.xml where it
// does not say; "" if there is none.
func rootTarget(parts []Part, at map[string]int) (workbook string) {
	if i, ok := at["_rels/.rels"]; ok {
		err := tokens(string(parts[i].Data), func(t *token) error {
			if t.kind == elementStart && t.name == "Relationship" {
				kind, _ := t.attr("Type")
				target, _ := t.attr("Target")
				if path.Base(kind) == "officeDocument" && workbook == "" {
					workbook = path.Clean(strings.TrimPrefix(strings.ReplaceAll(target, `\`, "/"), "/"))
				}
			}
			return nil
		})
		if err != nil {
			return ""
		}
	}
	if workbook == "" {
		workbook = "xl/workbook.xml"
	}
	if _, ok := at[strings.ToLower(workbook)]; !ok {
		return ""
	}
	return workbook
}

// relocate moves the workbook part, and all that is in its folder, into xl, where the
// texts and the styles get the names by which they are looked for. It is false where two
// parts would meet in one place.
func relocate(parts []Part, at map[string]int, workbook string) bool {
	dir := path.Dir(workbook)
	relsName := path.Join(dir, "_rels", path.Base(workbook)+".rels")
	i, ok := at[strings.ToLower(relsName)]
	if !ok {
		return false
	}
	named := map[string]string{strings.ToLower(workbook): "xl/workbook.xml", strings.ToLower(relsName): "xl/_rels/workbook.xml.rels"}
	for _, r := range relationTag().FindAllString(string(parts[i].Data), -1) {
		target, kind := targetOf().FindStringSubmatch(r), kindOf().FindStringSubmatch(r)
		if target == nil || kind == nil {
			continue
		}
		switch part := strings.ToLower(fromRoot(target[1], dir)); kind[1] {
		case "sharedStrings":
			named[part] = "xl/sharedStrings.xml"
		case "styles":
			named[part] = StylesPart
		}
	}
	place := func(name string) string {
		if to, is := named[strings.ToLower(name)]; is {
			return to
		}
		low := strings.ToLower(name)
		switch {
		case low == "[content_types].xml" || low == "_rels/.rels" || strings.HasPrefix(low, "docprops/") || strings.HasPrefix(low, "customxml/"):
			return name
		case dir == ".":
			return "xl/" + name
		case strings.HasPrefix(low, strings.ToLower(dir)+"/"):
			return "xl/" + name[len(dir)+1:]
		}
		return name
	}
	taken := map[string]bool{}
	for j, p := range parts {
		switch low := strings.ToLower(p.Name); {
		case strings.HasSuffix(low, ".rels"):
			of := path.Dir(path.Dir(p.Name)) // addresses in it start from there
			parts[j].Data = []byte(relationTag().ReplaceAllStringFunc(string(p.Data), func(r string) string {
				target := targetOf().FindStringSubmatch(r)
				if target == nil || strings.Contains(r, `TargetMode="External"`) {
					return r
				}
				return strings.Replace(r, target[0], `Target="/`+place(fromRoot(target[1], of))+`"`, 1)
			}))
		case low == "[content_types].xml":
			parts[j].Data = []byte(overrideTag().ReplaceAllStringFunc(string(p.Data), func(o string) string {
				name := partNameOf().FindStringSubmatch(o)
				if name == nil {
					return o
				}
				return strings.Replace(o, name[0], `PartName="/`+place(fromRoot(name[1], "."))+`"`, 1)
			}))
		}
		parts[j].Name = place(p.Name)
		if low := strings.ToLower(parts[j].Name); taken[low] {
			return false
		} else {
			taken[low] = true
		}
	}
	return true
}

// fromRoot is the part that an address in dir means.
func fromRoot(target, dir string) string {
	target = strings.ReplaceAll(target, `\`, "/")
	if strings.HasPrefix(target, "/") {
		return path.Clean(target[1:])
	}
	return path.Join(dir, target)
}

var (
	relationTag = lazily(`<Relationship\b[^>]*(?:/>|></Relationship>)`)
	overrideTag = lazily(`<Override\b[^>]*(?:/>|></Override>)`)
	targetOf    = lazily(`\bTarget\s*=\s*["']([^"']*)["']`)
	partNameOf  = lazily(`\bPartName\s*=\s*["']([^"']*)["']`)
	kindOf      = lazily(`\bType\s*=\s*["'][^"']*/(\w+)["']`)
)
