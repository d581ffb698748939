package records

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"canewright/hazards"
	"canewright/hazards/syrup"
	"canewright/labels"
)

// codesOf are the codes of findings at least so grave.
func codesOf(findings []hazards.Finding, level hazards.Level) []string {
	codes := []string{}
	for _, f := range hazards.At(findings, level) {
		codes = append(codes, f.Code)
	}
	return codes
}

// sulphured is a lot whose product says "Unsulphured" and whose syrup had sulfite put in.
func (h *season) sulphured() (ground, Lot) {
	h.t.Helper()
	g := h.ground()
	_, _, run := h.boiled(g)
	lot := h.filled(g, run, 108)
	h.put(&Addition{ToID: run.ID, At: h.at(9, 0), Substance: "potassium metabisulfite", Use: "preservative", Amount: ptr(syrup.Grams(5)),
		Stays: ptr(true), Allergens: ptr(""), Sulfites: ptr(true)})
	return g, lot
}

// A contradiction about sulfites keeps the label from being printed until an owner signs a reason; what is signed stays, and a
// change of what was found asks again.
func TestLabelContradictionIsSigned(t *testing.T) {
	eachDatabase(t, func(t *testing.T, h *season) {
		g, lot := h.sulphured()
		_, err := LabelOf(h.ctx, h, lot.ID)
		var refused LabelRefused
		require.ErrorAs(t, err, &refused)
		assert.Equal(t, []string{"label.unsulphured"}, codesOf(refused.Findings, hazards.Note))
		assert.ErrorContains(t, err, "potassium metabisulfite")

		checked, err := CheckLabel(h.ctx, h, lot.ID)
		require.NoError(t, err)
		assert.Equal(t, "Contains sulfites.", checked.Label.Allergens, "the label itself is made and shown")
		words := checked.Open()[0].Words("es", "metric").What
		answer := func(who Actor, code, words string) error {
			return h.AnswerLabel(h.ctx, who, &LabelAnswer{LotID: lot.ID, At: h.at(12, 0), Code: code, Words: words, Reason: "old labels, a sticker goes over the word"})
		}
		crew := Person{SiteID: h.site.ID, Name: "Ben Oak", Login: "ben", Role: RoleCrew, MayRelease: true, Language: "en", Units: "us"}
		h.put(&crew)
		require.ErrorAs(t, answer(Actor{PersonID: h.owner.PersonID, DoneBy: crew.ID}, "label.unsulphured", words), new(Forbidden))
		require.ErrorAs(t, answer(h.owner, "label.unsulphured", "something else"), new(Conflict), "not in these words")
		require.ErrorAs(t, answer(h.owner, "label.panel_not_measured", words), new(Conflict), "what only warns is not signed for")
		require.ErrorAs(t, answer(h.owner, "", ""), new(Invalid))
		require.NoError(t, answer(h.owner, "label.unsulphured", words), "signed in Spanish")

		_, err = LabelOf(h.ctx, h, lot.ID)
		require.NoError(t, err)
		answers, err := LabelAnswers(h.ctx, h, lot.ID)
		require.NoError(t, err)
		require.Len(t, answers, 1)
		assert.Equal(t, words, answers[0].Words)
		require.ErrorAs(t, h.Strike(h.ctx, h.owner, answers[0].ID, "no"), new(Conflict), "what was signed stays")

		g.product.Claims = "No sulfites\nDairy free"
		require.NoError(t, h.Amend(h.ctx, h.owner, &g.product, "new words"))
		_, err = LabelOf(h.ctx, h, lot.ID)
		require.ErrorAs(t, err, &refused, "other words than those signed for")
	})
}

func TestLabelAllergenDenied(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	g.product.Claims = "Dairy free"
	require.NoError(t, h.Amend(h.ctx, h.owner, &g.product, "new words"))
	_, _, run := h.boiled(g)
	lot := h.filled(g, run, 108)
	_, err := LabelOf(h.ctx, h, lot.ID)
	require.NoError(t, err)
	h.put(&Addition{ToID: run.ID, At: h.at(9, 0), Substance: "butter", Use: "defoamer", Amount: ptr(syrup.Grams(20)), Stays: ptr(false), Allergens: ptr("milk"), Sulfites: ptr(false)})
	_, err = LabelOf(h.ctx, h, lot.ID)
	assert.ErrorContains(t, err, "milk", "also what does not stay")
}

// What the product and the container say is on the label, drawn on the house's stocks and judged there.
func TestCheckLabelOnStocks(t *testing.T) {
	h := newSeason(t)
	g := h.ground()
	g.product.Claims, g.product.Caution, g.product.Nutrition = "Boiled in an open kettle", "Not recommended for infants under 1 year.", hazards.NutritionPanelDrawn
	g.container.Shape, g.container.PanelHeight, g.container.Diameter = ShapeRound, ptr(114.3), ptr(63.5)
	require.NoError(t, h.Amend(h.ctx, h.owner, &g.product, "new label"))
	require.NoError(t, h.Amend(h.ctx, h.owner, &g.container, "measured"))
	house, err := Get[House](h.ctx, h, h.house.ID)
	require.NoError(t, err)
	house.Statement, house.StatementHeight = "Made in a home kitchen.", ptr(2.5)
	require.NoError(t, h.Amend(h.ctx, h.owner, &house, "county sheet"))
	h.put(&LabelStock{Name: "large roll", Paper: PaperRoll, Rows: 1, Columns: 1, LabelWidth: 100, LabelHeight: 150, DotsPerInch: 203},
		&LabelStock{Name: "small roll", Paper: PaperRoll, Rows: 1, Columns: 1, LabelWidth: 40, LabelHeight: 25, DotsPerInch: 203})
	_, _, run := h.boiled(g)
	lot := h.filled(g, run, 108)
	checked, err := CheckLabel(h.ctx, h, lot.ID)
	require.NoError(t, err)
	assert.InDelta(t, 14.137, float64(*checked.Panel), 0.0005, "4.5 by 2.5 inches: 14.137 square inches, 21 CFR 101.1")
	assert.InDelta(t, 25.4/8, float64(checked.Label.NetHeight), 1e-9, "1/8 inch, 101.7(i)")
	assert.Equal(t, []string{"label.statement_source"}, codesOf(checked.Findings, hazards.Check))
	assert.Contains(t, codesOf(checked.Findings, hazards.Note), "label.nutrition_database")
	require.NotNil(t, checked.Label.Nutrition)
	assert.True(t, checked.Label.Nutrition.SmallPackage, "35.3 square inches of side")
	require.Len(t, checked.Stocks, 2)
	require.NoError(t, checked.Stocks[0].Refused)
	require.ErrorAs(t, checked.Stocks[1].Refused, new(labels.NoRoom))
	heights := map[string]labels.Millimeters{}
	for _, line := range checked.Stocks[0].Drawing.Lines {
		heights[line.Line] = line.Height
	}
	assert.GreaterOrEqual(t, heights["labels.line.net"], labels.Millimeters(25.4/8))
	assert.GreaterOrEqual(t, heights["labels.line.statement"], labels.Millimeters(2.5))
	for _, line := range []string{"labels.line.claims", "labels.line.caution", "labels.line.nutrition", "labels.line.storage"} {
		assert.Positive(t, heights[line], line)
	}
}

func TestLabelTextsRefusedAtInput(t *testing.T) {
	for _, character := range []string{"🍯", "⅓", "☐"} {
		p := Product{Name: "Cane syrup " + character, Names: NamesCane, BestByMonths: 12, Storage: character, Claims: "fine\n" + character, Caution: character}
		h := House{Name: character, Address: "1 Road\n" + character, Telephone: character, Zone: "UTC", TargetSolids: 75, Statement: character}
		for fact, fields := range map[Fact][]string{&p: {"name", "storage", "claims", "caution"}, &h: {"name", "address", "telephone", "statement"}} {
			var wrong Invalid
			require.ErrorAs(t, fact.Validate(), &wrong)
			var at []string
			for _, w := range wrong {
				assert.Equal(t, "invalid.rune", w.Key)
				at = append(at, w.Field)
			}
			assert.ElementsMatch(t, fields, at, "%s: once at each field", character)
		}
	}
	assert.NoError(t, (&Product{Name: "Sirope ½ ñandú", Names: NamesOther, BestByMonths: 12, Claims: "Hecho en olla\n\nabierta"}).Validate())
}

func TestContainerPanel(t *testing.T) {
	sound := Container{Name: "jar", Contents: 355}
	tests := []struct {
		name  string
		set   func(*Container)
		panel float64 // square inches; 0 for none
		wrong string
	}{
		{"not measured", func(*Container) {}, 0, ""},
		{"round", func(k *Container) { k.Shape, k.PanelHeight, k.Diameter = ShapeRound, ptr(114.3), ptr(63.5) }, 14.137, ""},
		{"flat", func(k *Container) { k.Shape, k.PanelHeight, k.PanelWidth = ShapeFlat, ptr(50.8), ptr(63.5) }, 5, ""},
		{"other", func(k *Container) { k.Shape, k.Surface = ShapeOther, ptr(25.0*25.4*25.4) }, 10, ""},
		{"round without diameter", func(k *Container) { k.Shape, k.PanelHeight = ShapeRound, ptr(114.3) }, 0, "diameter"},
		{"flat without width", func(k *Container) { k.Shape, k.PanelHeight = ShapeFlat, ptr(114.3) }, 0, "panel_width"},
		{"other without surface", func(k *Container) { k.Shape = ShapeOther }, 0, "surface"},
		{"lengths without a shape", func(k *Container) { k.PanelHeight = ptr(114.3) }, 0, "shape"},
		{"a shape nobody knows", func(k *Container) { k.Shape = "square" }, 0, "shape"},
		{"inches for millimeters", func(k *Container) { k.Shape, k.PanelHeight, k.Diameter = ShapeRound, ptr(4.5), ptr(63.5) }, 0, "panel_height"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			k := sound
			test.set(&k)
			err := k.Validate()
			if test.wrong != "" {
				var wrong Invalid
				require.ErrorAs(t, err, &wrong)
				assert.Equal(t, test.wrong, wrong[0].Field)
				return
			}
			require.NoError(t, err)
			if test.panel == 0 {
				assert.Nil(t, k.DisplayPanel())
				return
			}
			assert.InDelta(t, test.panel, float64(*k.DisplayPanel()), 0.0005)
		})
	}
}
