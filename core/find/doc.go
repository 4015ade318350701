// Package find looks at a film and proposes where things are: balls, discs,
// graduations of a ruler, corners, edges of bone. Every proposal is a place in
// original pixels with its doubt, for a person to accept or to move; what it
// cannot see it refuses. It knows no millimetre, no case and no scale, so that
// no pixel reaches a decision except through a point that a person accepted.
//
// Places follow core/geom: X to the right, Y downwards, and (0, 0) is the
// centre of the first pixel of the upright film, so the film covers −0.5 to
// Width − 0.5. Work at reduced size is taken back to original pixels before it
// is returned. Every result carries names for JSON, as it crosses from the
// worker to the page.
package find
