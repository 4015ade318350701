//go:build !js

package radiograph

import (
	"os/exec"
	"path/filepath"
	"testing"

	"isthmus/core/testkit"
)

// Decoding beside DCMTK's programs on the same film in one run; theirs count
// starting a process and writing the plain film. Where DCMTK is not installed
// only ours is measured.
func BenchmarkBesideDCMTK(b *testing.B) {
	for _, tt := range []struct{ name, film, tool string }{
		{"lossless 3.8 Mpx", "films/real/RG2_JPLL.dcm", "dcmdjpeg"},
		{"extended 3.8 Mpx", "films/real/RG2_JPLY.dcm", "dcmdjpeg"},
		{"JPEG-LS 0.06 Mpx", "films/variants/ts_80_jpegls_lossless.dcm", "dcmdjpls"},
		{"RLE 0.06 Mpx", "films/variants/ts_5_rle.dcm", "dcmdrle"},
	} {
		b.Run(tt.name+"/ours", func(b *testing.B) {
			film := testkit.Read(b, tt.film)
			for b.Loop() {
				if _, err := Open(film, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
		tool, err := exec.LookPath(tt.tool)
		if err != nil {
			continue
		}
		b.Run(tt.name+"/"+tt.tool, func(b *testing.B) {
			in := filepath.Join(testkit.Root(b), "testdata", filepath.FromSlash(tt.film))
			out := filepath.Join(b.TempDir(), "plain.dcm")
			for b.Loop() {
				if err := exec.Command(tool, in, out).Run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
