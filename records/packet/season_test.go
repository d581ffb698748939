package packet

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
	"canewright/records"
)

// season is a small invented house: two runs in one kettle, one lot straight from the first, one from a tank of both.
type season struct {
	*records.Store
	t            testing.TB
	ctx          context.Context
	clock        time.Time
	house        records.House
	site         records.Site
	ada, ben     records.Actor
	first, thin  records.Run
	lot, blend   records.Lot
	cut          records.Cut
	shop, person records.Customer
	closures     records.SupplyLot
}

func ptr[T any](v T) *T { return &v }

// at is a moment of 7 December 2025 in the house's zone; hours of 24 and more are on the next day.
func (h *season) at(hour, minute int) time.Time {
	return time.Date(2025, 12, 7, hour, minute, 0, 0, h.house.Location()).UTC()
}

func (h *season) ok(err error) { h.t.Helper(); require.NoError(h.t, err) }

// put writes facts some minutes after the first of them happened.
func (h *season) put(who records.Actor, facts ...records.Fact) {
	h.t.Helper()
	h.ok(h.Write(h.ctx, who, facts...))
}

// now moves the clock, which only goes forward.
func (h *season) now(t time.Time) { h.clock = t }

func newSeason(t testing.TB) *season {
	h := &season{t: t, ctx: context.Background(), clock: time.Date(2025, 10, 1, 15, 0, 0, 0, time.UTC)}
	store, err := records.Open(h.ctx, records.Options{Data: t.TempDir(), Now: func() time.Time { return h.clock }, Entropy: rand.NewChaCha8([32]byte{9})})
	h.ok(err)
	t.Cleanup(func() { require.NoError(t, store.Close()) })
	h.Store = store
	h.house = records.House{Name: "Egret Fork Farm", Address: "77 Landing Road\nEgret Fork, MS 39001", Telephone: "+1 601 555 0133", Zone: "America/Chicago",
		TargetSolids: 75, Statement: "Made in a farm kitchen that the county does not inspect.", StatementSource: "county office, by telephone", StatementDay: "2025-09-30"}
	h.site = records.Site{Name: "Home place"}
	owner := records.Person{Name: "Ada Quill", Login: "ada-signs-in", Language: "en", Units: "us"}
	h.ok(store.SetUp(h.ctx, &h.house, &h.site, &owner))
	crew := records.Person{SiteID: h.site.ID, Name: "Ben Oak", Login: "ben-signs-in", Role: records.RoleCrew, Language: "es", Units: "us"}
	h.ada = records.Actor{PersonID: owner.ID}
	h.put(h.ada, &crew)
	h.ben = records.Actor{PersonID: crew.ID}
	h.boilAndFill()
	return h
}

func f(t float64) *syrup.Celsius { return ptr(syrup.Fahrenheit(t).Celsius()) }

func (h *season) boilAndFill() {
	block := records.Block{SiteID: h.site.ID, Name: "Creek field", Acres: ptr(1.5), AreaEntered: "1.5 acre"}
	kettle := records.Kettle{SiteID: h.site.ID, Number: 2, Name: "Old kettle", Volume: ptr(syrup.Liters(380))}
	holding := records.Tank{SiteID: h.site.ID, Name: "Holding tank", Holds: records.HoldsSyrup}
	probe := records.Instrument{Name: "Probe 1", Measures: records.MeasuresTemperature, ReadsIn: "F", Uncertainty: ptr(0.5)}
	spindle := records.Instrument{Name: "Spindle 1", Measures: records.MeasuresDensity, Scale: syrup.ScaleBaume, Stem: syrup.Stem60F}
	scale := records.Instrument{Name: "Bench scale", Measures: records.MeasuresWeight}
	product := records.Product{Name: "Cane syrup", Names: records.NamesCane, BestByMonths: 18}
	pint := records.Container{Name: "Pint glass", Contents: 473, ContentsEntered: "16 fl oz", FillLimit: f(180), FillLimitEntered: "180 F", FillLimitSource: "our cooling test"}
	maker := records.Supplier{Firm: "Tern Glass Works", Address: "1 Kiln Way\nTern, MS 39002", Telephone: "+1 601 555 0111"}
	carrier := records.Carrier{Firm: "Pelican Freight", Address: "9 Dock Street, Tern, MS 39002", Telephone: "+1 601 555 0122"}
	h.put(h.ada, &block, &kettle, &holding, &probe, &spindle, &scale, &product, &pint, &maker, &carrier)
	planting := records.Planting{BlockID: block.ID, Variety: "Striped", PlantedOn: "2024-09-20", Ratoon: 1}
	bottles := records.SupplyLot{Sort: records.SupplyBottles, Description: "Pint round", SupplierID: maker.ID, CarrierID: &carrier.ID, TheirLot: "G-88", Quantity: ptr(1000.0),
		QuantityEntered: "1000", HowPacked: "cases of 12", ReceivedOn: "2025-10-01", Reference: "DN 41"}
	h.closures = records.SupplyLot{Sort: records.SupplyClosures, Description: "Lug cap", SupplierID: maker.ID, TheirLot: "C-12", Quantity: ptr(1000.0), HowPacked: "carton", ReceivedOn: "2025-10-01"}
	oil := records.SupplyLot{Sort: records.SupplyAdditive, Description: "Sunflower oil", SupplierID: maker.ID, TheirLot: "S-3", Quantity: ptr(2.0), QuantityEntered: "2 qt", HowPacked: "bottle", ReceivedOn: "2025-10-01"}
	spray := records.Application{BlockID: block.ID, AppliedOn: "2025-06-02", Product: "Weed spray", Amount: "2 qt/acre", Applicator: "Ada Quill", PreHarvestDays: 60, ForSugarcane: ptr(true)}
	h.now(time.Date(2025, 10, 2, 15, 0, 0, 0, time.UTC))
	h.put(h.ada, &planting, &bottles, &h.closures, &oil, &spray)

	h.now(h.at(5, 40))
	h.cut = records.Cut{PlantingID: planting.ID, CutOn: "2025-12-06", FinishedAt: ptr(h.at(-9, 10)), Harvester: "Cal Reed", HarvesterPhone: "+1 601 555 0144", WaitsAt: "mill shed",
		Mass: ptr(syrup.Pounds(2000).Kilograms()), MassEntered: "2000 lb", DayHigh: f(61), DayHighEntered: "61 F"}
	h.put(h.ben, &h.cut, &records.WashOut{VesselID: kettle.ID, At: h.at(5, 30)})
	h.now(h.at(6, 50))
	pressing := records.Pressing{SiteID: h.site.ID, StartedAt: h.at(6, 0), EndedAt: ptr(h.at(6, 45)), Volume: ptr(syrup.USGallons(90).Liters()), VolumeEntered: "90 gal",
		Brix: ptr(syrup.Brix(17)), Temperature: f(58), TemperatureEntered: "58 F"}
	h.ok(h.RecordPressing(h.ctx, h.ben, &pressing, []records.Draw{{FromID: h.cut.ID, Mass: ptr(syrup.Pounds(1050).Kilograms()), Entered: "1050 lb"}}))

	h.first = h.boil(kettle, pressing.ID, "", 7, probe, spindle, 36.1, &oil)
	into := records.Draw{FromID: h.first.ID, ToID: holding.ID, At: h.at(11, 2), Volume: ptr(syrup.USGallons(4).Liters()), Entered: "4 gal"}
	h.now(h.at(11, 5))
	h.ok(h.Fill(h.ctx, h.ben, into))

	h.now(h.at(11, 25))
	h.lot = records.Lot{SiteID: h.site.ID, ProductID: product.ID, ContainerID: pint.ID, StartedAt: h.at(11, 20), BottlesLotID: &bottles.ID, ClosuresLotID: &h.closures.ID}
	h.ok(h.StartFilling(h.ctx, h.ben, &h.lot, []records.Draw{{FromID: h.first.ID, Volume: ptr(syrup.USGallons(9).Liters()), Entered: "9 gal"}}))
	h.put(h.ben,
		&records.FillCheck{LotID: h.lot.ID, At: h.at(11, 21), Bottle: f(186), BottleEntered: "186 F", TankReading: f(190), TankEntered: "190 F", InstrumentID: &probe.ID, InvertedSeconds: ptr(90), ClosureOK: ptr(true)},
		&records.FillCheck{LotID: h.lot.ID, At: h.at(11, 23), NetWeight: ptr(syrup.Grams(651)), NetWeightEntered: "651 g", ScaleID: &scale.ID})
	h.now(h.at(11, 50))
	h.put(h.ben, &records.FillCheck{LotID: h.lot.ID, At: h.at(11, 44), Bottle: f(184), BottleEntered: "184 F", InstrumentID: &probe.ID, InvertedSeconds: ptr(90), ClosureOK: ptr(true)})
	h.ok(h.EndFilling(h.ctx, h.ben, &records.FillEnd{LotID: h.lot.ID, At: h.at(11, 45), Count: 70}))

	h.now(h.at(30, 50))
	second := records.Pressing{SiteID: h.site.ID, StartedAt: h.at(30, 0), Volume: ptr(syrup.USGallons(80).Liters()), VolumeEntered: "80 gal", Brix: ptr(syrup.Brix(16.2)), PH: ptr(5.2)}
	h.ok(h.RecordPressing(h.ctx, h.ben, &second, []records.Draw{{FromID: h.cut.ID}}))
	h.thin = h.boil(kettle, second.ID, h.first.ID, 31, probe, spindle, 34.2, nil)
	h.now(h.at(35, 5))
	h.ok(h.Fill(h.ctx, h.ben, records.Draw{FromID: h.thin.ID, ToID: holding.ID, At: h.at(35, 2), Volume: ptr(syrup.USGallons(8).Liters()), Entered: "8 gal"}))
	h.now(h.at(35, 30))
	h.blend = records.Lot{SiteID: h.site.ID, ProductID: product.ID, ContainerID: pint.ID, StartedAt: h.at(35, 20), BottlesLotID: &bottles.ID}
	h.ok(h.StartFilling(h.ctx, h.ben, &h.blend, []records.Draw{{FromID: holding.ID, Volume: ptr(syrup.USGallons(10).Liters()), Entered: "10 gal"}}))
	h.put(h.ben, &records.FillCheck{LotID: h.blend.ID, At: h.at(35, 22), Bottle: f(171), BottleEntered: "171 F", InstrumentID: &probe.ID})
	h.shelf(carrier)
	h.corrections()
}

// boil is one run of four hours with its log.
func (h *season) boil(kettle records.Kettle, pressing, heel string, hour int, probe, spindle records.Instrument, finish float64, oil *records.SupplyLot) records.Run {
	h.now(h.at(hour, 5))
	run := records.Run{KettleID: kettle.ID, FireLitAt: h.at(hour, 0)}
	draws := []records.Draw{{FromID: pressing, Entered: "all"}}
	if heel != "" {
		draws = append(draws, records.Draw{FromID: heel, Volume: ptr(syrup.Liters(1)), Entered: "1 qt", Estimated: true, Heel: true})
	}
	h.ok(h.StartRun(h.ctx, h.ben, &run, draws))
	for i, t := range []float64{90, 150, 205, 212, 213, 215, 219} {
		h.now(h.at(hour, 25+i*30))
		h.put(h.ben, &records.BoilEntry{RunID: run.ID, At: h.at(hour, 20+i*30), What: records.EntryTemperature, Temperature: f(t), TemperatureEntered: plain(&t) + " F", InstrumentID: &probe.ID})
	}
	h.put(h.ben, &records.BoilEntry{RunID: run.ID, At: h.at(hour, 70), What: records.EntrySkimming, Note: "green scum"},
		&records.BoilEntry{RunID: run.ID, At: h.at(hour, 195), What: records.EntryCloth},
		&records.DensityReading{OfID: run.ID, At: h.at(hour, 200), Stage: records.StageBoil, Reading: 22, Scale: syrup.ScaleBaume, ReadingEntered: "22 Be"})
	if oil != nil {
		h.put(h.ben, &records.Addition{ToID: run.ID, At: h.at(hour, 100), Substance: "Sunflower oil", Use: "defoamer", SupplyLotID: &oil.ID, Amount: ptr(syrup.Grams(10)), AmountEntered: "2 tsp",
			Stays: ptr(true), Allergens: ptr(""), Sulfites: ptr(false)})
	} else {
		h.put(h.ben, &records.Addition{ToID: run.ID, At: h.at(hour, 100), Substance: "Salt", Use: "salt"})
	}
	h.now(h.at(hour+4, 1))
	h.put(h.ben, &records.DensityReading{OfID: run.ID, At: h.at(hour, 235), Stage: records.StageFinish, Reading: finish, Scale: syrup.ScaleBaume, ReadingEntered: plain(&finish) + " Be",
		Temperature: f(224), TemperatureEntered: "224 F", InstrumentID: &spindle.ID})
	drawn := records.BoilEntry{RunID: run.ID, At: h.at(hour+4, 0), Volume: ptr(syrup.USGallons(14).Liters()), VolumeEntered: "14 gal", Temperature: f(223), TemperatureEntered: "223 F", InstrumentID: &probe.ID}
	h.ok(h.DrawOff(h.ctx, h.ben, &drawn, ""))
	return run
}

// shelf releases the first lot and sends it to a shop, a private person and a market.
func (h *season) shelf(carrier records.Carrier) {
	h.now(h.at(60, 0))
	parts, err := records.List[records.Part](h.ctx, h, "lot_id = ?", h.lot.ID)
	h.ok(err)
	h.ok(h.Release(h.ctx, h.ada, parts[0].ID, "Read twice; checks looked at."))
	h.shop = records.Customer{Sort: records.CustomerBusiness, Contact: records.Contact{Name: "Fern Market", Person: "Dot Vale", Address: "3 Mill Street\nTern, MS 39002", Telephone: "+1 601 555 0155", Email: "dot@fern.example"}}
	h.person = records.Customer{Sort: records.CustomerPerson, Contact: records.Contact{Name: "Ira Sandpiper", Telephone: "+1 601 555 0166"}}
	market := records.Customer{Sort: records.CustomerMarket, Contact: records.Contact{Name: "Tern Square market", Address: "Court Square, Tern"}}
	h.put(h.ada, &h.shop, &h.person, &market)
	for _, s := range []struct {
		to    records.Customer
		units int
		by    *string
	}{{h.shop, 24, &carrier.ID}, {h.person, 2, nil}, {market, 12, nil}} {
		shipment := records.Shipment{CustomerID: s.to.ID, CarrierID: s.by, At: h.at(59, 0), HowPacked: "cases of 12", Reference: "=1+1"}
		h.ok(h.Ship(h.ctx, h.ada, &shipment, []records.Units{{PartID: parts[0].ID, Count: s.units}}))
	}
	h.put(h.ada, &records.Complaint{ReceivedAt: h.at(59, 30), LotID: &h.lot.ID, CodeTyped: h.lot.Code, About: "crystals", Story: "@home: sugar at the bottom",
		Contact: records.Contact{Name: "Una Plover", Telephone: "+1 601 555 0177"}})
}

// corrections amend the finish temperature of the first run and strike one of its entries.
func (h *season) corrections() {
	h.now(h.at(61, 0))
	entries, err := records.List[records.BoilEntry](h.ctx, h, "run_id = ? ORDER BY at, id", h.first.ID)
	h.ok(err)
	wrong := entries[3] // 205 F at minute 80
	wrong.Temperature, wrong.TemperatureEntered = f(207), "207 F"
	h.ok(h.Amend(h.ctx, h.ada, &wrong, "misread the dial"))
	for _, e := range entries {
		if e.What == records.EntryCloth {
			h.ok(h.Strike(h.ctx, h.ada, e.ID, "that was the other kettle"))
		}
	}
	h.now(h.at(62, 0))
}
