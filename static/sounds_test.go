package static_test

import (
	"encoding/binary"
	"math"
	"slices"
	"testing"

	"ovenward/static"
)

const rate = 16000 // samples a second

// samples reads a sound: RIFF, PCM, one channel, 16 bits.
func samples(t *testing.T, name string) []float64 {
	t.Helper()
	data, err := static.FS.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if len(data) < 44 || string(data[:4]) != "RIFF" || string(data[8:16]) != "WAVEfmt " || binary.LittleEndian.Uint32(data[24:]) != rate {
		t.Fatalf("%s is no such sound", name)
	}
	var out []float64
	for b := data[44:]; len(b) > 1; b = b[2:] {
		out = append(out, float64(int16(binary.LittleEndian.Uint16(b)))/math.MaxInt16)
	}
	return out
}

// pulses are the tones of a sound: where what is quieter than a hundredth for
// 20 ms ends.
func pulses(s []float64) (out [][]float64) {
	const quiet = rate / 50
	begin, last := -1, 0
	for i, v := range s {
		switch {
		case math.Abs(v) > 0.01 && begin < 0:
			begin, last = i, i
		case math.Abs(v) > 0.01:
			last = i
		case begin >= 0 && i-last > quiet:
			out, begin = append(out, s[begin:last]), -1
		}
	}
	if begin >= 0 {
		out = append(out, s[begin:last])
	}
	return out
}

// power is how strong a pitch is in a tone (Goertzel 1958, American Mathematical
// Monthly 65, an exact Fourier coefficient).
func power(s []float64, hz float64) float64 {
	c := 2 * math.Cos(2*math.Pi*hz/rate)
	var a, b float64
	for _, v := range s {
		a, b = v+c*a-b, a
	}
	return (a*a + b*b - c*a*b) / float64(len(s)*len(s))
}

// pitch is the strongest tone of the scale from 500 to 1600 Hz.
func pitch(s []float64) float64 {
	best, at := 0.0, 0.0
	for hz := 500.0; hz < 1600; hz += 2 {
		if p := power(s, hz); p > best {
			best, at = p, hz
		}
	}
	return at
}

// The three classes differ in rhythm and in pitch, the more urgent the faster and
// the higher (Haas and Edworthy 1996: urgency rises with pitch and with shorter
// pauses; from memory), and all can be heard out of a small loudspeaker: above
// 500 Hz, with overtones. None is cut short by the next ring.
func TestSounds(t *testing.T) {
	type sound struct {
		n            int // tones
		low, high    float64
		pause, whole float64 // between tones on the average, and all of it; seconds
	}
	got := map[string]sound{}
	for _, name := range []string{"a", "b", "c"} {
		s := samples(t, name+".wav")
		all := pulses(s)
		x := sound{n: len(all), low: math.Inf(1), whole: float64(len(s)) / rate}
		loud := 0.0
		for _, p := range all {
			hz := pitch(p)
			x.low, x.high = min(x.low, hz), max(x.high, hz)
			if power(p, 2*hz) < power(p, hz)/10 || power(p, 3*hz) < power(p, hz)/20 {
				t.Errorf("%s: a tone of %v Hz has no overtones", name, hz)
			}
			for _, v := range p {
				loud = max(loud, math.Abs(v))
			}
		}
		sounding := 0
		for _, p := range all {
			sounding += len(p)
		}
		x.pause = (x.whole - float64(sounding)/rate) / float64(len(all))
		if loud > 1 || loud < 0.2 || x.low < 500 || x.whole > 3 {
			t.Errorf("%s: %+v, at most %v loud", name, x, loud)
		}
		got[name] = x
	}
	a, b, c := got["a"], got["b"], got["c"]
	if counts := []int{a.n, b.n, c.n}; !slices.Equal(counts, []int{10, 3, 2}) {
		t.Errorf("tones %v", counts)
	}
	if !(a.high > b.high && b.high > c.high && a.low > b.low && b.low > c.low) {
		t.Errorf("a more urgent call is not higher: %+v", got)
	}
	if a.pause >= b.pause {
		t.Errorf("now or lost is not faster than due: %+v", got)
	}
}
