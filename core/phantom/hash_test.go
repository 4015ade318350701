package phantom

// Hashes of films and a photo, as drawn on amd64 when the bone last changed.

const hashAP, hashLateral = 0x5c75130b4311f7df, 0x9951850ef8719fce

const hashPhoto = 0x10a23bbe3eec841d

// practiceHashes is what TestPracticeNeverChanges compares with.
var practiceHashes = map[string]uint64{
	"isthmic-transverse": 0x3c1f428169ad8baa, "subtrochanteric": 0x13725a869a412cda, "distal-third": 0xe827e8a547d1aff8, "narrow-canal": 0x698a5c3211377846, "shaft-and-neck": 0x772b2b7af86863c4, "short-bowed": 0xc757e0e68b9cf4b7,
}
