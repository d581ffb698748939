package season

import (
	"sync"
	"time"
)

// Clock is the store's clock while a season is built: it stands at the event being written. Afterwards Run lets it go on.
type Clock struct {
	mu   sync.Mutex
	at   time.Time
	from time.Time // the wall's time when Run was called; zero while the clock stands
	wall func() time.Time
}

// NewClock is a clock that stands; Build moves it.
func NewClock() *Clock { return &Clock{} }

// Now is the clock's time, for records.Options.
func (c *Clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.from.IsZero() {
		return c.at
	}
	now := c.wall()
	if now.After(c.at) {
		return now
	}
	return c.at.Add(now.Sub(c.from))
}

// Set makes the clock stand at a moment.
func (c *Clock) Set(at time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at, c.from = at, time.Time{}
}

// Run lets the clock go on from where it stands. Once the wall's time is past that moment the clock shows the wall's time,
// so that nothing true is refused as lying in the future.
func (c *Clock) Run(wall func() time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.wall, c.from = wall, wall()
}
