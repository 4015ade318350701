// Package main is the film worker: a small program that decodes one film at a
// time away from the page's thread. The page ends the worker after each film,
// as Go's wasm memory never shrinks and running out of it cannot be survived.
//
// It is started by web/static/film-worker.js in a dedicated Worker. Messages
// are plain objects.
//
// From the worker, once:
//
//	{type: "ready", version}      version of this protocol, "1"
//
// From the page:
//
//	{type: "open", job, bytes, frame}
//	    job    any number or string; every answer carries it
//	    bytes  Uint8Array with the whole file (transfer its buffer)
//	    frame  number from 0
//
// From the worker, in this order:
//
//	{type: "progress", job, done}                done rises from 0 to 1
//	{type: "opened", job, kind, frames, frame, width, height,
//	    tags, warnings, codes, bitmap, pixels, pixelsWidth, pixelsHeight}
//	{type: "failed", job, code, sentence}        instead of opened
//
//	    kind      "dicom", "jpeg" or "png", as record.Film.Kind
//	    width, height  of the film, in its own pixels, upright
//	    tags      JSON text of record.Tags, or null for a picture without
//	    warnings  sentences to be shown beside the film; codes, one for each
//	    bitmap    ImageBitmap, transferred; null where the browser makes none
//	    pixels    RGBA, Uint8ClampedArray, transferred, only when bitmap is null
//	    pixelsWidth, pixelsHeight  of bitmap or pixels
//
// The page may also send {type: "clean", job, bytes} and gets {type:
// "cleaned", job, bytes}, the film without what tells who the patient is, or
// failed.
//
// The picture of a film over 16 million pixels is smaller than the film by a
// whole factor: draw it stretched over width × height of the film. It is for
// the eye; nothing is measured from it.
//
// From film-worker.js, at any time: {type: "dead", code, sentence}. The
// program did not start or has stopped; nothing more will come.
//
// Opens are answered one after another. To cancel, end the worker.
package main
