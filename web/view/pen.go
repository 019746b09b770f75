package view

import (
	"math"
	"strconv"
)

// pen writes the d attribute of an SVG path, to a tenth of a pixel.
type pen []byte

func (p *pen) op(c byte, xs ...float64) *pen {
	*p = append(*p, c)
	for i, x := range xs {
		v := math.Round(x*10) / 10
		if i > 0 && !(v < 0) {
			*p = append(*p, ' ')
		}
		*p = strconv.AppendFloat(*p, v+0, 'f', -1, 64)
	}
	return p
}

func (p *pen) line(x1, y1, x2, y2 float64) { p.op('M', x1, y1).op('L', x2, y2) }
func (p *pen) across(x1, x2, y float64)    { p.op('M', x1, y).op('H', x2) }
func (p *pen) box(x, y, w, h float64)      { p.op('M', x, y).op('h', w).op('v', h).op('h', -w).op('z') }
func (p pen) String() string               { return string(p) }

// num is a coordinate as an attribute.
func num(x float64) string { return strconv.FormatFloat(math.Round(x*10)/10+0, 'f', -1, 64) }

// whole is a coordinate that need not be finer than a pixel.
func whole(x float64) string { return strconv.FormatFloat(math.Round(x)+0, 'f', -1, 64) }

// share is a part of one, to four places.
func share(x float64) string { return strconv.FormatFloat(math.Round(x*1e4)/1e4, 'f', -1, 64) }
