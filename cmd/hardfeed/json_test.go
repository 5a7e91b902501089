package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
)

// oneJSONObject says why data is not one JSON object followed by nothing.
func oneJSONObject(data []byte) error {
	dec := json.NewDecoder(bytes.NewReader(data))
	var object map[string]any
	if err := dec.Decode(&object); err != nil {
		return err
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return errors.New("something follows the JSON object")
	}
	return nil
}
