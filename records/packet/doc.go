// Package packet makes what leaves the house for an inspector: the batch sheet of one run or lot, and the packet, one zip
// with the sheets, logs, amendments and record tables of every lot filled in a range of days, which checks itself against
// its own list.
//
// Bytes are determined by the records and the options alone: the same record draws the same sheet, and the same records,
// moment and name make the same packet. Sign-in data never enters it; the tables are a list written in tables.go.
package packet
