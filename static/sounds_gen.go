//go:build ignore

// Sounds_gen writes the program's sounds. Three that differ in rhythm and pitch
// say how urgent a call is, a tick says that this screen cannot call. Pulses of
// 150 to 200 ms with soft ramps and several harmonics between 500 and 4000 Hz
// carry over a mixer and out of a phone.
//
//	go run sounds_gen.go
package main

import (
	"bytes"
	"encoding/binary"
	"log"
	"math"
	"os"
)

const rate = 16000 // samples a second; enough for 4 kHz

// pulse is one tone.
type pulse struct {
	hz      float64
	seconds float64
	gap     float64 // silence after it
	level   float64
}

func main() {
	five := []pulse{{880, .12, .08, 1}, {880, .12, .08, 1}, {880, .12, .08, 1}, {1046.5, .12, .08, 1}, {1046.5, .12, .3, 1}}
	for name, ps := range map[string][]pulse{
		"a.wav":    append(five, five...),
		"b.wav":    {{660, .18, .2, .9}, {740, .18, .2, .9}, {880, .18, .1, .9}},
		"c.wav":    {{740, .2, .15, .45}, {587.3, .2, .1, .45}},
		"tick.wav": {{1500, .03, .05, .3}},
	} {
		if err := os.WriteFile(name, wav(samples(ps)), 0o644); err != nil {
			log.Fatal(err)
		}
	}
}

// samples draws every pulse with its harmonics.
func samples(ps []pulse) []int16 {
	var out []int16
	for _, p := range ps {
		n := int(p.seconds * rate)
		for i := range n {
			t := float64(i) / rate
			var v float64
			for h, level := range []float64{1, .6, .45, .3} {
				if hz := p.hz * float64(h+1); hz <= 4000 {
					v += level * math.Sin(2*math.Pi*hz*t)
				}
			}
			out = append(out, int16(v/2.35*p.level*ramp(t, p.seconds)*math.MaxInt16*.95))
		}
		out = append(out, make([]int16, int(p.gap*rate))...)
	}
	return out
}

// ramp rises and falls within 20 ms, so that nothing clicks.
func ramp(t, seconds float64) float64 {
	r := math.Min(.02, seconds/3)
	return math.Min(1, math.Min(t/r, (seconds-t)/r))
}

// wav is RIFF, PCM, one channel, 16 bits.
func wav(s []int16) []byte {
	var b bytes.Buffer
	le := func(v any) { binary.Write(&b, binary.LittleEndian, v) }
	b.WriteString("RIFF")
	le(uint32(36 + 2*len(s)))
	b.WriteString("WAVEfmt ")
	le(uint32(16))
	le(uint16(1))
	le(uint16(1))
	le(uint32(rate))
	le(uint32(2 * rate))
	le(uint16(2))
	le(uint16(16))
	b.WriteString("data")
	le(uint32(2 * len(s)))
	le(s)
	return b.Bytes()
}
