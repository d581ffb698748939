package hazards

import (
	"cmp"
	"encoding/json"
	"slices"
	"strings"

	"canewright/hazards/text"
)

// Finding is one judged fact: code, values and units. It holds no words; Words makes them when it is shown.
type Finding struct {
	Code         string           `json:"code"`
	Level        Level            `json:"level"`
	About        string           `json:"about"` // id of the record judged
	AboutName    string           `json:"about_name,omitempty"`
	Measured     *Value           `json:"measured,omitempty"`
	Limit        *Value           `json:"limit,omitempty"`
	Values       map[string]Value `json:"values,omitempty"` // by the name the texts use
	Source       string           `json:"source,omitempty"` // citation, or a catalogue key "source.…"
	LimitVersion string           `json:"limit_version,omitempty"`
	Model        string           `json:"model,omitempty"`
	Corrections  []Correction     `json:"corrections,omitempty"` // what was taken off the readings it is judged on
}

// Words is a finding as shown or as signed.
type Words struct {
	What     string // what was found
	Measured string
	Limit    string
	Why      string // why it matters
	Source   string
	Next     string // what to do now
}

// Words says the finding in a language, in "us" or "metric" units. Measured and limit are blank where the finding has
// none. A number is printed with one decimal, with two within 0.1 of its limit.
func (f Finding) Words(lang text.Language, units string) Words {
	n := decimals(f.Measured, f.Limit, units)
	w := Words{Source: f.source(lang)}
	if f.Measured != nil {
		w.Measured = f.Measured.words(lang, units, n)
	}
	if f.Limit != nil {
		w.Limit = f.Limit.words(lang, units, n)
	}
	args := []any{"Name", f.AboutName, "Measured", f.Measured.words(lang, units, n), "Limit", f.Limit.words(lang, units, n)}
	for name, value := range f.Values {
		args = append(args, name, value.words(lang, units, 1))
	}
	key := "finding." + f.Code
	w.What = text.Say(lang, key+".what", args...)
	for _, c := range f.Corrections {
		w.What += " " + c.Words(lang, units)
	}
	w.Why = text.Say(lang, key+".why", args...)
	w.Next = text.Say(lang, key+".next", args...)
	return w
}

// source is the citation; one written as a catalogue key is looked up.
func (f Finding) source(lang text.Language) string { return sourceWords(lang, f.Source) }

func sourceWords(lang text.Language, source string) string {
	if strings.HasPrefix(source, "source.") {
		return text.Say(lang, source)
	}
	return source
}

// Same tells whether two findings are of the same code about the same record.
func (f Finding) Same(g Finding) bool { return f.Code == g.Code && f.About == g.About }

// Worst is the highest level among findings; Within when there are none.
func Worst(findings []Finding) Level {
	worst := Within
	for _, f := range findings {
		worst = max(worst, f.Level)
	}
	return worst
}

// At lists the findings of one level or higher.
func At(findings []Finding, level Level) []Finding {
	var list []Finding
	for _, f := range findings {
		if f.Level >= level {
			list = append(list, f)
		}
	}
	return list
}

// ordered puts the gravest first and says the same thing about the same record once, as where two runs share a cut.
func ordered(findings []Finding) []Finding {
	slices.SortStableFunc(findings, func(a, b Finding) int { return cmp.Compare(b.Level, a.Level) })
	seen := map[string]bool{}
	return slices.DeleteFunc(findings, func(f Finding) bool {
		f.Level = Within // a note about what is held elsewhere says nothing new
		key, _ := json.Marshal(f)
		twice := seen[string(key)]
		seen[string(key)] = true
		return twice
	})
}
