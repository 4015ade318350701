package phantom

// Hashes of films and a photo, as drawn on amd64 when the bone last changed.

const hashAP, hashLateral = 0x5c75130b4311f7df, 0x9951850ef8719fce

const hashPhoto = 0x10a23bbe3eec841d
