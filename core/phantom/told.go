package phantom

import "isthmus/core/anatomy"

// A Told is what is true of a practice case, for somebody who does not link
// this room: lengths in millimetres, angles in degrees. core/practice reads
// its JSON.
type Told struct {
	Practice   string       `json:"practice"`
	Side       anatomy.Side `json:"side"`
	Stature    float64      `json:"stature_mm"`  // 0: not told
	NeckBroken bool         `json:"neck_broken"` //
	Length     float64      `json:"length_mm"`
	Canal      float64      `json:"canal_mm"`
	CanalDeep  float64      `json:"canal_deep_mm"`
	Isthmus    float64      `json:"isthmus_mm"`
	NeckRoom   float64      `json:"neck_room_mm"`
	Head       float64      `json:"head_mm"`
	NSA        float64      `json:"neck_shaft_deg"`
	Version    float64      `json:"version_deg"`
	Bow        float64      `json:"bow_mm"`         // radius; 0: straight
	BreakUpper float64      `json:"break_upper_mm"` // 0: none
	BreakLower float64      `json:"break_lower_mm"`
	Condyles   float64      `json:"condyles_mm"`
	Films      []ToldFilm   `json:"films"`
}

// A ToldFilm is what is true of one film: millimetres of a pixel in the plane
// of the bone, where each landmark is, and the ball with where it lay, all
// heights above the detector.
type ToldFilm struct {
	View       anatomy.View `json:"view"`
	Width      int          `json:"width_px"`
	Height     int          `json:"height_px"`
	PerPx      float64      `json:"mm_per_px"`
	Points     []ToldPoint  `json:"points"`
	Rim        [][2]float64 `json:"rim_px"`
	Ball       float64      `json:"ball_mm"`
	BallHeight float64      `json:"ball_height_mm"`
	BoneHeight float64      `json:"bone_height_mm"`
	SID        float64      `json:"sid_mm"`
}

// A ToldPoint is where a landmark is seen.
type ToldPoint struct {
	Name anatomy.Landmark `json:"name"`
	X    float64          `json:"x_px"`
	Y    float64          `json:"y_px"`
}

// Tell returns what is true of the case. It refuses what Know refuses.
func (c Case) Tell() (Told, error) {
	a := c.Answer
	t := Told{Practice: c.Key, Side: c.Side, Stature: float64(c.Stature), NeckBroken: c.Femur.Neck2.Width > 0,
		Length: float64(a.Length), Canal: float64(a.Canal), CanalDeep: float64(a.CanalDeep), Isthmus: float64(a.Isthmus),
		NeckRoom: float64(a.HeadRoom), Head: float64(a.Head), NSA: float64(a.NSA), Version: float64(a.Version), Bow: float64(a.Bow),
		BreakUpper: float64(a.BreakUpper), BreakLower: float64(a.BreakLower), Condyles: float64(a.Condyles)}
	t.levels(newBody(c.Femur))
	for _, s := range c.Setups {
		k, err := Know(c.Femur, s)
		if err != nil {
			return Told{}, err
		}
		c.axis(s, &k)
		t.Films = append(t.Films, tellFilm(s, k))
	}
	return t, nil
}

// levels puts heights on the line from the tip of the trochanter to the distal
// target, on which they are measured: an Answer has them down the shaft.
func (t *Told) levels(b *body) {
	u := b.target.minus(b.tip).unit()
	at := func(p vec) float64 { return p.minus(b.tip).dot(u) }
	t.Isthmus = at(vec{0, b.bow(b.isth), b.isth})
	if b.f.Break.Level != 0 {
		n, mid := b.plane(b.f.Break)
		high, deep := b.ends(n, mid)
		t.BreakUpper, t.BreakLower = at(high), at(deep)
	}
}

// axis puts both points of the shaft on the upper piece of an AP film, where
// the lower one lies beyond a break: the axis that the neck is measured against
// is that of the piece it belongs to.
func (c Case) axis(s Setup, k *Truth) {
	if s.View != anatomy.AP || c.Femur.Break.Level == 0 {
		return
	}
	b, cam := newBody(c.Femur), newCamera(s)
	n := &knower{camera: cam, b: b, whole: cam.place(b)}
	n.pieces = b.pieces(n.whole)
	up, low := lesserLow+20, n.pieces[0].hi-2
	up = min(up, low-18)
	k.At[anatomy.ShaftUpper] = n.spot(vec{0, b.bow(up), up}, n.pieces[0].inRoom)
	k.At[anatomy.ShaftLower] = n.spot(vec{0, b.bow(low), low}, n.pieces[0].inRoom)
}

func tellFilm(s Setup, k Truth) ToldFilm {
	f := ToldFilm{View: s.View, Width: s.Width, Height: s.Height, PerPx: float64(k.Row), SID: float64(s.SID), BoneHeight: float64(s.SID - s.SOD)}
	for _, l := range anatomy.Landmarks(s.View) { // in an order that does not change
		if p, ok := k.At[l]; ok && p.Inside {
			f.Points = append(f.Points, ToldPoint{l, float64(p.Film.X), float64(p.Film.Y)})
		}
	}
	if len(k.Balls) > 0 {
		b := s.Balls[0]
		f.Ball, f.BallHeight = float64(b.Across), f.BoneHeight+float64(b.Above)
		for _, p := range k.Balls[0].Rim(12) {
			f.Rim = append(f.Rim, [2]float64{float64(p.X), float64(p.Y)})
		}
	}
	return f
}
