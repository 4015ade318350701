// Package main is the film worker: a program that decodes films, makes their
// pictures and looks for things on them, away from the page's thread. It keeps
// the film that it opened last for more work. The page ends the worker before
// it opens another film and when nothing was asked for a while, as Go's wasm
// memory never shrinks and running out of it cannot be survived.
//
// It is started by web/static/film-worker.js in a dedicated Worker. Messages
// are plain objects.
//
// From the worker, once:
//
//	{type: "ready", version}      version of this protocol, "3"
//
// From the page; job is any number or string, and every answer carries it:
//
//	{type: "clean", job, bytes}
//	{type: "open", job, bytes, frame}
//	    bytes  Uint8Array with the whole file (transfer its buffer)
//	    frame  number from 0; another frame is another open
//	{type: "window", job, centre, width, shape, invert}
//	    of the film that is kept; shape as in windows below, invert turns
//	    light and dark over
//	{type: "find", job, what, ask}
//	    on the film that is kept; what is "ball", "disc", "balls", "ruler",
//	    "corners", "edge", "corner", "shaft", "head" or "neck"; ask is JSON
//	    text, see find.go
//	{type: "draw", job, practice, film}
//	    draws a film of a practice case of core/phantom: practice is its key,
//	    film a number from 0. The film that is kept is let go
//	{type: "truth", job, practice}
//	    what is true of a practice case
//	{type: "cancel", job}         a waiting job, or an open or a draw at work,
//	                              fails with film-cancelled; what is done cannot
//	                              be undone
//	{type: "release"}             forgets the film that is kept
//
// From the worker, for each job progress, and then one answer:
//
//	{type: "progress", job, done}                done rises from 0 to 1
//	{type: "preview", job, width, height, bitmap, pixels, pixelsWidth, pixelsHeight}
//	    before opened, of a film over 4 million pixels: a coarse picture
//	{type: "opened", job, kind, frames, frame, width, height, tags, warnings,
//	    codes, windows, bitmap, pixels, pixelsWidth, pixelsHeight}
//	{type: "windowed", job, bitmap, pixels, pixelsWidth, pixelsHeight}
//	{type: "found", job, seen}                   JSON text, see find.go
//	{type: "cleaned", job, bytes}                the film without what tells
//	                                             who the patient is
//	{type: "drawn", job, bytes, kind, width, height, tags}
//	                                             a whole DICOM file, cleaned
//	{type: "told", job, truth}                   JSON text of phantom.Told
//	{type: "failed", job, code, sentence}        instead of any of these
//
//	    kind      "dicom", "jpeg" or "png", as record.Film.Kind
//	    width, height  of the film, in its own pixels, upright
//	    tags      JSON text of record.Tags, or null for a picture without
//	    warnings  sentences to be shown beside the film; codes, one for each
//	    windows   JSON text: [{name, centre, width, shape, inverted}, …], the
//	              first is the one that the picture shows; inverted: low values
//	              are bright
//	    bitmap    ImageBitmap, transferred; null where the browser makes none
//	    pixels    RGBA, Uint8ClampedArray, transferred, only when bitmap is null
//	    pixelsWidth, pixelsHeight  of bitmap or pixels
//
// The picture of a film over 16 million pixels is smaller than the film by a
// whole factor: draw it stretched over width × height of the film. It is for
// the eye; nothing is measured from it. What find looks at are the samples of
// the file, which never leave the worker.
//
// From film-worker.js, at any time: {type: "dead", code, sentence}. The
// program did not start or has stopped; nothing more will come.
//
// Jobs are answered one after another, at most eight wait. A find that is at
// work cannot be stopped: end the worker.
package main
