package packet

import (
	"slices"

	"canewright/records"
)

// table is a record table that a packet may carry, as one CSV file of the records the chains touch.
type table struct {
	Kind records.Kind
	read func(r *reader, column string, ids []string) []records.Fact
	// by says how its records are found from those already found: a column of its own holds the id of one of these kinds.
	by map[string][]records.Kind
}

// tables is the written list. What is not on it never enters a packet: sign-in tables, sessions, label stocks, the
// registry and the caches. Each kind comes after those it hangs on.
var tables = []table{
	{Kind: records.KindLot, read: facts[records.Lot]},
	{Kind: records.KindRun, read: facts[records.Run]},
	{Kind: records.KindTank, read: facts[records.Tank]},
	{Kind: records.KindPressing, read: facts[records.Pressing]},
	{Kind: records.KindCut, read: facts[records.Cut]},
	{Kind: records.KindPlanting, read: facts[records.Planting]},
	{Kind: records.KindSupplyLot, read: facts[records.SupplyLot]},
	{Kind: records.KindShipment, read: facts[records.Shipment]},
	{Kind: records.KindPart, read: facts[records.Part], by: from("lot_id", records.KindLot)},
	{Kind: records.KindLink, read: facts[records.Link], by: map[string][]records.Kind{
		"to_id": {records.KindLot, records.KindRun, records.KindTank, records.KindPressing}, "from_id": {records.KindPart}}},
	{Kind: records.KindBoilEntry, read: facts[records.BoilEntry], by: from("run_id", records.KindRun)},
	{Kind: records.KindDensityReading, read: facts[records.DensityReading], by: from("of_id", records.KindRun, records.KindTank, records.KindLot)},
	{Kind: records.KindAddition, read: facts[records.Addition], by: from("to_id", records.KindRun, records.KindTank, records.KindPressing)},
	{Kind: records.KindKettle, read: facts[records.Kettle]},
	{Kind: records.KindWashOut, read: facts[records.WashOut], by: from("vessel_id", records.KindKettle, records.KindTank)},
	{Kind: records.KindFillCheck, read: facts[records.FillCheck], by: from("lot_id", records.KindLot)},
	{Kind: records.KindFillEvent, read: facts[records.FillEvent], by: from("lot_id", records.KindLot)},
	{Kind: records.KindNetSample, read: facts[records.NetSample], by: from("lot_id", records.KindLot)},
	{Kind: records.KindFillEnd, read: facts[records.FillEnd], by: from("lot_id", records.KindLot)},
	{Kind: records.KindAttachment, read: facts[records.Attachment], by: from("of_id", records.KindRun, records.KindBoilEntry,
		records.KindDensityReading, records.KindPressing, records.KindCut, records.KindLot, records.KindFillCheck)},
	{Kind: records.KindLoggerImport, read: facts[records.LoggerImport], by: from("run_id", records.KindRun)},
	{Kind: records.KindPhoneEntry, read: facts[records.PhoneEntry], by: from("record_id", records.KindBoilEntry, records.KindDensityReading,
		records.KindAddition, records.KindLink)},
	{Kind: records.KindDisposition, read: facts[records.Disposition], by: from("part_id", records.KindPart)},
	{Kind: records.KindCorrectiveAction, read: facts[records.CorrectiveAction], by: from("part_id", records.KindPart)},
	{Kind: records.KindShelfEntry, read: facts[records.ShelfEntry], by: from("part_id", records.KindPart)},
	{Kind: records.KindComplaint, read: facts[records.Complaint], by: from("lot_id", records.KindLot)},
	{Kind: records.KindLabelCount, read: facts[records.LabelCount], by: from("lot_id", records.KindLot)},
	{Kind: records.KindTagMatch, read: facts[records.TagMatch], by: from("lot_id", records.KindLot)},
	{Kind: records.KindPrint, read: facts[records.Print], by: from("of_id", records.KindLot, records.KindRun)},
	{Kind: records.KindLabelAnswer, read: facts[records.LabelAnswer], by: from("lot_id", records.KindLot)},
	{Kind: records.KindBlock, read: facts[records.Block]},
	{Kind: records.KindApplication, read: facts[records.Application], by: from("block_id", records.KindBlock)},
	{Kind: records.KindSite, read: facts[records.Site]},
	{Kind: records.KindFreeze, read: facts[records.Freeze], by: from("site_id", records.KindSite)},
	{Kind: records.KindProduct, read: facts[records.Product]},
	{Kind: records.KindContainer, read: facts[records.Container]},
	{Kind: records.KindCoolingTest, read: facts[records.CoolingTest], by: from("container_id", records.KindContainer)},
	{Kind: records.KindTradeItem, read: facts[records.TradeItem], by: from("product_id", records.KindProduct)},
	{Kind: records.KindCustomer, read: facts[records.Customer]},
	{Kind: records.KindInstrument, read: facts[records.Instrument]},
	{Kind: records.KindInstrumentCheck, read: facts[records.InstrumentCheck], by: from("instrument_id", records.KindInstrument)},
	{Kind: records.KindSupplier, read: facts[records.Supplier]},
	{Kind: records.KindCarrier, read: facts[records.Carrier]},
	{Kind: records.KindHouseLimit, read: facts[records.HouseLimit]},
	{Kind: records.KindNetTable, read: facts[records.NetTable]},
	{Kind: records.KindHouse, read: facts[records.House]},
	{Kind: records.KindPerson, read: facts[records.Person]},
}

func from(column string, kinds ...records.Kind) map[string][]records.Kind {
	return map[string][]records.Kind{column: kinds}
}

// refersTo says which kinds the columns of records name.
var refersTo = map[string][]records.Kind{
	"instrument_id": {records.KindInstrument}, "thermometer_id": {records.KindInstrument}, "scale_id": {records.KindInstrument}, "supply_lot_id": {records.KindSupplyLot},
	"bottles_lot_id": {records.KindSupplyLot}, "closures_lot_id": {records.KindSupplyLot}, "supplier_id": {records.KindSupplier},
	"carrier_id": {records.KindCarrier}, "customer_id": {records.KindCustomer}, "product_id": {records.KindProduct},
	"container_id": {records.KindContainer}, "kettle_id": {records.KindKettle}, "site_id": {records.KindSite},
	"block_id": {records.KindBlock}, "planting_id": {records.KindPlanting}, "shipment_id": {records.KindShipment},
	"written_by": {records.KindPerson}, "done_by": {records.KindPerson}, "signed_in_id": {records.KindPerson},
}

// omitted are columns no packet carries: what serves the sign-in, and the hash that stands for fields kept apart.
var omitted = map[records.Kind][]string{
	records.KindPerson:    {"login", "language", "units", "expires"},
	records.KindCustomer:  {"contact_hash"},
	records.KindComplaint: {"contact_hash"},
}

// unitOfColumn is the unit of every canonical quantity, by kind and column. Counts, ordinals and pH have none.
var unitOfColumn = map[string]string{
	"house.altitude": "m", "house.target_solids": "%", "kettle.volume": "L", "tank.volume": "L", "container.contents": "mL",
	"container.tare": "g", "container.fill_limit": "C", "supply_lot.mass": "kg", "supply_lot.solids": "%", "block.acres": "acre",
	"freeze_night.low": "C", "freeze_night.hours_below": "h", "cut.mass": "kg", "cut.day_high": "C", "pressing.volume": "L",
	"pressing.brix": "Brix", "pressing.temperature": "C", "boil_entry.temperature": "C", "boil_entry.volume": "L", "boil_entry.heel": "L",
	"density_reading.temperature": "C", "addition.amount": "g", "fill_check.bottle": "C", "fill_check.tank_reading": "C",
	"net_sample.tare": "g", "net_sample.contents": "mL", "net_sample.solids": "%", "cooling_test.air": "C",
	"fill_check.net_weight": "g", "fill_check.gross": "g", "fill_check.tare": "g", "link.mass": "kg", "link.volume": "L", "link.solids": "kg",
	"phone_entry.off_seconds": "s", "phone_entry.waited_seconds": "s", "attachment.size": "byte",
	"container.panel_height": "mm", "container.panel_width": "mm", "container.diameter": "mm", "container.surface": "mm2",
	"house.statement_height": "mm", "application.pre_harvest_days": "d", "fill_check.inverted_seconds": "s",
}

// unitElsewhere are quantities whose unit stands in another column of their table, or that have none.
var unitElsewhere = map[string]string{
	"density_reading.reading": "scale", "instrument_check.expected": "unit", "instrument_check.read": "unit", "house_limit.value": "unit",
	"instrument.modulus": "none", "instrument.uncertainty": "scale", "pressing.ph": "none", "supply_lot.quantity": "quantity_entered",
}

// facts reads records of one kind whose column is one of the ids, those struck among them.
func facts[T any](r *reader, column string, ids []string) []records.Fact {
	if r.err != nil || len(ids) == 0 {
		return nil
	}
	rows, err := records.ListIDs[T](r.ctx, r.src, column, ids)
	r.fail(err)
	rows = append(rows, struck[T](r, column, ids...)...)
	list := make([]records.Fact, len(rows))
	for i := range rows {
		keep(r, &rows[i])
		list[i] = any(&rows[i]).(records.Fact)
	}
	return list
}

// tableOf is the table of a kind; false when packets carry none.
func tableOf(kind records.Kind) (table, bool) {
	i := slices.IndexFunc(tables, func(t table) bool { return t.Kind == kind })
	if i < 0 {
		return table{}, false
	}
	return tables[i], true
}
