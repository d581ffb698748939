package season

import (
	"container/heap"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"

	"canewright/records"
)

// builder plays the season: events wait in a queue and are written in the order of time.
type builder struct {
	ctx     context.Context
	store   *records.Store
	clock   *Clock
	today   records.Day
	zone    *time.Location
	dice    *rand.Rand
	queue   events
	turn    int
	now     time.Time
	summary Summary
	ground
	boils      []*boil
	lots       []*bottling
	shipments  []shipped
	complained []*bottling
}

// event is something that happens at a moment. Events of one moment happen in the order they were planned.
type event struct {
	at   time.Time
	turn int
	do   func() error
}

type events []event

func (e events) Len() int           { return len(e) }
func (e events) Swap(i, j int)      { e[i], e[j] = e[j], e[i] }
func (e *events) Push(x any)        { *e = append(*e, x.(event)) }
func (e events) Less(i, j int) bool { return e[i].before(e[j]) }
func (e *events) Pop() any {
	last := (*e)[len(*e)-1]
	*e = (*e)[:len(*e)-1]
	return last
}

func (e event) before(other event) bool {
	if e.at.Equal(other.at) {
		return e.turn < other.turn
	}
	return e.at.Before(other.at)
}

func newBuilder(ctx context.Context, store *records.Store, opt Options) (*builder, error) {
	zone, err := time.LoadLocation(Zone)
	if err != nil {
		return nil, fmt.Errorf("demo season: %w", err)
	}
	if !opt.Today.Valid() {
		return nil, fmt.Errorf("demo season: %q is no day: write it as 2026-11-25", opt.Today)
	}
	if opt.Clock == nil {
		return nil, errors.New("demo season: no clock given")
	}
	return &builder{ctx: ctx, store: store, clock: opt.Clock, today: opt.Today, zone: zone,
		dice: rand.New(rand.NewChaCha8([32]byte([]byte("canewright demo season dice no 1"))))}, nil
}

// day is the house day so many days from today.
func (b *builder) day(offset int) records.Day {
	start := b.today.Start(time.UTC).AddDate(0, 0, offset)
	return records.Day(start.Format(time.DateOnly))
}

// at is a moment of the house day so many days from today. Minutes may run past the hour.
func (b *builder) at(offset, hour, minute int) time.Time {
	t := b.today.Start(b.zone)
	return time.Date(t.Year(), t.Month(), t.Day()+offset, hour, minute, 0, 0, b.zone).UTC()
}

// plan puts an event into the queue.
func (b *builder) plan(at time.Time, do func() error) {
	b.turn++
	heap.Push(&b.queue, event{at: at, turn: b.turn, do: do})
}

// play writes every event in turn, the clock a moment after it. What an event plans must not lie before it.
func (b *builder) play() error {
	for b.queue.Len() > 0 {
		next := heap.Pop(&b.queue).(event)
		if next.at.Before(b.now) {
			return fmt.Errorf("demo season: an event at %s was planned after %s", next.at, b.now)
		}
		b.now = next.at
		b.clock.Set(next.at.Add(writingTakes))
		if err := next.do(); err != nil {
			return fmt.Errorf("demo season, %s: %w", next.at.In(b.zone).Format("2006-01-02 15:04"), err)
		}
	}
	return nil
}

// writingTakes is how long after an event its entry is written.
const writingTakes = 40 * time.Second

// put writes new facts in one go.
func (b *builder) put(who records.Actor, facts ...records.Fact) error {
	return b.store.Write(b.ctx, who, facts...)
}

func ptr[T any](v T) *T { return &v }
