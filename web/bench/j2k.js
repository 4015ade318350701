// Decodes a JPEG 2000 codestream with the library that the film worker loads,
// three times after a first, and prints the milliseconds of each.
const fs = require("fs");
const [folder, file] = process.argv.slice(1);
const make = require(folder + "/openjpegwasm_decode.js");
const quiet = () => {};
make({ print: quiet, printErr: quiet, locateFile: (name) => folder + "/" + name }).then((library) => {
  const stream = fs.readFileSync(file);
  const ms = [];
  for (let i = 0; i < 4; i++) {
    const t = performance.now();
    const decoder = new library.J2KDecoder();
    decoder.getEncodedBuffer(stream.length).set(stream);
    decoder.decode();
    if (decoder.getDecodedBuffer().length < 1000) throw new Error("nothing was decoded");
    decoder.delete();
    ms.push(performance.now() - t);
  }
  console.log(JSON.stringify(ms.slice(1)));
});
