package app

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// Sign-in attempts from one address: a burst, then one every so often. The store counts those of one login.
const (
	attemptBurst  = 20
	attemptEvery  = 6 * time.Second
	mostAddresses = 2000 // remembered at once; then all are forgotten rather than memory filled
)

// Complaints of strangers: from one address a burst, then one every so often; from everywhere together so many a day.
const (
	tellBurst    = 3
	tellEvery    = 10 * time.Minute
	tellAllBurst = 30
	tellAllEvery = 24 * time.Hour / 60
)

// Pictures looked at for strangers, as above. Each may take a second of a processor, and the crew's wait meanwhile.
const (
	showBurst    = 6
	showEvery    = 5 * time.Minute
	showAllBurst = 40
	showAllEvery = time.Minute
)

// limits holds the attempts of each address.
type limits struct {
	mu    sync.Mutex
	now   func() time.Time
	every time.Duration
	burst int
	from  map[string]*rate.Limiter
}

func newLimits(now func() time.Time, every time.Duration, burst int) *limits {
	return &limits{now: now, every: every, burst: burst, from: map[string]*rate.Limiter{}}
}

// allow tells whether one more attempt may come from the address of the request.
func (l *limits) allow(address string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	limiter, ok := l.from[address]
	if !ok {
		if len(l.from) >= mostAddresses {
			clear(l.from)
		}
		limiter = rate.NewLimiter(rate.Every(l.every), l.burst)
		l.from[address] = limiter
	}
	return limiter.AllowN(l.now(), 1)
}
