package screen

import (
	"isthmus/app/viewer"
	"isthmus/core/geom"
)

// stageID is the element that holds the two canvases of a film: the picture
// below, which the eye may invert and brighten, and the drawing above.
const stageID = "film-stage"

// stageHands is what happens on the stage, in CSS pixels from its corner.
type stageHands struct {
	pointer func(viewer.Event)
	wheel   func(at geom.Pt[viewer.Css], turns float64)
	key     func(name string) bool           // reports whether it was used
	tap     func(do string) bool             // on a button about the stage, by its data-film; reports whether it was used
	resize  func(w, h viewer.Css, wide bool) // wide: a second film or the sheet has room beside it
	frame   func(ms float64) bool            // a frame was drawn; reports whether it wants another
	broken  func(r any)
}

// A stage draws a film and hears the fingers on it. There is one in the
// browser; elsewhere nothing is drawn.
type stage interface {
	// picture takes what the decoder made, or nil to show none, and gives the
	// memory of the one before back.
	picture(bitmap any)
	// drop gives the memory of a picture back that is not to be shown.
	drop(bitmap any)
	// paint draws the scene with the next frame of the screen.
	paint(viewer.Scene)
	// look shows the picture through a filter of CSS with the next frame.
	look(filter string)
	// focus lets the keyboard be heard.
	focus()
	// reveal scrolls the list below the film so that an element is seen.
	reveal(selector string)
	close()
}
