package source

var joinedMethods = []Method{
	{
		Key: "two-balls", Part: Scale, Title: "Scale from two balls, behind and in front of the bone",
		Formula: "s = (1 − r) · s behind + r · s in front",
		Inputs:  []string{"s, mm per px at each ball, from its rim and its diameter", "r, how far the bone lies from the ball behind to the one in front, 0 to 1, open by ± 0.1"},
		Limits:  "The size of a pixel grows evenly with the distance from the tube; a mean of the magnifications is wrong. Refuses when the ball in front looks no larger for its size. Not on a photo.",
		Sources: []Key{Geometry, King2009},
		Check:   "Pixels of 0.1 mm, M behind 1.041667 and in front 1.408451, r 0.45: 0.0847 mm per px, which is M = 1.1801 at their rims (1.1799 at their centres). A mean of the two M would be 1.2067.",
		Code:    []string{"calibrate.TwoBalls"},
	},
	{
		Key: "known-part", Part: Scale, Title: "Scale from a screw or a nail of known size in the bone",
		Formula: "s = true size / seen",
		Inputs:  []string{"two points across the part, or along it from end to end, in px", "its true size, in mm"},
		Limits:  "Across it a tilt does no harm. Along it a tilted part looks short, and the bone then reads too long; 1.8 % is allowed for that. Refuses under 40 px across and 100 px along.",
		Sources: []Key{Geometry, GUM},
		Check:   "A nail of 10 mm seen 80 px wide: 0.1250 mm per px.",
		Code:    []string{"calibrate.KnownPart"},
	},
	{
		Key: "photo", Part: Scale, Title: "A photo of a film made straight",
		Formula: "film = H · photo, with H from the four corners of the film",
		Inputs:  []string{"four corners of the film or of the screen, in px of the photo", "width and height of the film, in mm, where they are known"},
		Limits:  "Gives no scale of the bone: an object of known size, or a film of known size with a magnification, is still asked for. Refuses tilts above 30°, corners that cross, a stated size that the photo contradicts, and a photo of a film of unknown size that shows too little perspective. A bent lens or film is allowed for and not corrected.",
		Sources: []Key{Geometry, Whiteboard, PhotoMemory},
		Check:   "A film of 430 mm seen from 600 mm by a phone tilted by 10°: without the corners its scale differs by 12.5 % from end to end.",
		Code:    []string{"calibrate.Photo.Rectify"},
	},
	{
		Key: "two-films", Part: Bone, Title: "Two films of one bone",
		Formula: "L = |tip to mark| on one film + |mark to target| on the other (+ the way on the ruler between two marks)",
		Inputs:  []string{"tip and mark on one film, mark and target on the other, in px, each film with its own scale", "what a ruler shows at the marks, in mm, where the mark is a graduation"},
		Limits:  "Both films must be of one femur and one view, and an injured bone at its length. Never two films added without a mark on both. With a ruler beside the bone the way is taken along the shaft, and 10 mm are allowed for the ruler’s own depth.",
		Sources: []Key{Geometry, GUM, CommonUse},
		Check:   "250 mm on the first film and 170 mm on the second: 420.0 mm.",
		Code:    []string{"measure.ToJoin"},
	},
	{
		Key: "pieces", Part: Bone, Title: "Length of a bone that is not reduced",
		Formula: "L = |tip to the break of the upper piece| + |break of the lower piece to the target|",
		Inputs:  []string{"trochanter tip, distal target, and the two places of the break that belong together, in px"},
		Limits:  "Nothing may be missing between the pieces: else it reads too short. Each piece must lie parallel to the film. 6 mm are allowed for how the ends meet.",
		Sources: []Key{Geometry, CommonUse},
		Check:   "Tip to target reads 390 mm with 30 mm of overlap; the pieces are 250 and 170 mm: 420.0 mm.",
		Code:    []string{"measure.Pieces"},
	},
}
