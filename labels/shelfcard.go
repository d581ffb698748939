package labels

import "canewright/hazards/text"

// ShelfCard stands before bottles at a stand or in a shop. The price is left to be written by hand.
type ShelfCard struct {
	ProductName string
	Net         string // "12 fl oz (354 mL)"
	Storage     string
	Maker       string
	Address     string // where it is made
}

// printable checks every text of the card and gives it cleaned.
func (k ShelfCard) printable() (ShelfCard, error) {
	for _, field := range []*string{&k.ProductName, &k.Net, &k.Storage, &k.Maker, &k.Address} {
		cleaned, err := Printable(*field)
		if err != nil {
			return ShelfCard{}, err
		}
		*field = cleaned
	}
	return k, nil
}

// arrange puts the name and the lines above, and a line to write the price on at the foot.
func (k ShelfCard) arrange(d *Document, stock Stock) (artwork, error) {
	k, err := k.printable()
	if err != nil {
		return artwork{}, err
	}
	pad := max(labelPadding, min(6, 0.06*min(stock.LabelWidth, stock.LabelHeight)))
	free := frame{pad, pad, stock.LabelWidth - pad, stock.LabelHeight - pad}
	made := ""
	if k.Maker != "" {
		made = text.Say(text.English, "labels.made_by", "Maker", k.Maker)
	}
	price := free
	price.top = free.bottom - max(7, free.height()*0.22)
	free.bottom = price.top - labelGutter
	var art artwork
	if art.lines, err = stack(d, free, []faceLine{
		{"labels.line.name", k.ProductName, Bold, 1.6, leastCode},
		{"labels.line.net", k.Net, Bold, 1, leastCode},
		{"labels.line.maker", made, Regular, 0.75, leastOther},
		{"labels.line.address", k.Address, Regular, 0.75, leastOther},
		{"labels.line.storage", k.Storage, Regular, 0.75, leastOther},
	}, "labels.line.storage", "labels.line.address"); err != nil {
		return artwork{}, err
	}
	word := text.Say(text.English, "labels.price")
	size := min(14, max(leastCode, (price.height()*0.4).points()))
	baseline := price.bottom - size.em()*descent
	art.lines = append(art.lines, placed{key: "labels.line.price", x: price.left, y: baseline, size: size, text: word})
	from := price.left + d.Width(Regular, size, word) + size.em()/2
	art.rules = append(art.rules, rule{from, baseline, price.right, baseline, 0.3})
	return art, d.Err()
}
