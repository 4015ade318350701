package calibrate

// Rel returns the relative standard uncertainty that the depth of a marker
// leaves in its scale; it is part of the Rel of the plane. It refuses what
// Depth refuses for a marker. Source: geometry; about 1 % for each 10 mm
// (Klever 2022).
func (d Depth) Rel() (float64, error) {
	l, err := d.lead()
	if err != nil {
		return 0, err
	}
	return l.rel, nil
}

// Weights returns how much each plane counts when they are combined:
//
//	wᵢ = (1/uᵢ²) / Σ(1/uⱼ²)
//
// with the relative standard uncertainties, as in Reconcile. A plane that is
// not usable has no weight. Source: JCGM 100:2008, 5.1.2.
func Weights(ps []Plane) []float64 {
	out := make([]float64, len(ps))
	sum := 0.0
	for i, p := range ps {
		if p.Usable() {
			out[i] = 1 / (rel(p) * rel(p))
			sum += out[i]
		}
	}
	for i := range out {
		if sum > 0 {
			out[i] /= sum
		}
	}
	return out
}
