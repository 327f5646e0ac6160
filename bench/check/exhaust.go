package check

// The constants of Brettschneider's equation for petrol: hydrogen and oxygen
// atoms to one of carbon in the fuel, the equilibrium of water gas, and how many
// carbon atoms one molecule shown by the analyser (as hexane) counts for.
//
// ref: BRETTSCHNEIDER_1979 equation for petrol
const (
	hydrogenToCarbon = 1.7261
	oxygenToCarbon   = 0.0175
	waterGas         = 3.5
	hexaneCarbons    = 6.0
)

// lambda is the ratio of air to what the fuel needs, out of gases in % by volume
// and hydrocarbons in ppm as hexane.
//
// ref: BRETTSCHNEIDER_1979 equation for petrol
func lambda(co, co2, o2, hcPpm float64) float64 {
	hc := hcPpm / 10000
	wet := hydrogenToCarbon / 4 * waterGas / (waterGas + co/co2)
	above := co2 + co/2 + o2 + (wet-oxygenToCarbon/2)*(co2+co)
	below := (1 + hydrogenToCarbon/4 - oxygenToCarbon/2) * (co2 + co + hexaneCarbons*hc)
	return above / below
}
