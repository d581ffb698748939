package app

import (
	"context"
	"errors"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"canewright/labels"
	"canewright/records"
)

// findPage shows what was found for a code or a name.
type findPage struct {
	Page
	Query, Note string
	Rows        []ledgerLine
}

// mostFound is how many records of a kind are shown for a name.
const mostFound = 20

// find takes a lot code however typed, a run code, or a part of a name. A code leads straight to its record.
func (a *App) find(c *gin.Context) error {
	w, query := visitorOf(c).words(), strings.TrimSpace(c.Query("q"))
	page := &findPage{Query: query}
	if query == "" {
		page.Note = w.say("find.nothing_typed")
		return a.show(c, "find/results", page)
	}
	if len(query) > 200 {
		return records.Invalid{{Field: "q", Key: "invalid.long", Args: []any{"Max", 200}}}
	}
	id, err := a.byCode(c.Request.Context(), query)
	if err != nil {
		return err
	}
	if id != "" {
		c.Redirect(http.StatusSeeOther, recordURL(id))
		return nil
	}
	if page.Rows, err = a.byBeginning(c.Request.Context(), w, query); err != nil {
		return err
	}
	named, err := a.byName(c.Request.Context(), visitorOf(c), query)
	if err != nil {
		return err
	}
	page.Rows = append(page.Rows, named...)
	if len(page.Rows) == 0 {
		if page.Note, page.Rows, err = a.nearest(c.Request.Context(), w, query); err != nil {
			return err
		}
	}
	return a.show(c, "find/results", page)
}

// byCode gives the lot or run of a code; empty when it is none.
func (a *App) byCode(ctx context.Context, query string) (string, error) {
	lot, err := records.LotByCode(ctx, a.store, query)
	if err == nil {
		return lot.ID, nil
	}
	if !errors.As(err, new(labels.MalformedCode)) && !errors.As(err, new(labels.WrongCheck)) && !errors.Is(err, records.ErrNotFound) {
		return "", err
	}
	runs, err := records.List[records.Run](ctx, a.store, "code = ?", runCode(query))
	if err != nil || len(runs) != 1 {
		return "", err
	}
	return runs[0].ID, nil
}

// runCode writes a run code as it is stored: capitals, no spaces, 1 for I and L, 0 for O. Its hyphen counts.
func runCode(typed string) string {
	parts := strings.Split(typed, "-")
	for i, part := range parts {
		parts[i] = labels.FoldCode(part)
	}
	return strings.Join(parts, "-")
}

// leastBeginning is how many characters of a code are typed before codes that begin so are listed.
const leastBeginning = 3

// byBeginning lists the lots and runs whose codes begin with what was typed, newest first.
func (a *App) byBeginning(ctx context.Context, w words, query string) ([]ledgerLine, error) {
	folded := labels.FoldCode(query)
	if len(folded) < leastBeginning || strings.IndexFunc(folded, func(r rune) bool { return (r < '0' || r > '9') && (r < 'A' || r > 'Z') }) >= 0 {
		return nil, nil
	}
	lots, err := records.List[records.Lot](ctx, a.store, "code LIKE ? ORDER BY started_at DESC, id DESC LIMIT ?", folded+"%", mostFound)
	if err != nil {
		return nil, err
	}
	var rows []ledgerLine
	for _, l := range lots {
		rows = append(rows, ledgerLine{Name: records.PrintedCode(l.Code), Word: w.say("kind.lot"), URL: recordURL(l.ID)})
	}
	runs, err := records.List[records.Run](ctx, a.store, "code LIKE ? ORDER BY fire_lit_at DESC, id DESC LIMIT ?", folded+"%", mostFound)
	for _, r := range runs {
		rows = append(rows, ledgerLine{Name: r.Code, Word: w.say("kind.run"), URL: recordURL(r.ID)})
	}
	return rows, err
}

// customersNamed lists the customers whose name holds what was typed. Names are kept apart from the records, so the store
// looks for them.
func (a *App) customersNamed(ctx context.Context, w words, query string) ([]ledgerLine, error) {
	customers, err := records.CustomersNamed(ctx, a.store, query, mostFound)
	var rows []ledgerLine
	for _, k := range customers {
		rows = append(rows, ledgerLine{Name: customerWords(w, k), Word: w.say("kind.customer"), URL: customerURL(k.ID)})
	}
	return rows, err
}

// nearest says why nothing was found, and offers the lot codes most like what was typed.
func (a *App) nearest(ctx context.Context, w words, query string) (string, []ledgerLine, error) {
	_, err := labels.ParseLotCode(query)
	if err != nil && !errors.As(err, new(labels.WrongCheck)) {
		return w.say("find.nothing", "Query", query), nil, nil
	}
	codes, err := records.LotCodes(ctx, a.store)
	if err != nil {
		return "", nil, err
	}
	var rows []ledgerLine
	for _, code := range labels.Nearest(query, codes, 5) {
		rows = append(rows, ledgerLine{Name: records.PrintedCode(code), Word: w.say("kind.lot"), URL: "/find?q=" + code})
	}
	if len(rows) == 0 {
		return w.say("find.nothing", "Query", query), nil, nil
	}
	return w.say("find.nearest", "Query", query), rows, nil
}

// searched are the columns in which names are looked for. The words are ours, never a person's.
var searched = map[records.Kind]string{
	records.KindBlock: "name", records.KindPlanting: "variety", records.KindCut: "harvester", records.KindApplication: "product",
	records.KindKettle: "name", records.KindTank: "name", records.KindInstrument: "name", records.KindProduct: "name",
	records.KindContainer: "name", records.KindSupplyLot: "description || ' ' || their_lot", records.KindSupplier: "firm",
	records.KindCarrier: "firm", records.KindSite: "name", records.KindPerson: "name",
}

// byName looks for a part of a name among the simple kinds, in any case.
func (a *App) byName(ctx context.Context, v *visitor, query string) ([]ledgerLine, error) {
	like := "%" + strings.NewReplacer(`\`, `\\`, "%", `\%`, "_", `\_`).Replace(strings.ToLower(query)) + "%"
	rows, err := a.customersNamed(ctx, v.words(), query)
	if err != nil {
		return nil, err
	}
	for _, k := range a.kinds.inOrder {
		column, ok := searched[k.Kind]
		if !ok || !v.may(k.See) {
			continue
		}
		facts, err := k.rows(ctx, a.store, "LOWER("+column+`) LIKE ? ESCAPE '\' ORDER BY `+k.Order+" LIMIT ?", like, mostFound)
		if err != nil {
			return nil, err
		}
		for _, fact := range facts {
			rows = append(rows, ledgerLine{Name: records.NameOf(ctx, a.store, fact), Word: v.words().say("kind." + string(k.Kind)), URL: recordURL(records.Head(fact).ID)})
		}
	}
	return rows, nil
}
