package app

import (
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"canewright/records"
)

// divideTyped is what is typed to set some bottles of a part apart: a count, or bottle numbers.
type divideTyped struct {
	of                          string // bottles of the part as the page showed it
	cases, bottles, first, last *int
	gone, then, reason          string
}

// What becomes of the bottles set apart, and which of the pieces the bottles that left were.
const (
	thenHold  = "hold"
	thenKeep  = "keep"
	goneBelow = "below"
	goneThese = "these"
	goneAbove = "above"
)

// dividable tells whether some of a part's bottles can be set apart.
func dividable(p records.OnShelf) bool {
	return (p.State == records.StateHeld || p.State == records.StateReleased) && p.Filled > 1 && p.OnHand > 0
}

// partDivideForm asks which bottles are set apart, and what becomes of them.
func partDivideForm(f *form, p records.OnShelf, t *divideTyped) {
	if !f.reading() {
		t.of = strconv.Itoa(p.Filled)
	}
	f.Hidden("of", &t.of)
	if per := p.Container.UnitsPerCase; per != nil {
		f.Count("cases", &t.cases, 1, 1e6, optional).Unit = f.words.say("part_divide.cases_help", "Count", *per)
	}
	f.Count("bottles", &t.bottles, 1, 1e6, optional)
	if _, _, ok := p.Numbers(); ok {
		f.Count("first", &t.first, 1, 1e6, optional)
		f.Count("last", &t.last, 1, 1e6, optional)
		if p.Gone() > 0 {
			field := f.Choice("gone", &t.gone, optional, goneBelow, goneThese, goneAbove)
			f.rename(field, f.words.say("part_divide.gone", "Gone", p.Gone()))
		}
	}
	f.Choice("then", &t.then, required, thenHold, thenKeep)
	f.Text("reason", &t.reason, 0, longText)
	if f.reading() && t.then == thenHold && t.reason == "" {
		f.wrong(f.named("reason"), "invalid.required")
	}
}

// piecesTyped makes the pieces of what was typed; what cannot be is noted at its field.
func piecesTyped(f *form, p records.OnShelf, t divideTyped) []records.Piece {
	byCount, byNumber := t.cases != nil || t.bottles != nil, t.first != nil || t.last != nil
	switch {
	case byCount && byNumber:
		f.wrong(f.named("first"), "part_divide.count_or_numbers")
	case byNumber:
		return piecesByNumber(f, p, t)
	case byCount:
		return piecesByCount(f, p, t)
	default:
		f.wrong(f.named("bottles"), "part_divide.nothing")
	}
	return nil
}

func (t divideTyped) hold() string {
	if t.then == thenHold {
		return t.reason
	}
	return ""
}

func piecesByCount(f *form, p records.OnShelf, t divideTyped) []records.Piece {
	n := 0
	if t.cases != nil && p.Container.UnitsPerCase != nil {
		n = *t.cases * *p.Container.UnitsPerCase
	}
	if t.bottles != nil {
		n += *t.bottles
	}
	if most := min(p.OnHand, p.Filled-1); n > most {
		field := f.named("bottles")
		if t.bottles == nil {
			field = f.named("cases")
		}
		f.wrong(field, "part_divide.too_many", "OnHand", p.OnHand, "Most", most)
		return nil
	}
	of, err := strconv.Atoi(t.of)
	if err != nil {
		of = p.Filled
	}
	return []records.Piece{{Count: of - n, Keeps: true}, {Count: n, Hold: t.hold()}}
}

func piecesByNumber(f *form, p records.OnShelf, t divideTyped) []records.Piece {
	low, high, _ := p.Numbers()
	switch {
	case t.first == nil:
		f.wrong(f.named("first"), "part_divide.both_numbers")
	case t.last == nil:
		f.wrong(f.named("last"), "part_divide.both_numbers")
	case *t.first < low || *t.first > high:
		f.wrong(f.named("first"), "part_divide.outside", "First", low, "Last", high)
	case *t.last < *t.first || *t.last > high:
		f.wrong(f.named("last"), "part_divide.outside", "First", max(low, *t.first), "Last", high)
	case p.Gone() > 0 && (t.gone == "" || t.gone == goneBelow && *t.first == low || t.gone == goneAbove && *t.last == high):
		f.wrong(f.named("gone"), "part_divide.say_gone")
	}
	if !f.OK() {
		return nil
	}
	var pieces []records.Piece
	add := func(first, last int, where, hold string) {
		if first <= last {
			pieces = append(pieces, records.Piece{First: first, Last: last, Hold: hold, Keeps: t.gone == where && p.Gone() > 0})
		}
	}
	add(low, *t.first-1, goneBelow, "")
	if p.Gone() == 0 && *t.first == low { // the rest stays the part it was
		add(*t.last+1, high, goneAbove, "")
		add(*t.first, *t.last, goneThese, t.hold())
		return pieces
	}
	add(*t.first, *t.last, goneThese, t.hold())
	add(*t.last+1, high, goneAbove, "")
	return pieces
}

// dividePart sets some bottles of a part apart.
func (a *App) dividePart(c *gin.Context) error {
	p, err := a.onePart(c.Request.Context(), c.Param("id"))
	if err != nil {
		return err
	}
	f, err := a.readForm(c, "part_divide", partURL(p.ID)+"/divide")
	if err != nil {
		return err
	}
	var typed divideTyped
	partDivideForm(f, p, &typed)
	var pieces []records.Piece
	if f.OK() {
		pieces = piecesTyped(f, p, typed)
	}
	status := http.StatusUnprocessableEntity
	if f.OK() {
		err := a.store.Divide(c.Request.Context(), a.actor(c), p.ID, pieces)
		if status, err = a.finishForm(c, f, err, lotURL(p.LotID), "divide.done"); status == 0 {
			return err
		}
	}
	if err := f.Err(); err != nil {
		return err
	}
	forms := a.partForms(c, p)
	forms.divide = f
	return a.showPartPage(c, status, p, forms)
}
