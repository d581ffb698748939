package season

import (
	"fmt"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/records"
)

// ground is everything that stands before the first cut: house, people, tools, settings, firms and fields.
type ground struct {
	house               records.House
	site                records.Site
	hester, marisol     records.Person
	efrain, dale        records.Person
	kettles             map[int]*records.Kettle
	juiceTank, holding  records.Tank
	probeA, probeB      records.Instrument
	spindle, spareStem  records.Instrument
	refractometer       records.Instrument
	scale               records.Instrument
	cane, table         records.Product
	containers          map[int]*records.Container // by fluid ounces
	stocks              []*records.LabelStock
	glassworks, capper  records.Supplier
	grocer, clothworks  records.Supplier
	haulier, parcelLine records.Carrier
	bottles             map[int]*records.SupplyLot // by fluid ounces
	laterPints          records.SupplyLot
	firstCaps           records.SupplyLot
	laterCaps           records.SupplyLot
	cloths, oil, butter records.SupplyLot
	newDefoamer         records.SupplyLot
	blocks              []*records.Block
	plantings           []*records.Planting
	customers           []*records.Customer
}

// The day of the season's first entry, and the kettle house above the sea.
const (
	setUpDay                  = -56
	altitude     syrup.Meters = 36
	targetSolids              = 75
)

// owner and the two who sign in on the shared phone; the crew without a login of their own are tapped as doing the work.
func (b *builder) owner() records.Actor { return records.Actor{PersonID: b.hester.ID} }
func (b *builder) kettleHand() records.Actor {
	return records.Actor{PersonID: b.marisol.ID, DoneBy: b.efrain.ID}
}
func (b *builder) filler() records.Actor { return records.Actor{PersonID: b.marisol.ID} }
func (b *builder) field() records.Actor  { return records.Actor{PersonID: b.dale.ID} }

// setUp writes the ground, on the first morning.
func (b *builder) setUp() error {
	b.clock.Set(b.at(setUpDay, 7, 30))
	b.house = records.House{Name: "Quillback Bend Cane Farm", Address: "88 Old Mill Lane\nMarrow Creek, LA 70000",
		Telephone: "+1 225 555 0142", Email: "hello@quillback-bend.example", Zone: Zone, Altitude: ptr(altitude),
		AltitudeEntered: "118 ft", TargetSolids: targetSolids, PublicAddress: "https://quillback-bend.example", AddressOnBottle: true, PublicPage: true,
		Statement: "Made on our farm.", StatementSource: "county office, by telephone", StatementDay: b.day(-70)}
	b.site = records.Site{Name: "Home place", Address: "88 Old Mill Lane, Marrow Creek", Telephone: "+1 225 555 0142"}
	b.hester = records.Person{Name: "Hester Vane", Login: "hester", Language: "en", Units: "us"}
	if err := b.store.SetUp(b.ctx, &b.house, &b.site, &b.hester); err != nil {
		return fmt.Errorf("demo season: %w", err)
	}
	b.now = b.at(setUpDay, 7, 45)
	for i, step := range []func() error{b.people, b.tools, b.goods, b.firms, b.supplies, b.fields, b.buyers} {
		b.clock.Set(b.at(setUpDay, 7, 35+4*i))
		if err := step(); err != nil {
			return fmt.Errorf("demo season: %w", err)
		}
	}
	b.now = b.at(setUpDay, 8, 10)
	b.summary.OwnerID, b.summary.OwnerLogin = b.hester.ID, b.hester.Login
	b.summary.CrewIDs = []string{b.marisol.ID, b.efrain.ID, b.dale.ID}
	return nil
}

func (b *builder) people() error {
	b.marisol = records.Person{SiteID: b.site.ID, Name: "Marisol Ibarra", Login: "marisol", Role: records.RoleCrew, MayRelease: true, Language: "es", Units: "us"}
	b.efrain = records.Person{SiteID: b.site.ID, Name: "Efraín Lugo", Login: "efrain", Role: records.RoleCrew, Language: "es", Units: "us"}
	b.dale = records.Person{SiteID: b.site.ID, Name: "Dale Purvis", Login: "dale", Role: records.RoleCrew, Language: "en", Units: "us"}
	inspector := records.Person{SiteID: b.site.ID, Name: "Odell Crane", Login: "odell", Role: records.RoleReader, Language: "en", Units: "metric", Expires: b.day(14)}
	return b.put(b.owner(), &b.marisol, &b.efrain, &b.dale, &inspector)
}

func (b *builder) tools() error {
	b.kettles = map[int]*records.Kettle{
		1: {SiteID: b.site.ID, Number: 1, Name: "Big kettle", Volume: gallons(110), VolumeEntered: "110 gal"},
		2: {SiteID: b.site.ID, Number: 2, Name: "Old kettle", Volume: gallons(80), VolumeEntered: "80 gal"},
	}
	b.juiceTank = records.Tank{SiteID: b.site.ID, Name: "Juice tank", Holds: records.HoldsJuice, Volume: gallons(200), VolumeEntered: "200 gal"}
	b.holding = records.Tank{SiteID: b.site.ID, Name: "Holding tank", Holds: records.HoldsSyrup, Volume: gallons(40), VolumeEntered: "40 gal"}
	b.probeA = records.Instrument{Name: "Probe A", Measures: records.MeasuresTemperature, ReadsIn: "F", Serial: "QA-11", Uncertainty: ptr(1.0)}
	b.probeB = records.Instrument{Name: "Probe B", Measures: records.MeasuresTemperature, ReadsIn: "F", Serial: "QA-12", Uncertainty: ptr(1.0)}
	b.spindle = records.Instrument{Name: "Spindle 1", Measures: records.MeasuresDensity, Scale: syrup.ScaleBaume, Stem: syrup.Stem60F, Uncertainty: ptr(0.1)}
	b.spareStem = records.Instrument{Name: "Spindle 2", Measures: records.MeasuresDensity, Scale: syrup.ScaleBaume, Stem: syrup.Stem60F, Uncertainty: ptr(0.1)}
	b.refractometer = records.Instrument{Name: "Hand refractometer", Measures: records.MeasuresRefraction, Scale: syrup.ScaleBrix, Uncertainty: ptr(0.2)}
	b.scale = records.Instrument{Name: "Bench scale", Measures: records.MeasuresWeight, Serial: "W-3", Uncertainty: ptr(1.0)}
	return b.put(b.owner(), b.kettles[1], b.kettles[2], &b.juiceTank, &b.holding, &b.probeA, &b.probeB, &b.spindle, &b.spareStem,
		&b.refractometer, &b.scale)
}

func (b *builder) goods() error {
	b.cane = records.Product{Name: "Cane syrup", Names: records.NamesCane, BestByMonths: 18, Storage: "Store cool and dry.",
		Claims: "Boiled in an open kettle", Nutrition: hazards.NutritionExempt, NutritionNote: "fewer than 10 people and 10,000 bottles a year; asked the county office"}
	b.table = records.Product{Name: "Table syrup", Names: records.NamesTable, BestByMonths: 12, Storage: "Refrigerate after opening."}
	limit := syrup.Fahrenheit(180).Celsius()
	b.containers = map[int]*records.Container{}
	facts := []records.Fact{&b.cane, &b.table}
	for _, c := range []struct {
		ounces, perCase int
		name            string
		tare            syrup.Grams
	}{{8, 24, "Flask", 142}, {12, 12, "Tall round", 201}, {16, 12, "Pint round", 238}, {32, 6, "Quart jug", 402}} {
		contents := syrup.USFluidOunces(c.ounces).Milliliters()
		b.containers[c.ounces] = &records.Container{Name: fmt.Sprintf("%s, %d fl oz", c.name, c.ounces), Contents: contents,
			ContentsEntered: fmt.Sprintf("%d fl oz", c.ounces), Tare: ptr(c.tare), TareEntered: fmt.Sprintf("%.0f g", c.tare),
			FillLimit: &limit, FillLimitEntered: "180 F", FillLimitSource: "our cooling test, five bottles, first week of the season before",
			UnitsPerCase: ptr(c.perCase), Shape: "round", PanelHeight: ptr(shapes[c.ounces][0]), Diameter: ptr(shapes[c.ounces][1])}
		facts = append(facts, b.containers[c.ounces])
	}
	b.stocks = []*records.LabelStock{
		{Name: "Letter 2x5", Paper: records.PaperLetter, Rows: 5, Columns: 2, MarginTop: 12.7, MarginLeft: 3.96875, PitchX: 106.3625, PitchY: 50.8,
			LabelWidth: 101.6, LabelHeight: 50.8, DotsPerInch: 600},
		{Name: "Letter 3x10", Paper: records.PaperLetter, Rows: 10, Columns: 3, MarginTop: 12.7, MarginLeft: 4.7625, PitchX: 69.85, PitchY: 25.4,
			LabelWidth: 66.675, LabelHeight: 25.4, DotsPerInch: 600},
		{Name: "A4 3x8", Paper: records.PaperA4, Rows: 8, Columns: 3, MarginTop: 12.9, MarginLeft: 7.2, PitchX: 66, PitchY: 33.9,
			LabelWidth: 63.5, LabelHeight: 33.9, DotsPerInch: 600},
		{Name: "Roll 100x50", Paper: records.PaperRoll, Rows: 1, Columns: 1, PitchX: 100, PitchY: 50, LabelWidth: 100, LabelHeight: 50, DotsPerInch: 203},
	}
	for _, s := range b.stocks {
		facts = append(facts, s)
	}
	interval := records.HouseLimit{Code: hazards.LimitInterval, Value: 45, Unit: string(hazards.UnitMinutes), Source: "our own: every case that is full", SetOn: b.day(setUpDay)}
	return b.put(b.owner(), append(facts, &interval)...)
}

func (b *builder) firms() error {
	b.glassworks = records.Supplier{Firm: "Tern Point Glass", Address: "1 Kiln Way, Tern Point, MS 39000", Telephone: "+1 601 555 0111", Email: "orders@tern-point.example"}
	b.capper = records.Supplier{Firm: "Larkmoor Closures", Address: "40 Press Street, Larkmoor, TX 75000", Telephone: "+1 903 555 0118"}
	b.grocer = records.Supplier{Firm: "Plumb & Daughter Grocers", Address: "7 Market Square, Marrow Creek, LA 70000", Telephone: "+1 225 555 0127"}
	b.clothworks = records.Supplier{Firm: "Willow Weave Cloth", Address: "210 Spindle Road, Dunmere, GA 31000", Telephone: "+1 912 555 0134"}
	b.haulier = records.Carrier{Firm: "Crossbayou Freight", Address: "3 Depot Road, Crossbayou, LA 70000", Telephone: "+1 225 555 0150"}
	b.parcelLine = records.Carrier{Firm: "Redwing Parcels", Address: "16 Junction Street, Crossbayou, LA 70000", Telephone: "+1 225 555 0151"}
	return b.put(b.owner(), &b.glassworks, &b.capper, &b.grocer, &b.clothworks, &b.haulier, &b.parcelLine)
}

func (b *builder) fields() error {
	for _, f := range []struct {
		name    string
		acres   float64
		note    string
		variety string
		planted int
		ratoon  int
	}{
		{"Creek side", 1.8, "lowest ground; floods at the east corner", "Louisiana Ribbon", -790, 1},
		{"Hill", 2.4, "highest ground; last to freeze", "Green German", -425, 0},
		{"Back forty", 1.1, "behind the packing shed", "CP 67-500", -1155, 2},
	} {
		block := &records.Block{SiteID: b.site.ID, Name: f.name, Acres: ptr(f.acres), AreaEntered: fmt.Sprintf("%.1f acre", f.acres), Note: f.note}
		if err := b.put(b.owner(), block); err != nil {
			return err
		}
		planting := &records.Planting{BlockID: block.ID, Variety: f.variety, PlantedOn: b.day(f.planted), Ratoon: f.ratoon}
		if err := b.put(b.owner(), planting); err != nil {
			return err
		}
		b.blocks, b.plantings = append(b.blocks, block), append(b.plantings, planting)
	}
	return nil
}

func gallons(n syrup.USGallons) *syrup.Liters { return ptr(n.Liters()) }
