package phantom

import "testing"

// What a finger waits for when a practice case is started: one film, drawn
// and written.
func BenchmarkPracticeFilm(b *testing.B) {
	c, _ := Practice(0)
	for b.Loop() {
		f, err := Draw(c.Femur, c.Setups[0])
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(len(f.DICOM(Tags{}))), "bytes")
	}
}
