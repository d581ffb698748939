package hazards

import "fmt"

// ShelfResult is what the Food Code's tables say of a food by its water activity and pH alone.
type ShelfResult string

// The two answers of Food Code 1-201.10, tables A and B. TCS is time/temperature control.
const (
	NonTCS            ShelfResult = "non-TCS"
	ProductAssessment ShelfResult = "product assessment"
)

// shelfColumn is a column of pH up to an end; the last is open.
type shelfEnd struct {
	most float64
	less bool // the end itself belongs to the next one
	open bool
}

func (e shelfEnd) holds(x float64) bool { return e.open || x < e.most || !e.less && x == e.most }

// shelfTable is one of the two tables: rows of water activity, columns of pH; true is a product assessment.
type shelfTable struct {
	activity, ph []shelfEnd
	assess       [][]bool
}

// Food Code 1-201.10 as reprinted in Tenn. Comp. R. 0080-04-09-.01 (and Texas); Georgia and Texas copies on line print
// "<0.92" for "<=0.92".
var (
	// tableA is for food heat treated to destroy vegetative cells and packaged after.
	tableA = shelfTable{
		activity: []shelfEnd{{most: 0.92}, {most: 0.95}, {open: true}},
		ph:       []shelfEnd{{most: 4.6}, {most: 5.6}, {open: true}},
		assess:   [][]bool{{false, false, false}, {false, false, true}, {false, true, true}},
	}
	// tableB is for food not heat treated, or heat treated and not packaged.
	tableB = shelfTable{
		activity: []shelfEnd{{most: 0.88, less: true}, {most: 0.90}, {most: 0.92}, {open: true}},
		ph:       []shelfEnd{{most: 4.2, less: true}, {most: 4.6}, {most: 5.0}, {open: true}},
		assess: [][]bool{{false, false, false, false}, {false, false, false, true}, {false, false, true, true},
			{false, true, true, true}},
	}
)

func (t shelfTable) result(aw, ph float64) ShelfResult {
	row, column := place(t.activity, aw), place(t.ph, ph)
	if t.assess[row][column] {
		return ProductAssessment
	}
	return NonTCS
}

// place is the first end that holds x.
func place(ends []shelfEnd, x float64) int {
	for i, e := range ends {
		if e.holds(x) {
			return i
		}
	}
	return len(ends) - 1
}

// ShelfClass looks a water activity (0 to 1) and a pH (0 to 14) up in the Food Code's tables: table A where the food was
// heat treated for vegetative cells and packaged, else table B. The numbers are a laboratory's; a modelled water activity
// is no ground for it. The error names the range.
func ShelfClass(aw, ph float64, heatTreatedPackaged bool) (ShelfResult, error) {
	if !between(0, 1).holds(aw) {
		return "", fmt.Errorf("water activity %v: expected 0 to 1", aw)
	}
	if !between(0, 14).holds(ph) {
		return "", fmt.Errorf("pH %v: expected 0 to 14", ph)
	}
	if heatTreatedPackaged {
		return tableA.result(aw, ph), nil
	}
	return tableB.result(aw, ph), nil
}

// CannedFoodRule is the part of 21 CFR that a water activity and pH may bring a food in a closed container under.
type CannedFoodRule string

// The parts; blank is neither.
const (
	NoCannedFoodRule CannedFoodRule = "none"
	LowAcidFood      CannedFoodRule = "low_acid"  // part 113: aw over 0.85, pH over 4.6
	AcidifiedFood    CannedFoodRule = "acidified" // part 114: aw over 0.85, pH up to 4.6 after acid
)

// acidPH divides low-acid from acid food: 21 CFR 113.3(n), 114.3(b) (from memory).
const acidPH = 4.6

// CannedFood says which part may apply; a pH that is not known is taken as low-acid.
func CannedFood(aw float64, ph *float64) CannedFoodRule {
	if references[LimitWaterActivity].Passed(aw) {
		return NoCannedFoodRule
	}
	return ruleByAcid(ph)
}

// ruleByAcid is the part that may apply over the water activity.
func ruleByAcid(ph *float64) CannedFoodRule {
	if ph != nil && *ph <= acidPH {
		return AcidifiedFood
	}
	return LowAcidFood
}
