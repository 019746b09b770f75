package heat

// Effective heat transfer coefficients in W/(m² K) by kind of surroundings:
// convection and radiation together, the latter 4.7 W/(m² K) near 7 °C. Ranges:
// free convection of gases 2-25, forced 25-250 (Çengel, Heat Transfer, table
// 1-5); in a domestic refrigerator radiation matters as much as convection
// (Laguerre 2010). The values inside the ranges are judgement.
const (
	StillOpen    = 9.0   // room air, open bowl or tray, 8-10
	StillCovered = 6.0   // room air, covered bowl, 5-7
	FridgeStatic = 6.0   // household fridge without fan, covered, 5-6
	FridgeFan    = 12.0  // retarder or fan-assisted fridge, on a tray, 10-15
	ProofBox     = 14.0  // warm humid cabinet, condensation helps, 12-20
	WaterBath    = 100.0 // stirred water around the container, 100 and more
)
