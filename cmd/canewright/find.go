package main

import (
	"errors"
	"fmt"
	"strings"

	"canewright/hazards/text"
	"canewright/labels"
	"canewright/records"
)

// offered is how many existing codes are offered for a wrong one.
const offered = 5

// noSuchCode says that a code is wrong or belongs to no lot, and offers the nearest ones that exist.
type noSuchCode struct {
	typed   string
	problem string
	nearest []string
}

func (e noSuchCode) Error() string {
	if len(e.nearest) == 0 {
		return e.problem
	}
	return e.problem + "\n" + say("cmd.nearest", "Codes", list(e.nearest))
}

// lot finds the lot of a code, however it was typed.
func (c *call) lot(store *records.Store, typed string) (records.Lot, error) {
	lot, err := records.LotByCode(c.ctx, store, typed)
	if err == nil {
		return lot, nil
	}
	var wrong labels.WrongCheck
	var malformed labels.MalformedCode
	problem := ""
	switch {
	case errors.As(err, &wrong):
		problem = wrong.Say(text.English)
	case errors.As(err, &malformed):
		problem = malformed.Say(text.English)
	case errors.Is(err, records.ErrNotFound):
		problem = say("cmd.no_lot", "Code", typed)
	default:
		return lot, err
	}
	codes, err := records.LotCodes(c.ctx, store)
	if err != nil {
		return lot, err
	}
	e := noSuchCode{typed: typed, problem: problem}
	for _, code := range labels.Nearest(typed, codes, offered) {
		e.nearest = append(e.nearest, records.PrintedCode(code))
	}
	return lot, e
}

// runOrLot finds a run by its code, else a lot by its own: the record a sheet is about, and its code as printed.
func (c *call) runOrLot(store *records.Store, typed string) (id, code string, err error) {
	runs, err := records.List[records.Run](c.ctx, store, "UPPER(code) = ?", strings.ToUpper(strings.TrimSpace(typed)))
	if err != nil {
		return "", "", err
	}
	if len(runs) > 0 {
		return runs[0].ID, runs[0].Code, nil
	}
	lot, err := c.lot(store, typed)
	if err != nil {
		return "", "", err
	}
	return lot.ID, records.PrintedCode(lot.Code), nil
}

// parts are the parts of a lot with their states and bottles.
func (c *call) parts(store *records.Store, lotID string) ([]records.PartShelf, error) {
	parts, err := records.List[records.Part](c.ctx, store, "lot_id = ? ORDER BY number", lotID)
	if err != nil {
		return nil, fmt.Errorf("parts of the lot: %w", err)
	}
	return records.Shelves(c.ctx, store, parts)
}
