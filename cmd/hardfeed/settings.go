package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
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
// group the group's name and a dot are before it. It is read once, checked
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
	LoosenedBy      string // who makes a mark less strict than the table's
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
	SettleSeconds    float64 // a workbook is read once it has not changed for so long
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
	Attach       []string // of "cards", "scoops", "office" and "season"
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

// loosened lists the marks made less strict than the reference table's.
func (s Settings) loosened() yard.Loosened {
	l := yard.Loosened{By: s.LoosenedBy, Reason: s.LoosenedReason}
	for _, k := range settingKeys() {
		if name, ok := strings.CutPrefix(k.name, "limits."); ok {
			if got, standard := valueOf(reflect.ValueOf(s), k.name).Float(), k.byValue.Float(); lessStrict(k.name, got, standard) {
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

// hers is the language of what is written into copies of her workbook: the first of the
// cards', in her units.
func (s Settings) hers(week yard.Week) words.Language {
	t, err := words.LanguageOf(languages(s.Language)[0])
	if err != nil {
		t = words.English()
	}
	return t.In(week.Imperial)
}

// key is one setting: its dotted name, where it is in [Settings], and the
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
			continue // the password is not a setting: it is read when it is used, and kept nowhere
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
