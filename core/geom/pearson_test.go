package geom

import (
	"math"
	"testing"
)

// The ten points with which Pearson 1901 (Philos Mag 2:559) shows the line of
// least squared distances; points and result, y = 5.784 − 0.546·x, from memory.
// Least squares in y alone would give −0.5396, so the two are told apart.
func TestFitLinePearson(t *testing.T) {
	pts := []mm{{0, 5.9}, {0.9, 5.4}, {1.8, 4.4}, {2.6, 4.6}, {3.3, 3.5}, {4.4, 3.7}, {5.2, 2.8}, {6.1, 2.8}, {6.5, 2.4}, {7.4, 1.5}}
	l, rms, err := FitLine(pts)
	if err != nil {
		t.Fatal(err)
	}
	u, _ := l.Unit()
	slope := float64(u.Y / u.X)
	if math.Abs(slope+0.546) > 0.0005 {
		t.Errorf("slope %.5f, want −0.546", slope)
	}
	if at0 := float64(l.A.Y) - slope*float64(l.A.X); math.Abs(at0-5.784) > 0.0005 {
		t.Errorf("intercept %.5f, want 5.784", at0)
	}
	if math.Abs(float64(rms)-0.24871) > 0.00001 {
		t.Errorf("rms %.6f, want 0.24871 (recomputed apart from this code, in another language)", rms)
	}
}
