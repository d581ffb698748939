package records

import (
	"fmt"
	"slices"
)

// Fact is a record of one kind. Only this package writes kinds.
type Fact interface {
	row() *Row
	Kind() Kind
	// Validate checks the fact by itself: shape and physical range. It returns Invalid.
	Validate() error
}

// shape is the number of a kind's present shape, where it is not the first. A shape that changes gets the next number; what
// an older one leaves out stands in its row with no value (see verifier.row).
var shape = map[Kind]int{KindBoilEntry: 2, KindDensityReading: 2, KindPart: 2, KindFillCheck: 2, KindContainer: 2, KindProduct: 2, KindHouse: 2,
	KindLabelStock: 2, KindPrint: 2, KindComplaint: 2}

// form is the name a fact's present shape has in the journal.
func form(k Kind) string { return fmt.Sprintf("%s/%d", k, max(1, shape[k])) }

// Optional traits of a fact. A fact that refers to others says which kinds it may refer to; one that must agree with
// other records looks at them inside the transaction; one that carries material says from where to where.
type (
	referrer  interface{ refs() []ref }
	inspector interface{ inspect(tx *Tx) error }
	personal  interface{ contact() (*Contact, *string) }
)

type ref struct {
	field string
	id    string
	kinds []Kind
}

func to(field, id string, kinds ...Kind) ref { return ref{field, id, kinds} }

func toOptional(field string, id *string, kinds ...Kind) ref {
	if id == nil {
		return ref{}
	}
	return ref{field, *id, kinds}
}

// newFact makes an empty fact of each kind; it is the one list of kinds.
var newFact = map[Kind]func() Fact{
	KindHouse:            func() Fact { return new(House) },
	KindSite:             func() Fact { return new(Site) },
	KindPerson:           func() Fact { return new(Person) },
	KindKettle:           func() Fact { return new(Kettle) },
	KindTank:             func() Fact { return new(Tank) },
	KindInstrument:       func() Fact { return new(Instrument) },
	KindInstrumentCheck:  func() Fact { return new(InstrumentCheck) },
	KindHouseLimit:       func() Fact { return new(HouseLimit) },
	KindProduct:          func() Fact { return new(Product) },
	KindContainer:        func() Fact { return new(Container) },
	KindLabelStock:       func() Fact { return new(LabelStock) },
	KindSupplier:         func() Fact { return new(Supplier) },
	KindCarrier:          func() Fact { return new(Carrier) },
	KindCustomer:         func() Fact { return new(Customer) },
	KindSupplyLot:        func() Fact { return new(SupplyLot) },
	KindBlock:            func() Fact { return new(Block) },
	KindPlanting:         func() Fact { return new(Planting) },
	KindApplication:      func() Fact { return new(Application) },
	KindFreeze:           func() Fact { return new(Freeze) },
	KindCut:              func() Fact { return new(Cut) },
	KindPressing:         func() Fact { return new(Pressing) },
	KindRun:              func() Fact { return new(Run) },
	KindBoilEntry:        func() Fact { return new(BoilEntry) },
	KindDensityReading:   func() Fact { return new(DensityReading) },
	KindAddition:         func() Fact { return new(Addition) },
	KindWashOut:          func() Fact { return new(WashOut) },
	KindLot:              func() Fact { return new(Lot) },
	KindPart:             func() Fact { return new(Part) },
	KindFillCheck:        func() Fact { return new(FillCheck) },
	KindFillEnd:          func() Fact { return new(FillEnd) },
	KindDisposition:      func() Fact { return new(Disposition) },
	KindCorrectiveAction: func() Fact { return new(CorrectiveAction) },
	KindLink:             func() Fact { return new(Link) },
	KindShipment:         func() Fact { return new(Shipment) },
	KindShelfEntry:       func() Fact { return new(ShelfEntry) },
	KindComplaint:        func() Fact { return new(Complaint) },
	KindPrint:            func() Fact { return new(Print) },
	KindRestore:          func() Fact { return new(Restore) },
	KindAttachment:       func() Fact { return new(Attachment) },
	KindPhoneEntry:       func() Fact { return new(PhoneEntry) },
	KindLoggerImport:     func() Fact { return new(LoggerImport) },
	KindFillEvent:        func() Fact { return new(FillEvent) },
	KindNetSample:        func() Fact { return new(NetSample) },
	KindNetTable:         func() Fact { return new(NetTable) },
	KindCoolingTest:      func() Fact { return new(CoolingTest) },
	KindTradeItem:        func() Fact { return new(TradeItem) },
	KindLabelAnswer:      func() Fact { return new(LabelAnswer) },
	KindLabelCount:       func() Fact { return new(LabelCount) },
	KindTagMatch:         func() Fact { return new(TagMatch) },
}

// NewFact makes an empty fact of a kind; false when there is no such kind.
func NewFact(k Kind) (Fact, bool) {
	make, ok := newFact[k]
	if !ok {
		return nil, false
	}
	return make(), true
}

// Kinds lists every kind of fact, in alphabetical order.
func Kinds() []Kind {
	var kinds []Kind
	for k := range newFact {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	return kinds
}
