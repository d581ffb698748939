package app

import (
	"context"
	"net/http"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// divideOffer shows how the checks of a lot divide it, and asks for what is missing to do it.
type divideOffer struct {
	Help   string
	Pieces []string // the parts to be; none while numbers are asked for
	Left   []Step   // parts some of whose bottles have left: divided by hand, on their own pages
	Form   *form    // nil when only those are left
}

// divideOffer is the offer of a lot; nil when its checks divide nothing. A form posted wrongly comes back in its place.
func (a *App) divideOffer(c *gin.Context, lot records.Lot, posted *form) (*divideOffer, error) {
	list, err := records.DividedByChecks(c.Request.Context(), a.store, lot.ID)
	if err != nil || len(list) == 0 && posted == nil {
		return nil, err
	}
	w := visitorOf(c).words()
	offer := &divideOffer{Help: w.say("divide.offer_help", "Code", records.PrintedCode(lot.Code)), Form: posted}
	ask, may := asked(list), false
	for _, d := range list {
		if d.Left {
			offer.Left = append(offer.Left, Step{Name: w.say("divide.gone_help", "Number", d.Shelf.Number), URL: partURL(d.Shelf.ID)})
			continue
		}
		may = true
		for _, p := range d.Pieces {
			offer.Pieces = append(offer.Pieces, pieceWords(w, p))
		}
	}
	if len(ask) > 0 {
		offer.Help = w.say("divide.ask_help")
	}
	if offer.Form == nil && may {
		offer.Form = a.newForm(c, "divide_checks", "/filler/"+lot.ID+"/divide")
		numbersForm(offer.Form, ask, map[string]int{})
	}
	return offer, nil
}

// asked lists the checks whose bottle number is missing, once each.
func asked(list []records.ByChecks) []records.FillCheck {
	var checks []records.FillCheck
	seen := map[string]bool{}
	for _, d := range list {
		for _, k := range d.Ask {
			if !seen[k.ID] {
				seen[k.ID] = true
				checks = append(checks, k)
			}
		}
	}
	return checks
}

func pieceWords(w words, p records.Piece) string {
	key := "divide.piece_rest"
	if p.Doubtful() {
		key = "divide.piece_doubt"
	}
	bottles := "divide.bottles"
	if p.First == p.Last {
		bottles = "divide.bottle"
	}
	return w.say(key, "Bottles", w.say(bottles, "First", p.First, "Last", p.Last))
}

// numbersForm asks how many bottles were capped at checks that do not say it.
func numbersForm(f *form, ask []records.FillCheck, numbers map[string]int) {
	for _, k := range ask {
		var n *int
		field := f.Count("number_"+k.ID, &n, 1, 1e6, required)
		when, err := f.words.clock(k.At)
		if err != nil {
			f.failed = err
		}
		f.rename(field, f.words.say("divide.capped_at", "When", when))
		if n != nil {
			numbers[k.ID] = *n
		}
	}
}

// divideAtFiller divides a lot as its checks say.
func (a *App) divideAtFiller(c *gin.Context) error {
	ctx := c.Request.Context()
	lot, err := a.lotOf(c)
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "divide_checks", c.Request.URL.Path)
	if err != nil {
		return err
	}
	list, err := records.DividedByChecks(ctx, a.store, lot.ID)
	if err != nil {
		return err
	}
	numbers := map[string]int{}
	numbersForm(f, asked(list), numbers)
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.DivideByChecks(ctx, a.actor(c), lot.ID, numbers, f.words.say("divide.numbers_why"))
		if status, err = a.finishForm(c, f, err, lotURL(lot.ID), "divide.done"); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	return a.renderFilling(c, status, lot, fillingForms{divide: f})
}

// ofPartWords names the part that a part was divided from.
func (a *App) ofPartWords(ctx context.Context, w words, partID string) string {
	part, err := records.Get[records.Part](ctx, a.store, partID)
	if err != nil {
		return ""
	}
	return w.say("divide.of_part", "Number", part.Number)
}
