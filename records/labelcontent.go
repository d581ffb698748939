package records

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/labels"
)

// LabelRefused says that the label contradicts the records and nobody signed a reason for it. HTTP 422.
type LabelRefused struct {
	Product  string
	Allowed  []string // names the solids and ingredients allow; empty when the solids are not known or too low
	Findings []hazards.Finding
}

// Say explains it to a person.
func (e LabelRefused) Say(lang text.Language) string {
	var said []string
	for _, f := range e.Findings {
		w := f.Words(lang, hazards.US)
		said = append(said, w.What+" "+w.Why+" "+w.Next)
	}
	return text.Say(lang, "label.refused", "Why", strings.Join(said, " "))
}

// Error is Say in English.
func (e LabelRefused) Error() string { return e.Say(text.English) }

// LabelOf works out what the label of a lot says, from its records. Errors: LabelRefused where a contradiction is not signed
// for, labels.Unanswered naming the additions whose answers are missing, ErrNotFound.
func LabelOf(ctx context.Context, src Source, lotID string) (labels.Label, error) {
	checked, err := checkLabel(ctx, src, lotID)
	if err != nil {
		return labels.Label{}, err
	}
	if open := checked.Open(); len(open) > 0 {
		return labels.Label{}, LabelRefused{Product: checked.facts.Product, Allowed: checked.facts.Allowed, Findings: open}
	}
	return checked.Label, nil
}

// labelMade is a lot's label with what it was made from.
type labelMade struct {
	labels.Label
	lot       *Lot
	house     House
	product   Product
	container Container
	food      hazards.LotFacts
	rules     hazards.Rules
}

// makeLabel works out what the label of a lot says, whether or not the records bear it out.
func makeLabel(ctx context.Context, src Source, lotID string) (labelMade, error) {
	g, err := gather(ctx, src, lotID)
	if err != nil {
		return labelMade{}, err
	}
	lot, ok := g.names.facts[lotID].(*Lot)
	if !ok {
		return labelMade{}, fmt.Errorf("lot %s: %w", lotID, ErrNotFound)
	}
	m := labelMade{lot: lot, house: g.house, rules: g.rules}
	if m.food, err = g.lot(lotID); err != nil {
		return m, err
	}
	if m.product, err = Get[Product](ctx, src, lot.ProductID); err != nil {
		return m, err
	}
	if m.container, err = Get[Container](ctx, src, lot.ContainerID); err != nil {
		return m, err
	}
	if err := m.content(g.ingredients(m.food, hazards.LotNames(m.food))); err != nil {
		return m, err
	}
	net, err := labels.NetContents(m.container.Contents)
	if err != nil {
		return m, err
	}
	m.NetUS, m.NetMetric = net.US, net.Metric
	if panel := m.container.DisplayPanel(); panel != nil {
		m.NetHeight = labels.NetTypeHeight(*panel)
	}
	m.LotCode, m.BestBy = PrintedCode(lot.Code), bestBy(lot.Day, m.product.BestByMonths)
	return m, makerLines(ctx, src, &m.Label, *lot)
}

// content are the lines that follow from what is in the bottle and what the product says: name, ingredients, allergens,
// storage, claims, nutrition.
func (m *labelMade) content(items []labels.Ingredient) (err error) {
	solids := hazards.LotSolids(m.food)
	m.ProductName, m.Claims, m.Caution, m.Storage = m.product.Name, m.product.Claims, m.product.Caution, m.product.Storage
	if m.Ingredients, err = labels.Ingredients(items); err != nil {
		return err
	}
	if m.Allergens, err = labels.AllergenLine(append(items, m.laboratory()...)); err != nil {
		return err
	}
	if m.Storage == "" {
		m.Storage = text.Say(text.English, storageKey(solids))
	}
	if m.product.Nutrition == hazards.NutritionPanelDrawn && solids != nil {
		return m.nutrition(items, solids.Percent)
	}
	return nil
}

// laboratory is what laboratories found that a label declares: the most sulfite, which no ingredient list names.
func (m *labelMade) laboratory() []labels.Ingredient {
	var most *float64
	for _, lab := range m.food.Labs {
		if lab.SulfitePPM != nil && (most == nil || *lab.SulfitePPM > *most) {
			most = lab.SulfitePPM
		}
	}
	if most == nil {
		return nil
	}
	return []labels.Ingredient{{Allergens: &[]string{}, Sulfites: &labels.Sulfites{PPM: most}}}
}

// nutrition adds the panel; syrup of cane alone is what one ingredient stays in.
func (m *labelMade) nutrition(items []labels.Ingredient, solids syrup.Brix) (err error) {
	staying := 0
	for _, item := range items {
		if item.Stays != nil && *item.Stays {
			staying++
		}
	}
	if m.Nutrition, err = labels.NutritionOf(m.container.Contents, solids, staying == 1); err == nil {
		m.Nutrition.SmallPackage = m.container.smallPackage()
	}
	return err
}

// storageKey is the storage line the solids suggest: below 74 % an opened bottle belongs in the cold (trade.md 8.12).
func storageKey(solids *syrup.Solids) string {
	if solids != nil && solids.Percent >= 74 {
		return "label.store_dry"
	}
	return "label.store_cold"
}

// ingredients lists the syrup itself and every addition the lot reaches, each with the share of it that came into the lot.
func (g *gathered) ingredients(facts hazards.LotFacts, names []string) []labels.Ingredient {
	base := text.Say(text.English, "label.base_juice")
	if slices.Contains(names, "Cane syrup") {
		base = text.Say(text.English, "label.base_cane")
	}
	stays, none := true, []string{}
	whole := syrup.Kilograms(1e9).Grams() // the syrup always comes first
	items := []labels.Ingredient{{Name: base, Weight: &whole, Stays: &stays, Allergens: &none, Sulfites: &labels.Sulfites{}}}
	shares := map[string]float64{}
	if through, err := g.graph.Through(facts.ID); err == nil {
		for node, s := range through {
			shares[RecordOf(node)] = max(shares[RecordOf(node)], float64(s.Fraction))
		}
	}
	for _, a := range hazards.LotAdditions(facts) {
		items = append(items, ingredient(a, shares[g.additionTo(a.ID)]))
	}
	return items
}

// additionTo is the record an addition went into.
func (g *gathered) additionTo(id string) string {
	for node, list := range g.additions {
		if slices.ContainsFunc(list, func(a Addition) bool { return a.ID == id }) {
			return RecordOf(node)
		}
	}
	return ""
}

// ingredient is an addition as a label sees it. Its weight counts by the share of the lot that came the same way; a weight
// that was not recorded counts as the least, so that the order stays and nothing is left off.
func ingredient(a hazards.AdditionFacts, share float64) labels.Ingredient {
	weight := syrup.Grams(0)
	if a.Amount != nil {
		weight = *a.Amount * syrup.Grams(share)
	}
	item := labels.Ingredient{Name: a.Name, Weight: &weight, Stays: a.Stays}
	if a.Allergens != nil {
		list := []string{}
		for _, w := range strings.Split(*a.Allergens, ",") {
			if w = strings.TrimSpace(w); w != "" {
				list = append(list, w)
			}
		}
		item.Allergens = &list
	}
	if a.Sulfites != nil {
		item.Sulfites = &labels.Sulfites{Declared: *a.Sulfites}
	}
	return item
}

// makerLines are the house's: who made it, where, what its jurisdiction asks for, and the symbol.
func makerLines(ctx context.Context, src Source, l *labels.Label, lot Lot) error {
	house, err := theHouse(ctx, src)
	if err != nil {
		return err
	}
	l.Maker, l.Address, l.Telephone, l.Statement = house.Name, oneLine(house.Address), house.Telephone, house.Statement
	if house.StatementHeight != nil {
		l.StatementHeight = labels.Millimeters(*house.StatementHeight)
	}
	l.QR, err = QRContent(ctx, src, house, lot)
	return err
}

func oneLine(address string) string {
	return strings.Join(strings.FieldsFunc(address, func(r rune) bool { return r == '\n' || r == '\r' }), ", ")
}

// bestBy is the day some months on, as a label prints it; the last of a shorter month.
func bestBy(d Day, months int) string {
	return bestDay(d, months).Format("Jan 2, 2006")
}
