// Runs the film worker, film.wasm, in a dedicated Worker. The messages are
// described in wasm/film/doc.go. When the program cannot start, or stops, the
// page hears {type: "dead", code, sentence} and nothing more.
"use strict";

importScripts("/wasm_exec.js", "/jpeg2000.js");

const dead = (code, sentence) => self.postMessage({ type: "dead", code, sentence });

(async () => {
  const go = new Go();
  let instance;
  try {
    const response = await fetch("/film.wasm");
    if (!response.ok) throw new Error("status " + response.status);
    instance = (await WebAssembly.instantiate(await response.arrayBuffer(), go.importObject)).instance;
  } catch (error) {
    dead("film-not-loaded", "film: the part of the program that opens films could not be loaded: go online once, reload the page and try again (" + error.message + ")");
    return;
  }
  try {
    await go.run(instance);
  } catch (error) {
    console.error(error);
  }
  // Running out of memory ends the program without an error that it could
  // report itself.
  dead("film-ended", "film: there was not enough memory to open this film: close other tabs and try again, or export the film at a smaller size");
})();
