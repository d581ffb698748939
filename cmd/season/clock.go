package season

import (
	"sync"
	"time"
)

// Clock is the store's clock while a season is built: it stands at the event being written. Afterwards Run lets it go on.
type Clock struct {
	mu    sync.Mutex
	at    time.Time
	wall  func() time.Time // nil while the clock stands
	ahead time.Duration    // of the wall, while the clock runs
}

// NewClock is a clock that stands; Build moves it.
func NewClock() *Clock { return &Clock{} }

// Now is the clock's time, for records.Options.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.wall == nil {
		return c.at
	}
	return c.wall().Add(c.ahead)
}

// Set makes the clock stand at a moment.
func (c *Clock) Set(at time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at, c.wall = at, nil
}

// Run lets the clock go on from where it stands. Where that is earlier on the wall's own day in the zone it becomes the
// wall's time, so that what a person writes at its true hour is not refused as lying in the future.
func (c *Clock) Run(wall func() time.Time, zone *time.Location) {
	c.mu.Lock()
	defer c.mu.Unlock()
	now := wall()
	c.wall, c.ahead = wall, c.at.Sub(now)
	sameDay := now.In(zone).Format(time.DateOnly) == c.at.In(zone).Format(time.DateOnly)
	if sameDay && now.After(c.at) {
		c.ahead = 0
	}
}
