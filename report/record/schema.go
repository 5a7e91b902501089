package record

import _ "embed"

//go:embed schema.json
var schemaText string

// Schema is the JSON Schema (draft 2020-12) of results.json.
func Schema() string { return schemaText }
