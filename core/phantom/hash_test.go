package phantom

// Hashes of films and a photo, as drawn on amd64 when the bone last changed.

const hashAP, hashLateral = 0x5c75130b4311f7df, 0x9951850ef8719fce

const hashPhoto = 0x10a23bbe3eec841d

// practiceHashes is what TestPracticeNeverChanges compares with.
var practiceHashes = map[string]uint64{
	"isthmic-transverse": 0x499c942df9aaf7c, "subtrochanteric": 0x6bafb7badc55e6d2, "distal-third": 0xa74c0e0e3ce1fd8a, "narrow-canal": 0xbe69144a7bbbb0c2, "shaft-and-neck": 0x4b53bd7a5a2f1f18, "short-bowed": 0xa849c83cbc82860d,
}
