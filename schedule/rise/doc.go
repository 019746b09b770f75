// Package rise forecasts how yeast raises a dough: gas made, gas held, the
// volume it gives, and when that is early, ready, late and too far.
//
// The model is an ordinary differential equation in the yeast's own time: a
// speed that depends on temperature, slowed by salt, sugar and fat, quickened
// as the yeast grows, failing as sugars run out. Gas first dissolves in the
// dough's water; what is left over raises it. [Kinetics] holds the recipe's
// share of it, [State] the dough's. The temperature of the dough is the
// caller's: a dough in a fridge is not at the fridge's temperature for hours.
//
// Its parameters are a fit to published rises ([Default]). Leaving out one
// source at a time, a published rise time is forecast within a factor 1.28
// (one standard deviation); [Kinetics.Spread] says what to show.
package rise
