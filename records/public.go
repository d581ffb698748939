package records

import (
	"cmp"
	"context"
	"slices"
	"time"

	"canewright/hazards"
	"canewright/hazards/text"
	"canewright/labels"
)

// Public is what a house tells strangers of one lot: plain facts of the food. Nothing of people, customers, quantities,
// findings or instruments is in it, so that a page made from it cannot tell them.
type Public struct {
	LotID     string // to file a complaint under; not for the page
	Code      string // as printed
	Product   string
	Net       string // declared contents
	Cuts      []PublicCut
	Pressed   []Day
	Boiled    []Day
	Bottled   Day
	BestBy    Day
	Storage   string
	Maker     string
	Address   string // one line
	Telephone string
	Recalled  bool // some of its bottles are called back
}

// PublicCut is cane of the lot: the block's name and the day it was cut.
type PublicCut struct {
	Block string
	Day   Day
}

// PublicOf gives what strangers may know of a lot. A lot none of which was ever released or shipped is not told: nobody
// can hold a bottle of it. Errors: ErrNotFound.
func PublicOf(ctx context.Context, src Source, lotID string) (Public, error) {
	lot, err := Get[Lot](ctx, src, lotID)
	if err != nil || lot.Struck {
		return Public{}, cmp.Or(err, ErrNotFound)
	}
	house, err := theHouse(ctx, src)
	if err != nil {
		return Public{}, err
	}
	p := Public{LotID: lot.ID, Code: PrintedCode(lot.Code), Bottled: lot.Day, Maker: house.Name, Address: oneLine(house.Address), Telephone: house.Telephone}
	out, recalled, err := everOut(ctx, src, lot.ID)
	if err != nil || !out {
		return Public{}, cmp.Or(err, ErrNotFound)
	}
	p.Recalled = recalled
	if err := p.product(ctx, src, lot); err != nil {
		return Public{}, err
	}
	return p, p.chain(ctx, src, lot.ID, house.Location())
}

// everOut tells whether any bottle of a lot was ever released or shipped, and whether some are recalled now.
func everOut(ctx context.Context, src Source, lotID string) (out, recalled bool, err error) {
	parts, err := List[Part](ctx, src, "lot_id = ?", lotID)
	if err != nil {
		return false, false, err
	}
	shelves, err := Shelves(ctx, src, parts)
	if err != nil {
		return false, false, err
	}
	ids := make([]string, len(parts))
	for i, p := range parts {
		ids[i] = p.ID
	}
	acts, err := ListIDs[Disposition](ctx, src, "part_id", ids)
	released := slices.ContainsFunc(acts, func(d Disposition) bool { return d.Act == ActRelease })
	shipped := slices.ContainsFunc(shelves, func(s PartShelf) bool { return s.Shipped > 0 })
	recalled = slices.ContainsFunc(shelves, func(s PartShelf) bool { return s.State == StateRecalled })
	return released || shipped, recalled, err
}

// product fills in what the label says, without asking whether it may be printed today.
func (p *Public) product(ctx context.Context, src Source, lot Lot) error {
	product, err := Get[Product](ctx, src, lot.ProductID)
	if err != nil {
		return err
	}
	container, err := Get[Container](ctx, src, lot.ContainerID)
	if err != nil {
		return err
	}
	net, err := labels.NetContents(container.Contents)
	if err != nil {
		return err
	}
	p.Product, p.Net, p.BestBy, p.Storage = product.Name, net.String(), DayOf(bestDay(lot.Day, product.BestByMonths), time.UTC), product.Storage
	if p.Storage != "" {
		return nil
	}
	g, err := gather(ctx, src, lot.ID)
	if err != nil {
		return err
	}
	food, err := g.lot(lot.ID)
	p.Storage = text.Say(text.English, storageKey(hazards.LotSolids(food)))
	return err
}

// chain fills in where the cane grew and the days of the work.
func (p *Public) chain(ctx context.Context, src Source, lotID string, zone *time.Location) error {
	back, err := TraceBack(ctx, src, lotID)
	if err != nil {
		return err
	}
	names, err := namesOf(ctx, src, back.IDs(KindCut, KindPressing, KindRun, KindPlanting, KindBlock))
	if err != nil {
		return err
	}
	for _, fact := range names.facts {
		switch f := fact.(type) {
		case *Cut:
			p.Cuts = append(p.Cuts, PublicCut{names.name(names.blockOf(f.PlantingID)), f.CutOn})
		case *Pressing:
			p.Pressed = append(p.Pressed, DayOf(f.StartedAt, zone))
		case *Run:
			p.Boiled = append(p.Boiled, DayOf(f.FireLitAt, zone))
		}
	}
	slices.SortFunc(p.Cuts, func(a, b PublicCut) int { return cmp.Or(cmp.Compare(a.Day, b.Day), cmp.Compare(a.Block, b.Block)) })
	p.Cuts = slices.Compact(p.Cuts)
	slices.Sort(p.Pressed)
	slices.Sort(p.Boiled)
	p.Pressed, p.Boiled = slices.Compact(p.Pressed), slices.Compact(p.Boiled)
	return nil
}

// blockOf is the block of a planting.
func (n *namer) blockOf(plantingID string) string {
	planting, err := Get[Planting](n.ctx, n.src, plantingID)
	if err != nil {
		return plantingID
	}
	return planting.BlockID
}

// SourcePublic is the source of a complaint sent from a bottle's public page.
const SourcePublic = "public"

// mostPublicPhotos is how many photos strangers may send in a day: they cannot fill the disk (our choice).
const mostPublicPhotos = 20

// Tell keeps what a stranger wrote about a bottle, with a photo or without. It stands under the house, since nobody is
// signed in; Source says where it came from. Errors: Invalid, Already.
func (s *Store) Tell(ctx context.Context, submission string, k *Complaint, photo *Attachment, bytes []byte) error {
	house, err := s.House(ctx)
	if err != nil {
		return err
	}
	return s.change(ctx, Actor{PersonID: house.ID, Submission: submission}, func(tx *Tx) error {
		k.Source, k.ReceivedAt = SourcePublic, tx.at
		if err := tx.put(k, ""); err != nil || photo == nil {
			return err
		}
		var sent int
		err := tx.db.Raw(`SELECT COUNT(*) FROM attachment_now a JOIN complaint_now k ON k.id = a.of_id WHERE k.source = ? AND a.written_at > ?`,
			SourcePublic, tx.at.Add(-24*time.Hour)).Scan(&sent).Error
		if err != nil {
			return err
		}
		if sent >= mostPublicPhotos {
			return Invalid{{"photo", "public.photos_full", nil}}
		}
		photo.OfID, photo.At, photo.Sort = k.ID, tx.at, AttachedPhoto
		return tx.attach(photo, bytes)
	})
}
