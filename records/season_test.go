package records

import (
	"time"

	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// filled bottles a run: two good checks, one with a weight, and a count.
func (h *season) filled(g ground, run Run, count int) Lot {
	h.t.Helper()
	lot := Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20),
		BottlesLotID: &g.bottles.ID, ClosuresLotID: &g.closures.ID}
	require.NoError(h.t, h.StartFilling(h.ctx, h.owner, &lot, []Draw{{FromID: run.ID}}))
	h.checkFill(g, lot, h.at(11, 21), 188)
	h.checkFill(g, lot, h.at(11, 45), 186)
	require.NoError(h.t, h.EndFilling(h.ctx, h.owner, &FillEnd{LotID: lot.ID, At: h.at(11, 50), Count: count}))
	return lot
}

func (h *season) checkFill(g ground, lot Lot, at time.Time, f syrup.Fahrenheit) FillCheck {
	h.t.Helper()
	check := FillCheck{LotID: lot.ID, At: at, Bottle: ptr(f.Celsius()), InstrumentID: &g.probe.ID, InvertedSeconds: ptr(300), ClosureOK: ptr(true),
		NetWeight: ptr(syrup.Grams(652))}
	h.put(&check)
	return check
}

func (h *season) partOf(lot Lot) Part {
	h.t.Helper()
	parts, err := List[Part](h.ctx, h, "lot_id = ? ORDER BY number", lot.ID)
	require.NoError(h.t, err)
	require.NotEmpty(h.t, parts)
	return parts[0]
}

// released makes a lot and signs it out of hold.
func (h *season) released(g ground) (Run, Lot, Part) {
	h.t.Helper()
	_, _, run := h.boiled(g)
	lot := h.filled(g, run, 108)
	part := h.partOf(lot)
	require.NoError(h.t, h.Release(h.ctx, h.owner, part.ID, "checked and in order"))
	return run, lot, part
}

func (h *season) customer() Customer {
	h.t.Helper()
	shop := Customer{Sort: CustomerBusiness, Contact: Contact{Name: "Cormorant Grocery", Address: "3 Levee Street, Heron Bend, MS", Telephone: "+1 601 555 0122"}}
	h.put(&shop)
	return shop
}

// fullSeason writes at least one record of every kind.
func (h *season) fullSeason() {
	h.t.Helper()
	g := h.ground()
	run, lot, part := h.released(g)
	shop := h.customer()
	carrier := Carrier{Firm: "Bayou Freight", Address: "9 Dock Road", Telephone: "+1 601 555 0133"}
	h.put(&carrier)
	shipment := Shipment{CustomerID: shop.ID, CarrierID: &carrier.ID, At: h.at(11, 58), HowPacked: "cases of 12"}
	require.NoError(h.t, h.Ship(h.ctx, h.owner, &shipment, []Units{{part.ID, 24}}))
	h.put(&InstrumentCheck{InstrumentID: g.probe.ID, At: h.at(5, 0), Method: "ice", Expected: 32, Read: 32, Unit: "F", Passed: true},
		&HouseLimit{Code: "solids.thick", Value: 77, Unit: "percent_solids", Source: "our own boils", SetOn: "2025-10-01"},
		&LabelStock{Name: "Letter 2x5", Paper: PaperLetter, Rows: 5, Columns: 2, MarginTop: 12.7, MarginLeft: 4, PitchX: 105, PitchY: 50.8, LabelWidth: 101.6, LabelHeight: 50.8, DotsPerInch: 600},
		&Application{BlockID: g.block.ID, AppliedOn: "2025-06-02", Product: "Weed spray", Amount: "2 qt", Applicator: "Ben Oak", PreHarvestDays: 30, ForSugarcane: ptr(true)},
		&Freeze{SiteID: h.site.ID, Night: "2025-12-01", Low: 0, Found: StalksSound},
		&Addition{ToID: run.ID, At: h.at(9, 0), Substance: "butter", Use: "defoamer", Amount: ptr(syrup.Grams(20)), Stays: ptr(true), Allergens: ptr("milk"), Sulfites: ptr(true)},
		&WashOut{VesselID: g.kettle.ID, At: h.at(11, 30)},
		&CorrectiveAction{PartID: part.ID, At: h.at(11, 55), Finding: "fill.closure", AboutID: lot.ID, Problem: "a", Recurrence: "b", Evaluation: "c", Commerce: "d"},
		&ShelfEntry{What: ShelfSample, PartID: part.ID, At: h.at(11, 56), Units: 2, Place: "laboratory"},
		&Complaint{ReceivedAt: h.at(12, 0), LotID: &lot.ID, About: "crystals", Story: "sugar at the bottom", Contact: Contact{Name: "A buyer"}},
		&Print{OfID: lot.ID, What: "labels", At: h.at(11, 51), Copies: 10},
		&Restore{BackupAt: h.at(1, 0), RestoredAt: h.at(2, 0)},
		&PhoneEntry{RecordID: run.ID, PhoneClock: h.at(8, 0), OffSeconds: 3600, WaitedSeconds: 90, SignedInID: h.owner.PersonID},
		&FillEvent{LotID: lot.ID, At: h.at(11, 30), What: FillBroken, Count: ptr(1)},
		&NetSample{LotID: lot.ID, At: h.at(12, 0), Scheme: SchemeHB133, Edition: "2023", LotSize: 2, Picked: "1, 2", Unit: "g", Weights: "652 651", Contents: 473, Solids: 75, Passed: true, Result: "-"},
		&NetTable{Name: TableMAVVolume, Edition: "2023", Source: "the owner's copy", AsOf: "2025-10-01", Lines: "0 500 10"},
		&CoolingTest{ContainerID: g.container.ID, At: h.at(12, 0), Unit: "F", Series: "0 185\n5 180\n10 175", Position: "inverted"},
		&TradeItem{ProductID: g.product.ID, ContainerID: g.container.ID},
		&LabelAnswer{LotID: lot.ID, At: h.at(12, 0), Code: "label.unsulphured", Words: "The label says “Unsulphured”; the records say sulfites: butter.", Reason: "owner's reason"},
		&LabelCount{LotID: lot.ID, At: h.at(12, 0), Used: 8, Spoiled: 2},
		&TagMatch{LotID: lot.ID, At: h.at(12, 0), TagTyped: lot.Code, LabelTyped: lot.Code, Matched: true})
	file := Attachment{OfID: run.ID, At: h.at(11, 0), Sort: AttachedLogger, Name: "boil.csv", MediaType: "text/csv"}
	require.NoError(h.t, h.Attach(h.ctx, h.owner, &file, []byte("time,C\n2025-12-07 07:00,20\n")))
	h.put(&LoggerImport{RunID: run.ID, AttachmentID: file.ID, Unit: "C", Zone: "America/Chicago", Separator: ",", HeaderLines: 1, TimeColumn: 1,
		TimeLayout: "2006-01-02 15:04", TemperatureColumn: 2, Points: 1, FirstAt: h.at(7, 0), LastAt: h.at(7, 0)})
}
