// Package records keeps what happened: the facts of a house, the chain between them, and the store that holds both.
//
// A fact is a flat struct that embeds Row. Its table has the same columns, its primary key is (id, revision), and no row
// is ever updated or deleted: an amendment inserts the whole row again with the next revision. Every write goes through
// one door, Tx.put, which in one transaction checks the fact, registers it, inserts it, rebuilds the flows it feeds,
// writes the journal entry and judges again what the write reaches.
package records
