package records

import "canewright/labels"

// Shapes of a container, by which its principal display panel is worked out (21 CFR 101.1).
const (
	ShapeRound = "round"
	ShapeFlat  = "flat"
	ShapeOther = "other"
)

// DisplayPanel is the area of the container's principal display panel; nil when it is not measured.
func (k *Container) DisplayPanel() *labels.SquareInches {
	var panel labels.SquareInches
	mm := func(x *float64) labels.Millimeters { return labels.Millimeters(*x) }
	switch {
	case k.Shape == ShapeRound && k.PanelHeight != nil && k.Diameter != nil:
		panel = labels.CylinderPanel(mm(k.PanelHeight), mm(k.Diameter))
	case k.Shape == ShapeFlat && k.PanelHeight != nil && k.PanelWidth != nil:
		panel = labels.FlatPanel(mm(k.PanelHeight), mm(k.PanelWidth))
	case k.Shape == ShapeOther && k.Surface != nil:
		panel = labels.SurfacePanel(labels.SquareMillimeters(*k.Surface))
	default:
		return nil
	}
	return &panel
}

// smallSurface is up to which a package may carry the nutrition panel as running text: 40 square inches that could bear
// labeling, 21 CFR 101.9(j)(13)(ii) (from memory, medium confidence). A display panel is 40 percent of that.
const smallSurface labels.SquareInches = 40

// smallPackage tells whether the whole side of the container is no larger than that.
func (k *Container) smallPackage() bool {
	panel := k.DisplayPanel()
	return panel != nil && *panel/0.4 <= smallSurface
}

// validatePanel checks shape and lengths: a shape has the lengths it asks for, and lengths their shape.
func (k *Container) validatePanel(c *checks) {
	within(c, "panel_height", k.PanelHeight, 10, 500, "mm")
	within(c, "panel_width", k.PanelWidth, 10, 500, "mm")
	within(c, "diameter", k.Diameter, 10, 400, "mm")
	within(c, "surface", k.Surface, 500, 500_000, "mm²")
	needs := func(field string, length *float64) {
		if length == nil {
			c.add(field, "container.length_missing")
		}
	}
	switch k.Shape {
	case "":
		if k.PanelHeight != nil || k.PanelWidth != nil || k.Diameter != nil || k.Surface != nil {
			c.add("shape", "container.shape_missing")
		}
	case ShapeRound:
		needs("panel_height", k.PanelHeight)
		needs("diameter", k.Diameter)
	case ShapeFlat:
		needs("panel_height", k.PanelHeight)
		needs("panel_width", k.PanelWidth)
	case ShapeOther:
		needs("surface", k.Surface)
	default:
		c.add("shape", "invalid.choice")
	}
}
