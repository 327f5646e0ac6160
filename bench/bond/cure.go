package bond

import "math"

// Constants of curing.
const (
	gasConstant = 8.31446261815324 // J/(mol K)
	kelvin      = 273.15
	// leastEnergy reckons cold cures: published ones of epoxies with amines begin
	// there, and below it the time would be too short.
	//
	// ref: DESIGN_BOND cure in the cold
	leastEnergy = 60.0 // kJ/mol
	// mostEnergy ends the range of a cold cure.
	//
	// ref: JAWAD_DGEBA activation energy
	mostEnergy = 70.7 // kJ/mol
)

// CureTime is the time at another temperature by Arrhenius: the time of the
// sheet, degrees Celsius, activation energy in kJ/mol.
//
// ref: ARRHENIUS_1889 rate and temperature
func CureTime(hours, fromC, toC, energyKJMol float64) float64 {
	return hours * math.Exp(1000*energyKJMol/gasConstant*(1/(toC+kelvin)-1/(fromC+kelvin)))
}

// HalvingTime is the time by the rule that ten degrees more halve it.
//
// ref: CURE_TEN_DEGREES rule
func HalvingTime(hours, fromC, toC float64) float64 { return hours * math.Exp2((fromC-toC)/10) }

// Cured is how long a cure takes in the workshop.
type Cured struct {
	Hours     float64 `json:"hours"`
	LowHours  float64 `json:"low_hours"`
	HighHours float64 `json:"high_hours"`
	Cures     bool    `json:"cures"`
	Why       string  `json:"why"`
}

// reckon works a cure out. Colder than on the sheet it takes the higher energies,
// warmer the lower ones: either way rather too long than too short.
func (c Cure) reckon() *Cured {
	switch {
	case c.LeastC != nil && c.WorkshopC < *c.LeastC:
		return &Cured{Why: "the workshop is colder than the sheet allows (" + plain(*c.LeastC) + " °C): it may set without ever reaching its strength; warm the joint"}
	case c.LeastC == nil && c.WorkshopC < c.SheetC:
		return &Cured{Why: "the workshop is colder than on the sheet, and the least temperature of the sheet is not given: without it nobody can tell whether it cures at all"}
	case c.MostC != nil && c.WorkshopC > *c.MostC:
		return &Cured{Why: "the workshop is warmer than the sheet allows (" + plain(*c.MostC) + " °C)"}
	}
	low, high := math.Max(leastEnergy, c.EnergyKJMol), math.Max(mostEnergy, c.EnergyKJMol)
	if c.WorkshopC >= c.SheetC {
		slow, fast := HalvingTime(c.SheetHours, c.SheetC, c.WorkshopC), CureTime(c.SheetHours, c.SheetC, c.WorkshopC, leastEnergy)
		return &Cured{slow, fast, slow, true, "warmer than on the sheet, by the rule that ten degrees halve the time"}
	}
	cured := &Cured{
		LowHours: CureTime(c.SheetHours, c.SheetC, c.WorkshopC, low), HighHours: CureTime(c.SheetHours, c.SheetC, c.WorkshopC, high),
		Cures: true, Why: "colder than on the sheet, by Arrhenius with " + plain(low) + " to " + plain(high) + " kJ/mol",
	}
	cured.Hours = math.Sqrt(cured.LowHours * cured.HighHours)
	return cured
}
