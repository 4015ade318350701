package radiograph

// The inverse transform is the separable 8-point one of Loeffler, Ligtenberg
// and Moschytz (ICASSP 1989) in fixed point with 13-bit constants, rounded
// like the reference software of the standard, so that results can be
// compared sample by sample.
const (
	c0298 = 2446
	c0390 = 3196
	c0541 = 4433
	c0765 = 6270
	c0899 = 7373
	c1175 = 9633
	c1501 = 12299
	c1847 = 15137
	c1961 = 16069
	c2053 = 16819
	c2562 = 20995
	c3072 = 25172
)

// eight transforms eight values in place, without the final scaling.
func eight(v *[8]int) {
	z1 := (v[2] + v[6]) * c0541
	t2, t3 := z1-v[6]*c1847, z1+v[2]*c0765
	t0, t1 := (v[0]+v[4])<<13, (v[0]-v[4])<<13
	e0, e3, e1, e2 := t0+t3, t0-t3, t1+t2, t1-t2

	a, b, c, d := v[7], v[5], v[3], v[1]
	z1, z2, z3, z4 := -(a+d)*c0899, -(b+c)*c2562, a+c, b+d
	z5 := (z3 + z4) * c1175
	z3, z4 = z5-z3*c1961, z5-z4*c0390
	a = a*c0298 + z1 + z3
	b = b*c2053 + z2 + z4
	c = c*c3072 + z2 + z3
	d = d*c1501 + z1 + z4

	v[0], v[7] = e0+d, e0-d
	v[1], v[6] = e1+c, e1-c
	v[2], v[5] = e2+b, e2-b
	v[3], v[4] = e3+a, e3-a
}

// inverseDCT writes the 8 × 8 samples of a block, level-shifted and clamped
// to the precision (T.81, A.3.1 and A.3.3).
func inverseDCT(b *[64]int, out []uint16, stride, bits int) {
	extra := uint(2) // bits kept between the passes
	if bits > 8 {
		extra = 1
	}
	columns(b, extra)
	var v [8]int
	down := 13 + extra + 3
	most, level := 1<<bits-1, 1<<(bits-1)
	for y := range 8 {
		copy(v[:], b[8*y:8*y+8])
		row := out[y*stride:][:8]
		if v[1]|v[2]|v[3]|v[4]|v[5]|v[6]|v[7] == 0 {
			flat := uint16(min(max((v[0]<<13+1<<(down-1))>>down+level, 0), most))
			for i := range 8 {
				row[i] = flat
			}
			continue
		}
		eight(&v)
		for i := range 8 {
			row[i] = uint16(min(max((v[i]+1<<(down-1))>>down+level, 0), most))
		}
	}
}

// flatBlock is inverseDCT for a block that holds only its mean: both passes
// together leave the mean over eight, rounded.
func flatBlock(mean int, out []uint16, stride, bits int) {
	v := uint16(min(max((mean+4)>>3+1<<(bits-1), 0), 1<<bits-1))
	for y := range 8 {
		row := out[y*stride:][:8]
		for i := range row {
			row[i] = v
		}
	}
}

// columns is the first pass. A column that holds only its mean, as most do,
// becomes eight times the same, which is what eight makes of it, exactly.
func columns(b *[64]int, extra uint) {
	var v [8]int
	down := 13 - extra
	for x := range 8 {
		if b[8+x]|b[16+x]|b[24+x]|b[32+x]|b[40+x]|b[48+x]|b[56+x] == 0 {
			flat := b[x] << extra
			for i := range 8 {
				b[8*i+x] = flat
			}
			continue
		}
		for i := range 8 {
			v[i] = b[8*i+x]
		}
		eight(&v)
		for i := range 8 {
			b[8*i+x] = (v[i] + 1<<(down-1)) >> down
		}
	}
}
