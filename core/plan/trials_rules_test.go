package plan

import (
	"math"
	"testing"

	"isthmus/core/anatomy"
	"isthmus/core/chance"
	"isthmus/core/implant"
	"isthmus/core/record"
	"isthmus/core/testkit"
	"isthmus/core/units"
)

// someShelf returns a shelf with holes: few nails, many out of stock.
func someShelf(c *chance.Source) (out implant.Shelf) {
	for range 1 + int(c.Between(0, 12)) {
		out.Nails = append(out.Nails, implant.Nail{Diameter: units.MM(8 + int(c.Between(0, 6))), Length: units.MM(300 + 20*int(c.Between(0, 9))), Stock: int(c.Between(0, 2.5))})
	}
	return out
}

// Law: the rules sorted for the trials choose what chooseNail chooses, on any
// shelf, for any room and canal, known or not, at the sizes themselves too.
func TestTrialRulesAreTheRules(t *testing.T) {
	c, p := chance.New(404), DefaultPolicy()
	chosen, tight, shorter := 0, 0, 0
	for range 20_000 {
		shelf := someShelf(c)
		nails, _ := candidates(shelf, anatomy.Left, Standard)
		if len(nails) == 0 {
			continue
		}
		room, canal := units.MM(c.Between(280, 480)), units.MM(c.Between(6, 15))
		if c.Uniform() < 0.3 {
			room, canal = units.MM(math.Round(float64(room))), units.MM(math.Round(float64(canal)))
		}
		b := Bone{Length: pointer(units.Exact(room + p.Burial)), Canal: pointer(units.Exact(canal))}
		if c.Uniform() < 0.1 {
			b.Canal = nil
		}
		want, _ := chooseNail(b, anatomy.Left, Locking{Pattern: Standard}, shelf, p)
		r := rulesOf(nails, p)
		long, dia := r.length(room, canal, b.Canal != nil), units.MM(0)
		if b.Canal != nil {
			dia = r.diameter(canal, long)
		}
		if long != want.Length || dia != want.Diameter {
			t.Fatalf("room %v, canal %v of %+v: %v × %v, want %v × %v", room, b.Canal, shelf.Nails, dia, long, want.Diameter, want.Length)
		}
		if dia > 0 && long > 0 {
			chosen++
		}
		for _, w := range want.WhyDia {
			if w.Code == "diameter-tight" {
				tight++
			}
		}
		for _, w := range want.Lost {
			if w.Code == "lost-length-thick" {
				shorter++
			}
		}
	}
	if chosen < 5000 || tight < 500 || shorter < 500 {
		t.Errorf("%d chosen, %d tight, %d shorter for the canal: too few to say", chosen, tight, shorter)
	}
}

// The smaller of two canals that are alike is smaller than either: with
// standard uncertainties u and u, independent,
//
//	mean = m − u/√π,  sd = u·√(1 − 1/π)
//
// Source: by hand; mean and variance of the smaller of two normal numbers.
func TestTrialsOfTwoCanals(t *testing.T) {
	c := loadCase(t, "mid-shaft")
	c.Films = c.Films[:1]
	twin := record.Clone(c).Films[0]
	twin.View = anatomy.Lateral
	var keep []record.Point
	for _, q := range twin.Points {
		if q.Name.In(anatomy.Lateral) {
			keep = append(keep, q)
		}
	}
	twin.Points = keep
	c.Films = append(c.Films, twin)
	pl := Make(c, implant.Teaching(), DefaultPolicy())
	if pl.Bone.CanalLat == nil || pl.Bone.CanalAP == nil || math.Abs(float64(pl.Bone.CanalLat.Best-pl.Bone.CanalAP.Best)) > 1e-9 {
		t.Fatalf("canals %v and %v, want two alike", pl.Bone.CanalAP, pl.Bone.CanalLat)
	}
	u, m := float64(pl.Bone.Canal.Doubt()), float64(pl.Bone.Canal.Best)
	got := Trials(c, implant.Teaching(), DefaultPolicy(), 13, 40_000).Diameter
	testkit.Near(t, "mean of the smaller", float64(got.Room.Mean), m-u/math.Sqrt(math.Pi), 0.02*u)
	testkit.Near(t, "u of the smaller", float64(got.Room.U), u*math.Sqrt(1-1/math.Pi), 0.02*u)
	films := map[int]float64{}
	for _, s := range got.Shares {
		films[s.Input.Film] += s.Part
	}
	testkit.Near(t, "both films count alike", films[1], films[2], 0.03)
}
