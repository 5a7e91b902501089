package post

import (
	"bytes"
	"encoding/base64"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"strings"
	"testing"
)

func header(t testing.TB, eml []byte) mail.Header {
	t.Helper()
	m, err := mail.ReadMessage(bytes.NewReader(eml))
	if err != nil {
		t.Fatal(err)
	}
	return m.Header
}

type parsed struct {
	header mail.Header
	text   string
	files  []Attachment
}

// parse reads a message with the standard library, which did not write it.
func parse(t testing.TB, eml []byte) parsed {
	t.Helper()
	m, err := mail.ReadMessage(bytes.NewReader(eml))
	if err != nil {
		t.Fatal(err)
	}
	kind, params, err := mime.ParseMediaType(m.Header.Get("Content-Type"))
	if err != nil {
		t.Fatal(err)
	}
	p := parsed{header: m.Header}
	text := func(r io.Reader) {
		data, err := io.ReadAll(quotedprintable.NewReader(r))
		if err != nil {
			t.Fatal(err)
		}
		p.text = strings.ReplaceAll(string(data), "\r\n", "\n")
	}
	if kind == "text/plain" {
		text(m.Body)
		return p
	}
	if kind != "multipart/mixed" {
		t.Fatalf("the message is %s", kind)
	}
	parts := multipart.NewReader(m.Body, params["boundary"])
	for n := 0; ; n++ {
		part, err := parts.NextRawPart()
		if err == io.EOF {
			return p
		}
		if err != nil {
			t.Fatal(err)
		}
		if n == 0 {
			if k, _, err := mime.ParseMediaType(part.Header.Get("Content-Type")); err != nil || k != "text/plain" {
				t.Fatalf("the first part is %s, %v", k, err)
			}
			text(part)
			continue
		}
		data, err := io.ReadAll(base64.NewDecoder(base64.StdEncoding, part))
		if err != nil {
			t.Fatal(err)
		}
		p.files = append(p.files, Attachment{part.FileName(), data})
	}
}
