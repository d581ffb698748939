// Package season invents a whole season of a house that does not exist, for the demo and for tests. House, people, firms and
// customers are made up; telephones are of the 555-01 block and addresses on the web end in .example.
//
// Everything is written through the store's own door, event after event in the order of time, with the store's clock moved
// to each event: what a reader sees is what a house that kept its records would see. The same day gives the same bytes.
package season
