package app

import "canewright/records"

// pressingForm binds what was measured of a pressing; the cuts it pressed are links.
func pressingForm(f *form, p *records.Pressing) {
	f.Volume("volume", &p.Volume, &p.VolumeEntered, optional)
	f.Flag("estimated", &p.Estimated)
	numberOf(f, "brix", &p.Brix, 2, 30, optional).Unit = f.words.say("unit.brix")
	f.OptionalPick("instrument", &p.InstrumentID, solidsInstruments(f, p.InstrumentID))
	f.Number("ph", &p.PH, 3, 9, optional)
	f.Temperature("temperature", &p.Temperature, &p.TemperatureEntered, optional)
	f.DayTime("started_at", &p.StartedAt, required)
	f.OptionalDayTime("ended_at", &p.EndedAt)
	f.LongText("note", &p.Note, 0, longText)
}
