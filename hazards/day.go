package hazards

import "time"

// Day is a calendar day of the house, as 2006-01-02; blank is not recorded.
type Day string

// Start is the first moment of the day in the zone; nil when the day is blank or not in the calendar.
func (d Day) Start(zone *time.Location) *time.Time {
	t, err := time.ParseInLocation(time.DateOnly, string(d), zone)
	if err != nil {
		return nil
	}
	return &t
}

// daysAfter counts the calendar days from e to d; false when one of them is no day.
func (d Day) daysAfter(e Day) (int, bool) {
	a, b := d.Start(time.UTC), e.Start(time.UTC)
	if a == nil || b == nil {
		return 0, false
	}
	return int(a.Sub(*b).Hours() / 24), true
}

// plus is the day n days later.
func (d Day) plus(n int) Day {
	t := d.Start(time.UTC)
	if t == nil {
		return ""
	}
	return Day(t.AddDate(0, 0, n).Format(time.DateOnly))
}

// dayOf is the house day of a moment.
func dayOf(t time.Time, zone *time.Location) Day { return Day(t.In(zone).Format(time.DateOnly)) }
