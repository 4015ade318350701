package radiograph

import (
	"testing"

	"isthmus/core/testkit"
)

// A film of 12 million samples, the size of a large computed radiograph.
const benchW, benchH = 3000, 4000

func benchOpen(b *testing.B, file []byte) {
	b.Helper()
	b.SetBytes(benchW * benchH * 2)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Open(file, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOpenPlain12Mpx(b *testing.B) {
	benchOpen(b, makeDICOM(explicitLE, benchW, benchH, 12, film(benchW, benchH, 12), nil))
}

func BenchmarkOpenRLE12Mpx(b *testing.B) {
	benchOpen(b, makeDICOM("1.2.840.10008.1.2.5", benchW, benchH, 12, nil, packRLE(film(benchW, benchH, 12))))
}

func BenchmarkOpenLossless12Mpx(b *testing.B) {
	s := packLossless(film(benchW, benchH, 12), benchW, benchH, 12, 1, 0)
	benchOpen(b, makeDICOM("1.2.840.10008.1.2.4.70", benchW, benchH, 12, nil, s))
}

func BenchmarkOpenRealLossless(b *testing.B) {
	file := testkit.Read(b, "films/real/RG2_JPLL.dcm")
	b.SetBytes(2140 * 1760 * 2)
	for b.Loop() {
		if _, err := Open(file, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkReadHeader(b *testing.B) {
	file := testkit.Read(b, "films/real/RG2_JPLL.dcm")
	b.ReportAllocs()
	for b.Loop() {
		if _, err := ReadHeader(file); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkGrey8Of12Mpx(b *testing.B) {
	im, err := Open(makeDICOM(explicitLE, benchW, benchH, 12, film(benchW, benchH, 12), nil), Options{})
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(benchW * benchH)
	b.ReportAllocs()
	for b.Loop() {
		im.Grey8(im.DefaultWindow())
	}
}
