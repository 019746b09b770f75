package solve

import "math/bits"

// rng is splitmix64 (Steele, Lea, Flood: Fast Splittable Pseudorandom Number
// Generators, OOPSLA 2014): 64 bits of state, every output once per period.
type rng uint64

func (r *rng) next() uint64 {
	*r += 0x9e3779b97f4a7c15
	z := uint64(*r)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// below gives a number from 0 to n-1, n > 0.
func (r *rng) below(n int) int { return int(r.next() >> 11 % uint64(n)) }

// fraction is the unit of exp's mean.
const fraction = 256

// exp draws from an exponential distribution with the given mean, in integers:
// the logarithm is the number of leading zeros and a straight line between.
func (r *rng) exp(mean int64) int64 {
	x := r.next() | 1
	zeros := bits.LeadingZeros64(x)
	log2 := int64(zeros+1)<<16 - int64(x<<zeros<<1>>48)
	const ln2 = 45426 // 65536 ln 2
	return min(mean, 1<<38) * log2 >> 16 * ln2 >> 16 / fraction
}

// hash is FNV-1a over words instead of bytes.
type hash uint64

const hashStart hash = 0xcbf29ce484222325

func (h hash) add(x int64) hash {
	h ^= hash(x)
	h *= 0x100000001b3
	return h ^ h>>29
}
