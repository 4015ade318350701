package calibrate

import (
	"fmt"

	"isthmus/core/geom"
	"isthmus/core/units"
)

// A TiltedPhotoError reports a photo taken too much from the side.
type TiltedPhotoError struct {
	Tilt            units.Angle
	Limit           units.Deg
	Ratio, MaxRatio float64 // of the scales at the nearest and the furthest corner
}

// Code names the fault for app/text.
func (e *TiltedPhotoError) Code() string { return "calibrate-photo-tilt" }

// Error says what was found, what is needed and what to do.
func (e *TiltedPhotoError) Error() string {
	return fmt.Sprintf("calibrate: the camera looked at the film from %s aside and near things are %s times as large as far ones, at most %s° and %s times can be made straight: take the photo again from straight in front",
		e.Tilt, units.Trim(e.Ratio, 2), units.Trim(float64(e.Limit), 0), units.Trim(e.MaxRatio, 2))
}

// A SmallPhotoError reports a film that is drawn too small in its photo.
type SmallPhotoError struct{ Got, Need units.Px }

// Code names the fault for app/text.
func (e *SmallPhotoError) Code() string { return "calibrate-photo-small" }

// Error says what was found, what is needed and what to do.
func (e *SmallPhotoError) Error() string {
	return fmt.Sprintf("calibrate: the shortest side of the film is %s px long in the photo, need %s: go nearer so that the film fills the photo",
		units.Trim(float64(e.Got), 0), units.Trim(float64(e.Need), 0))
}

// A ResidualError reports corners and edges that are not those of one flat
// film, or corners placed too roughly.
type ResidualError struct{ Got, Limit float64 } // over a side of the film

// Code names the fault for app/text.
func (e *ResidualError) Code() string { return "calibrate-photo-residual" }

// Error says what was found, what is needed and what to do.
func (e *ResidualError) Error() string {
	return fmt.Sprintf("calibrate: corners and edges of the film are open by %s %% of its side, at most %s %% is allowed: lay the film flat, zoom in and mark them again",
		units.Trim(e.Got*100, 1), units.Trim(e.Limit*100, 1))
}

// An UndeterminedError reports a photo that does not tell how wide its film
// is for its height.
type UndeterminedError struct{}

// Code names the fault for app/text.
func (e *UndeterminedError) Code() string { return "calibrate-photo-cannot-tell" }

// Error says what was found, what is needed and what to do.
func (e *UndeterminedError) Error() string {
	return "calibrate: I cannot tell how wide this film is for its height, because the photo shows too little perspective along both sides: enter the width and height of the film"
}

// A FilmShapeError reports a stated film size that its photo contradicts.
type FilmShapeError struct{ Stated, Seen float64 } // width over height

// Code names the fault for app/text.
func (e *FilmShapeError) Code() string { return "calibrate-photo-shape" }

// Error says what was found, what is needed and what to do.
func (e *FilmShapeError) Error() string {
	return fmt.Sprintf("calibrate: the stated film is %s times as wide as high and the photo shows %s: check its size, which corner is top left, and that the photo is whole and not a cut-out",
		units.Trim(e.Stated, 2), units.Trim(e.Seen, 2))
}

// An OffFilmError reports a point beside the film in a photo.
type OffFilmError struct{ At geom.Pt[units.Px] }

// Code names the fault for app/text.
func (e *OffFilmError) Code() string { return "calibrate-photo-off-film" }

// Error says what was found, what is needed and what to do.
func (e *OffFilmError) Error() string {
	return fmt.Sprintf("calibrate: the point %s, %s px of the photo lies beside the film, it must lie between the four corners: mark it on the film, or mark the corners again",
		units.Trim(float64(e.At.X), 0), units.Trim(float64(e.At.Y), 0))
}
