package records

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
	c.text("gtin", t.GTIN)
	c.text("case_gtin", t.CaseGTIN)
	c.text("note", t.Note)
	return c.err()
}

func (t *TradeItem) refs() []ref {
	return []ref{to("product_id", t.ProductID, KindProduct), to("container_id", t.ContainerID, KindContainer),
		toOptional("label_stock_id", t.LabelStockID, KindLabelStock)}
}
