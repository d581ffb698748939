package main

import (
	"errors"
	"strings"

	"canewright/hazards"
	"canewright/hazards/syrup"
)

// nameFound is the answer of calc name.
type nameFound struct {
	Names         []string `json:"names"`
	Also          []string `json:"also_names"`
	Level         string   `json:"level"`
	BarredBy      []string `json:"cane_barred_by"`
	Warnings      []string `json:"warnings"`
	SolidsPercent float64  `json:"solids_percent"`
	solids        syrup.Brix
}

// calcName is `calc name --solids 76 --ingredients "cane juice, salt"`.
func calcName(in *inputs) (result, error) {
	if err := in.parse("solids", "ingredients"); err != nil {
		return nil, err
	}
	solids := required(in, "solids", "76", syrup.ParseSolids)
	ingredients := required(in, "ingredients", "\"cane juice, salt\"", ingredientList)
	if err := in.err(); err != nil {
		return nil, err
	}
	additions := hazards.IngredientAdditions(ingredients)
	found := nameFound{Level: hazards.Within.String(), SolidsPercent: figure(solids), solids: solids}
	found.Names, found.Also = hazards.StandardNames(&solids, additions)
	found.BarredBy = hazards.BarCane(additions)
	for _, name := range ingredients {
		if hazards.NamesEvaporatedJuice(name) {
			found.Warnings = append(found.Warnings, say("calc.name.evaporated", "Name", name))
		}
	}
	if len(found.Names) == 0 {
		found.Level = hazards.Hold.String()
	}
	for _, list := range []*[]string{&found.Names, &found.Also, &found.BarredBy, &found.Warnings} {
		if *list == nil {
			*list = []string{}
		}
	}
	return found, nil
}

// ingredientList reads names apart by commas.
func ingredientList(typed string) ([]string, error) {
	var list []string
	for name := range strings.SplitSeq(typed, ",") {
		if name = strings.TrimSpace(name); name != "" {
			list = append(list, name)
		}
	}
	if list == nil {
		return nil, errors.New(say("calc.name.empty"))
	}
	return list, nil
}

func (f nameFound) lines() []string {
	var lines []string
	if len(f.Names) == 0 {
		lines = append(lines, say("calc.name.none", "Solids", solidsText(f.solids)))
	} else {
		lines = append(lines, say("calc.name.names", "Solids", solidsText(f.solids), "Names", strings.Join(f.Names, ", ")))
	}
	if len(f.Also) > 0 {
		lines = append(lines, say("calc.name.also", "Names", strings.Join(f.Also, ", ")))
	}
	switch {
	case len(f.BarredBy) > 0:
		lines = append(lines, say("calc.name.barred", "Names", strings.Join(f.BarredBy, ", ")))
	case f.solids < caneSyrupSolids && len(f.Names) > 0:
		lines = append(lines, say("calc.name.thin"))
	}
	return append(append(lines, f.Warnings...), say("calc.name.source"))
}
