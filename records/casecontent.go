package records

import (
	"context"
	"time"

	"canewright/hazards/text"
	"canewright/labels"
)

// CaseLabelOf works out what a case of a lot says, from its label. The bars are there only where the house holds a GS1
// Company Prefix and a GTIN is recorded for the case. Errors: as LabelOf.
func CaseLabelOf(ctx context.Context, src Source, lotID string) (labels.CaseLabel, error) {
	label, err := LabelOf(ctx, src, lotID)
	if err != nil {
		return labels.CaseLabel{}, err
	}
	lot, err := Get[Lot](ctx, src, lotID)
	if err != nil {
		return labels.CaseLabel{}, err
	}
	container, err := Get[Container](ctx, src, lot.ContainerID)
	if err != nil {
		return labels.CaseLabel{}, err
	}
	k := labels.CaseLabel{ProductName: label.ProductName, Contents: labels.Net{US: label.NetUS, Metric: label.NetMetric}.String(), LotCode: label.LotCode,
		BestBy: label.BestBy, Storage: label.Storage, Maker: label.Maker, Address: label.Address, QR: label.QR}
	if container.UnitsPerCase != nil {
		k.Contents = text.Say(text.English, "label.case_of", "Count", *container.UnitsPerCase, "Net", k.Contents)
	}
	if k.Elements, err = caseElements(ctx, src, lot); err != nil || len(k.Elements) == 0 {
		return k, err
	}
	house, err := theHouse(ctx, src)
	if err != nil {
		return k, err
	}
	k.QR, err = symbolContent(ctx, src, house, lot, func(t *TradeItem) string { return t.CaseGTIN }) // the case's own, as its bars
	return k, err
}

// caseElements are the GTIN of the case, the day it is best before, and the lot; none where the house holds no prefix or
// the case no GTIN.
func caseElements(ctx context.Context, src Source, lot Lot) ([]labels.Element, error) {
	house, err := theHouse(ctx, src)
	if err != nil || house.CompanyPrefix == "" {
		return nil, err
	}
	item, err := TradeItemOf(ctx, src, lot.ProductID, lot.ContainerID)
	if err != nil || item == nil || item.CaseGTIN == "" {
		return nil, err
	}
	product, err := Get[Product](ctx, src, lot.ProductID)
	if err != nil {
		return nil, err
	}
	best := bestDay(lot.Day, product.BestByMonths)
	return []labels.Element{{AI: labels.AIGTIN, Value: item.CaseGTIN}, {AI: labels.AIBestBefore, Value: best.Format("060102")},
		{AI: labels.AILot, Value: lot.Code}}, nil
}

// bestDay is the day some months after a lot's; the last of a shorter month.
func bestDay(d Day, months int) time.Time {
	start := d.Start(time.UTC)
	end := start.AddDate(0, months, 0)
	if end.Day() != start.Day() {
		end = end.AddDate(0, 0, -end.Day())
	}
	return end
}

// ShelfCardOf works out what the card before a lot's bottles says, from its label. Errors: as LabelOf.
func ShelfCardOf(ctx context.Context, src Source, lotID string) (labels.ShelfCard, error) {
	label, err := LabelOf(ctx, src, lotID)
	return labels.ShelfCard{ProductName: label.ProductName, Net: labels.Net{US: label.NetUS, Metric: label.NetMetric}.String(),
		Storage: label.Storage, Maker: label.Maker, Address: label.Address}, err
}
