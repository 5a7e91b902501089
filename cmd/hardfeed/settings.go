package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"github.com/go-viper/mapstructure/v2"
	"github.com/spf13/pflag"
	"github.com/spf13/viper"
	"go.yaml.in/yaml/v3"

	"hardfeed/ingest"
	"hardfeed/ration"
	"hardfeed/ration/yard"
	"hardfeed/report/post"
	"hardfeed/report/words"
	"hardfeed/templates"
)

// Settings is all that may be set, by flag, HARDFEED_ variable, settings file
// or default, in that order. A key is its field's name in snake case; inside a
// group the group's name and a dot stand before it. It is read once, checked
// once and not changed afterwards.
type Settings struct {
	WorkModel       string
	PaceMPerMin     Paces
	HillGradientPct float64
	Going           float64
	ForageIntakePct float64
	GrazingPct      float64
	Hemisphere      string // "north" or "south": when winter is
	ForageSelenium  string // "table", or "low" where the soil is poor in selenium
	LowerCriticalC  float64
	ConditionDays   float64
	RestDayFactor   float64
	EnergyBandPct   float64
	WeightStaleDays int
	Limits          yard.Limits
	LoosenedBy      string // who makes a mark laxer than the table's
	LoosenedReason  string // and why; without both none may be
	CardsPerPage    int
	Paper           string // "A4", "Letter", or "" to follow the workbook
	Language        string // of the cards and the scoop sheet: "de", or two, the first large: "en, pl"
	Headings        string // languages of the workbook's headings beside English: "de", "de, fr"
	Synonyms        []Synonym
	Watch           Watch
	Mail            Mail
}

// Watch is how a drop folder is watched.
type Watch struct {
	LookEverySeconds float64 // between looks where nothing tells of a change
	SettleSeconds    float64 // a workbook is taken once it has not changed for so long
	PatienceMinutes  float64 // a file that is not whole is judged after so long without a change
	AtOnce           int     // workbooks worked out side by side
	NextWeek         bool    // next week's workbook is put beside the cards
}

// Mail is how finished folders reach the weekend staff. Without a host nothing
// is sent by itself.
type Mail struct {
	Host         string
	Port         int    // 0: the usual one for TLS
	TLS          string // "starttls", "implicit" or "none"
	User         string
	PasswordFile string
	From         string
	To           []string
	ReplyTo      string
	Attach       []string // of "cards", "scoops" and "office"
	MostMB       float64  // size of one mail on its way
	Outbox       string   // folder; "": .hardfeed/outbox beside the finished folder
}

// Paces are speeds in metres a minute, by gait.
type Paces struct{ Walk, Trot, Canter, Gallop, Jump float64 }

// Synonym is a heading of the yard's own for one of the workbook's columns. It
// is a list and not a map because viper folds the case of a map's keys.
type Synonym struct {
	Column string // the column as hardfeed calls it, one of [ingest.ColumnKeys]: "weight"
	Word   string // the heading as the yard writes it
}

func defaultSettings() Settings {
	r := ration.DefaultRules()
	return Settings{
		WorkModel: string(r.WorkModel),
		PaceMPerMin: Paces{r.PaceMPerMin[yard.Walk], r.PaceMPerMin[yard.Trot], r.PaceMPerMin[yard.Canter],
			r.PaceMPerMin[yard.Gallop], r.PaceMPerMin[yard.Jump]},
		HillGradientPct: r.HillGradientPct, Going: r.Going, ForageIntakePct: r.ForageIntakePct, GrazingPct: r.GrazingPct,
		Hemisphere: string(r.Hemisphere), ForageSelenium: string(r.ForageSelenium),
		LowerCriticalC: r.LowerCriticalC, ConditionDays: r.ConditionDays, RestDayFactor: r.RestDayFactor,
		EnergyBandPct: r.EnergyBandPct, WeightStaleDays: r.WeightStaleDays, Limits: r.Limits,
		CardsPerPage: r.CardsPerPage, Paper: r.Paper, Language: "en", Synonyms: []Synonym{},
		Watch: Watch{LookEverySeconds: 5, SettleSeconds: 2, PatienceMinutes: 10, AtOnce: 2, NextWeek: true},
		Mail:  Mail{TLS: post.StartTLS, To: []string{}, Attach: []string{"cards", "scoops"}, MostMB: 20},
	}
}

func (s Settings) rules() yard.Rules {
	p := s.PaceMPerMin
	return yard.Rules{
		WorkModel:       yard.WorkModel(s.WorkModel),
		PaceMPerMin:     [yard.Gaits]float64{yard.Walk: p.Walk, yard.Trot: p.Trot, yard.Canter: p.Canter, yard.Gallop: p.Gallop, yard.Jump: p.Jump},
		HillGradientPct: s.HillGradientPct, Going: s.Going, ForageIntakePct: s.ForageIntakePct, GrazingPct: s.GrazingPct,
		Hemisphere: yard.Hemisphere(s.Hemisphere), ForageSelenium: yard.ForageSelenium(s.ForageSelenium),
		LowerCriticalC: s.LowerCriticalC, ConditionDays: s.ConditionDays, RestDayFactor: s.RestDayFactor,
		EnergyBandPct: s.EnergyBandPct, WeightStaleDays: s.WeightStaleDays, Limits: s.Limits, Loosened: s.loosened(),
		CardsPerPage: s.CardsPerPage, Paper: s.Paper,
	}
}

// loosened lists the marks made laxer than the reference table's.
func (s Settings) loosened() yard.Loosened {
	l := yard.Loosened{By: s.LoosenedBy, Reason: s.LoosenedReason}
	for _, k := range settingKeys() {
		if name, ok := strings.CutPrefix(k.name, "limits."); ok {
			if got, standard := valueOf(reflect.ValueOf(s), k.name).Float(), k.byValue.Float(); laxer(k.name, got, standard) {
				l.Marks = append(l.Marks, fmt.Sprintf("%s %v in place of %v", strings.ReplaceAll(name, "_", " "), got, standard))
			}
		}
	}
	if len(l.Marks) == 0 {
		return yard.Loosened{}
	}
	return l
}

func (s Settings) options() ingest.Options {
	words := map[string][]string{}
	for _, y := range append(shippedHeadings(s.Headings), s.Synonyms...) {
		column := strings.ToLower(y.Column)
		words[column] = append(words[column], y.Word)
	}
	return ingest.Options{Synonyms: words}
}

// languages takes the settings language and headings apart.
func languages(list string) []string {
	return strings.FieldsFunc(strings.ToLower(list), func(r rune) bool { return r == ',' || r == ' ' })
}

// shippedHeadings are the headings the program brings along for languages that
// were checked.
func shippedHeadings(list string) []Synonym {
	var all []Synonym
	for _, code := range languages(list) {
		text, err := templates.Headings(code)
		var file struct{ Synonyms []Synonym }
		if err == nil {
			err = yaml.Unmarshal(text, &file)
		}
		if err != nil {
			panic("settings: the headings " + code + " that are built in cannot be read: " + err.Error())
		}
		all = append(all, file.Synonyms...)
	}
	return all
}

func (s Settings) meta(week yard.Week) words.Meta {
	return words.Meta{Version: version, CardsPerPage: s.CardsPerPage, Paper: cmp.Or(s.Paper, week.Paper, "A4"), Languages: languages(s.Language)}
}

// key is one setting: its dotted name, where it stands in [Settings], and the
// value it has if nobody sets it.
type key struct {
	name    string
	at      []int
	byValue reflect.Value
}

// settingKeys walks the struct, so that a field can never lack its default,
// its variable or its check.
var settingKeys = sync.OnceValue(func() []key {
	var keys []key
	var walk func(prefix string, at []int, v reflect.Value)
	walk = func(prefix string, at []int, v reflect.Value) {
		for i := range v.NumField() {
			name, at := prefix+snake(v.Type().Field(i).Name), append(slices.Clone(at), i)
			if v.Field(i).Kind() == reflect.Struct {
				walk(name+".", at, v.Field(i))
				continue
			}
			keys = append(keys, key{name, at, v.Field(i)})
		}
	}
	walk("", nil, reflect.ValueOf(defaultSettings()))
	return keys
})

// snake turns PaceMPerMin into pace_m_per_min, OatsWarnKgPer500 into
// oats_warn_kg_per_500 and VitAStopIU into vit_a_stop_iu: letters that stand
// together as capitals are one word, but for the last before a small one.
func snake(field string) string {
	var b strings.Builder
	rs := []rune(field)
	for i, r := range rs {
		if i > 0 {
			after, before := i+1 < len(rs) && unicode.IsLower(rs[i+1]), rs[i-1]
			switch {
			case unicode.IsUpper(r) && (!unicode.IsUpper(before) || after), unicode.IsDigit(r) && !unicode.IsDigit(before):
				b.WriteByte('_')
			}
		}
		b.WriteRune(unicode.ToLower(r))
	}
	return b.String()
}

const envPrefix = "HARDFEED_"

func envName(key string) string {
	return envPrefix + strings.ToUpper(strings.ReplaceAll(key, ".", "_"))
}

// loadSettings reads the settings file (path may be empty: none), the
// HARDFEED_ variables and the flags, and checks the lot.
func loadSettings(path string, flags *pflag.FlagSet) (Settings, error) {
	var file []byte
	if path != "" {
		var err error
		if file, err = os.ReadFile(path); err != nil {
			return Settings{}, refuse("The settings file %s could not be read: %v.", path, reason(err))
		}
	}
	return settingsFrom(path, file, flags)
}

// settingsFrom does the same with the settings file's text at hand; no text
// sets nothing. The path is for sentences.
func settingsFrom(path string, file []byte, flags *pflag.FlagSet) (Settings, error) {
	v := viper.New()
	keys := settingKeys()
	for _, k := range keys {
		v.SetDefault(k.name, k.byValue.Interface())
	}
	v.SetConfigType("yaml")
	if err := checkFile(path, file, keys); err != nil {
		return Settings{}, err
	}
	if err := v.ReadConfig(bytes.NewReader(file)); err != nil {
		return Settings{}, refuse("The settings file %s could not be read: %v.", path, err)
	}
	if err := bindEnvironment(v, keys); err != nil {
		return Settings{}, err
	}
	for flag, name := range map[string]string{"paper": "paper", "cards-per-page": "cards_per_page"} {
		if f := flags.Lookup(flag); f != nil && f.Changed {
			if err := v.BindPFlag(name, f); err != nil {
				return Settings{}, err
			}
		}
	}
	var s Settings
	err := v.UnmarshalExact(&s, func(d *mapstructure.DecoderConfig) {
		d.WeaklyTypedInput = false
		d.DecodeHook = mapstructure.DecodeHookFuncType(numberFromText)
		names := map[string]string{} // each field is asked for as often as there are keys
		d.MatchName = func(key, field string) bool {
			if names[field] == "" {
				names[field] = snake(field)
			}
			return strings.EqualFold(key, names[field])
		}
	})
	if err != nil {
		return Settings{}, refuse("The settings could not be used: %v.", err)
	}
	return s, s.check()
}

// bindEnvironment has viper take each key's variable, once its text is one for the kind
// of its target. An unset or empty variable is as if it were not there.
func bindEnvironment(v *viper.Viper, keys []key) error {
	known := map[string]bool{}
	var names []string
	for _, k := range keys {
		names = append(names, envName(k.name))
		known[envName(k.name)] = true
	}
	for _, entry := range slices.Sorted(slices.Values(os.Environ())) {
		name, _, _ := strings.Cut(entry, "=")
		if !strings.HasPrefix(name, envPrefix) || name == passwordVariable || name == settingsVariable {
			continue // the password is no setting: it is read when it is used, and kept nowhere
		}
		if !known[name] {
			return refuse("There is no setting behind the variable %s.%s", name, didYouMean(name, names))
		}
	}
	for i, k := range keys {
		if text := os.Getenv(names[i]); text != "" {
			if _, err := parseAs(k.byValue.Kind(), text); err != nil {
				return refuse("The variable %s is %q; %v.", names[i], text, err)
			}
			if err := v.BindEnv(k.name, names[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// numberFromText is for variables, which are text: in the settings file text for a
// number was refused before.
func numberFromText(from, to reflect.Type, value any) (any, error) {
	if from.Kind() != reflect.String || to.Kind() != reflect.Float64 && to.Kind() != reflect.Int && to.Kind() != reflect.Bool {
		return value, nil
	}
	return parseAs(to.Kind(), value.(string))
}

func parseAs(kind reflect.Kind, text string) (any, error) {
	switch kind {
	case reflect.Float64:
		n, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return nil, errors.New("it should be a number such as 2 or 1.5, with a point and no unit")
		}
		return n, nil
	case reflect.Int:
		n, err := strconv.Atoi(text)
		if err != nil {
			return nil, errors.New("it should be a whole number")
		}
		return n, nil
	case reflect.Bool:
		b, err := strconv.ParseBool(text)
		if err != nil {
			return nil, errors.New("it should be true or false")
		}
		return b, nil
	case reflect.String:
		return text, nil
	}
	return nil, errors.New("a list can only stand in the settings file")
}

func didYouMean(word string, known []string) string {
	if n := yard.Nearest(word, known); n != "" {
		return fmt.Sprintf(" Did you mean %s?", n)
	}
	return " All settings stand in the file that hardfeed starter --settings FILE.yaml writes."
}

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
	form := fmt.Sprintf("%s is a list: each entry stands on its own line below it, set in by two spaces, with - before it.", name)
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

// span is the range a number may be set to, in the key's own unit.
type span struct{ low, high float64 }

// spans are the ranges of the numbers outside the group limits: wide enough for
// any yard, narrow enough to catch a wrong unit or a slipped point. They are
// ours; no source. The rest-day factor may only be made stricter than the half
// of row D-20.
func spans() map[string]span {
	return map[string]span{
		"pace_m_per_min.walk":   {50, 150},
		"pace_m_per_min.trot":   {130, 350},
		"pace_m_per_min.canter": {220, 550},
		"pace_m_per_min.gallop": {350, 1100},
		"pace_m_per_min.jump":   {220, 700},
		"hill_gradient_pct":     {0, 25},
		"going":                 {0.8, 2.5},
		"forage_intake_pct":     {1.25, 3.5},
		"grazing_pct":           {0.02, 0.3},
		"lower_critical_c":      {-40, 20},
		"condition_days":        {28, 365},
		"rest_day_factor":       {0, defaultSettings().RestDayFactor},
		"energy_band_pct":       {0.5, 15},
		"weight_stale_days":     {1, 120},
		"cards_per_page":        {1, 4},

		"watch.look_every_seconds": {0.1, 3600},
		"watch.settle_seconds":     {0.05, 600},
		"watch.patience_minutes":   {0.1, 1440},
		"watch.at_once":            {1, 32},
		"mail.port":                {0, 65535},
		"mail.most_mb":             {0.1, 150},
	}
}

// floors are the limits where more is stricter, each with how far it may be
// raised; all others are ceilings. Forage past 2.5 % of body weight is more than
// a horse can eat (common practice, no source); calcium to phosphorus past 2 to 1
// would flag sound rations; the days of a change end somewhere.
func floors() map[string]float64 {
	return map[string]float64{
		"limits.forage_warn_pct": 2.5, "limits.forage_stop_pct": 2.5, "limits.slim_forage_warn_pct": 2.5, "limits.slim_forage_stop_pct": 2.5,
		"limits.ca_p_stop_low": 2, "limits.ca_p_warn_low": 2,
		"limits.new_feed_days_warn": 28, "limits.new_feed_days_stop": 28, "limits.new_hay_days_warn": 42, "limits.new_hay_days_stop": 42,
		"limits.oil_rise_days_warn": 42, "limits.stack_days": 42, "limits.vit_e_per_ml_oil": 3,
	}
}

// check refuses what cannot be meant. It says the first fault found, in the
// order of the settings file.
func (s *Settings) check() error {
	if !slices.Contains(yard.WorkModels(), yard.WorkModel(s.WorkModel)) {
		return refuse("work_model is %q. It can be pace (by speed and minutes), hourly (by kind of work and minutes) or class (by the week's class).", s.WorkModel)
	}
	if h := yard.Hemisphere(s.Hemisphere); h != yard.North && h != yard.South {
		return refuse("hemisphere is %q. It can be north (winter is December to February) or south (winter is June to August).", s.Hemisphere)
	}
	if f := yard.ForageSelenium(s.ForageSelenium); f != yard.SeleniumByTable && f != yard.SeleniumLow {
		return refuse("forage_selenium is %q. It can be table (the figures of the feed table) or low (the soil here is poor in selenium).", s.ForageSelenium)
	}
	for _, k := range settingKeys() {
		got := valueOf(reflect.ValueOf(*s), k.name)
		var n float64
		switch got.Kind() {
		case reflect.Float64:
			n = got.Float()
		case reflect.Int:
			n = float64(got.Int())
		default:
			continue
		}
		if math.IsNaN(n) || math.IsInf(n, 0) {
			return refuse("%s is not a number one can work with.", k.name)
		}
		if strings.HasPrefix(k.name, "limits.") {
			if err := s.checkLimit(k.name, n, k.byValue.Float()); err != nil {
				return err
			}
			continue
		}
		r, ok := spans()[k.name]
		if !ok {
			panic("settings: no range for " + k.name)
		}
		if n < r.low || n > r.high {
			return refuse("%s is %v. It should be from %v to %v.", k.name, n, r.low, r.high)
		}
	}
	if err := s.checkLanguage(); err != nil {
		return err
	}
	for _, code := range languages(s.Headings) {
		if known := templates.HeadingLanguages(); !slices.Contains(known, code) {
			return refuse("headings is %q. It can name %s (more than one with a comma between them), or be empty for English alone.", s.Headings, strings.Join(known, ", "))
		}
	}
	for _, y := range s.Synonyms {
		if columns := ingest.ColumnKeys(); !slices.Contains(columns, strings.ToLower(y.Column)) {
			hint := " The columns are: " + strings.Join(columns, ", ") + "."
			if near := yard.Nearest(y.Column, columns); near != "" {
				hint = fmt.Sprintf(" Did you mean %s?", near)
			}
			return refuse("synonyms names a column %q, and there is none.%s", y.Column, hint)
		}
	}
	if doubt := ingest.Ambiguous(s.options()); !doubt.Empty() {
		return refuse("Of the synonyms, %s: take it out of one of them.", words.AsWritten(doubt))
	}
	if s.CardsPerPage == 3 {
		return refuse("cards_per_page is 3. It should be 1, 2 or 4.")
	}
	switch {
	case s.Paper == "":
	case strings.EqualFold(s.Paper, "A4"):
		s.Paper = "A4"
	case strings.EqualFold(s.Paper, "Letter"):
		s.Paper = "Letter"
	default:
		return refuse("paper is %q. It should be A4 or Letter.", s.Paper)
	}
	if err := s.Mail.check(); err != nil {
		return err
	}
	return s.checkWarnBeforeStop()
}

// checkLanguage takes one language, or two that differ.
func (s *Settings) checkLanguage() error {
	codes, known := languages(s.Language), words.Languages()
	for _, code := range codes {
		if !slices.Contains(known, code) {
			return refuse("language is %q. It can name %s, or two of them with a comma between. The first is printed large, the second beside it.", s.Language, strings.Join(known, ", "))
		}
	}
	if len(codes) == 0 || len(codes) > 2 || len(codes) == 2 && codes[0] == codes[1] {
		return refuse("language is %q. It should name one language, or two that differ. A card has no room for more.", s.Language)
	}
	return nil
}

// laxer says whether a mark lets more pass than the reference table's.
func laxer(name string, got, standard float64) bool {
	if _, ok := floors()[name]; ok {
		return got < standard
	}
	return got > standard
}

// mostLaxer is how far a mark may be made laxer, by name and with a reason: any
// further is a slip of the pen (ours).
const mostLaxer = 2

// checkLimit takes a stricter mark as it comes, and a laxer one only with a name
// and a reason, which are printed.
func (s *Settings) checkLimit(name string, got, standard float64) error {
	top, floor := floors()[name]
	switch {
	case laxer(name, got, standard) && (strings.TrimSpace(s.LoosenedBy) == "" || strings.TrimSpace(s.LoosenedReason) == ""):
		return refuse("%s is %v. You can make this limit stricter than %v. To loosen it, write your name and your reason in loosened_by and loosened_reason.", name, got, standard)
	case !floor && got > standard*mostLaxer, floor && got < standard/mostLaxer:
		return refuse("%s is %v. Even with a name and a reason a limit can be at most %d times as loose as %v.", name, got, mostLaxer, standard)
	case floor && got > top:
		return refuse("%s is %v. It should be at most %v.", name, got, top)
	case got <= 0:
		return refuse("%s is %v. It should be above 0 and at most %v.", name, got, standard)
	}
	return nil
}

// checkWarnBeforeStop refuses a stop mark that would be passed before its
// warning mark: the warning would never be seen.
func (s *Settings) checkWarnBeforeStop() error {
	v := reflect.ValueOf(*s)
	for _, k := range settingKeys() {
		warn := strings.Replace(k.name+"_", "_stop_", "_warn_", 1)
		warn = strings.TrimSuffix(warn, "_")
		if warn == k.name {
			continue
		}
		mark := valueOf(v, warn)
		if !mark.IsValid() { // hard_feed_share_stop_pct has no warning mark
			continue
		}
		w, stop := mark.Float(), valueOf(v, k.name).Float()
		if _, ok := floors()[k.name]; ok {
			w, stop = stop, w
		}
		if w > stop {
			return refuse("%s (%v) is stricter than %s (%v), which would then never be reached. Make that one stricter too.",
				k.name, valueOf(v, k.name), warn, mark)
		}
	}
	return nil
}

// valueOf finds the field behind a key; the zero Value if there is none.
func valueOf(v reflect.Value, dotted string) reflect.Value {
	for _, k := range settingKeys() {
		if k.name == dotted {
			return v.FieldByIndex(k.at)
		}
	}
	return reflect.Value{}
}
