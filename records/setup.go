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
	if err != nil || p.Revision == 1 {
		return err
	}
	return tx.ownerRemains(p, false)
}

// ownerRemains keeps one owner without a last day in the house: nobody else could ever let another one in.
func (tx *Tx) ownerRemains(p *Person, struck bool) error {
	if !struck && p.Role == RoleOwner && p.Expires == "" {
		return nil
	}
	now, err := Get[Person](tx.ctx, tx, p.ID)
	if err != nil || now.Role != RoleOwner || now.Expires != "" {
		return err
	}
	others, err := List[Person](tx.ctx, tx, "role = ? AND expires = '' AND id <> ?", RoleOwner, p.ID)
	if err != nil || len(others) > 0 {
		return err
	}
	field := "role"
	if p.Role == RoleOwner {
		field = "expires"
	}
	return Invalid{{field, "person.last_owner", nil}}
}

// inspect keeps kettle numbers apart: they stand in lot codes.
func (k *Kettle) inspect(tx *Tx) error {
	same, err := List[Kettle](tx.ctx, tx, "number = ? AND id <> ?", k.Number, k.ID)
	if err == nil && len(same) > 0 {
		err = Invalid{{"number", "kettle.number_taken", nil}}
	}
	return err
}
