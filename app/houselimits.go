package app

import (
	"slices"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/hazards"
	"canewright/records"
)

// houseRoutes are the limits and bounds the house judges by, in place of a plain list of its own limits.
func (a *App) houseRoutes() []route {
	return []route{
		{"GET", "/house/house-limit", reader, a.showLimits},
		{"GET", "/house/bounds", reader, a.showBounds},
	}
}

// limitsPage is a page of ruled tables: limits, or bounds.
type limitsPage struct {
	Page
	Heading, Lead, Version string
	Other                  Step // the page beside it
	Parts                  []limitsPart
}

// limitsPart is the table of one stage of the work.
type limitsPart struct {
	Title string
	Table Table
}

// add puts a row into the part of its stage, which is the first word of its code.
func (p *limitsPage) add(w words, code string, heads []string, row TableRow) {
	stage, _, _ := strings.Cut(code, ".")
	title := w.say("limits_of." + stage)
	i := slices.IndexFunc(p.Parts, func(part limitsPart) bool { return part.Title == title })
	if i < 0 {
		i = len(p.Parts)
		p.Parts = append(p.Parts, limitsPart{Title: title, Table: Table{Heads: heads}})
	}
	p.Parts[i].Table.Rows = append(p.Parts[i].Table.Rows, row)
}

// showLimits shows each reference limit with its source and the day it was checked, and the house's own beside it.
func (a *App) showLimits(c *gin.Context) error {
	rules, err := records.RulesOf(c.Request.Context(), a.store)
	if err != nil {
		return err
	}
	v := visitorOf(c)
	w := v.words()
	page := &limitsPage{Heading: w.say("house_limit.plural"), Lead: w.say("limits.lead"), Version: w.say("limits.version", "Version", hazards.LimitsVersion),
		Other: Step{Name: w.say("limits.bounds"), URL: "/house/bounds"}}
	heads := []string{w.say("limits.limit"), w.say("limits.reference"), w.say("limits.source"), w.say("limits.house"), w.say("limits.house_source"), w.say("limits.judged")}
	for _, reference := range hazards.Reference() {
		page.add(w, reference.Code, heads, limitRow(v, rules.Limits, reference))
	}
	return a.show(c, "house/limits", page)
}

// limitRow leads to the house's limit, or to writing one for whoever may.
func limitRow(v *visitor, limits hazards.Limits, reference hazards.Limit) TableRow {
	w := v.words()
	_, house := limits.Pair(reference.Code)
	row := TableRow{Cells: []Cell{{Text: w.say("limit." + reference.Code)}, {Text: reference.Words(w.lang, w.units), Figure: true},
		{Text: w.since(reference)}}}
	if house == nil {
		if v.may(owner) {
			row.URL = "/house/house-limit/new?code=" + reference.Code
		}
		row.Cells = append(row.Cells, Cell{}, Cell{}, Cell{Text: w.say("limits.judged.reference")})
		return row
	}
	id, _, _ := strings.Cut(house.Version, "/")
	row.URL = recordURL(id)
	judges := "limits.judged.reference"
	if limits.Judged(reference.Code).House {
		judges = "limits.judged.house"
	}
	row.Cells = append(row.Cells, Cell{Text: house.Words(w.lang, w.units), Figure: true}, Cell{Text: w.since(*house)},
		Cell{Text: w.say(judges)})
	return row
}

// since is where a limit is from and the day it was checked or set on.
func (w words) since(l hazards.Limit) string {
	day, _ := w.day(records.Day(l.CheckedOn)) // a day never fails
	return l.SourceWords(w.lang) + ", " + day
}

// showBounds shows what each number of a batch sheet may plausibly be.
func (a *App) showBounds(c *gin.Context) error {
	w := visitorOf(c).words()
	page := &limitsPage{Heading: w.say("bounds.title"), Lead: w.say("bounds.lead"), Version: w.say("bounds.version", "Version", hazards.BoundsVersion),
		Other: Step{Name: w.say("house_limit.plural"), URL: "/house/house-limit"}}
	heads := []string{w.say("bounds.number"), w.say("bounds.usual"), w.say("bounds.warn"), w.say("bounds.hard"), w.say("bounds.source")}
	for _, b := range hazards.Bounds() {
		cells := []Cell{{Text: sentence(w.say("bound." + b.Code))}}
		for _, r := range []hazards.Range{b.Usual, b.Warn, b.Hard} {
			cells = append(cells, Cell{Text: r.Words(w.lang, w.units, b.Unit)})
		}
		page.add(w, b.Code, heads, TableRow{Cells: append(cells, Cell{Text: b.SourceWords(w.lang)})})
	}
	return a.show(c, "house/limits", page)
}

// sentence begins a text with a capital, and leaves pH as it is.
func sentence(s string) string {
	if strings.HasPrefix(s, "pH") {
		return s
	}
	return capital(s)
}

// limitUnits are the units a house limit may be written in.
var limitUnits = []hazards.Unit{hazards.UnitFahrenheit, hazards.UnitCelsius, hazards.UnitPercent, hazards.UnitHours, hazards.UnitMinutes,
	hazards.UnitSeconds, hazards.UnitBaume, hazards.UnitBrix, hazards.UnitActivity, hazards.UnitPPM}

// houseLimitForm asks for one of the reference limits by name, and the house's number in the unit it is thought in.
func houseLimitForm(f *form, l *records.HouseLimit) {
	var limits, units []Choice
	for _, reference := range hazards.Reference() {
		limits = append(limits, Choice{Value: reference.Code, Name: f.words.say("limit."+reference.Code) + ": " + reference.Words(f.words.lang, f.words.units)})
	}
	for _, u := range limitUnits {
		units = append(units, Choice{Value: string(u), Name: f.words.say("house_limit.unit." + string(u))})
	}
	if f.fresh() && l.Code == "" {
		l.Code = f.asked.Get("code")
		l.Unit = f.unitOfLimit(l.Code)
	}
	l.Unit = writtenUnit(l.Unit)
	if code := f.Pick("code", &l.Code, limits, required); code.Shown != "" {
		code.Shown = f.words.say("limit." + code.Value) // where it is listed the reference is not its number
	}
	needed(f, &l.Value, func(p **float64) { f.Number("value", p, -1e6, 1e6, required) })
	unit := f.Pick("unit", &l.Unit, units, required)
	if value := f.named("value"); value.Shown != "" {
		value.Shown += noBreak + unit.Shown
	}
	reference, _ := hazards.Limits{}.Pair(l.Code)
	if _, err := hazards.NewLimits(hazards.Limit{Code: l.Code, Value: l.Value, Unit: hazards.Unit(l.Unit)}); f.reading() && f.OK() && err != nil {
		f.wrong(unit, "limits.other_unit", "Reference", reference.Words(f.words.lang, f.words.units))
	}
	f.LongText("source", &l.Source, 1, 400)
	f.Day("set_on", &l.SetOn, required)
}

// writtenUnit is the unit offered for one that only limits are judged in.
func writtenUnit(unit string) string {
	switch hazards.Unit(unit) {
	case hazards.UnitSolids:
		return string(hazards.UnitPercent)
	case hazards.UnitCelsiusDelta:
		return string(hazards.UnitCelsius)
	}
	return unit
}

// unitOfLimit is the unit a person would write a limit in; blank for none of ours.
func (f *form) unitOfLimit(code string) string {
	reference, _ := hazards.Limits{}.Pair(code)
	unit := writtenUnit(string(reference.Unit))
	if unit == string(hazards.UnitCelsius) && f.words.units == hazards.US {
		return string(hazards.UnitFahrenheit)
	}
	return unit
}
