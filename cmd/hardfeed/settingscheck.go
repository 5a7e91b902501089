package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"hardfeed/ration/yard"
)

// checkFile looks at the file before viper does, because viper says neither
// the line of a wrong key nor anything of a key given twice in another case,
// and takes text for a number.
func checkFile(path string, data []byte, keys []key) error {
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	if err := dec.Decode(&doc); errors.Is(err, io.EOF) {
		return nil // an empty file sets nothing
	} else if err != nil {
		return refuse("The settings file %s is not proper YAML: %s.", path, strings.TrimPrefix(err.Error(), "yaml: "))
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		return refuse("The settings file %s has more than one document in it. Only one is read. Take out the line with ---.", path)
	}
	c := fileChecker{path: path, leaf: map[string]reflect.Kind{}}
	for _, k := range keys {
		c.leaf[k.name] = k.byValue.Kind()
	}
	root := doc.Content[0]
	if root.Kind == yaml.ScalarNode && root.Tag == "!!null" {
		return nil
	}
	return c.group("", root)
}

type fileChecker struct {
	path string
	leaf map[string]reflect.Kind
}

func (c fileChecker) refuse(n *yaml.Node, format string, args ...any) error {
	return refuse("Settings file %s, line %d: %s", c.path, n.Line, fmt.Sprintf(format, args...))
}

// group checks one mapping; prefix is "" or a group's name with its dot.
func (c fileChecker) group(prefix string, n *yaml.Node) error {
	if n.Kind != yaml.MappingNode {
		if prefix == "" {
			return c.refuse(n, "settings are written one a line, as name: value.")
		}
		return c.refuse(n, "%s is a group: its settings stand below it, set in by two spaces, as name: value.", strings.TrimSuffix(prefix, "."))
	}
	seen := map[string]int{}
	for i := 0; i < len(n.Content); i += 2 {
		k, v := n.Content[i], n.Content[i+1]
		name := prefix + strings.ToLower(k.Value)
		if at, ok := seen[name]; ok {
			return c.refuse(k, "%s stands here and on line %d (large and small letters are the same). Take one out.", name, at)
		}
		seen[name] = k.Line
		kind, isLeaf := c.leaf[name]
		var err error
		switch {
		case k.Kind != yaml.ScalarNode || strings.Contains(k.Value, "."):
			err = c.unknown(k, prefix, k.Value)
		case name == "mail.password":
			err = c.refuse(k, "a password never stands in the settings; put it into the variable %s, or alone into a file that mail.password_file names.", passwordVariable)
		case isLeaf && name == "synonyms":
			err = c.synonyms(v)
		case isLeaf && kind == reflect.Slice:
			err = c.words(name, v)
		case isLeaf:
			err = c.value(name, kind, v)
		case prefix == "" && c.isGroup(name):
			err = c.group(name+".", v)
		default:
			err = c.unknown(k, prefix, k.Value)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (c fileChecker) isGroup(name string) bool {
	for leaf := range c.leaf {
		if strings.HasPrefix(leaf, name+".") {
			return true
		}
	}
	return false
}

// unknown names the nearest known key, looked for among all of them: a key of
// a group is easily written outside it.
func (c fileChecker) unknown(k *yaml.Node, prefix, word string) error {
	byWord := map[string]string{}
	for leaf := range c.leaf {
		group, name, ok := strings.Cut(leaf, ".")
		if !ok {
			byWord[leaf] = leaf
			continue
		}
		byWord[group] = group
		byWord[name] = name + " in the group " + group
	}
	var words []string
	for w := range byWord {
		words = append(words, w)
	}
	slices.Sort(words)
	_, last, dotted := strings.Cut(word, ".")
	if !dotted {
		last = word
	}
	hint := " All settings stand in the file that hardfeed starter --settings FILE.yaml writes."
	if near := yard.Nearest(last, words); near != "" {
		hint = fmt.Sprintf(" Did you mean %s?", byWord[near])
	}
	return c.refuse(k, "there is no setting %s.%s", prefix+word, hint)
}

func (c fileChecker) value(name string, kind reflect.Kind, v *yaml.Node) error {
	if v.Kind == yaml.AliasNode {
		v = v.Alias
	}
	wrong := func(want string) error { return c.refuse(v, "%s is %q; it should be %s.", name, v.Value, want) }
	if v.Kind != yaml.ScalarNode {
		return c.refuse(v, "%s takes a single value.", name)
	}
	switch tag := v.ShortTag(); {
	case tag == "!!null":
		return c.refuse(v, "%s has no value. Give it one, or take the line out.", name)
	case kind == reflect.Float64 && tag != "!!int" && tag != "!!float":
		return wrong("a number such as 2 or 1.5, with a point and no unit")
	case kind == reflect.Int && tag != "!!int":
		return wrong("a whole number")
	case kind == reflect.Bool && tag != "!!bool":
		return wrong("true or false")
	case kind == reflect.String && tag != "!!str":
		return wrong("a word")
	}
	return nil
}

// words checks a list of words.
func (c fileChecker) words(name string, v *yaml.Node) error {
	form := fmt.Sprintf("%s is a list: each entry has a line of its own, set in by two spaces, with - before it.", name)
	if v.Kind != yaml.SequenceNode {
		return c.refuse(v, "%s", form)
	}
	for _, entry := range v.Content {
		if entry.Kind != yaml.ScalarNode || entry.ShortTag() != "!!str" || strings.TrimSpace(entry.Value) == "" {
			return c.refuse(entry, "%s", form)
		}
	}
	return nil
}

func (c fileChecker) synonyms(v *yaml.Node) error {
	const form = "synonyms is a list; each entry has two lines, - column: weight and below it word: Kilos."
	if v.Kind != yaml.SequenceNode {
		return c.refuse(v, form)
	}
	for _, entry := range v.Content {
		if entry.Kind != yaml.MappingNode || len(entry.Content) != 4 {
			return c.refuse(entry, form)
		}
		got := map[string]bool{}
		for i := 0; i < 4; i += 2 {
			k, w := entry.Content[i], entry.Content[i+1]
			if w.Kind != yaml.ScalarNode || w.ShortTag() == "!!null" || strings.TrimSpace(w.Value) == "" {
				return c.refuse(w, form)
			}
			if w.ShortTag() != "!!str" {
				return c.refuse(w, "put %s in quotation marks, so that it is read as a word.", w.Value)
			}
			got[k.Value] = true
		}
		if !got["column"] || !got["word"] {
			return c.refuse(entry, form)
		}
	}
	return nil
}
