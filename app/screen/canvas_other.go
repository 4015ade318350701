//go:build !(js && wasm)

package screen

import "isthmus/app/viewer"

// A noStage draws nothing; it stands in where there is no browser.
type noStage struct{}

func newStage(string, stageHands) stage { return noStage{} }

func (noStage) picture(any)        {}
func (noStage) drop(any)           {}
func (noStage) paint(viewer.Scene) {}
func (noStage) look(string)        {}
func (noStage) focus()             {}
func (noStage) reveal(string)      {}
func (noStage) close()             {}

func closePicture(any) {}
