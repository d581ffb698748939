package packet

import (
	"slices"
	"strconv"
	"strings"

	"canewright/hazards/syrup"
	"canewright/records"
)

var boilLogHead = []string{"run", "time", "minutes_since_fire_lit", "what", "temperature", "temperature_unit", "temperature_entered", "reading",
	"scale", "reading_entered", "solids_estimated", "solids_uncertainty", "solids_unit", "volume", "volume_unit", "volume_entered", "heel", "heel_unit", "outcome", "into", "substance",
	"amount", "amount_unit", "amount_entered", "instrument", "note", "person", "written_at", "struck", "why", "record"}

// boilLog has one row for each entry of every run, in order of time.
func (c *chain) boilLog(w words) [][]string {
	var rows [][]string
	for _, run := range c.sorted(records.KindRun) {
		file := c.r.runFile(run)
		lit := []string{file.Code, stamp(file.FireLitAt, w.zone), "0", "fire_lit"}
		rows = append(rows, c.logRow(lit, map[string]string{"person": c.r.doer(file.Row), "written_at": stamp(file.WrittenAt, w.zone), "record": file.ID}))
		for _, l := range file.Log {
			rows = append(rows, c.logRow([]string{file.Code, stamp(l.At, w.zone), minutes(file.FireLitAt, l.At), l.what()}, c.logCells(l, w)))
		}
	}
	return rows
}

// what is the stored word of a line.
func (l logEntry) what() string {
	switch {
	case l.Reading != nil:
		return "density_" + l.Reading.Stage
	case l.Addition != nil:
		return "addition"
	case l.WashOut != nil:
		return "wash_out"
	case l.Moved != nil:
		return "moved"
	}
	return l.Entry.What
}

func (c *chain) logRow(first []string, cells map[string]string) []string {
	row := slices.Clone(first)
	for _, name := range boilLogHead[len(first):] {
		row = append(row, cells[name])
	}
	return row
}

func (c *chain) logCells(l logEntry, w words) map[string]string {
	cells := map[string]string{"person": c.r.doer(l.Row), "written_at": stamp(l.Row.WrittenAt, w.zone),
		"struck": strconv.FormatBool(l.Row.Struck), "why": l.Row.Why, "record": l.Row.ID}
	switch {
	case l.Reading != nil:
		d := l.Reading
		cells["reading"], cells["scale"], cells["reading_entered"] = plain(&d.Reading), string(d.Scale), d.ReadingEntered
		setTemperature(cells, d.Temperature, d.TemperatureEntered)
		cells["instrument"], cells["note"] = c.r.optionalName(d.InstrumentID), d.Note
		if l.Solids != nil {
			cells["solids_estimated"], cells["solids_uncertainty"] = decimal(&l.Solids.Percent, 2), decimal(&l.Solids.Uncertainty, 2)
			cells["solids_unit"] = "%"
		}
	case l.Addition != nil:
		cells["substance"], cells["amount_entered"] = l.Addition.Substance, l.Addition.AmountEntered
		setQuantity(cells, "amount", "g", l.Addition.Amount)
	case l.WashOut != nil:
		cells["note"] = l.WashOut.Note
	case l.Moved != nil:
		cells["into"], cells["volume_entered"] = c.r.name(l.Moved.ToID), l.Moved.Entered
		setQuantity(cells, "volume", "L", l.Moved.Volume)
	default:
		e := l.Entry
		setTemperature(cells, e.Temperature, e.TemperatureEntered)
		setQuantity(cells, "volume", "L", e.Volume)
		cells["volume_entered"], cells["note"], cells["instrument"] = e.VolumeEntered, e.Note, c.r.optionalName(e.InstrumentID)
		setQuantity(cells, "heel", "L", e.Heel)
		cells["outcome"] = e.Outcome
	}
	return cells
}

func setTemperature(cells map[string]string, t *syrup.Celsius, entered string) {
	setQuantity(cells, "temperature", "C", t)
	cells["temperature_entered"] = entered
}

func setQuantity[F ~float64](cells map[string]string, name, unit string, x *F) {
	if x != nil {
		cells[name], cells[name+"_unit"] = plain(x), unit
	}
}

var fillLogHead = []string{"lot", "time", "bottle_temperature", "bottle_temperature_unit", "bottle_temperature_entered", "tank_temperature",
	"tank_temperature_unit", "tank_temperature_entered", "instrument", "inverted", "inverted_unit", "closure_ok", "net_weight", "net_weight_unit",
	"net_weight_entered", "scale", "note", "person", "written_at", "struck", "why", "record"}

// fillLog has one row for each fill check, in order of lot and time.
func (c *chain) fillLog(w words) [][]string {
	var checks []records.FillCheck
	for _, f := range c.of(records.KindFillCheck) {
		checks = append(checks, *f.(*records.FillCheck))
	}
	slices.SortStableFunc(checks, func(a, b records.FillCheck) int {
		if d := strings.Compare(c.r.name(a.LotID), c.r.name(b.LotID)); d != 0 {
			return d
		}
		return a.At.Compare(b.At)
	})
	var rows [][]string
	for _, k := range checks {
		unit := func(there bool, unit string) string {
			if there {
				return unit
			}
			return ""
		}
		inverted := ""
		if k.InvertedSeconds != nil {
			inverted = strconv.Itoa(*k.InvertedSeconds)
		}
		closure := ""
		if k.ClosureOK != nil {
			closure = strconv.FormatBool(*k.ClosureOK)
		}
		rows = append(rows, []string{c.r.name(k.LotID), stamp(k.At, w.zone), plain(k.Bottle), unit(k.Bottle != nil, "C"), k.BottleEntered,
			plain(k.TankReading), unit(k.TankReading != nil, "C"), k.TankEntered, c.r.optionalName(k.InstrumentID), inverted,
			unit(inverted != "", "s"), closure, plain(k.NetWeight), unit(k.NetWeight != nil, "g"), k.NetWeightEntered,
			c.r.optionalName(k.ScaleID), k.Note, c.r.doer(k.Row), stamp(k.WrittenAt, w.zone), strconv.FormatBool(k.Struck), k.Why, k.ID})
	}
	return rows
}

// sorted lists the ids of a kind in order of name, those struck left out.
func (c *chain) sorted(kind records.Kind) []string {
	ids := slices.DeleteFunc(c.ids(kind), func(id string) bool { return records.Head(c.facts[kind][id]).Struck })
	slices.SortStableFunc(ids, func(a, b string) int { return strings.Compare(c.r.name(a), c.r.name(b)) })
	return ids
}

var amendmentsHead = []string{"record_kind", "record_name", "record", "revision", "field", "was", "now", "written_by", "written_at", "why"}

// amendmentRows lists every amendment and strike in the chains, oldest first.
func (c *chain) amendmentRows(w words) [][]string {
	var rows [][]string
	for _, a := range c.r.amendments(c.all()) {
		if a.personal() {
			continue
		}
		id := records.Head(a.Fact).ID
		name := c.traceName(a.Fact, w)
		rows = append(rows, []string{string(a.Fact.Kind()), name, id, strconv.Itoa(a.Revision), a.Field, cell(a.Old, w), cell(a.New, w),
			c.r.name(a.By), stamp(a.At, w.zone), a.Why})
	}
	return rows
}

// traceName names a record without naming a private person: only the trace's own fields of a customer appear.
func (c *chain) traceName(f records.Fact, w words) string {
	switch f := f.(type) {
	case *records.Customer:
		return traced(*f).Name
	case *records.Shipment:
		return joined(" ", string(records.DayOf(f.At, w.zone)), traced(one[records.Customer](c, f.CustomerID)).Name)
	}
	return c.r.name(records.Head(f).ID)
}
