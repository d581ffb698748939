package records

import (
	"context"

	"canewright/labels"
)

// QRContent is what the symbol of a lot holds: a GS1 Digital Link where the owner holds a Company Prefix and the product in
// its container has a GTIN; else the owner's confirmed address and the code; else code, maker and telephone.
func QRContent(ctx context.Context, src Source, house House, lot Lot) (string, error) {
	return symbolContent(ctx, src, house, lot, func(t *TradeItem) string { return t.GTIN })
}

// symbolContent is QRContent for the GTIN of the bottle or of the case.
func symbolContent(ctx context.Context, src Source, house House, lot Lot, gtinOf func(*TradeItem) string) (string, error) {
	code, err := labels.ParseLotCode(lot.Code)
	if err != nil {
		return "", err
	}
	address := ""
	if house.AddressOnBottle {
		address = house.PublicAddress
	}
	item, err := TradeItemOf(ctx, src, lot.ProductID, lot.ContainerID)
	if err != nil {
		return "", err
	}
	if house.CompanyPrefix != "" && item != nil && gtinOf(item) != "" {
		return labels.DigitalLinkContent(address, gtinOf(item), code)
	}
	if address != "" {
		return labels.AddressContent(address, code)
	}
	return labels.PlainContent(code, house.Name, house.Telephone), nil
}
