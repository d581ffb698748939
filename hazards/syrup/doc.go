// Package syrup holds the units everything is written in and the pure physics of cane juice and syrup: density,
// Baume and Brix, the hydrometer read hot, the refractometer, boiling points, water activity, crystals, yield, blends,
// fill volumes, lethality, viscosity.
//
// Nothing here reads a clock, a file or a network, and nothing changes after the program starts. Every function
// refuses input outside the range its model was checked in with a RangeError instead of extrapolating, and refuses
// NaN and Inf. The published values the models are held to stand in testdata/*.csv with source and tolerance.
//
// All models treat the dissolved solids as sucrose unless a Composition says otherwise. Real cane syrup holds
// invert and ash, which moves a spindle by about -0.3 to +0.7 Brix (AOAC 932.14: exact only for pure sucrose).
package syrup

// Model names are stored beside a result so that a later, better model never rewrites what was known.
const (
	// ModelDensity is the ICUMSA density polynomial with Kell's water.
	ModelDensity = "density/1"
	// ModelHydrometer is the hydrometer read at any temperature, three stems.
	ModelHydrometer = "hydrometer/1"
	// ModelBoiling is the boiling point of water and of syrup.
	ModelBoiling = "boiling/1"
	// ModelWaterActivity is the sucrose, hexose and ash mixture.
	ModelWaterActivity = "wateractivity/1"
	// ModelYield is the mass balance on solids.
	ModelYield = "yield/1"
	// ModelFill is the density ratio between filling and 20 C.
	ModelFill = "fill/1"
	// ModelRefractometer is the index polynomial and the temperature correction.
	ModelRefractometer = "refractometer/1"
	// ModelCrystal is solubility and supersaturation beside cane non-sucrose.
	ModelCrystal = "crystal/1"
	// ModelHeadspace is the room left in a bottle, and the vacuum bound.
	ModelHeadspace = "headspace/1"
	// ModelLethality is the lethal rate summed over time.
	ModelLethality = "lethality/1"
	// ModelViscosity is Genotelle's viscosity.
	ModelViscosity = "viscosity/1"
	// ModelBlend is the Pearson square by mass.
	ModelBlend = "blend/1"
)
