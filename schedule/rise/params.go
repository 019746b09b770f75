package rise

// Params are the constants of the model. The values are [Default]'s; a field
// is changed only to ask "what if", as the cold variants do.
//
// Marks: fitted = least squares on published rises (testdata/rise/fit.md has
// them against the model); read = seen in the source named; memory = a figure
// of the literature quoted from memory; judgement = chosen, no source.
type Params struct {
	Rate      float64 // r, mL CO2 per g flour and h: 2 % fresh yeast, 27 °C, no osmotic stress. fitted, sd 10 %
	Dose      float64 // n, exponent of the yeast dose. fitted, sd 0.06
	ColdEnd   float64 // Tmin, °C: no gas below. fitted within its prior only: see Cautious
	HotEnd    float64 // Tmax, °C: no gas above. fixed, read: Hamelman, "rapid activity to 50 °C, death 50-60 °C"
	Bend      float64 // 1/K: how sharply the rate falls before HotEnd. fixed by the optimum near 39 °C, memory
	Osmotic   float64 // K, osmol per kg water at which the rate is halved. fitted, sd 23 %
	FatSlope  float64 // loss of rate per % fat. fixed, judgement
	FatFloor  float64 // least factor for fat. fixed, judgement
	Growth    float64 // size of the growth of yeast in dough, see Kinetics. fixed, read: cell counts in sponge and straight doughs
	GrowthY   float64 // % fresh yeast at which growth is halved. fixed, as Growth
	GrowthLag float64 // h at 27 °C before growth. fixed, as Growth
	GrowthEnd float64 // h at 27 °C when growth is over, counted from GrowthLag. fixed, as Growth
	Store     float64 // G1, mL per g flour: gas from the flour's own sugars before the rate falls. fixed, judgement
	StoreEnd  float64 // G2, mL per g flour: gas at which only StoreRest is left. fixed, as Store
	StoreRest float64 // rate left on maltose alone. fixed, as Store
	PerSugar  float64 // mL CO2 per g flour from 1 % sugar. fixed, judgement: half of the 2.73 of a hexose fermented to its end
	Solubility,
	SolubilitySlope float64 // mL CO2 per g water at 27 °C and its fall per K. fixed, physical: 0.73 mL STP/mL at 27 °C, 1.47 at 4 °C, memory
	BoundWater float64 // % of flour: water of the flour itself, about 14 % moist. fixed, USDA SR 20081
	Volume     float64 // mL per g of dough just mixed. fixed: 1.15 g/mL, Campbell et al. 1993, memory
	Holds,
	Bursts float64 // E up to which all gas is held, and at which none is. fixed; 2.2 to 3.0 fit alike
	Light float64 // share of free gas lost by a fold or a lay-over. fitted, sd 0.06
	Hard  float64 // share of free gas lost by knocking back hard or moulding. fitted, sd 0.07
	Heat  float64 // J per mL CO2: heat of fermentation. fixed, memory: 100 kJ per mol hexose, range 1.4-2.4
	DeathD,
	DeathZ float64 // min for a tenth to survive at 55 °C, and K for ten times faster. fixed, memory
	ActiveDry,
	Instant float64 // fresh yeast that 1 g replaces: fitted 2.3 sd 0.25; read: 1.5 oz instant = 4.5 oz fresh
}

// Default are the parameters as fitted.
func Default() Params {
	return Params{
		Rate: 1.60, Dose: 0.75, ColdEnd: -3, HotEnd: 48, Bend: 0.30,
		Osmotic: 3.3, FatSlope: 0.005, FatFloor: 0.85,
		Growth: 0.72, GrowthY: 0.32, GrowthLag: 1.8, GrowthEnd: 3.2,
		Store: 8, StoreEnd: 14, StoreRest: 0.2, PerSugar: 1.37,
		Solubility: 0.80, SolubilitySlope: 0.0285, BoundWater: 14,
		Volume: 0.87, Holds: 2.5, Bursts: 4.5, Light: 0.58, Hard: 0.83,
		Heat: 2.0, DeathD: 2, DeathZ: 5, ActiveDry: 2.3, Instant: 3.0,
	}
}

// Cold bounds of the coldest temperature at which yeast makes gas. No source
// pins the curve below 15 °C, so a cold rise is run with all three.
const (
	ColdFast = -6.0 // yeast works more in the cold: guards against "too far"
	ColdSlow = 0.0  // yeast works less in the cold: guards "ready in time"
)

// Cold is p with another cold end.
func (p Params) Cold(end float64) Params {
	p.ColdEnd = end
	return p
}
