package records

import "time"

// Row is what every fact carries: its identity and who wrote this revision, when and why.
type Row struct {
	ID        string
	Revision  int
	Struck    bool      // this revision takes the record back as a mistake; it stays readable
	WrittenAt time.Time // entry time, UTC
	WrittenBy string    // person signed in
	DoneBy    string    // person who did the work: on a shared phone the one tapped
	Why       string    // empty on the first revision, required on every later one
}

func (r *Row) row() *Row { return r }

// Head gives the row of any fact, for pages that show who wrote it.
func Head(f Fact) Row { return *f.row() }

// Day is a calendar day of the house, as 2006-01-02. It has no hour and no zone.
type Day string

// DayOf is the house day on which t falls.
func DayOf(t time.Time, zone *time.Location) Day { return Day(t.In(zone).Format(time.DateOnly)) }

// Start is the first moment of the day in the zone; the zero time when the day is not written as 2006-01-02.
func (d Day) Start(zone *time.Location) time.Time {
	t, _ := time.ParseInLocation(time.DateOnly, string(d), zone)
	return t
}

// Valid says whether the day exists in the calendar.
func (d Day) Valid() bool {
	_, err := time.Parse(time.DateOnly, string(d))
	return err == nil
}
