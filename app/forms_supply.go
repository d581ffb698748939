package app

import (
	"canewright/hazards/syrup"
	"canewright/records"
)

func instrumentForm(f *form, i *records.Instrument) {
	f.Text("name", &i.Name, 1, shortText)
	f.Choice("measures", &i.Measures, required, records.MeasuresTemperature, records.MeasuresDensity, records.MeasuresRefraction, records.MeasuresWeight)
	f.Text("serial", &i.Serial, 0, 80)
	choiceOf(f, "scale", &i.Scale, optional, syrup.ScaleBaume, syrup.ScaleBrix)
	choiceOf(f, "stem", &i.Stem, optional, syrup.Stem60F, syrup.Stem68F, syrup.Stem6060)
	f.Number("modulus", &i.Modulus, 140, 150, optional)
	f.Choice("reads_in", &i.ReadsIn, optional, "F", "C")
	f.Number("uncertainty", &i.Uncertainty, 0, 50, optional)
}

func instrumentCheckForm(f *form, k *records.InstrumentCheck) {
	f.Pick("instrument", &k.InstrumentID, f.choices(records.KindInstrument), required)
	f.moment("at", &k.At)
	f.Choice("method", &k.Method, required, "ice", "boiling_water", "reference_solution", "check_weight", "other_instrument")
	needed(f, &k.Expected, func(p **float64) { f.Number("expected", p, -50, 100000, required) })
	needed(f, &k.Read, func(p **float64) { f.Number("read", p, -50, 100000, required) })
	f.Choice("unit", &k.Unit, required, "F", "C", "Be", "Bx", "g")
	passed := passedOf(f, k)
	f.YesNo("passed", &passed, required)
	k.Passed = passed != nil && *passed
	f.LongText("note", &k.Note, 0, longText)
}

// passedOf leaves a new check unanswered: it neither passed nor failed before somebody says so.
func passedOf(f *form, k *records.InstrumentCheck) *bool {
	if f.fresh() {
		return nil
	}
	passed := k.Passed
	return &passed
}

func newInstrumentCheck(f *form, k *records.InstrumentCheck) {
	k.At = f.now
	k.InstrumentID = f.only(records.KindInstrument)
}

func supplierForm(f *form, s *records.Supplier) {
	firmFields(f, &s.Firm, &s.Address, &s.Telephone, &s.Email)
}

func carrierForm(f *form, s *records.Carrier) {
	firmFields(f, &s.Firm, &s.Address, &s.Telephone, &s.Email)
}

// firmFields: firm, address and telephone are what 21 CFR 1.337 and 1.345 ask of a supplier and a carrier.
func firmFields(f *form, firm, address, telephone, email *string) {
	f.Text("firm", firm, 1, shortText)
	f.LongText("address", address, 1, 300)
	f.Text("telephone", telephone, 1, 40)
	f.Text("email", email, 0, shortText)
}

func customerForm(f *form, k *records.Customer) {
	f.Choice("sort", &k.Sort, required, records.CustomerBusiness, records.CustomerPerson, records.CustomerMarket)
	f.Text("contact_name", &k.Contact.Name, 1, shortText)
	f.Text("contact_person", &k.Contact.Person, 0, shortText)
	f.LongText("contact_address", &k.Contact.Address, 0, 300)
	f.Text("contact_telephone", &k.Contact.Telephone, 0, 40)
	f.Text("contact_email", &k.Contact.Email, 0, shortText)
}

func supplyLotForm(f *form, s *records.SupplyLot) {
	f.Choice("sort", &s.Sort, required, records.SupplyBottles, records.SupplyClosures, records.SupplyLabels, records.SupplyCloths,
		records.SupplyAdditive, records.SupplyCane, records.SupplySyrup)
	f.Text("description", &s.Description, 1, 200)
	f.Text("their_lot", &s.TheirLot, 0, 80)
	f.Pick("supplier", &s.SupplierID, f.choices(records.KindSupplier), required)
	f.OptionalPick("carrier", &s.CarrierID, f.choices(records.KindCarrier))
	quantity := f.Number("quantity", &s.Quantity, 0, 1e7, required)
	s.QuantityEntered = quantity.Value
	f.Text("how_packed", &s.HowPacked, 1, 200)
	f.Day("received_on", &s.ReceivedOn, required)
	f.Text("reference", &s.Reference, 0, 80)
	f.Mass("mass", &s.Mass, nil, optional)
	numberOf(f, "solids", &s.Solids, 0, 95, optional).Unit = f.words.say("unit.percent_solids")
}
