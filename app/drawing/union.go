package drawing

import (
	"math"
	"strconv"

	"isthmus/core/units"
)

// UnionInput is what the drawing of a score of union is made from.
type UnionInput struct {
	ID       string
	Cortices [4]int // 0: not scored
	Names    [4]string
	Most     int // of one cortex
	Limit    int // united from this sum on
	Days     *int
	From, To int // when to think of dynamising, days
}

// Union returns the four cortices as steps with their sum against the limit,
// and the days since the nail on a line with the time to think of dynamising.
// On that line a millimetre stands for a day. It refuses impossible numbers.
func Union(in UnionInput) (string, error) {
	var c checker
	c.in("the most of one cortex", units.MM(in.Most), 1, 4)
	for i, v := range in.Cortices {
		c.in("the score of "+in.Names[i], units.MM(v), 0, units.MM(in.Most))
	}
	c.in("the limit of united", units.MM(in.Limit), 4, 16)
	c.in("the first day", units.MM(in.From), 0, 3000)
	c.in("the last day", units.MM(in.To), units.MM(in.From)+1, 3000)
	if in.Days != nil {
		c.in("the days since the nail", units.MM(*in.Days), 0, 20000)
	}
	if err := c.err("union"); err != nil {
		return "", err
	}
	s := newSheet(in.ID, 328, 236)
	sum, scored := 0, true
	for i, v := range in.Cortices {
		x := 12 + 80*float64(i)
		for step := range in.Most {
			y := 84 - float64(step)*16
			class := "d-ghost"
			if step < v {
				class = "d-part"
			}
			s.box(class, xy{x, y - 12}, xy{x + 62, y}, 0)
		}
		s.text("d-t", small, xy{x + 31, 102}, middle, cut(in.Names[i], small, 76))
		sum, scored = sum+v, scored && v > 0
	}
	if scored {
		s.text("d-t d-num", normal, xy{12, 126}, start, "sum "+strconv.Itoa(sum)+"; united from "+strconv.Itoa(in.Limit)+" on")
	} else {
		s.text("d-t d-soft", normal, xy{12, 126}, start, "score all four; united from "+strconv.Itoa(in.Limit)+" on")
	}
	dayLine(s, in)
	words := "Cortices " + strconv.Itoa(sum) + " together."
	if in.Days != nil {
		words += " Day " + strconv.Itoa(*in.Days) + " since the nail."
	}
	return s.done("d-union", "Score of union and days since the nail", words+" Dynamising is thought of from day "+strconv.Itoa(in.From)+" to "+strconv.Itoa(in.To)+"."), nil
}

func dayLine(s *sheet, in UnionInput) {
	most := float64(in.To) * 1.5
	if in.Days != nil {
		most = math.Max(most, float64(*in.Days)*1.05)
	}
	k := 304 / most
	x := func(day int) float64 { return 12 + float64(day)*k }
	const y = 186.0
	s.line("d-rule", xy{12, y}, xy{316, y})
	s.hatched(doubtHatch, xy{x(in.From), y - 12}, xy{x(in.To), y - 12}, xy{x(in.To), y}, xy{x(in.From), y})
	s.line("d-ink", xy{x(in.From), y - 12}, xy{x(in.To), y - 12}, long("window", float64(in.To-in.From), k))
	s.line("d-lead", xy{x(in.From), y - 12}, xy{x(in.From), y + 6})
	s.line("d-lead", xy{x(in.To), y - 12}, xy{x(in.To), y + 6})
	s.text("d-t d-soft", small, xy{12, y + 34}, start, "hatched: day "+strconv.Itoa(in.From)+" to "+strconv.Itoa(in.To)+", think of dynamising")
	if in.Days != nil {
		at := x(*in.Days)
		s.line("d-screw", xy{at, y - 22}, xy{at, y + 6}, tag{what: "day", at: float64(*in.Days), isAt: true})
		words := "day " + strconv.Itoa(*in.Days)
		s.text("d-t d-blue", normal, xy{clamp(at, 30, 290), y - 28}, middle, words)
	}
}

// TwoBallsInput is what the drawing of a bone between two balls is made from:
// magnifications.
type TwoBallsInput struct {
	ID                  string
	Behind, Front, Bone float64
}

// TwoBalls returns tube, both balls, bone and detector on one line, each where
// its magnification puts it, to scale for any distance from tube to detector:
// way from the tube = that distance ÷ magnification. It refuses magnifications
// outside 1 to 2, and a bone that is not between the balls.
func TwoBalls(in TwoBallsInput) (string, error) {
	var c checker
	c.in("the magnification behind", units.MM(in.Behind), 1, 2)
	c.in("the magnification in front", units.MM(in.Front), units.MM(in.Behind), 2)
	c.in("the magnification of the bone", units.MM(in.Bone), units.MM(in.Behind)-1e-9, units.MM(in.Front)+1e-9)
	if err := c.err("two balls"); err != nil {
		return "", err
	}
	s := newSheet(in.ID, 328, 190)
	const left, wide, y = 20.0, 288.0, 92.0
	x := func(m float64) float64 { return left + wide/m }
	s.line("d-axis", xy{left, y}, xy{left + wide, y}, long("sid", 1000, wide/1000))
	s.line("d-lead", xy{left, y}, xy{left + wide, y - 44})
	s.line("d-lead", xy{left, y}, xy{left + wide, y + 44})
	s.circle("d-ink", xy{left, y}, 5)
	s.line("d-bold", xy{left + wide, y - 48}, xy{left + wide, y + 48})
	s.circle("d-part", xy{x(in.Front), y}, 6)
	s.circle("d-part", xy{x(in.Behind), y}, 6)
	s.line("d-screw", xy{x(in.Bone), y - 26}, xy{x(in.Bone), y + 26})
	s.line("d-move", xy{left, y + 58}, xy{x(in.Bone), y + 58}, long("bone", 1000/in.Bone, wide/1000))
	s.text("d-t d-soft", small, xy{6, 14}, start, "tube left, detector right")
	label := func(at, y float64, class, words string) {
		s.text(class, small, xy{clamp(at, 60, 268), y}, middle, words)
	}
	label(x(in.Front)-30, 34, "d-t d-num", "in front "+factorWords(in.Front))
	label(x(in.Behind)+30, 52, "d-t d-num", "behind "+factorWords(in.Behind))
	s.line("d-lead", xy{x(in.Front), 38}, xy{x(in.Front), y - 6})
	s.line("d-lead", xy{x(in.Behind), 56}, xy{x(in.Behind), y - 6})
	label(x(in.Bone)-60, y+74, "d-t d-blue", "bone "+factorWords(in.Bone))
	s.text("d-t d-soft", small, xy{6, 184}, start, "ways along the line to scale")
	return s.done("d-two-balls", "Bone between two balls", "The ball behind is "+factorWords(in.Behind)+" times as large on the film, the one in front "+factorWords(in.Front)+" times, and the bone between them "+factorWords(in.Bone)+" times."), nil
}
