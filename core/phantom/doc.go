// Package phantom draws radiographs of an analytic femur whose every measure
// is known exactly: for tests of what looks at films, for demonstration and
// for practice. They are drawings of bone, invented, and nobody's.
//
// Femur says what the bone is, Setup how the film is made. Draw returns the
// film and its Truth; DICOM, JPEG and Photo write it. A seed gives the same
// bits natively (amd64) and under WebAssembly.
//
// Bone frame, in millimetres: x towards the middle of the body, y to the
// front, z down the shaft; x = y = 0 is the chord of the shaft, z = 0 the
// height of the tip of the greater trochanter. Film frame: u to the right, v
// down, w from the detector towards the source, 0 where the central ray meets
// the detector, which is the middle of the film.
package phantom
