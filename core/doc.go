// Package core is the planning core: pure Go, no browser, clock, files,
// network or chance. Facts go in, a plan with reasons and doubts comes out.
//
// The rooms, in the order of the road of a number: units (numbers with unit
// and doubt), geom (plane geometry), anatomy (names), source (the register of
// sources), radiograph (bytes to image), calibrate (pixels to millimetres),
// measure (landmarks to lengths), implant (the shelf), record (the case), plan
// (the decisions). Read core/plan/make.go first.
package core
