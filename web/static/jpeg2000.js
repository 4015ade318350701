// Decodes JPEG 2000 through OpenJPEG (openjpegwasm_decode.js, unchanged), which
// is loaded when the first such film is opened. The film worker calls
// decodeJPEG2000; what may be decoded, and whether the answer is believed, is
// decided in core/radiograph. A fault is told as {fault, code}, since Go takes
// a rejected promise for a broken program: an empty code means damage.
"use strict";

(() => {
  let said = []; // faults that the library printed
  const listen = (line) => {
    if (!line.startsWith("[INFO]")) said.push(line);
  };
  let library = null;
  const load = async () => {
    if (typeof OpenJPEGWASM !== "function") importScripts("/openjpegwasm_decode.js");
    return OpenJPEGWASM({ print: listen, printErr: listen, locateFile: (name) => "/" + name });
  };

  globalThis.decodeJPEG2000 = async (codestream) => {
    try {
      library ??= await load();
    } catch (error) {
      return {
        code: "film-not-loaded",
        fault: "film: the part of the program that opens JPEG 2000 films could not be loaded: go online once, reload the page and try again (" + (error?.message ?? error) + ")",
      };
    }
    said = [];
    let decoder;
    try {
      decoder = new library.J2KDecoder();
      decoder.getEncodedBuffer(codestream.length).set(codestream);
      decoder.decode();
      const fault = said.find((line) => line.startsWith("[ERROR]"));
      if (fault) return { code: "", fault: fault.slice(8) };
      const { width, height, componentCount, bitsPerSample } = decoder.getFrameInfo();
      const samples = decoder.getDecodedBuffer();
      return { width, height, components: componentCount, bits: bitsPerSample, samples: new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength) };
    } catch (error) {
      library = null; // what has thrown is not used again
      return { code: "", fault: String(error?.message ?? error) };
    } finally {
      try {
        if (library) decoder?.delete();
      } catch {
        library = null;
      }
    }
  };
})();
