package season

import (
	"fmt"

	"canewright/records"
)

// buyers are businesses, persons and market places, none of which exist.
func (b *builder) buyers() error {
	var facts []records.Fact
	add := func(sort string, contact records.Contact) {
		customer := &records.Customer{Sort: sort, Contact: contact}
		b.customers = append(b.customers, customer)
		facts = append(facts, customer)
	}
	for i, firm := range []struct{ name, person, street, town, mail string }{
		{"Pelican Corner Store", "Ruth Amble", "2 Levee Street", "Marrow Creek, LA 70000", "pelican-corner.example"},
		{"Three Gables Inn", "Silas Moon", "19 Gable Road", "Dunmere, LA 70000", "three-gables.example"},
		{"Lantern Street Bakery", "Ines Calloway", "54 Lantern Street", "Crossbayou, LA 70000", "lantern-street.example"},
		{"Hollow Oak Provisions", "Guy Tatum", "8 Oak Hollow", "Tern Point, MS 39000", "hollow-oak.example"},
		{"Blue Skiff Smokehouse", "Nell Harbin", "77 Dock Road", "Crossbayou, LA 70000", "blue-skiff.example"},
		{"Plumb & Daughter Grocers", "Ada Plumb", "7 Market Square", "Marrow Creek, LA 70000", "plumb-daughter.example"},
		{"Fernbank Farm Shop", "Otis Fern", "Fernbank Road", "Larkmoor, TX 75000", "fernbank.example"},
		{"The Copper Ladle", "Mina Roy", "31 Court Street", "Dunmere, LA 70000", "copper-ladle.example"},
	} {
		add(records.CustomerBusiness, records.Contact{Name: firm.name, Person: firm.person, Address: firm.street + "\n" + firm.town,
			Telephone: fmt.Sprintf("+1 225 555 %04d", 160+i), Email: "kitchen@" + firm.mail})
	}
	for i, name := range []string{"Alma Reed", "Bertram Coe", "Carmen Solís", "Della Frost", "Emory Pike", "Fay Landry-Holt", "Gus Teller",
		"Harriet Bly", "Ivo Marsh", "June Abbot", "Kit Rowan", "Lupe Arce", "Mo Tanner", "Nan Quist"} {
		contact := records.Contact{Name: name}
		if i%3 == 0 {
			contact.Address, contact.Telephone = fmt.Sprintf("%d Orchard Row\nMarrow Creek, LA 70000", 3+2*i), fmt.Sprintf("+1 225 555 %04d", 180+i)
		}
		add(records.CustomerPerson, contact)
	}
	add(records.CustomerMarket, records.Contact{Name: "Marrow Creek Saturday market", Address: "Court House Square, Marrow Creek"})
	add(records.CustomerMarket, records.Contact{Name: "Roadside stand", Address: "88 Old Mill Lane, at the gate"})
	return b.put(b.owner(), facts...)
}

// customersOf lists the customers of a sort.
func (b *builder) customersOf(sort string) []*records.Customer {
	var list []*records.Customer
	for _, c := range b.customers {
		if c.Sort == sort {
			list = append(list, c)
		}
	}
	return list
}
