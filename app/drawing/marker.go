package drawing

import (
	"math"

	"isthmus/core/units"
)

// MarkerInput is what the drawing of a marker or a ruler is made from: what it
// is long in truth, and on the film.
type MarkerInput struct {
	ID   string
	True units.MM
	Seen units.MM
}

func (in MarkerInput) check() error {
	var c checker
	c.in("the true size", in.True, 3, 600)
	c.in("the size on the film", in.Seen, in.True, in.True*1.6)
	return c.err("marker")
}

// Marker returns the two sizes of a marker or of a piece of a ruler, one
// above the other and to one scale, with what the film has added hatched. The
// magnification it prints is seen ÷ true. It refuses a marker that is seen
// smaller than it is, or more than 1.6 times as large.
func Marker(in MarkerInput) (string, error) {
	if err := in.check(); err != nil {
		return "", err
	}
	const left, wide, yTrue, ySeen = 8.0, 312.0, 46.0, 104.0
	k := wide / float64(in.Seen)
	s := newSheet(in.ID, 328, 150)
	end := func(v units.MM) float64 { return left + float64(v)*k }
	round := func(v units.MM) units.MM { return units.MM(math.Round(float64(v)*100) / 100) }
	s.text("d-t d-num", normal, xy{left, yTrue - 14}, start, "true "+round(in.True).String())
	s.dim("d-ink", xy{left, yTrue}, xy{end(in.True), yTrue}, long("marker-true", float64(in.True), k))
	s.text("d-t d-blue", normal, xy{left, ySeen - 14}, start, "on the film "+round(in.Seen).String())
	s.dim("d-move", xy{left, ySeen}, xy{end(in.Seen), ySeen}, long("marker-seen", float64(in.Seen), k))
	if in.Seen > in.True {
		s.line("d-lead", xy{end(in.True), yTrue - 8}, xy{end(in.True), ySeen + 14})
		s.hatched(careHatch, xy{end(in.True), ySeen + 4}, xy{end(in.Seen), ySeen + 4}, xy{end(in.Seen), ySeen + 14}, xy{end(in.True), ySeen + 14})
	}
	f := factorWords(float64(in.Seen / in.True))
	s.text("d-t d-soft", small, xy{left, 140}, start, "to one scale; seen ÷ true = "+f)
	return s.done("d-marker", "Marker, true and on the film", "The marker is "+round(in.True).String()+" long and "+round(in.Seen).String()+" on the film: "+f+" times as large as life."), nil
}
