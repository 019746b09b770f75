package schedule

import (
	"math"

	"ovenward/schedule/heat"
	"ovenward/schedule/unit"
)

// transfer is the heat transfer coefficient of a place, W/(m² K).
func (p *Place) transfer() float64 {
	air := p.Air
	if air == "" {
		air = map[PlaceKind]Air{Room: Covered, Warm: Humid, Cold: Fridge}[p.Kind]
	}
	switch air {
	case Still:
		return heat.StillOpen
	case Fridge:
		return heat.FridgeStatic
	case Fan:
		return heat.FridgeFan
	case Humid:
		return heat.ProofBox
	}
	return heat.StillCovered
}

// tubs is how many tubs hold a mass of dough.
func (k *Kitchen) tubs(mass unit.Grams) int {
	if k.Tub <= 0 {
		return 1
	}
	return max(1, int(math.Ceil(float64(mass/k.Tub)-1e-9)))
}

// inTub is one of the tubs that hold mass: round, half as deep as wide when the
// dough is just mixed.
func (k *Kitchen) inTub(mass unit.Grams) heat.Body {
	each := mass / unit.Grams(k.tubs(mass))
	volume := float64(each) / 1000 / heat.Dough.Density // m³
	return heat.Tub(each, math.Cbrt(8*volume/math.Pi))
}

// madeUp is a shaped piece: in its tin, twice as long as wide and high, or
// round and free.
func (k *Kitchen) madeUp(b *Bread) heat.Body {
	for _, t := range k.Tins {
		if t.Name == b.Tin && t.Litres > 0 {
			width := math.Cbrt(float64(t.Litres) / 1000 / 2) // m
			return heat.Tin(b.Piece, 2*width, width)
		}
	}
	return heat.Ball(b.Piece)
}
