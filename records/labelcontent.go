package records

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/hazards/text"
	"canewright/labels"
)

// LabelRefused says that the product's name does not fit what is in the bottle. HTTP 422.
type LabelRefused struct {
	Product string
	Allowed []string // names the solids and ingredients allow; empty when the solids are not known or too low
	Solids  *syrup.Solids
}

// Say explains it to a person.
func (e LabelRefused) Say(lang text.Language) string {
	switch {
	case e.Solids == nil:
		return text.Say(lang, "label.no_solids", "Product", e.Product)
	case len(e.Allowed) == 0:
		return text.Say(lang, "label.too_thin", "Product", e.Product, "Solids", fmt.Sprintf("%.1f", float64(e.Solids.Percent)))
	}
	return text.Say(lang, "label.other_name", "Product", e.Product, "Names", strings.Join(e.Allowed, ", "))
}

// Error is Say in English.
func (e LabelRefused) Error() string { return e.Say(text.English) }

// LabelOf works out what the label of a lot says, from its records. Errors: LabelRefused, labels.Unanswered naming the
// additions whose answers are missing, ErrNotFound.
func LabelOf(ctx context.Context, src Source, lotID string) (labels.Label, error) {
	g, err := gather(ctx, src, lotID)
	if err != nil {
		return labels.Label{}, err
	}
	lot, ok := g.names.facts[lotID].(*Lot)
	if !ok {
		return labels.Label{}, fmt.Errorf("lot %s: %w", lotID, ErrNotFound)
	}
	facts, err := g.lot(lotID)
	if err != nil {
		return labels.Label{}, err
	}
	product, err := Get[Product](ctx, src, lot.ProductID)
	if err != nil {
		return labels.Label{}, err
	}
	l, err := g.contentLines(facts, product)
	if err != nil {
		return labels.Label{}, err
	}
	container, err := Get[Container](ctx, src, lot.ContainerID)
	if err != nil {
		return labels.Label{}, err
	}
	net, err := labels.NetContents(container.Contents)
	if err != nil {
		return labels.Label{}, err
	}
	m.LotCode, m.BestBy = PrintedCode(lot.Code), bestBy(lot.Day, m.product.BestByMonths)
	return m, makerLines(ctx, src, &m.Label, *lot)
}

// contentLines are the lines that follow from what is in the bottle: name, ingredients, allergens, storage.
func (g *gathered) contentLines(facts hazards.LotFacts, product Product) (labels.Label, error) {
	solids, names := hazards.LotSolids(facts), hazards.LotNames(facts)
	if product.Names != NamesOther && !slices.ContainsFunc(names, func(n string) bool { return strings.EqualFold(n, product.Name) }) {
		return labels.Label{}, LabelRefused{product.Name, names, solids}
	}
	items := g.ingredients(facts, names)
	list, err := labels.Ingredients(items)
	if err != nil {
		return labels.Label{}, err
	}
	allergens, err := labels.AllergenLine(items)
	if err != nil {
		return labels.Label{}, err
	}
	storage := product.Storage
	if storage == "" {
		storage = text.Say(text.English, storageKey(solids))
	}
	return labels.Label{ProductName: product.Name, Ingredients: list, Allergens: allergens, Storage: storage}, nil
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
	start := d.Start(time.UTC)
	end := start.AddDate(0, months, 0)
	if end.Day() != start.Day() {
		end = end.AddDate(0, 0, -end.Day())
	}
	return end.Format("Jan 2, 2006")
}
