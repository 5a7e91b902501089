package xlsx

import (
	"archive/zip"
	"bytes"
)

// Names of parts.
const (
	TypesPart  = "[Content_Types].xml"
	RelsPart   = "xl/_rels/workbook.xml.rels"
	StylesPart = "xl/styles.xml"
)

type Part struct {
	Name string
	Data []byte
}

// Repack writes the parts of a workbook anew, each as change returns it or
// not at all, and adds others. Unchanged bytes come back as they are.
func Repack(data []byte, change func(name string, b []byte) (_ []byte, keep bool), added ...Part) ([]byte, error) {
	in, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, err
	}
	var parts []Part
	same := len(added) == 0
	for _, f := range in.File {
		part, err := readPart(f, MaxUnzipped)
		if err != nil {
			return nil, err
		}
		b := []byte(part)
		now, keep := change(f.Name, b)
		same = same && keep && bytes.Equal(b, now)
		if keep {
			parts = append(parts, Part{f.Name, now})
		}
	}
	if same {
		return data, nil
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, p := range append(parts, added...) {
		to, err := w.CreateHeader(&zip.FileHeader{Name: p.Name, Method: zip.Deflate})
		if err != nil {
			return nil, err
		}
		if _, err := to.Write(p.Data); err != nil {
			return nil, err
		}
	}
	if err := w.Close(); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
