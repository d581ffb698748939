package records

import "canewright/hazards/syrup"

// Supplier sold us something (21 CFR 1.337: firm, address, telephone).
type Supplier struct {
	Row
	Firm      string
	Address   string
	Telephone string
	Email     string
}

// Carrier brought or took something.
type Carrier struct {
	Row
	Firm      string
	Address   string
	Telephone string
	Email     string
}

// Contact is what is personal in a customer or a complainant. It is kept apart from the fact, whose row holds only a
// salted hash of it.
type Contact struct {
	Name      string // firm or person
	Person    string // whom to ask for
	Address   string
	Telephone string
	Email     string
}

// Customer received bottles: a business (21 CFR 1.345: firm, address, telephone), a person (nothing needed), or a market
// or stand, which is a place.
type Customer struct {
	Row
	Sort        string // business, person or market
	ContactHash string
	Contact     Contact `gorm:"-"`
}

// SupplyLot is bottles, closures, labels, cloths, additives, bought cane or syrup, as received.
type SupplyLot struct {
	Row
	Sort            string // bottles, closures, labels, cloths, additive, cane or syrup
	Description     string // with brand and variety
	SupplierID      string
	CarrierID       *string
	TheirLot        string
	Quantity        *float64
	QuantityEntered string
	HowPacked       string
	ReceivedOn      Day
	Reference       string // number of the delivery note or invoice
	Mass            *syrup.Kilograms
	Solids          *syrup.Brix // bought syrup
}

// Validate checks a supplier: firm, address and telephone (21 CFR 1.337).
func (s *Supplier) Validate() error {
	var c checks
	firm(&c, s.Firm, s.Address, s.Telephone, s.Email)
	return c.err()
}

// Validate checks a carrier: firm, address and telephone (21 CFR 1.337, 1.345).
func (s *Carrier) Validate() error {
	var c checks
	firm(&c, s.Firm, s.Address, s.Telephone, s.Email)
	return c.err()
}

func firm(c *checks, name, address, telephone, email string) {
	c.need("firm", name)
	c.need("address", address)
	c.need("telephone", telephone)
	c.text("email", email)
}

// Sorts of customer.
const (
	CustomerBusiness = "business"
	CustomerPerson   = "person"
	CustomerMarket   = "market"
)

// Validate checks a customer: a business needs firm, address and telephone (21 CFR 1.345), a person only something to
// be called by, a market its place.
func (k *Customer) Validate() error {
	var c checks
	c.oneOf("sort", k.Sort, CustomerBusiness, CustomerPerson, CustomerMarket)
	c.need("contact_name", k.Contact.Name)
	if k.Sort == CustomerBusiness {
		c.need("contact_address", k.Contact.Address)
		c.need("contact_telephone", k.Contact.Telephone)
	}
	k.Contact.check(&c)
	return c.err()
}

func (k *Customer) contact() (*Contact, *string) { return &k.Contact, &k.ContactHash }

func (k Contact) check(c *checks) {
	c.text("contact_name", k.Name)
	c.text("contact_person", k.Person)
	c.text("contact_address", k.Address)
	c.text("contact_telephone", k.Telephone)
	c.text("contact_email", k.Email)
}

// Sorts of supply lot.
const (
	SupplyBottles  = "bottles"
	SupplyClosures = "closures"
	SupplyLabels   = "labels"
	SupplyCloths   = "cloths"
	SupplyAdditive = "additive"
	SupplyCane     = "cane"
	SupplySyrup    = "syrup"
)

// Validate checks a supply lot as received: what, from whom, when, how much, how packed.
func (s *SupplyLot) Validate() error {
	var c checks
	c.oneOf("sort", s.Sort, SupplyBottles, SupplyClosures, SupplyLabels, SupplyCloths, SupplyAdditive, SupplyCane, SupplySyrup)
	c.need("description", s.Description)
	c.text("their_lot", s.TheirLot)
	c.need("how_packed", s.HowPacked)
	c.day("received_on", s.ReceivedOn)
	c.text("reference", s.Reference)
	within(&c, "quantity", s.Quantity, 0, 1e7, "")
	if s.Quantity == nil {
		c.add("quantity", "invalid.required")
	}
	within(&c, "mass", s.Mass, 0, 1e6, "kg")
	within(&c, "solids", s.Solids, 0, 95, "%")
	return c.err()
}

func (s *SupplyLot) refs() []ref {
	return []ref{to("supplier_id", s.SupplierID, KindSupplier), toOptional("carrier_id", s.CarrierID, KindCarrier)}
}
