package slim

// A reader reads numbers of the binary format (LEB128, chapter 5.2.2). After
// the first fault bad is set and every number is 0.
type reader struct {
	b   []byte
	at  int
	bad bool
}

func (r *reader) byte() byte {
	if r.bad || r.at >= len(r.b) {
		r.bad = true
		return 0
	}
	r.at++
	return r.b[r.at-1]
}

// raw reads at most five bytes, seven bits each, and how many bits came.
func (r *reader) raw() (v int64, bits uint) {
	for bits < 35 {
		c := r.byte()
		v |= int64(c&0x7F) << bits
		bits += 7
		if c < 0x80 {
			return v, bits
		}
	}
	r.bad = true
	return 0, 0
}

// uint reads a number without a sign, below 2³².
func (r *reader) uint() int {
	v, _ := r.raw()
	if r.bad || v >= 1<<32 {
		r.bad = true
		return 0
	}
	return int(v)
}

// int reads a number with a sign; the places of data are below 2³¹.
func (r *reader) int() int {
	v, bits := r.raw()
	if bits > 0 && v>>(bits-1)&1 == 1 {
		v -= 1 << bits
	}
	if r.bad || v < -1<<31 || v >= 1<<31 {
		r.bad = true
		return 0
	}
	return int(v)
}

func putUint(b []byte, v int) []byte {
	for v >= 0x80 {
		b = append(b, byte(v)|0x80)
		v >>= 7
	}
	return append(b, byte(v))
}

// putInt writes a number of 0 or more in the form with a sign.
func putInt(b []byte, v int) []byte {
	for v >= 0x40 {
		b = append(b, byte(v&0x7F)|0x80)
		v >>= 7
	}
	return append(b, byte(v))
}
