package records

import (
	"context"
	"strings"
)

// SetUp writes the house, its first site and its first owner, who writes the record of itself. Errors: Invalid, and
// Conflict when there is a house already.
func (s *Store) SetUp(ctx context.Context, house *House, site *Site, owner *Person) error {
	owner.Role, owner.MayRelease = RoleOwner, true
	return s.change(ctx, Actor{}, func(tx *Tx) error {
		houses, err := List[House](ctx, tx, "")
		if err != nil {
			return err
		}
		if len(houses) > 0 {
			return Conflict{Key: "house.already", ID: houses[0].ID}
		}
		if tx.who.PersonID, err = s.newID(); err != nil {
			return err
		}
		if err := tx.put(house, ""); err != nil {
			return err
		}
		if err := tx.put(site, ""); err != nil {
			return err
		}
		owner.Row = Row{ID: tx.who.PersonID, Revision: 1, WrittenAt: tx.at, WrittenBy: tx.who.PersonID, DoneBy: tx.who.PersonID}
		owner.SiteID = site.ID
		return tx.keep(owner, EntryNew)
	})
}

// inspect keeps sign-in names apart.
func (p *Person) inspect(tx *Tx) error {
	same, err := List[Person](tx.ctx, tx, "login = ? AND id <> ?", strings.ToLower(p.Login), p.ID)
	if err == nil && len(same) > 0 {
		err = Invalid{{"login", "person.login_taken", nil}}
	}
	return err
}

// inspect keeps kettle numbers apart: they stand in lot codes.
func (k *Kettle) inspect(tx *Tx) error {
	same, err := List[Kettle](tx.ctx, tx, "number = ? AND id <> ?", k.Number, k.ID)
	if err == nil && len(same) > 0 {
		err = Invalid{{"number", "kettle.number_taken", nil}}
	}
	return err
}
