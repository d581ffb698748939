// Package text is the one catalogue of every text a person sees, by key, in English and Spanish.
//
// Texts live in *.en.toml and *.es.toml beside this file, one pair of files for each area of the product; the files of
// a language are merged, and a key written twice in one language stops the program at start. Keys are flat and dotted:
//
//	"kettle.title" = "Kettle"
//	"kettle.since_fire" = "{{.Minutes}} min since the fire was lit"
//
//	["count.bottles"]
//	one = "{{.Count}} bottle"
//	other = "{{.Count}} bottles"
//
// A text holds words and {{.Name}} only, no logic. A finding or a document stores code, values and units; its words are
// made here when it is shown.
package text
