package season

import (
	"fmt"

	"canewright/records"
)

// supplies are received before the season; the second lot of closures comes later.
func (b *builder) supplies() error {
	b.bottles = map[int]*records.SupplyLot{}
	var facts []records.Fact
	for _, s := range []struct {
		ounces, count int
		lot           string
	}{{8, 720, "TP-0805"}, {12, 1300, "TP-1211"}, {16, 800, "TP-1602"}, {32, 400, "TP-3204"}} {
		b.bottles[s.ounces] = &records.SupplyLot{Sort: records.SupplyBottles, Description: fmt.Sprintf("Glass, %d fl oz", s.ounces),
			SupplierID: b.glassworks.ID, CarrierID: &b.haulier.ID, TheirLot: s.lot, Quantity: ptr(float64(s.count)),
			QuantityEntered: fmt.Sprint(s.count), HowPacked: "cases on a pallet, wrapped", ReceivedOn: b.day(setUpDay - 9), Reference: "note 5512"}
		facts = append(facts, b.bottles[s.ounces])
	}
	b.firstCaps = b.caps("LM-204", setUpDay-9, 1800)
	b.cloths = records.SupplyLot{Sort: records.SupplyCloths, Description: "Cotton filter cloth", SupplierID: b.clothworks.ID, CarrierID: &b.parcelLine.ID,
		TheirLot: "WW-77", Quantity: ptr(48.0), QuantityEntered: "48", HowPacked: "carton", ReceivedOn: b.day(setUpDay - 20), Reference: "note 91"}
	b.oil = b.additive("Sunflower oil", "SF-3310", setUpDay-6)
	b.butter = b.additive("Butter, unsalted", "PB-18", -24)
	return b.put(b.owner(), append(facts, &b.firstCaps, &b.cloths, &b.oil)...)
}

func (b *builder) caps(lot string, received, count int) records.SupplyLot {
	return records.SupplyLot{Sort: records.SupplyClosures, Description: "Lug cap, lined", SupplierID: b.capper.ID, CarrierID: &b.haulier.ID,
		TheirLot: lot, Quantity: ptr(float64(count)), QuantityEntered: fmt.Sprint(count), HowPacked: "cartons, sealed bag inside",
		ReceivedOn: b.day(received), Reference: "note L-" + lot[3:]}
}

func (b *builder) additive(description, lot string, received int) records.SupplyLot {
	return records.SupplyLot{Sort: records.SupplyAdditive, Description: description, SupplierID: b.grocer.ID, TheirLot: lot, Quantity: ptr(4.0),
		QuantityEntered: "4", HowPacked: "retail packs", ReceivedOn: b.day(received), Reference: "till receipt"}
}

// laterSupplies come during the season.
func (b *builder) laterSupplies() {
	b.plan(b.at(-27, 10, 15), func() error {
		b.laterCaps = b.caps("LM-219", -27, 2100)
		b.laterPints = records.SupplyLot{Sort: records.SupplyBottles, Description: "Glass, 16 fl oz", SupplierID: b.glassworks.ID, CarrierID: &b.haulier.ID,
			TheirLot: "TP-1609", Quantity: ptr(900.0), QuantityEntered: "900", HowPacked: "cases on a pallet, wrapped", ReceivedOn: b.day(-27), Reference: "note 5601"}
		return b.put(b.owner(), &b.laterCaps, &b.laterPints)
	})
	b.plan(b.at(-24, 17, 5), func() error { return b.put(b.owner(), &b.butter) })
	b.plan(b.at(-5, 16, 20), func() error {
		b.newDefoamer = b.additive("Kettle defoamer, trial pack", "unmarked", -5)
		return b.put(b.owner(), &b.newDefoamer)
	})
}
