package season

import (
	"context"
	"io"
	"math/rand/v2"
	"time"

	"canewright/records"
)

// Options say for which day a season is built, and whose clock it moves.
type Options struct {
	Today records.Day // the house's day on which the season stands; it began eight weeks before
	Clock *Clock      // the clock given to the store as records.Options.Now
}

// Summary is what was built and where to start looking.
type Summary struct {
	OwnerID    string
	OwnerLogin string
	CrewIDs    []string // people of the crew who sign in
	Until      time.Time
	Runs       int
	Lots       int
	Shipments  int
	Complaints int
	TraceCode  string // the lot of the first leaking bottle, as printed: a code worth tracing
	OpenRun    string // code of the run on the fire
}

// Zone is the invented house's zone.
const Zone = "America/Chicago"

// Entropy is the source of ids and salts that makes a season the same bytes each time; for records.Options.
func Entropy() io.Reader {
	return rand.NewChaCha8([32]byte([]byte("canewright demo season entropy 1")))
}

// Start is the season's first moment, to which the clock is set before the store is opened; the zero time when today is no
// day.
func Start(today records.Day) time.Time {
	zone, err := time.LoadLocation(Zone)
	if err != nil || !today.Valid() {
		return time.Time{}
	}
	return today.Start(zone).AddDate(0, 0, setUpDay).Add(7*time.Hour + 30*time.Minute).UTC()
}

// Build writes the season into an empty store opened with the clock of the options and with Entropy. The clock is left
// standing at the season's last moment, late in the morning of Today. Errors: Today is no day; whatever the store refuses.
func Build(ctx context.Context, store *records.Store, opt Options) (Summary, error) {
	b, err := newBuilder(ctx, store, opt)
	if err != nil {
		return Summary{}, err
	}
	for _, plan := range []func() error{b.setUp, b.planField, b.planBoils, b.planKettleHouse, b.planShelf, b.planFillerHouse, b.planTroubles, b.planOffice} {
		if err := plan(); err != nil {
			return Summary{}, err
		}
	}
	if err := b.play(); err != nil {
		return Summary{}, err
	}
	b.summary.Until = b.at(0, 11, 10)
	b.clock.Set(b.summary.Until)
	return b.summary, nil
}
