package records

// Kind names a sort of record. It is also the name of its table.
type Kind string

// Every kind of fact a house keeps.
const (
	KindHouse            Kind = "house"
	KindSite             Kind = "site"
	KindPerson           Kind = "person"
	KindKettle           Kind = "kettle"
	KindTank             Kind = "tank"
	KindInstrument       Kind = "instrument"
	KindInstrumentCheck  Kind = "instrument_check"
	KindHouseLimit       Kind = "house_limit"
	KindProduct          Kind = "product"
	KindContainer        Kind = "container"
	KindLabelStock       Kind = "label_stock"
	KindSupplier         Kind = "supplier"
	KindCarrier          Kind = "carrier"
	KindCustomer         Kind = "customer"
	KindSupplyLot        Kind = "supply_lot"
	KindBlock            Kind = "block"
	KindPlanting         Kind = "planting"
	KindApplication      Kind = "application"
	KindFreeze           Kind = "freeze_night" // freeze is a reserved word of PostgreSQL
	KindCut              Kind = "cut"
	KindPressing         Kind = "pressing"
	KindRun              Kind = "run"
	KindBoilEntry        Kind = "boil_entry"
	KindDensityReading   Kind = "density_reading"
	KindAddition         Kind = "addition"
	KindWashOut          Kind = "wash_out"
	KindLot              Kind = "lot"
	KindPart             Kind = "part"
	KindFillCheck        Kind = "fill_check"
	KindFillEnd          Kind = "fill_end"
	KindDisposition      Kind = "disposition"
	KindCorrectiveAction Kind = "corrective_action"
	KindLink             Kind = "link"
	KindShipment         Kind = "shipment"
	KindShelfEntry       Kind = "shelf_entry"
	KindComplaint        Kind = "complaint"
	KindPrint            Kind = "print"
	KindRestore          Kind = "restore"
	KindAttachment       Kind = "attachment"
	KindPhoneEntry       Kind = "phone_entry"
	KindLoggerImport     Kind = "logger_import"
	KindFillEvent        Kind = "fill_event"
	KindNetSample        Kind = "net_sample"
	KindNetTable         Kind = "net_table"
	KindCoolingTest      Kind = "cooling_test"
	KindTradeItem        Kind = "trade_item"
	KindLabelAnswer      Kind = "label_answer"
	KindLabelCount       Kind = "label_count"
	KindTagMatch         Kind = "tag_match"
)

// Kind of each fact.

func (*House) Kind() Kind            { return KindHouse }
func (*Site) Kind() Kind             { return KindSite }
func (*Person) Kind() Kind           { return KindPerson }
func (*Kettle) Kind() Kind           { return KindKettle }
func (*Tank) Kind() Kind             { return KindTank }
func (*HouseLimit) Kind() Kind       { return KindHouseLimit }
func (*Product) Kind() Kind          { return KindProduct }
func (*Container) Kind() Kind        { return KindContainer }
func (*LabelStock) Kind() Kind       { return KindLabelStock }
func (*Instrument) Kind() Kind       { return KindInstrument }
func (*InstrumentCheck) Kind() Kind  { return KindInstrumentCheck }
func (*Supplier) Kind() Kind         { return KindSupplier }
func (*Carrier) Kind() Kind          { return KindCarrier }
func (*Customer) Kind() Kind         { return KindCustomer }
func (*SupplyLot) Kind() Kind        { return KindSupplyLot }
func (*Block) Kind() Kind            { return KindBlock }
func (*Planting) Kind() Kind         { return KindPlanting }
func (*Application) Kind() Kind      { return KindApplication }
func (*Freeze) Kind() Kind           { return KindFreeze }
func (*Cut) Kind() Kind              { return KindCut }
func (*Pressing) Kind() Kind         { return KindPressing }
func (*Run) Kind() Kind              { return KindRun }
func (*BoilEntry) Kind() Kind        { return KindBoilEntry }
func (*DensityReading) Kind() Kind   { return KindDensityReading }
func (*Addition) Kind() Kind         { return KindAddition }
func (*WashOut) Kind() Kind          { return KindWashOut }
func (*Lot) Kind() Kind              { return KindLot }
func (*Part) Kind() Kind             { return KindPart }
func (*FillCheck) Kind() Kind        { return KindFillCheck }
func (*FillEnd) Kind() Kind          { return KindFillEnd }
func (*Disposition) Kind() Kind      { return KindDisposition }
func (*CorrectiveAction) Kind() Kind { return KindCorrectiveAction }
func (*Shipment) Kind() Kind         { return KindShipment }
func (*ShelfEntry) Kind() Kind       { return KindShelfEntry }
func (*Complaint) Kind() Kind        { return KindComplaint }
func (*Print) Kind() Kind            { return KindPrint }
func (*Link) Kind() Kind             { return KindLink }

func (*Restore) Kind() Kind      { return KindRestore }
func (*Attachment) Kind() Kind   { return KindAttachment }
func (*PhoneEntry) Kind() Kind   { return KindPhoneEntry }
func (*LoggerImport) Kind() Kind { return KindLoggerImport }
func (*FillEvent) Kind() Kind    { return KindFillEvent }
func (*NetSample) Kind() Kind    { return KindNetSample }
func (*NetTable) Kind() Kind     { return KindNetTable }
func (*CoolingTest) Kind() Kind  { return KindCoolingTest }
func (*TradeItem) Kind() Kind    { return KindTradeItem }
func (*LabelAnswer) Kind() Kind  { return KindLabelAnswer }
func (*LabelCount) Kind() Kind   { return KindLabelCount }
func (*TagMatch) Kind() Kind     { return KindTagMatch }
