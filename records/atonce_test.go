package records

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards/syrup"
)

// atOnce runs n acts at the same time and gives what each answered.
func atOnce(n int, act func(i int) error) []error {
	errs := make([]error, n)
	var wg sync.WaitGroup
	for i := range n {
		wg.Go(func() { errs[i] = act(i) })
	}
	wg.Wait()
	return errs
}

func taken(errs []error) int {
	n := 0
	for _, err := range errs {
		if err == nil {
			n++
		}
	}
	return n
}

// Who waited for the chain's lock is dated after what it waited for: journal times never go back, and no lot is refused
// because somebody else wrote meanwhile.
func TestJournalTimesGoForward(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		var ticks atomic.Int64
		h.now = func() time.Time { return noon.Add(time.Duration(ticks.Add(1)) * time.Millisecond) }
		errs := atOnce(8, func(w int) error {
			for i := range 10 {
				if err := h.Write(context.Background(), h.owner, &Site{Name: fmt.Sprintf("place %d-%d", w, i)}); err != nil {
					return err
				}
			}
			return nil
		})
		assert.Equal(t, 8, taken(errs), "%v", errs)
		entries, err := Journal(h.ctx, h, 0, 200)
		require.NoError(t, err)
		for i := 1; i < len(entries); i++ {
			assert.False(t, entries[i].At.After(entries[i-1].At), "entry %d is dated after entry %d", entries[i].Seq, entries[i-1].Seq)
		}
	})
}

// Several fillings from one kettle started at once get different codes without a gap.
func TestFillingsStartedAtOnce(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, run := h.boiled(g)
		lots := make([]Lot, 6)
		errs := atOnce(len(lots), func(i int) error {
			lots[i] = Lot{SiteID: h.site.ID, ProductID: g.product.ID, ContainerID: g.container.ID, StartedAt: h.at(11, 20)}
			some := Draw{FromID: run.ID, Volume: ptr(syrup.Liters(5)), Entered: "5 L"}
			return h.StartFilling(context.Background(), h.owner, &lots[i], []Draw{some})
		})
		require.Equal(t, len(lots), taken(errs), "%v", errs)
		ordinals := map[int]bool{}
		for _, l := range lots {
			ordinals[l.Ordinal] = true
		}
		assert.Equal(t, map[int]bool{1: true, 2: true, 3: true, 4: true, 5: true, 6: true}, ordinals)
	})
}

// Two shipments that together ask for more than there is: what leaves is never more than what stands there.
func TestShippedAtOnce(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, part := h.released(g) // 108 bottles
		shop := h.customer()
		errs := atOnce(5, func(int) error {
			return h.Ship(context.Background(), h.owner, &Shipment{CustomerID: shop.ID, At: h.at(11, 58), HowPacked: "cases"}, []Units{{part.ID, 40}})
		})
		assert.Equal(t, 2, taken(errs), "%v", errs)
		shelf, err := ShelfOf(h.ctx, h, part.ID)
		require.NoError(t, err)
		assert.Equal(t, 28, shelf.OnHand)
		shipments, err := List[Shipment](h.ctx, h, "")
		require.NoError(t, err)
		assert.Len(t, shipments, 2, "nothing of a refused shipment remains")
		assert.Empty(t, h.faults())
	})
}

// A part is released once, a record amended once from the revision read, however many do it at once.
func TestSignedAndAmendedAtOnce(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, run := h.boiled(g)
		part := h.partOf(h.filled(g, run, 108))
		errs := atOnce(4, func(int) error { return h.Release(context.Background(), h.owner, part.ID, "in order") })
		assert.Equal(t, 1, taken(errs), "%v", errs)
		errs = atOnce(4, func(i int) error {
			block := g.block
			block.Name = fmt.Sprintf("B1 %d", i)
			return h.Amend(context.Background(), h.owner, &block, "new sign")
		})
		assert.Equal(t, 1, taken(errs), "%v", errs)
		assert.Empty(t, h.faults())
	})
}

// A hold written while the clock is set back is still the latest act.
func TestHoldWhileTheClockIsBehind(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g := h.ground()
		_, _, part := h.released(g)
		h.clock = h.clock.Add(-time.Hour)
		require.NoError(t, h.Hold(h.ctx, h.owner, part.ID, "a cracked bottle"))
		shelf, err := ShelfOf(h.ctx, h, part.ID)
		require.NoError(t, err)
		assert.Equal(t, StateHeld, shelf.State)
		assert.Equal(t, h.Now(), Head(shelf.Last).WrittenAt, "the clock's time is kept too")
	})
}

// Guesses sent at once are counted as if they came one by one.
func TestGuessedAtOnce(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		require.NoError(t, h.SetPassword(h.ctx, h.owner.PersonID, "cane in the kettle"))
		require.NoError(t, h.SetPIN(h.ctx, h.owner.PersonID, "4711"))
		errs := atOnce(12, func(i int) error {
			return h.ConfirmSecret(context.Background(), h.owner.PersonID, fmt.Sprintf("%04d", i))
		})
		looked := 0
		for _, err := range errs {
			require.Error(t, err)
			if errors.Is(err, ErrSecret) {
				looked++
			}
		}
		assert.Equal(t, wrongAttempts, looked, "secrets compared")
		assert.ErrorIs(t, h.ConfirmSecret(h.ctx, h.owner.PersonID, "4711"), ErrAttempts)
		h.clock = h.clock.Add(attemptWindow + time.Second)
		for range wrongAttempts + 1 {
			require.NoError(t, h.ConfirmSecret(h.ctx, h.owner.PersonID, "4711"), "right ones are not counted")
		}
	})
}
