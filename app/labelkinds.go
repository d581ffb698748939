package app

import "canewright/records"

// labelKinds are the kinds of the label room: what is sold under which GTIN has a list in the house; counts of labels and
// tags held against labels are only amended here.
func labelKinds() []*kindPage {
	item := kindPage{Area: "house", See: reader, Write: owner, Order: "id", Columns: []string{"product", "container", "gtin", "case_gtin"}}
	own := kindPage{See: reader, Write: crew, Order: "id"}
	return []*kindPage{
		simple(item, tradeItemForm, nil, nil),
		simple(own, labelCountForm, nil, nil),
		simple(own, tagMatchForm, nil, nil),
	}
}

// tradeItemForm is a product in a container as it is sold.
func tradeItemForm(f *form, t *records.TradeItem) {
	f.Pick("product", &t.ProductID, f.choices(records.KindProduct), required)
	f.Pick("container", &t.ContainerID, f.choices(records.KindContainer), required)
	f.Text("gtin", &t.GTIN, 0, 24)
	f.Text("case_gtin", &t.CaseGTIN, 0, 24)
	f.OptionalPick("label_stock", &t.LabelStockID, f.choices(records.KindLabelStock))
	f.Text("note", &t.Note, 0, longText)
}

// labelCountForm is what became of a lot's labels since they were counted last.
func labelCountForm(f *form, k *records.LabelCount) {
	f.Whole("used", &k.Used, 0, 1_000_000)
	f.Whole("spoiled", &k.Spoiled, 0, 1_000_000)
	f.moment("at", &k.At)
	f.Text("note", &k.Note, 0, longText)
}

// tagMatchForm amends the note of a match; what was held against what stays.
func tagMatchForm(f *form, m *records.TagMatch) {
	f.LongText("note", &m.Note, 1, longText)
}
