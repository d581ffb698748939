package hazards

import (
	"fmt"
	"math"
	"math/rand/v2"
	"time"

	"canewright/hazards/syrup"
)

// A kettle simulated from the physics, to hold the estimate against. It shares no step with the estimate: it integrates
// heat, not water. A fire heats iron and juice; the surface loses heat by convection and radiation, and below the boil
// vapour by mass transfer; at the boil what heat is left over makes steam. The boiling point is the factory formula of
// physics.md 5 (from memory), where the estimate uses Starzak and Peacock; the latent heat follows the temperature.

// Fires of a simulated boil.
const (
	simSteady      = "steady fire"
	simFalling     = "falling fire"
	simInterrupted = "fire out once, 20 to 60 minutes"
	simCut         = "fire cut by a third near the end"
)

var simFires = []string{simSteady, simFalling, simInterrupted, simCut}

// simKettle is a kettle and the habits of its crew.
type simKettle struct {
	gallons float64 // usual charge
	area    float64 // m2
	iron    float64 // kg
	power   float64 // kW into the kettle, usual
	fire    string
	target  syrup.Brix
}

func newSimKettle(r *rand.Rand, fire string) simKettle {
	k := simKettle{gallons: 60 + 40*r.Float64(), fire: fire, target: 74}
	k.area = 0.9 * math.Pow(k.gallons/80, 2.0/3)
	k.iron = k.gallons * (0.8 + 0.5*r.Float64())
	perHour := min(28, max(9, 18*math.Exp(0.22*r.NormFloat64()))) * math.Pow(k.gallons/80, 0.7) // gal of water an hour
	k.power = perHour*3.785*2257/3600 + 2
	return k
}

// simBoil is a boil under way: what is true, and what the crew wrote down.
type simBoil struct {
	kettle simKettle
	r      *rand.Rand

	water, solids, celsius float64 // kg, kg, C of juice and iron
	hours                  float64
	power, noise           float64
	pressure               float64 // kPa
	boilingWater           float64 // C
	elevation              float64 // times the factory formula
	hydrometer, probe      float64 // kept errors, Be and C
	outFrom, outTo         float64 // hours
	skim                   float64 // share of everything, over the skimming
	expected               float64 // hours, roughly

	checked  *syrup.Celsius // what the thermometer read in boiling water that day
	facts    FinishFacts
	lit      time.Time
	finished float64
}

var simDay = time.Date(2025, 12, 6, 13, 0, 0, 0, time.UTC)

// newSimBoil fills the kettle and writes down what went in, as measured.
func newSimBoil(k simKettle, r *rand.Rand) *simBoil {
	b := &simBoil{kettle: k, r: r, celsius: 12 + 10*r.Float64(), lit: simDay.Add(time.Duration(r.IntN(120)) * time.Minute)}
	brix := 12 + 9*r.Float64()
	liters := k.gallons * (0.92 + 0.08*r.Float64()) * 3.785411784
	rho, _ := syrup.Density(syrup.Brix(brix), 20)
	mass := liters / 1000 * float64(rho)
	b.solids, b.water = mass*brix/100, mass*(1-brix/100)
	b.power = k.power * math.Exp(0.12*r.NormFloat64())
	b.pressure = 101.325 - 0.7 + 0.8*r.NormFloat64()
	water, _ := syrup.WaterBoiling(syrup.Kilopascals(b.pressure))
	b.boilingWater = float64(water)
	b.elevation = 0.85 + 0.25*r.Float64()
	b.hydrometer = 0.4*r.Float64() - 0.2
	b.probe = 1.5 * (2*r.Float64() - 1)
	b.skim = 0.01 + 0.05*r.Float64()
	b.expected = 0.8 + (b.water-b.solids*0.35)*2257/3600/b.power
	b.outFrom, b.outTo = math.Inf(1), math.Inf(1)
	if k.fire == simInterrupted {
		b.outFrom = b.expected * (0.25 + 0.5*r.Float64())
		b.outTo = b.outFrom + (20+40*r.Float64())/60
	}
	b.writeCharge(liters, brix)
	return b
}

func (b *simBoil) writeCharge(liters, brix float64) {
	saidBrix := math.Round((brix+0.2*b.r.NormFloat64())*10) / 10
	saidRho, _ := syrup.Density(syrup.Brix(saidBrix), 20)
	mass := syrup.Kilograms(liters * (1 + 0.02*b.r.NormFloat64()) / 1000 * float64(saidRho))
	solids := mass * syrup.Kilograms(saidBrix) / 100
	pressure := syrup.Kilopascals(101.325 - 0.7)
	b.facts = FinishFacts{Lit: b.lit, Target: b.kettle.target, In: []KettleCharge{{At: b.lit, Mass: &mass, Solids: &solids}},
		Pressure: &pressure}
	if b.r.Float64() < 0.5 { // half of the crews put the thermometer into boiling water
		read := wholeFahrenheit(syrup.Celsius(b.boilingWater + b.probe))
		b.checked = &read
	}
}

func wholeFahrenheit(c syrup.Celsius) syrup.Celsius {
	return syrup.Fahrenheit(math.Round(float64(c.Fahrenheit()))).Celsius()
}

func (b *simBoil) brix() float64 { return 100 * b.solids / (b.solids + b.water) }

// boilsAt is water's boiling point at the day's pressure and the factory formula's elevation on it.
func (b *simBoil) boilsAt() float64 {
	w, t := b.brix(), b.boilingWater
	return t + b.elevation*6.064e-5*math.Pow(273+t, 2)*w*w/math.Pow(374.3-t, 0.38)*(5.84e-7*(w-40)*(w-40)+7.2e-4)
}

// fire is the heat into the kettle now, kW.
func (b *simBoil) fire(dt float64) float64 {
	const settle = 25.0 / 60 // hours in which a stoked fire comes back to its middle
	b.noise += -b.noise*dt/settle + 0.12*math.Sqrt(2*dt/settle)*b.r.NormFloat64()
	p := b.power * math.Exp(b.noise) * (1 - math.Exp(-b.hours*60/12))
	switch {
	case b.kettle.fire == simFalling:
		p *= max(0.45, 1-0.35*b.hours/b.expected)
	case b.kettle.fire == simCut && b.brix() > 60:
		p *= 0.67
	}
	if b.hours >= b.outTo {
		return p * (1 - math.Exp(-(b.hours-b.outTo)*60/12))
	}
	if b.hours >= b.outFrom {
		return p * math.Exp(-(b.hours-b.outFrom)*60/4) // embers
	}
	return p
}

const simStep = 10.0 / 3600 // hours

// step is ten seconds of boil.
func (b *simBoil) step(boils float64) {
	w := b.brix() / 100
	vapor, _ := syrup.SaturationPressure(syrup.Celsius(min(199, b.celsius)))
	surface := 0.012 * b.kettle.area * (b.celsius - 18) // convection and radiation, kW
	drift := 0.0                                        // vapour below the boil, kg/h
	if b.celsius < boils-0.2 {
		drift = 0.11 * b.kettle.area * max(0, float64(vapor)*(1-0.2*w)-1.2)
	}
	latent := 2501 - 2.36*b.celsius
	heat := b.fire(simStep) - surface - drift*latent/3600
	capacity := (b.solids+b.water)*4.187*(1-0.6*w) + b.kettle.iron*0.46
	b.water -= drift * simStep
	b.celsius += heat * 3600 * simStep / capacity
	if b.celsius > boils {
		b.water -= (b.celsius - boils) * capacity / latent
		b.celsius = boils
	}
	if b.celsius > 71 && b.skim > 0 && b.hours < b.expected*0.5 {
		part := min(b.skim, 0.05*simStep/0.75)
		b.skim -= part
		b.water, b.solids = b.water*(1-part), b.solids*(1-part)
	}
	b.hours += simStep
}

// boil runs to the target and writes the log on the way.
func (b *simBoil) boil() {
	nextTemperature, nextDensity := (8+8*b.r.Float64())/60, b.expected*(0.62+0.08*b.r.Float64())
	if b.kettle.fire == simInterrupted {
		nextDensity += b.outTo - b.outFrom
	}
	wroteOut, wroteLit := false, false
	for b.brix() < float64(b.kettle.target) && b.hours < 20 {
		boils := b.boilsAt()
		b.step(boils)
		if b.hours >= nextTemperature {
			b.writeTemperature()
			nextTemperature += (10 + 10*b.r.Float64()) / 60
		}
		if b.hours >= nextDensity && b.celsius > boils-2 {
			b.writeDensity()
			nextDensity = b.hours + (8+8*b.r.Float64())/60
		}
		if !wroteOut && b.hours >= b.outFrom {
			b.facts.Fires, wroteOut = append(b.facts.Fires, FireChange{At: b.minute()}), true
		}
		if !wroteLit && b.hours >= b.outTo {
			b.facts.Fires, wroteLit = append(b.facts.Fires, FireChange{At: b.minute(), Lit: true}), true
		}
	}
	b.finished = b.hours
	b.writeDensity() // the finish reading
}

// minute is the time now as a person writes it.
func (b *simBoil) minute() time.Time { return b.at(b.hours).Round(time.Minute) }

func (b *simBoil) at(hours float64) time.Time {
	return b.lit.Add(time.Duration(hours * float64(time.Hour)))
}

func (b *simBoil) writeTemperature() {
	read := wholeFahrenheit(syrup.Celsius(b.celsius + b.probe + 0.5/1.8*b.r.NormFloat64()))
	b.facts.Temperatures = append(b.facts.Temperatures, FinishTemperature{ID: fmt.Sprint("t", len(b.facts.Temperatures)), At: b.minute(), Temperature: read, Water: b.checked})
}

// writeDensity dips the spindle into a cup a few degrees cooler than the kettle.
func (b *simBoil) writeDensity() {
	cup := syrup.Celsius(b.celsius - 2 - 5*b.r.Float64())
	shows, err := syrup.Hydrometer{}.Reading(syrup.ScaleBaume, syrup.Brix(b.brix()), cup)
	if err != nil {
		return
	}
	shows = math.Round((shows+b.hydrometer+0.25*b.r.NormFloat64())*10) / 10
	said := wholeFahrenheit(cup + syrup.Celsius(0.5/1.8*b.r.NormFloat64()))
	solids, err := ReadingFacts{Reading: shows, Scale: syrup.ScaleBaume, Temperature: &said}.Solids()
	if err == nil {
		b.facts.Readings = append(b.facts.Readings, FinishReading{ID: fmt.Sprint("d", len(b.facts.Readings)), At: b.minute(), Solids: solids})
	}
}

// past is what the records keep of a boil that is over.
func (b *simBoil) past() PastBoil {
	p := PastBoil{Mass: *b.facts.In[0].Mass, Solids: *b.facts.In[0].Solids, Took: b.at(b.finished).Round(time.Minute).Sub(b.lit)}
	if n := len(b.facts.Readings); n > 0 {
		p.Ended = b.facts.Readings[n-1].Solids.Percent
	}
	if len(b.facts.Fires) == 2 {
		p.Took -= b.facts.Fires[1].At.Sub(b.facts.Fires[0].At)
	}
	over := b.facts
	over.Now = b.at(b.finished)
	p.WarmUp = FirstBoil(over)
	p.ThickAt, p.ThickTook = FirstThick(over, p.Took)
	return p
}
