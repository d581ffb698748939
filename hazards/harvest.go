package hazards

import (
	"strings"
	"time"

	"canewright/hazards/syrup"
)

// What split stalks showed.
const (
	StalksNotLooked = "not looked"
	StalksSound     = "sound"
	StalksDamaged   = "some damage"
	StalksKilled    = "killed"
)

// PlantingFacts is what stands on a block.
type PlantingFacts struct {
	ID        string
	Name      string
	PlantedOn Day
	Ratoon    *int // 0 is plant cane
}

// ApplicationFacts is something sprayed or spread on the block of a cut.
type ApplicationFacts struct {
	ID             string
	Name           string // the product
	AppliedOn      Day
	PreHarvestDays int
	ForSugarcane   *bool // nil: nobody looked
}

// FreezeFacts is a night at or below freezing at the site of a cut.
type FreezeFacts struct {
	ID         string
	Name       string
	Night      Day // the day the night ended
	Low        syrup.Celsius
	HoursBelow *float64
	Found      string
}

// CutFacts is a cut with what bears on it: every application on its block and every freeze at its site.
type CutFacts struct {
	ID           string
	Name         string
	Person       string
	CutOn        Day
	FinishedAt   *time.Time // nil: the hour was not written
	DayHigh      *syrup.Celsius
	FrozenStalks string
	Planting     *PlantingFacts
	Applications []ApplicationFacts
	Freezes      []FreezeFacts
}

// seasonDays is how far back an application or a freeze bears on a cut: the longest pre-harvest interval an entry may
// have for the one, one season for the other (ours).
const (
	applicationDays = 400
	freezeDays      = 90
)

// JudgeCut judges applications before the cut. The age of the cane is judged where it is pressed, by JudgeCane.
func JudgeCut(c CutFacts, rules Rules) []Finding {
	var findings []Finding
	for _, a := range c.Applications {
		days, ok := c.CutOn.daysAfter(a.AppliedOn)
		if !ok || days < 0 || days > applicationDays {
			continue
		}
		if days < a.PreHarvestDays {
			measured, limit := number(float64(days), UnitDays), number(float64(a.PreHarvestDays), UnitDays)
			f := Finding{Code: "harvest.inside_interval", Level: Hold, About: c.ID, AboutName: c.Name, Measured: &measured,
				Limit: &limit, Source: "source.product_label"}
			f = f.with("Early", number(float64(a.PreHarvestDays-days), UnitDays)).with("Product", named(a.Name))
			findings = append(findings, f.with("Earliest", day(a.AppliedOn.plus(a.PreHarvestDays))))
		}
		findings = append(findings, a.crop()...)
	}
	return findings
}

// crop judges whether the label in hand lists sugarcane.
func (a ApplicationFacts) crop() []Finding {
	f := Finding{Level: Check, About: a.ID, AboutName: a.Name, Source: "source.product_label"}
	switch {
	case a.ForSugarcane == nil:
		f.Code = "harvest.label_not_looked"
	case !*a.ForSugarcane:
		f.Code = "harvest.label_not_sugarcane"
	default:
		return nil
	}
	return []Finding{f}
}

// JudgeCane judges the cane of a cut as it was when it was pressed: how long it waited, and what a freeze did to it.
func JudgeCane(c CutFacts, pressedAt time.Time, rules Rules) []Finding {
	findings, frozen := c.freeze(pressedAt, rules)
	cutAt := c.FinishedAt
	counted := "cane_counted.from_hour"
	if cutAt == nil {
		// The hour was not written: counted from the start of the day, the longest it may have waited.
		cutAt, counted = c.CutOn.Start(rules.zone()), "cane_counted.from_day"
	}
	if cutAt == nil || cutAt.After(pressedAt) {
		return findings
	}
	if f, ok := c.age(pressedAt.Sub(*cutAt).Hours(), frozen, rules); ok {
		findings = append(findings, f.with("Counted", keys(counted)))
	}
	return findings
}

// age is the gravest finding about the hours cane waited.
func (c CutFacts) age(hours float64, frozen bool, rules Rules) (Finding, bool) {
	l := rules.Limits
	over, long, warm, ice := l.Judged(LimitCaneOver), l.Judged(LimitCaneHours), l.Judged(LimitCaneWarmHours), l.Judged(LimitCaneFrozen)
	high := l.Judged(LimitCaneWarm)
	found := func(code string, level Level, limit Limit) (Finding, bool) {
		return against(code, level, c.ID, c.Name, number(hours, UnitHours), limit), true
	}
	switch {
	case frozen && !ice.Passed(hours):
		return found("harvest.age_frozen", Hold, ice)
	case !over.Passed(hours):
		return found("harvest.age_over", Hold, over)
	case !long.Passed(hours):
		return found("harvest.age_long", Check, long)
	case warm.Passed(hours):
		return Finding{}, false
	case c.DayHigh == nil:
		return found("harvest.age_no_high", Note, warm)
	case float64(*c.DayHigh) >= high.Value:
		f, ok := found("harvest.age_warm", Check, warm)
		return f.with("High", degrees(*c.DayHigh)), ok
	}
	return Finding{}, false
}

// freeze judges the coldest night that bears on the cane, and tells whether the cane counts as frozen.
func (c CutFacts) freeze(pressedAt time.Time, rules Rules) (findings []Finding, frozen bool) {
	stalks := plain(c.FrozenStalks)
	coldest := c.coldest(dayOf(pressedAt, rules.zone()))
	if coldest != nil && (stalks == "" || stalks == StalksNotLooked) {
		stalks = plain(coldest.Found)
	}
	inspect, damaged := rules.Limits.Judged(LimitFreezeInspect), rules.Limits.Judged(LimitFreezeDamaged)
	frozen = stalks == StalksDamaged || stalks == StalksKilled
	if coldest == nil {
		if frozen {
			findings = append(findings, Finding{Code: "harvest.stalks_damaged", Level: Check, About: c.ID, AboutName: c.Name,
				Source: inspect.Source})
		}
		return findings, frozen
	}
	low := float64(coldest.Low)
	found := func(code string, level Level, limit Limit) {
		f := against(code, level, c.ID, c.Name, degrees(coldest.Low), limit)
		findings = append(findings, f.with("Night", day(coldest.Night)))
	}
	switch {
	case frozen:
		found("harvest.freeze_damaged", Check, damaged)
	case stalks == StalksSound || low > inspect.Value:
	case low <= damaged.Value:
		frozen = true
		found("harvest.freeze_damaged", Check, damaged)
	default:
		found("harvest.freeze_inspect", Check, inspect)
	}
	return findings, frozen
}

// coldest is the coldest night of the season up to the day of pressing; nil when there was none.
func (c CutFacts) coldest(pressedOn Day) *FreezeFacts {
	var coldest *FreezeFacts
	for _, f := range c.Freezes {
		days, ok := pressedOn.daysAfter(f.Night)
		if ok && days >= 0 && days <= freezeDays && (coldest == nil || f.Low < coldest.Low) {
			coldest = &f
		}
	}
	return coldest
}

// plain forgives underscores for spaces in a stored choice.
func plain(choice string) string { return strings.ReplaceAll(choice, "_", " ") }
