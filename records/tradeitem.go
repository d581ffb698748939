package records

import (
	"context"
	"errors"
	"strings"

	"canewright/labels"
)

// TradeItem is a product in a container as it is sold: the GTINs the owner holds for it, and the stock its labels go on.
type TradeItem struct {
	Row
	ProductID    string
	ContainerID  string
	GTIN         string // of the bottle, 8, 12, 13 or 14 digits; blank: none held
	CaseGTIN     string // of the case, 14 digits
	LabelStockID *string
	Note         string
}

// Validate checks a trade item by itself.
func (t *TradeItem) Validate() error {
	var c checks
	c.gtin("gtin", &t.GTIN)
	c.gtin("case_gtin", &t.CaseGTIN)
	if t.CaseGTIN != "" && len(t.CaseGTIN) != 14 {
		c.add("case_gtin", "trade_item.case_digits")
	}
	c.text("note", t.Note)
	return c.err()
}

func (t *TradeItem) refs() []ref {
	return []ref{to("product_id", t.ProductID, KindProduct), to("container_id", t.ContainerID, KindContainer),
		toOptional("label_stock_id", t.LabelStockID, KindLabelStock)}
}

// gtin checks a GTIN that may be blank, and takes out the spaces and hyphens it was typed with.
func (c *checks) gtin(field string, typed *string) {
	if *typed == "" {
		return
	}
	*typed = strings.NewReplacer(" ", "", "-", "").Replace(*typed)
	var digit labels.WrongGTINDigit
	switch _, err := labels.GTIN(*typed); {
	case errors.As(err, &digit):
		c.add(field, "labels.gtin_digit", "Typed", digit.Typed, "Found", string(digit.Found), "Should", string(digit.Should))
	case err != nil:
		c.add(field, "labels.gtin_malformed", "Typed", *typed)
	}
}

// inspect holds a GTIN to the prefix the house holds, and to one product in one container.
func (t *TradeItem) inspect(tx *Tx) error {
	house, err := theHouse(tx.ctx, tx)
	if err != nil {
		return err
	}
	var c checks
	for field, gtin := range map[string]string{"gtin": t.GTIN, "case_gtin": t.CaseGTIN} {
		house.ownsGTIN(&c, field, gtin)
	}
	others, err := List[TradeItem](tx.ctx, tx, "id <> ?", t.ID)
	if err != nil {
		return err
	}
	for _, other := range others {
		if other.ProductID == t.ProductID && other.ContainerID == t.ContainerID {
			c.add("container_id", "trade_item.twice")
		}
		for field, gtin := range map[string]string{"gtin": t.GTIN, "case_gtin": t.CaseGTIN} {
			if gtin != "" && (sameGTIN(gtin, other.GTIN) || sameGTIN(gtin, other.CaseGTIN)) {
				c.add(field, "trade_item.gtin_taken", "Name", NameOf(tx.ctx, tx, &other))
			}
		}
	}
	if t.GTIN != "" && sameGTIN(t.GTIN, t.CaseGTIN) {
		c.add("case_gtin", "trade_item.case_same")
	}
	return c.err()
}

func sameGTIN(a, b string) bool {
	x, wrong := labels.GTIN(a)
	y, alsoWrong := labels.GTIN(b)
	return wrong == nil && alsoWrong == nil && x == y
}

// ownsGTIN refuses a GTIN that was not made from the prefix the house holds.
func (h House) ownsGTIN(c *checks, field, gtin string) {
	whole, err := labels.GTIN(gtin)
	switch {
	case gtin == "" || err != nil:
	case h.CompanyPrefix == "":
		c.add(field, "trade_item.no_prefix")
	case !labels.PrefixFits(h.CompanyPrefix, whole):
		c.add(field, "trade_item.other_prefix", "Prefix", h.CompanyPrefix)
	}
}

// inspect keeps the prefix as long as GTINs hang on it.
func (h *House) inspect(tx *Tx) error {
	items, err := List[TradeItem](tx.ctx, tx, "")
	if err != nil {
		return err
	}
	for _, t := range items {
		for _, gtin := range []string{t.GTIN, t.CaseGTIN} {
			var c checks
			if h.ownsGTIN(&c, "company_prefix", gtin); c.err() != nil {
				return Invalid{{"company_prefix", "house.prefix_in_use", []any{"GTIN", gtin, "Name", NameOf(tx.ctx, tx, &t)}}}
			}
		}
	}
	return nil
}

// TradeItemOf is the trade item of a product in a container; nil when there is none.
func TradeItemOf(ctx context.Context, src Source, productID, containerID string) (*TradeItem, error) {
	items, err := List[TradeItem](ctx, src, "product_id = ? AND container_id = ?", productID, containerID)
	if err != nil || len(items) == 0 {
		return nil, err
	}
	return &items[0], nil
}
