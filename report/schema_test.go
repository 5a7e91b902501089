package report_test

import (
	"encoding/json"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"hardfeed/ingest"
	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/record"
	"hardfeed/report/reporttest"
	"hardfeed/report/words"
	"hardfeed/templates"
)

// schemaOf compiles the schema; closed lets no field pass that it does not describe.
func schemaOf(t *testing.T, closed bool) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(record.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	if closed {
		close(doc)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	c.AssertFormat()
	if err := c.AddResource("results.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("results.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func close(v any) {
	switch v := v.(type) {
	case map[string]any:
		if _, ok := v["properties"].(map[string]any); ok {
			v["additionalProperties"] = false
		}
		for _, x := range v {
			close(x)
		}
	case []any:
		for _, x := range v {
			close(x)
		}
	}
}

func demoWeek(t *testing.T) yard.Week {
	t.Helper()
	data, err := templates.Demo()
	if err != nil {
		t.Fatal(err)
	}
	w, err := ingest.Read("demo.xlsx", data, ingest.Options{})
	if err != nil {
		t.Fatal(err)
	}
	return w
}

func resultsOf(t *testing.T, p yard.Plan, m words.Meta) any {
	t.Helper()
	text, err := record.JSON(p, m)
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
	if err != nil {
		t.Fatal(err)
	}
	return doc
}

// What is written is as the schema says, and the schema says all that is written:
// the demo yard, random yards, and a second edition.
func TestResultsAreAsTheSchemaSays(t *testing.T) {
	s := schemaOf(t, true)
	check := func(what string, p yard.Plan, m words.Meta) {
		t.Helper()
		if err := s.Validate(resultsOf(t, p, m)); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	demo := ration.Plan(demoWeek(t), ration.DefaultRules())
	check("the demo yard", demo, words.Meta{Version: "1.2.3"})
	check("a second edition", demo, words.Meta{Version: "1.2.3", Edition: 2, Changes: []words.EditionChange{{Horse: "Juniper", What: "weight"}}})
	r := rand.New(rand.NewPCG(24, 7))
	for range 60 {
		p := ration.Plan(reporttest.RandomWeek(r), ration.DefaultRules())
		check("a random yard", p, words.Meta{Version: "1.2.3"})
		if t.Failed() {
			return
		}
	}
}

// A record that is wrong in one place is not a record by the schema; one with more than it
// knows is.
func TestTheSchemaRefusesWhatIsWrong(t *testing.T) {
	s := schemaOf(t, false)
	demo := ration.Plan(demoWeek(t), ration.DefaultRules())
	good, err := record.JSON(demo, words.Meta{Version: "1.2.3"})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name, at string
		value    any // nil: null; remove: taken out
		fits     bool
	}{
		{"as written", "yard", "Cold Brook", true},
		{"a field of a later version", "horses.0.new_field", 1.5, true},
		{"another schema", "schema", 2.0, false},
		{"another program", "program", "somebody", false},
		{"no week", "week", nil, true},
		{"a week in words", "week", "30 November", false},
		{"a day that is none", "week", "2026-02-30", false},
		{"no horses", "horses", remove, false},
		{"a horse without a name", "horses.0.name", remove, false},
		{"a status of its own", "horses.0.status", "fine", false},
		{"a number as text", "horses.0.body_weight_kg", "500", false},
		{"an unknown number", "horses.0.body_weight_kg", nil, true},
		{"a weight below nothing", "horses.0.body_weight_kg", -1.0, false},
		{"a fall", "horses.0.step.rise_kg", -1.0, true},
		{"six days", "horses.0.days.6", remove, false},
		{"unknown work", "horses.0.days.0.sessions", nil, true},
		{"work as text", "horses.0.days.0.sessions", "hack 60", false},
		{"a finding without a severity", "findings.0.severity", remove, false},
		{"a severity of its own", "findings.0.severity", "bad", false},
		{"a serving on no day of the week", "horses.0.ration.0.from", "Someday", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			var doc any
			if err := json.Unmarshal(good, &doc); err != nil {
				t.Fatal(err)
			}
			doc = with(doc, strings.Split(c.at, "."), c.value)
			err := s.Validate(doc)
			if (err == nil) != c.fits {
				t.Errorf("fits %v, want %v: %v", err == nil, c.fits, err)
			}
		})
	}
}

var remove = new(int)

// with is a JSON value with another value at a path.
func with(v any, path []string, value any) any {
	if len(path) == 0 {
		return value
	}
	switch v := v.(type) {
	case map[string]any:
		if len(path) == 1 && value == any(remove) {
			delete(v, path[0])
			return v
		}
		v[path[0]] = with(v[path[0]], path[1:], value)
		return v
	case []any:
		i := int(path[0][0] - '0')
		if len(path) == 1 && value == any(remove) {
			return append(v[:i:i], v[i+1:]...)
		}
		v[i] = with(v[i], path[1:], value)
		return v
	}
	panic("no such place: " + strings.Join(path, "."))
}
