package inbox

import (
	"archive/zip"
	"bytes"
	"io"
)

// maxUnzipped bounds the check: what unpacks to more is left to the reader,
// which refuses it.
const maxUnzipped = 256 << 20

// ripe says whether a file can be judged now: it is a whole zip, or it is
// something that no further writing turns into one. A copy on its way is
// neither: its start is that of a zip, or nothing but zeros, and its end is missing.
func ripe(data []byte) bool {
	head := data[:min(len(data), 4)]
	if !bytes.HasPrefix([]byte("PK\x03\x04"), head) && len(bytes.Trim(head, "\x00")) > 0 && !bytes.HasPrefix(data, []byte("PK")) {
		return true
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return false
	}
	left := int64(maxUnzipped)
	for _, part := range z.File {
		r, err := part.Open()
		if err != nil {
			return false
		}
		n, err := io.Copy(io.Discard, io.LimitReader(r, left))
		r.Close()
		if err != nil { // a checksum too: it comes at the part's end
			return false
		}
		if left -= n; left <= 0 {
			return true
		}
	}
	return true
}
