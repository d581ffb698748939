package packet

import (
	"strconv"
	"time"

	"canewright/hazards/syrup"
	"canewright/records"
)

// The tables of trace events have the words of 21 CFR 1 subpart S for their columns (1.1325, 1.1330, 1.1340, 1.1345, 1.1350),
// one row per event line. Syrup is not on that rule's list; its words are what an inspector knows.

// eventTable is one of them.
type eventTable struct {
	Name string
	Head []string
	rows func(c *chain, w words) [][]string
}

var eventTables = []eventTable{
	{"harvest", []string{"Commodity", "Variety", "Quantity", "Unit of measure", "Quantity as entered", "Quantity estimated",
		"Location description of the farm", "Field or growing area name", "Harvest date", "Harvester name", "Harvester phone",
		"Location description of the immediate subsequent recipient", "Reference document type", "Reference document number"}, (*chain).harvest},
	{"initial_packing", []string{"Traceability lot code", "Product description", "Quantity packed", "Unit of measure",
		"Location description where packed (traceability lot code source)", "Date of initial packing", "Commodity received", "Variety received",
		"Date received", "Quantity received", "Unit of measure received", "Location description of the farm", "Field or growing area name",
		"Harvester name", "Harvester phone", "Harvest date", "Share of the lot", "Reference document type", "Reference document number"}, (*chain).packing},
	{"transformation", []string{"Event", "Input traceability lot code", "Input product description", "Input quantity", "Input unit of measure",
		"Input quantity as entered", "Input quantity estimated", "Input date", "New traceability lot code", "New product description",
		"New quantity", "New unit of measure", "New quantity as entered", "Location description where transformed (traceability lot code source)",
		"Date transformation completed", "Reference document type", "Reference document number"}, (*chain).transformation},
	{"shipping", []string{"Traceability lot code", "Quantity", "Unit of measure", "Product description",
		"Location description of the immediate subsequent recipient", "Recipient phone", "Recipient sort", "Location description shipped from",
		"Date shipped", "Traceability lot code source location description", "How packed", "Transporter", "Transporter address", "Transporter phone",
		"Reference document type", "Reference document number"}, (*chain).shipping},
	{"receiving", []string{"Traceability lot code", "Quantity", "Unit of measure", "Quantity as entered", "Product description",
		"Location description of the immediate previous source", "Previous source phone", "Location description where received", "Date received",
		"How packed", "Transporter", "Transporter address", "Transporter phone", "Reference document type", "Reference document number"}, (*chain).receiving},
}

const (
	commodity = "Sugarcane"
	kilograms = "kg"
	liters    = "L"
	bottles   = "bottle"
)

// plain is a number for a machine, without needless digits.
func plain[F ~float64](x *F) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(float64(*x), 'f', -1, 64)
}

// amount gives number and unit of measure of the first quantity that is known.
func amount(mass *syrup.Kilograms, volume *syrup.Liters, units *int) (string, string) {
	switch {
	case units != nil:
		return strconv.Itoa(*units), bottles
	case mass != nil:
		return plain(mass), kilograms
	case volume != nil:
		return plain(volume), liters
	}
	return "", ""
}

// place is a location description: business, site, address and telephone.
func (c *chain) place(siteID string) string {
	house := c.of(records.KindHouse)
	if len(house) == 0 {
		return ""
	}
	h, site := *house[0].(*records.House), one[records.Site](c, siteID)
	address, telephone := h.Address, h.Telephone
	if site.Address != "" {
		address = site.Address
	}
	if site.Telephone != "" {
		telephone = site.Telephone
	}
	return joined("; ", h.Name, site.Name, oneLine(address), telephone)
}

// code is how a record is named in the tables of events: lots and runs by their code, a supply lot by its maker's, others by
// their name.
func (c *chain) code(id string) string {
	if s := one[records.SupplyLot](c, id); s.ID != "" && s.TheirLot != "" {
		return s.TheirLot
	}
	return c.r.name(id)
}

func (c *chain) kind(id string) records.Kind {
	for _, t := range tables {
		if c.facts[t.Kind][id] != nil {
			return t.Kind
		}
	}
	kind, err := records.KindOf(c.r.ctx, c.r.src, id)
	c.r.fail(err)
	return kind
}

func (c *chain) harvest(w words) (rows [][]string) {
	for _, k := range typed[records.Cut](c) {
		planting := one[records.Planting](c, k.PlantingID)
		block := one[records.Block](c, planting.BlockID)
		quantity, unit := amount(k.Mass, nil, nil)
		next := ""
		for _, l := range typed[records.Link](c) {
			if p := one[records.Pressing](c, l.ToID); l.FromID == k.ID && p.ID != "" {
				next = c.place(p.SiteID)
			}
		}
		rows = append(rows, []string{commodity, planting.Variety, quantity, unit, joined("; ", k.MassEntered, k.Counted), cell(k.Estimated, w),
			c.place(block.SiteID), block.Name, string(k.CutOn), k.Harvester, k.HarvesterPhone, next, "cut", k.ID})
	}
	return rows
}

func (c *chain) packing(w words) (rows [][]string) {
	for _, lot := range typed[records.Lot](c) {
		count, unit := c.filled(lot.ID)
		trace := c.traces[lot.ID]
		if trace.Of.ID == "" {
			trace = c.trace(lot.ID, true)
		}
		for _, s := range trace.OfKind(records.KindCut) {
			k := one[records.Cut](c, s.ID)
			planting := one[records.Planting](c, k.PlantingID)
			block := one[records.Block](c, planting.BlockID)
			quantity, received := amount(k.Mass, nil, nil)
			rows = append(rows, []string{records.PrintedCode(lot.Code), c.describe(lot), count, unit, c.place(lot.SiteID), string(lot.Day),
				commodity, planting.Variety, c.pressedOn(k.ID, w), quantity, received, c.place(block.SiteID), block.Name, k.Harvester,
				k.HarvesterPhone, string(k.CutOn), plain(s.Share), "lot", lot.ID})
		}
	}
	return rows
}

// pressedOn is the day a cut reached the mill.
func (c *chain) pressedOn(cutID string, w words) string {
	for _, l := range typed[records.Link](c) {
		if l.FromID == cutID {
			return string(records.DayOf(l.At, w.zone))
		}
	}
	return ""
}

// filled is the count of a lot and its unit of measure; blank while filling.
func (c *chain) filled(lotID string) (count, unit string) {
	for _, e := range typed[records.FillEnd](c) {
		if e.LotID == lotID {
			return strconv.Itoa(e.Count), bottles
		}
	}
	return "", ""
}

func (c *chain) describe(lot records.Lot) string {
	return joined(", ", one[records.Product](c, lot.ProductID).Name, one[records.Container](c, lot.ContainerID).Name)
}

// transformation has one row for each thing that ran into a pressing, a tank, a run or a lot.
func (c *chain) transformation(w words) (rows [][]string) {
	for _, l := range typed[records.Link](c) {
		out := c.output(l.ToID)
		if out.event == "" {
			continue
		}
		quantity, unit := amount(l.Mass, l.Volume, l.Units)
		completed := stamp(out.completed, w.zone)
		rows = append(rows, []string{out.event, c.code(l.FromID), c.description(l.FromID), quantity, unit, l.Entered, cell(l.Estimated, w),
			stamp(l.At, w.zone), c.code(l.ToID), out.description, out.quantity, out.unit, out.entered, c.place(out.site), completed,
			string(c.kind(l.ToID)), l.ToID})
	}
	return rows
}

// output is what a transformation made.
type output struct {
	event, description, quantity, unit, entered, site string
	completed                                         time.Time
}

func (c *chain) output(id string) output {
	switch c.kind(id) {
	case records.KindPressing:
		p := one[records.Pressing](c, id)
		o := output{event: "pressing", description: c.description(id), entered: p.VolumeEntered, site: p.SiteID}
		o.quantity, o.unit = amount(nil, p.Volume, nil)
		if p.EndedAt != nil {
			o.completed = *p.EndedAt
		}
		return o
	case records.KindTank:
		return output{event: "into tank", description: c.description(id), site: one[records.Tank](c, id).SiteID}
	case records.KindRun:
		return c.runOutput(id)
	case records.KindLot:
		lot := one[records.Lot](c, id)
		o := output{event: "bottling", description: c.describe(lot), site: lot.SiteID}
		o.quantity, o.unit = c.filled(id)
		for _, e := range typed[records.FillEnd](c) {
			if e.LotID == id {
				o.completed = e.At
			}
		}
		return o
	}
	return output{}
}

func (c *chain) runOutput(id string) output {
	o := output{event: "kettle run", description: c.description(id), site: one[records.Run](c, id).SiteID}
	for _, e := range typed[records.BoilEntry](c) {
		if e.RunID == id && e.What == records.EntryDrawnOff {
			o.quantity, o.unit = amount(nil, e.Volume, nil)
			o.entered, o.completed = e.VolumeEntered, e.At
		}
	}
	return o
}

// description is what a record's matter is.
func (c *chain) description(id string) string {
	switch kind := c.kind(id); kind {
	case records.KindCut:
		k := one[records.Cut](c, id)
		return commodity + ", " + one[records.Planting](c, k.PlantingID).Variety
	case records.KindPressing:
		return "Cane juice"
	case records.KindRun:
		for _, e := range typed[records.BoilEntry](c) {
			if e.RunID == id && e.What == records.EntryDrawnOff && e.Outcome != records.OutcomeSyrup {
				return "Cane juice boiled, " + endedAs(e.Outcome)
			}
		}
		return "Cane syrup in bulk"
	case records.KindTank:
		if one[records.Tank](c, id).Holds == records.HoldsJuice {
			return "Cane juice in a tank"
		}
		return "Syrup in a tank"
	case records.KindSupplyLot:
		return one[records.SupplyLot](c, id).Description
	case records.KindPart:
		return c.describe(one[records.Lot](c, one[records.Part](c, id).LotID))
	}
	return ""
}

func (c *chain) shipping(w words) (rows [][]string) {
	for _, l := range typed[records.Link](c) {
		shipment := one[records.Shipment](c, l.ToID)
		if shipment.ID == "" {
			continue
		}
		lot := one[records.Lot](c, one[records.Part](c, l.FromID).LotID)
		customer := one[records.Customer](c, shipment.CustomerID)
		to := traced(customer)
		carrier := oneOptional[records.Carrier](c, shipment.CarrierID)
		quantity, unit := amount(nil, nil, l.Units)
		rows = append(rows, []string{records.PrintedCode(lot.Code), quantity, unit, c.describe(lot), joined("; ", to.Name, oneLine(to.Address)),
			to.Telephone, customer.Sort, c.place(lot.SiteID), stamp(shipment.At, w.zone), c.place(lot.SiteID), shipment.HowPacked,
			carrier.Firm, oneLine(carrier.Address), carrier.Telephone, "shipment", joined(" ", shipment.Reference, shipment.ID)})
	}
	return rows
}

func (c *chain) receiving(words) (rows [][]string) {
	for _, s := range typed[records.SupplyLot](c) {
		supplier := one[records.Supplier](c, s.SupplierID)
		carrier := oneOptional[records.Carrier](c, s.CarrierID)
		rows = append(rows, []string{s.TheirLot, plain(s.Quantity), supplyUnit(s), s.QuantityEntered, joined(", ", s.Description, s.Sort),
			joined("; ", supplier.Firm, oneLine(supplier.Address)), supplier.Telephone, c.place(""), string(s.ReceivedOn), s.HowPacked,
			carrier.Firm, oneLine(carrier.Address), carrier.Telephone, "delivery", joined(" ", s.Reference, s.ID)})
	}
	return rows
}

// supplyUnit is the unit typed with a supply lot's quantity; what is counted and has none comes in pieces.
func supplyUnit(s records.SupplyLot) string {
	if unit := unitOf(s.QuantityEntered); unit != "" {
		return unit
	}
	switch s.Sort {
	case records.SupplyBottles, records.SupplyClosures, records.SupplyLabels, records.SupplyCloths:
		return "piece"
	}
	return ""
}
