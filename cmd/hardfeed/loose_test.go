package main

import (
	"archive/zip"
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"testing"
)

func writeTo(t *testing.T, name string, data []byte) {
	t.Helper()
	if err := os.WriteFile(name, data, 0o640); err != nil {
		t.Fatal(err)
	}
}

func contextThatStops(t *testing.T) (context.Context, func()) { return context.WithCancel(t.Context()) }

func octal(mask int) string { return fmt.Sprintf("%03o", mask) }

// inParts changes the parts of a workbook.
func inParts(t *testing.T, data []byte, change func(string) string) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		part, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		p, err := w.Create(f.Name)
		if err == nil {
			_, err = io.WriteString(p, change(string(part)))
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}
