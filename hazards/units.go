package hazards

// The units of the numbers of a batch sheet that are no plain quantity. Rates are kept in the trade's US units and shown
// in either system.
const (
	UnitAcres              Unit = "acres"
	UnitTonsPerAcre        Unit = "tons_per_acre"
	UnitGallonsPerAcre     Unit = "gallons_per_acre"
	UnitGallonsPerTon      Unit = "gallons_per_ton"
	UnitGallonsPerHour     Unit = "gallons_per_hour"
	UnitCount              Unit = "count"
	UnitRatio              Unit = "ratio"
	UnitPH                 Unit = "ph"
	UnitActivity           Unit = "water_activity"
	UnitPPM                Unit = "ppm"
	UnitPPB                Unit = "ppb"
	UnitMilligramsPerLiter Unit = "milligrams_per_liter"
	UnitMilliliters        Unit = "milliliters"
	UnitMillimeters        Unit = "millimeters"
)

// rate is how a unit of the trade is shown: as it is, or times a factor in metric.
type rate struct {
	us, metric string // catalogue keys
	factor     float64
}

// Exact by definition: the acre of 4046.8564224 m2, the gallon of 3.785411784 L, the short ton of 907.18474 kg.
const (
	hectaresPerAcre = 0.40468564224
	litersPerGallon = 3.785411784
	tonnesPerTon    = 0.90718474
)

// rates are the units that are one number in US units and another in metric.
var rates = map[Unit]rate{
	UnitAcres:          {"unit.acre", "unit.hectare", hectaresPerAcre},
	UnitTonsPerAcre:    {"unit.ton_per_acre", "unit.tonne_per_hectare", tonnesPerTon / hectaresPerAcre},
	UnitGallonsPerAcre: {"unit.gallon_per_acre", "unit.liter_per_hectare", litersPerGallon / hectaresPerAcre},
	UnitGallonsPerTon:  {"unit.gallon_per_ton", "unit.liter_per_tonne", litersPerGallon / tonnesPerTon},
	UnitGallonsPerHour: {"unit.gallon_per_hour", "unit.liter_per_hour", litersPerGallon},
}

// bare are the units of numbers that stand alone, with the fewest decimals they are shown with.
var bare = map[Unit]int{UnitCount: 0, UnitRatio: 2, UnitPH: 1, UnitActivity: 3}
