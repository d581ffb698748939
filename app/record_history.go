package app

import (
	"context"
	"fmt"

	"canewright/records"
)

// histories reads every revision of a record, oldest first, for each kind.
var histories = map[records.Kind]func(context.Context, records.Source, string) ([]records.Fact, error){
	records.KindHouse: history[records.House], records.KindSite: history[records.Site], records.KindPerson: history[records.Person],
	records.KindKettle: history[records.Kettle], records.KindTank: history[records.Tank],
	records.KindInstrument: history[records.Instrument], records.KindInstrumentCheck: history[records.InstrumentCheck],
	records.KindHouseLimit: history[records.HouseLimit], records.KindProduct: history[records.Product],
	records.KindContainer: history[records.Container], records.KindLabelStock: history[records.LabelStock],
	records.KindSupplier: history[records.Supplier], records.KindCarrier: history[records.Carrier],
	records.KindCustomer: history[records.Customer], records.KindSupplyLot: history[records.SupplyLot],
	records.KindBlock: history[records.Block], records.KindPlanting: history[records.Planting],
	records.KindApplication: history[records.Application], records.KindFreeze: history[records.Freeze], records.KindCut: history[records.Cut],
	records.KindPressing: history[records.Pressing], records.KindRun: history[records.Run], records.KindBoilEntry: history[records.BoilEntry],
	records.KindDensityReading: history[records.DensityReading], records.KindAddition: history[records.Addition],
	records.KindWashOut: history[records.WashOut], records.KindLot: history[records.Lot], records.KindPart: history[records.Part],
	records.KindFillCheck: history[records.FillCheck], records.KindFillEnd: history[records.FillEnd],
	records.KindFillEvent:   history[records.FillEvent],
	records.KindDisposition: history[records.Disposition], records.KindCorrectiveAction: history[records.CorrectiveAction],
	records.KindLink: history[records.Link], records.KindShipment: history[records.Shipment],
	records.KindShelfEntry: history[records.ShelfEntry], records.KindComplaint: history[records.Complaint], records.KindPrint: history[records.Print],
	records.KindTradeItem: history[records.TradeItem], records.KindLabelCount: history[records.LabelCount], records.KindTagMatch: history[records.TagMatch],
	records.KindLabelAnswer: history[records.LabelAnswer],
	records.KindNetSample:   history[records.NetSample], records.KindNetTable: history[records.NetTable], records.KindCoolingTest: history[records.CoolingTest],
	records.KindAttachment: history[records.Attachment], records.KindPhoneEntry: history[records.PhoneEntry],
	records.KindLoggerImport: history[records.LoggerImport],
}

func history[T any](ctx context.Context, src records.Source, id string) ([]records.Fact, error) {
	rows, err := records.Revisions[T](ctx, src, id)
	facts := make([]records.Fact, len(rows))
	for i := range rows {
		facts[i] = any(&rows[i]).(records.Fact)
	}
	return facts, err
}

// revision is one revision of a record: who wrote it, when and why, and what it changed.
type revision struct {
	Number         int
	Struck         bool
	Who, When, Why string
	Changes        []change
}

// change is one field an amendment changed; the old value stays readable, struck through.
type change struct{ Label, Old, New string }

// revisionsOf lists the revisions of a record, newest first.
func (a *App) revisionsOf(ctx context.Context, w words, kind records.Kind, id string) ([]revision, error) {
	read, ok := histories[kind]
	if !ok {
		return nil, fmt.Errorf("history of %s: unknown kind", kind)
	}
	facts, err := read(ctx, a.store, id)
	if err != nil {
		return nil, err
	}
	revisions := make([]revision, len(facts))
	var before []line
	for i, fact := range facts {
		head := records.Head(fact)
		lines := a.named(ctx, linesOf(w, fact))
		r := revision{Number: head.Revision, Struck: head.Struck, Why: head.Why, Who: a.writers(ctx, w, head)}
		if r.When, err = w.moment(head.WrittenAt); err != nil {
			return nil, err
		}
		if i > 0 {
			r.Changes = changesBetween(before, lines)
		}
		before = lines
		revisions[len(facts)-1-i] = r
	}
	return revisions, nil
}

// changesBetween compares two revisions as they read.
func changesBetween(before, after []line) []change {
	old := map[string]line{}
	for _, l := range before {
		old[l.column] = l
	}
	var changes []change
	for _, l := range after {
		was := old[l.column]
		if was.Text != l.Text || was.Entered != l.Entered {
			changes = append(changes, change{Label: l.Label, Old: was.both(), New: l.both()})
		}
	}
	return changes
}

// both is the value with what was typed.
func (l line) both() string {
	if l.Entered == "" {
		return l.Text
	}
	return l.Text + " (" + l.Entered + ")"
}

// named puts names and addresses in place of the ids of other records.
func (a *App) named(ctx context.Context, lines []line) []line {
	for i := range lines {
		if lines[i].id != "" {
			lines[i].Text, lines[i].URL = records.Name(ctx, a.store, lines[i].id), recordURL(lines[i].id)
		}
	}
	return lines
}

// writers names who signed in and, on a shared phone, who did the work.
func (a *App) writers(ctx context.Context, w words, head records.Row) string {
	signed := records.Name(ctx, a.store, head.WrittenBy)
	if head.DoneBy == "" || head.DoneBy == head.WrittenBy {
		return signed
	}
	return w.say("record.done_by", "Who", records.Name(ctx, a.store, head.DoneBy), "Signed", signed)
}
