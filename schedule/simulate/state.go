package simulate

import (
	"ovenward/schedule/heat"
	"ovenward/schedule/rise"
	"ovenward/schedule/unit"
)

// State is a dough at a moment: temperature by shells, gas, minute. It is a
// plain value: an assignment copies it, and the copy goes its own way.
type State struct {
	Minute float64 // of the day's grid

	rise  [curves]rise.State
	speed [curves]float64 // mean over the living yeast, at the temperatures of field
	local [shells]float64 // expected speed by shell
	logs  [shells]float64 // decimal logs of yeast killed, by shell
	hot   bool            // logs are not all zero
	field heat.Field
	yeast *yeast

	observed bool // see Dough

	felt, feltH float64 // air of the last step
	settled     float64 // minutes since the air changed suddenly
}

// Mean is the temperature the dough would have if mixed.
func (s *State) Mean() unit.Celsius { return s.field.Mean() }

// Core is the temperature a probe in the middle shows.
func (s *State) Core() unit.Celsius { return s.field.Core() }

// Expansion is the volume over the volume when mixed.
func (s *State) Expansion() float64 {
	return s.rise[expected].Expansion(s.yeast[expected], s.Mean())
}

// Dose is the gas made since the last handling over the gas then needed to
// stand at expansion e; 1 where it is reached.
func (s *State) Dose(e float64) float64 {
	return s.rise[expected].Dose(s.yeast[expected], e, s.Mean())
}

// Yeast is the expected state of the yeast and its gas.
func (s *State) Yeast() rise.State { return s.rise[expected] }

// Kinetics is the dough's recipe as worked out.
func (s *State) Kinetics() *rise.Kinetics { return s.yeast[expected] }

// Handle does h to the dough. It evens the gas, not the temperature: folding
// takes a moment. Parting or moulding is followed by Reshape.
func (s *State) Handle(h rise.Handling) {
	t := s.Mean()
	for i := range s.rise {
		s.rise[i].Handle(s.yeast[i], h, t)
	}
	s.grow()
}

// Degas presses out a share of the free gas, where the loss is known better
// than by the name of a handling.
func (s *State) Degas(loss float64) {
	t := s.Mean()
	for i := range s.rise {
		s.rise[i].Degas(s.yeast[i], loss, t)
	}
	s.grow()
}

// Reshape gives the dough another body: parted into pieces (one of them stands
// for all), gathered, put into a tin. Working it evens its temperature.
func (s *State) Reshape(body heat.Body) error {
	if err := s.field.Reshape(body); err != nil {
		return err
	}
	s.even()
	s.settled = 0
	s.grow()
	s.measure(curves)
	return nil
}

// even spreads the living yeast throughout.
func (s *State) even() {
	if !s.hot {
		return
	}
	alive := 0.0
	for i, w := range s.field.Weights() {
		alive += w * rise.Survival(s.logs[i])
	}
	logs := rise.Logs(alive)
	for i := range s.logs {
		s.logs[i] = logs
	}
}

// grow carries the volume over to the body: way to the core and surface.
func (s *State) grow() { _ = s.field.Grow(s.Expansion()) } // 1 to 4.5, always inside its bounds

// measure takes the speed of the first n curves at the field's temperatures.
func (s *State) measure(n int) {
	temps, weights := s.field.Temps(), s.field.Weights()
	var sum [curves]float64
	for i, w := range weights {
		if s.hot {
			w *= rise.Survival(s.logs[i])
		}
		s.local[i] = s.yeast[expected].Speed(temps[i])
		sum[expected] += w * s.local[i]
		for c := 1; c < n; c++ {
			sum[c] += w * s.yeast[c].Speed(temps[i])
		}
	}
	copy(s.speed[:n], sum[:n])
}
