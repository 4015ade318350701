// Package chance makes numbers that look like chance and are not: a seed
// gives the same numbers, bit for bit, on every processor and under
// WebAssembly. It is for trials of a plan and for tests; nothing secret may
// come from it.
package chance

import "math/bits"

// A Source gives one stream of numbers: xoshiro256** of Blackman and Vigna.
// Make it with New; its zero value gives zeros only.
type Source struct{ s [4]uint64 }

// New returns the stream of a seed. The state is filled from the seed by
// SplitMix64, as the authors of xoshiro256** ask, so that near seeds give
// unlike streams. Source: Blackman and Vigna 2021, ACM Trans Math Softw 47:36.
func New(seed uint64) *Source {
	var out Source
	for i := range out.s {
		seed += 0x9e3779b97f4a7c15
		out.s[i] = mix(seed)
	}
	return &out
}

// mix is the finisher of SplitMix64. Source: Steele, Lea and Flood 2014.
func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// Uint64 returns the next 64 bits.
func (c *Source) Uint64() uint64 {
	s := &c.s
	out := bits.RotateLeft64(s[1]*5, 7) * 9
	t := s[1] << 17
	s[2] ^= s[0]
	s[3] ^= s[1]
	s[1] ^= s[2]
	s[0] ^= s[3]
	s[2] ^= t
	s[3] = bits.RotateLeft64(s[3], 45)
	return out
}

// Uniform returns a number between 0 and 1, never one of the two:
//
//	(k + ½) / 2⁵²,  k the upper 52 bits
//
// which a binary fraction holds exactly.
func (c *Source) Uniform() float64 {
	return (float64(c.Uint64()>>12) + 0.5) / (1 << 52)
}

// Between returns a number between lo and hi, evenly likely.
func (c *Source) Between(lo, hi float64) float64 {
	return lo + float64((hi-lo)*c.Uniform())
}

// Normal returns a number of the normal distribution with mean 0 and standard
// deviation 1: Quantile of one Uniform. Source: JCGM 101:2008, C.2 (inverse of
// the distribution function).
func (c *Source) Normal() float64 { return quantile(c.Uniform()) }
