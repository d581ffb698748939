package app

import (
	"canewright/hazards/syrup"
	"canewright/records"
)

func blockForm(f *form, b *records.Block) {
	f.Text("name", &b.Name, 1, shortText)
	f.Area("acres", &b.Acres, &b.AreaEntered, optional)
	f.Pick("site", &b.SiteID, f.choices(records.KindSite), required)
	f.LongText("note", &b.Note, 0, longText)
}

func plantingForm(f *form, p *records.Planting) {
	f.Pick("block", &p.BlockID, f.choices(records.KindBlock), required)
	f.Text("variety", &p.Variety, 1, shortText)
	f.Day("planted_on", &p.PlantedOn, required)
	f.Whole("ratoon", &p.Ratoon, 0, 20)
}

func applicationForm(f *form, a *records.Application) {
	f.Pick("block", &a.BlockID, f.choices(records.KindBlock), required)
	f.Day("applied_on", &a.AppliedOn, required)
	f.Text("product", &a.Product, 1, shortText)
	f.Text("epa_number", &a.EPANumber, 0, 40)
	f.Text("amount", &a.Amount, 1, shortText)
	f.Text("area_treated", &a.AreaTreated, 0, shortText)
	f.Whole("pre_harvest_days", &a.PreHarvestDays, 0, 400)
	f.YesNo("for_sugarcane", &a.ForSugarcane, optional)
	f.Text("applicator", &a.Applicator, 1, shortText)
	f.Text("certification_no", &a.CertificationNo, 0, 40)
}

// stalkWords are what split stalks showed after a freeze.
var stalkWords = []string{records.StalksNotLooked, records.StalksSound, records.StalksSome, records.StalksKilled}

func freezeForm(f *form, z *records.Freeze) {
	f.Pick("site", &z.SiteID, f.choices(records.KindSite), required)
	f.Day("night", &z.Night, required)
	needed(f, &z.Low, func(p **syrup.Celsius) { f.Temperature("low", p, &z.LowEntered, required) })
	f.Number("hours_below", &z.HoursBelow, 0, 24, optional).Unit = f.words.say("unit.hour")
	f.Choice("found", &z.Found, required, stalkWords...)
}

func cutForm(f *form, k *records.Cut) {
	f.Pick("planting", &k.PlantingID, f.choices(records.KindPlanting), required)
	f.Day("cut_on", &k.CutOn, required)
	f.OptionalDayTime("finished_at", &k.FinishedAt)
	f.Text("harvester", &k.Harvester, 1, shortText)
	f.Text("harvester_phone", &k.HarvesterPhone, 0, 40)
	f.Text("waits_at", &k.WaitsAt, 0, shortText)
	f.Mass("mass", &k.Mass, &k.MassEntered, optional)
	f.Text("counted", &k.Counted, 0, shortText)
	f.Flag("estimated", &k.Estimated)
	f.Temperature("day_high", &k.DayHigh, &k.DayHighEntered, optional)
	f.Choice("frozen_stalks", &k.FrozenStalks, optional, stalkWords...)
}

func newCut(f *form, k *records.Cut) {
	k.CutOn = records.DayOf(f.now, f.words.zone())
	k.PlantingID = f.only(records.KindPlanting)
}
