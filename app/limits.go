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

// limits holds the attempts of each address.
type limits struct {
	mu   sync.Mutex
	now  func() time.Time
	from map[string]*rate.Limiter
}

func newLimits(now func() time.Time) *limits {
	return &limits{now: now, from: map[string]*rate.Limiter{}}
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
		limiter = rate.NewLimiter(rate.Every(attemptEvery), attemptBurst)
		l.from[address] = limiter
	}
	return limiter.AllowN(l.now(), 1)
}
