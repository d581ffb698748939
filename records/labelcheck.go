package records

import (
	"context"
	"slices"

	"canewright/hazards"
	"canewright/hazards/text"
	"canewright/labels"
)

// LabelChecked is a lot's label beside what the label checker finds, and what owners signed about it.
type LabelChecked struct {
	Label    labels.Label
	Panel    *labels.SquareInches // of the container; nil when not measured
	Findings []hazards.Finding
	Answers  []LabelAnswer // oldest first
	Stocks   []LabelOnStock

	facts hazards.LabelFacts
}

// LabelOnStock is the label as it comes out on one stock of the house, or why it does not go on it.
type LabelOnStock struct {
	Stock   LabelStock
	Drawing labels.Drawing
	Refused error // labels.NoRoom, labels.NoRoomQR or labels.Unprintable
}

// CheckLabel makes a lot's label, draws it on every stock of the house, and lists what is missing, too small or contradicts
// the records. Errors: labels.Unanswered, ErrNotFound.
func CheckLabel(ctx context.Context, src Source, lotID string) (LabelChecked, error) {
	checked, err := checkLabel(ctx, src, lotID)
	if err != nil {
		return checked, err
	}
	stocks, err := List[LabelStock](ctx, src, "ORDER BY name, id")
	if err != nil {
		return checked, err
	}
	for _, s := range stocks {
		on := LabelOnStock{Stock: s}
		on.Drawing, on.Refused = labels.Measure(checked.Label, s.Stock())
		if on.Refused == nil {
			checked.facts.Drawn = append(checked.facts.Drawn, on.Drawing.Facts(s.Name, checked.Panel)...)
		}
		checked.Stocks = append(checked.Stocks, on)
	}
	checked.Findings = hazards.JudgeLabel(checked.facts)
	return checked, nil
}

// checkLabel is CheckLabel without drawing.
func checkLabel(ctx context.Context, src Source, lotID string) (LabelChecked, error) {
	m, err := makeLabel(ctx, src, lotID)
	if err != nil {
		return LabelChecked{}, err
	}
	checked := LabelChecked{Label: m.Label, Panel: m.container.DisplayPanel(), facts: m.facts()}
	checked.Findings = hazards.JudgeLabel(checked.facts)
	checked.Answers, err = List[LabelAnswer](ctx, src, "lot_id = ? ORDER BY at, id", lotID)
	return checked, err
}

// facts are what the label checker judges.
func (m *labelMade) facts() hazards.LabelFacts {
	l := m.Label
	return hazards.LabelFacts{ID: m.lot.ID, Name: PrintedCode(m.lot.Code), Product: m.product.Name, Names: m.product.Names,
		Allowed: hazards.LotNames(m.food), Solids: hazards.LotSolids(m.food), Additions: hazards.LotAdditions(m.food), Labs: m.food.Labs,
		Rules: m.rules, Ingredients: l.Ingredients, Allergens: l.Allergens, NetUS: l.NetUS, NetMetric: l.NetMetric, Maker: l.Maker,
		Address: l.Address, Statement: l.Statement, StatementSource: m.house.StatementSource, StatementDay: hazards.Day(m.house.StatementDay),
		Claims: hazards.ClaimLines(m.product.Claims), Caution: m.product.Caution, Nutrition: m.product.Nutrition,
		NutritionNote: m.product.NutritionNote, PanelMeasured: m.container.DisplayPanel() != nil, NetMoulded: m.container.Moulded}
}

// AnswerTo is the signed reason for a finding: of its code, and signed on the words it still has. A finding that changed since
// asks again.
func (c LabelChecked) AnswerTo(f hazards.Finding) (LabelAnswer, bool) {
	for _, a := range slices.Backward(c.Answers) {
		if a.Code == f.Code && slices.Contains(labelWords(f), a.Words) {
			return a, true
		}
	}
	return LabelAnswer{}, false
}

// Open lists the findings that keep the label from being printed: contradictions without a signed reason.
func (c LabelChecked) Open() []hazards.Finding {
	return slices.DeleteFunc(slices.Clone(c.Findings), func(f hazards.Finding) bool {
		_, answered := c.AnswerTo(f)
		return answered || !hazards.LabelBlocks(f)
	})
}

// labelWords is what a finding of a label says, in every language and system of units it may have been signed in.
func labelWords(f hazards.Finding) []string {
	var words []string
	for _, lang := range text.Languages() {
		for _, units := range []string{hazards.US, hazards.Metric} {
			words = append(words, f.Words(lang, units).What)
		}
	}
	return words
}

// AnswerLabel signs an owner's reason for a contradiction that is found now. Errors: Forbidden, Invalid, Conflict when it is
// not found, or not in these words.
func (s *Store) AnswerLabel(ctx context.Context, who Actor, answer *LabelAnswer) error {
	return s.Write(ctx, who, answer)
}

// LabelAnswers lists what was signed about the label of a lot, oldest first.
func LabelAnswers(ctx context.Context, src Source, lotID string) ([]LabelAnswer, error) {
	return List[LabelAnswer](ctx, src, "lot_id = ? ORDER BY at, id", lotID)
}
