package records

import "time"

// LoggerImport is how a temperature logger's file is read into a run. The file is kept raw as an attachment and read anew
// each time by what stands here.
type LoggerImport struct {
	Row
	RunID             string
	AttachmentID      string
	InstrumentID      *string
	Unit              string // C or F
	Zone              string // IANA name of the zone of the logger's clock
	Separator         string // between columns: , ; or tab
	HeaderLines       int
	TimeColumn        int    // from 1
	TimeLayout        string // as Go writes it
	TemperatureColumn int
	Points            int
	FirstAt           time.Time
	LastAt            time.Time
	Note              string
}

// Validate checks a logger import.
func (l *LoggerImport) Validate() error {
	var c checks
	c.oneOf("unit", l.Unit, "C", "F")
	c.oneOf("separator", l.Separator, ",", ";", "\t")
	c.whole("header_lines", l.HeaderLines, 0, 200)
	c.whole("time_column", l.TimeColumn, 1, 200)
	c.whole("temperature_column", l.TemperatureColumn, 1, 200)
	c.need("time_layout", l.TimeLayout)
	c.whole("points", l.Points, 1, 1e6)
	c.moment("first_at", l.FirstAt)
	c.moment("last_at", l.LastAt)
	c.text("note", l.Note)
	if _, err := time.LoadLocation(l.Zone); err != nil || l.Zone == "" || l.Zone == "Local" {
		c.add("zone", "invalid.zone")
	}
	return c.err()
}

func (l *LoggerImport) refs() []ref {
	return []ref{to("run_id", l.RunID, KindRun), to("attachment_id", l.AttachmentID, KindAttachment),
		toOptional("instrument_id", l.InstrumentID, KindInstrument)}
}
