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
	page   string // of HTML
	files  []Attachment
}

// parse reads a message with the standard library, which did not write it.
func parse(t testing.TB, eml []byte) parsed {
	t.Helper()
	m, err := mail.ReadMessage(bytes.NewReader(eml))
	if err != nil {
		t.Fatal(err)
	}
	p := parsed{header: m.Header}
	p.part(t, m.Header.Get("Content-Type"), "", m.Body)
	return p
}

// part reads one part of a message, and those in it.
func (p *parsed) part(t testing.TB, kind, file string, body io.Reader) {
	t.Helper()
	kind, params, err := mime.ParseMediaType(kind)
	if err != nil {
		t.Fatal(err)
	}
	read := func(r io.Reader) []byte {
		data, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		return data
	}
	plain := func() string { return strings.ReplaceAll(string(read(quotedprintable.NewReader(body))), "\r\n", "\n") }
	switch {
	case file != "":
		p.files = append(p.files, Attachment{file, read(base64.NewDecoder(base64.StdEncoding, body))})
	case kind == "text/plain" && p.text == "" && p.page == "":
		p.text = plain()
	case kind == "text/html" && p.text != "" && p.page == "":
		p.page = plain()
	case kind == "multipart/mixed" || kind == "multipart/alternative":
		parts := multipart.NewReader(body, params["boundary"])
		for {
			part, err := parts.NextRawPart()
			if err == io.EOF {
				return
			}
			if err != nil {
				t.Fatal(err)
			}
			p.part(t, part.Header.Get("Content-Type"), part.FileName(), part)
		}
	default:
		t.Fatalf("a part is %s", kind)
	}
}
