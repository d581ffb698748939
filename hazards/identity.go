package hazards

import "canewright/hazards/syrup"

// Which naming rule a product follows.
const (
	NamesCane  = "cane"
	NamesTable = "table"
	NamesOther = "other"
)

// CaneNames and TableNames are the names 21 CFR 168.130(c) and 168.180(c) give, in the spelling with y first.
var (
	caneNames  = []string{"Cane syrup", "Cane sirup", "Sugar cane syrup", "Sugar cane sirup"}
	tableNames = []string{"Table syrup", "Table sirup", "Syrup", "Sirup"}
)

// AllowedNames lists the names solids and ingredients allow: the cane names from 74 % with permitted ingredients only,
// table syrup from 65 %, none below or while the solids are not known. Compares unrounded.
func AllowedNames(solids *syrup.Brix, additions []AdditionFacts) []string {
	if solids == nil || !references[LimitTable].Passed(float64(*solids)) {
		return nil
	}
	cane := references[LimitCane].Passed(float64(*solids))
	for _, a := range additions {
		cane = cane && !a.barsCane()
	}
	if !cane {
		return append([]string(nil), tableNames...)
	}
	return append(append([]string(nil), caneNames...), tableNames...)
}

// StandardNames splits AllowedNames: the names of the narrowest standard that is met in full, and the wider ones the food may
// carry as well. At 74 % of cane alone these are the cane names, and table syrup beside them.
func StandardNames(solids *syrup.Brix, additions []AdditionFacts) (names, also []string) {
	names = AllowedNames(solids, additions)
	if len(names) > len(caneNames) {
		return names[:len(caneNames)], names[len(caneNames):]
	}
	return names, nil
}

// IdentityFacts is what the name of a run or lot is judged on.
type IdentityFacts struct {
	ID       string
	Name     string
	Names    string         // cane, table or other; blank is cane
	Stage    string         // the stage whose latest usable reading governs
	Readings []ReadingFacts // all of it, also those that may confirm
}

func (f IdentityFacts) names() string {
	if f.Names == "" {
		return NamesCane
	}
	return f.Names
}

// JudgeIdentity judges the solids against what the name asks for. Nothing when no reading can be used: that is a missing
// record, and said as such.
func JudgeIdentity(f IdentityFacts, rules Rules) []Finding {
	governing := Governing(f.Readings, f.Stage)
	if governing == nil {
		return nil
	}
	solids, _ := governing.Solids()
	findings := []Finding{f.floor(*governing, solids, rules)}
	for _, high := range []struct{ code, limit string }{{"identity.very_thick", LimitVeryThick}, {"identity.thick", LimitThick}} {
		limit := rules.Limits.Judged(high.limit)
		if !limit.Passed(float64(solids.Percent)) {
			level := Note
			if high.limit == LimitVeryThick {
				level = Check
			}
			findings = append(findings, f.judged(high.code, level, *governing, solids, limit))
			break
		}
	}
	return findings
}

// floor is the finding about the least solids: met, met by less than the uncertainty, or not met.
func (f IdentityFacts) floor(r ReadingFacts, solids syrup.Solids, rules Rules) Finding {
	cane, table := rules.Limits.Judged(LimitCane), rules.Limits.Judged(LimitTable)
	percent := float64(solids.Percent)
	limit, met := table, "identity.table_met"
	if f.names() == NamesCane {
		limit, met = cane, "identity.cane_met"
	}
	reference, _ := rules.Limits.Pair(limit.Code)
	switch {
	case reference.Passed(percent) && !limit.Passed(percent):
		return f.judged("identity.below_house", Hold, r, solids, limit)
	case !references[LimitTable].Passed(percent):
		return f.judged("identity.below_table", Hold, r, solids, references[LimitTable])
	case !limit.Passed(percent):
		return f.judged("identity.below_cane", Hold, r, solids, reference)
	case percent-limit.Value < float64(solids.Uncertainty) && !f.confirmed(r, limit):
		return f.judged("identity.near_limit", Check, r, solids, limit)
	}
	return f.judged(met, Within, r, solids, limit)
}

// confirmed tells whether a second, independent reading lies within the limit: of another stage, or by another
// instrument. Readings in the boil never confirm.
func (f IdentityFacts) confirmed(r ReadingFacts, limit Limit) bool {
	for _, other := range f.Readings {
		if other.ID == r.ID || other.Stage == StageBoil || !independent(r, other) {
			continue
		}
		if solids, err := other.Solids(); err == nil && limit.Passed(float64(solids.Percent)) {
			return true
		}
	}
	return false
}

func independent(a, b ReadingFacts) bool {
	if a.Stage != b.Stage {
		return true
	}
	return a.Instrument != nil && b.Instrument != nil && a.Instrument.ID != b.Instrument.ID
}

func (f IdentityFacts) judged(code string, level Level, r ReadingFacts, solids syrup.Solids, limit Limit) Finding {
	finding := against(code, level, f.ID, f.Name, solidsValue(solids), limit)
	finding.Model = r.model()
	finding = r.Instrument.corrected(finding, r.measured())
	if c := r.Correction(); c != nil {
		finding = finding.corrected(*c)
	}
	return finding.with("Reading", r.measured()).with("At", degrees(*r.Temperature))
}
